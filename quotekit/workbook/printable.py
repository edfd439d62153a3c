"""Characters that the parts of a workbook cannot hold as they are: XML has no way to write them."""

from __future__ import annotations

import re

CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff\ufffe\uffff]")


def printable(text: str) -> str:
    """A text with a space for each such character, for words beside the cells: alt texts, prompts, footers.

    >>> printable("worn \\x07 bushing")
    'worn   bushing'
    """
    return CONTROL.sub(" ", text)
