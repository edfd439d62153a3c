"""The parts of a font in the order that the standard wants; openpyxl writes the name first, which only most accept."""

from __future__ import annotations

import re

_ORDER = "b i strike condense extend outline shadow u vertAlign sz color name family charset scheme".split()
_FONT = re.compile(r"(<font>)(.*?)(</font>)", re.S)
_PART = re.compile(r"<(\w+)[^<>]*?/>")


def fonts_in_order(styles: bytes) -> bytes:
    """The styles of a workbook with each font's parts in order.

    >>> fonts_in_order(b'<font><name val="Arial"/><sz val="9"/><b val="1"/></font>')
    b'<font><b val="1"/><sz val="9"/><name val="Arial"/></font>'
    """

    def ordered(match: re.Match[str]) -> str:
        parts = [(found[1], found[0]) for found in _PART.finditer(match[2])]
        if "".join(text for _, text in parts) != match[2] or any(name not in _ORDER for name, _ in parts):
            return match[0]
        return match[1] + "".join(text for _, text in sorted(parts, key=lambda one: _ORDER.index(one[0]))) + match[3]

    return _FONT.sub(ordered, styles.decode("utf-8")).encode("utf-8")
