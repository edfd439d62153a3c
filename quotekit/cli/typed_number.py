"""A number as typed on the command line."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from decimal import Decimal


def typed_quantity(text: str) -> Decimal:
    """A number that is not negative, with a point for decimals; any other text is wrong usage.

    >>> typed_quantity("2.5"), typed_quantity(" 12 ")
    (Decimal('2.5'), Decimal('12'))
    """
    from decimal import Decimal

    if re.fullmatch(r"[0-9]{1,12}(\.[0-9]{1,6})?", text.strip()) is None:
        raise argparse.ArgumentTypeError(f"{text!r} is no number like 12 or 2.50")
    return Decimal(text.strip())


def typed_count(text: str) -> int:
    """A whole number above zero; any other text is wrong usage.

    >>> typed_count("3")
    3
    """
    if re.fullmatch(r"[0-9]{1,9}", text.strip()) is None or int(text) == 0:
        raise argparse.ArgumentTypeError(f"{text!r} is no count like 3")
    return int(text)
