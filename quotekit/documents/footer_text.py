"""Text of a workbook in the header or footer of a page, where an ampersand starts a code."""

from __future__ import annotations

_FONT = '&"Arial,Regular"'
_LONGEST = 80
_BESIDE_THE_MIDDLE = 45
"""Letters of a name at the left of a footer that leave room for a text in its middle."""


def footer_name(name: str) -> str:
    """A name at the left of a footer that has a text in its middle: a longer one is cut, and says so.

    >>> footer_name("Oak & Sons"), len(footer_name("Saws and mowers " * 9))
    ('Oak && Sons', 45)
    """
    cut = name if len(name) <= _BESIDE_THE_MIDDLE else f"{name[: _BESIDE_THE_MIDDLE - 1].rstrip()}…"
    return footer_text(cut)


def footer_text(text: str) -> str:
    """A text that prints as it is, cut to what a footer holds.

    Before a G or a bracket a font code stands in between, as some writers take those with an ampersand for a picture.

    >>> footer_text("Oak & Sons"), footer_text("H&G")
    ('Oak && Sons', 'H&&&"Arial,Regular"G')
    """
    written = ""
    for letter in text:
        piece = "&&" if letter == "&" else letter
        if letter in "G[" and written.endswith("&"):
            piece = _FONT + letter
        if len(written) + len(piece) > _LONGEST:
            break
        written += piece
    return written
