"""An amount as the summary of a folder shows it.

A cell keeps 15 digits (SPREADSHEETS.md 1). An amount of more stands as text, every digit of it, so that one job with a
figure that is far too large does not keep all others from being told. A chart draws nothing for it.
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.costing_style import amount
from quotekit.documents.sheet import Cell, text

MOST_DIGITS = 15


def figure(value: Decimal | None, style: str = "money") -> Cell:
    """An amount, already in the currency's digits; in words where it is not known.

    >>> figure(Decimal("12.50")).content, figure(Decimal("12345678901234.56")).content, figure(None).content
    (Decimal('12.50'), '12345678901234.56', 'not known')
    """
    if value is not None and len(value.normalize().as_tuple().digits) > MOST_DIGITS:
        return text(f"{value:f}", style)
    return amount(value, style)
