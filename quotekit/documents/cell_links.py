"""A link to a cell of the shop book or the job, for the costing.

The address of each file comes from whoever knows where the costing is written; without one there is no link. A link is
made from that address and from the sheet and cell a value was read from, never from what a cell says.
"""

from __future__ import annotations

from collections.abc import Mapping

from quotekit.documents.sheet import Cell, text
from quotekit.problems import Place

Addresses = Mapping[str, str]
"""The address of each file, by its name as places have it."""

_LONGEST = 2000
"""Letters of an address that every program takes."""


def linked(place: Place, words: str, addresses: Addresses, style: str = "cell", across: int = 1) -> Cell:
    """The words as they are, leading to a place where its file has an address."""
    link = link_to(place, addresses)
    if link and words:
        return Cell(content=words, kind="text", style="link", across=across, link=link)
    return text(words, style, across)


def link_to(place: Place, addresses: Addresses) -> str:
    """The address of a cell; empty where there is no file, no sheet or no cell.

    >>> link_to(Place("book.xlsx", "Bob's parts", "D14"), {"book.xlsx": "../book.xlsx"})
    "../book.xlsx#'Bob''s parts'!D14"
    >>> link_to(Place("book.xlsx", "Parts", "D14"), {})
    ''
    """
    address = addresses.get(place.file, "")
    if not (address and place.sheet and place.cell):
        return ""
    sheet = place.sheet.replace("'", "''")
    link = f"{address}#'{sheet}'!{place.cell}"
    return link if len(link) <= _LONGEST else ""
