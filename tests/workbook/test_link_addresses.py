"""Addresses of links: relative to the folder of the workbook, readable, and never to the wrong file."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import unquote

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.link_addresses import link_addresses

FOLDER = Path("/shop/quotes")


def address(path: str, folder: Path = FOLDER) -> str:
    """The address of one file."""
    return link_addresses(folder, [("it", Path(path))])["it"]


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("/shop/quotes/job.xlsx", "job.xlsx"),
        ("/shop/prices.xlsx", "../prices.xlsx"),
        ("/shop/books/prices.xlsx", "../books/prices.xlsx"),
        ("/shop/quotes/117/job.xlsx", "117/job.xlsx"),
        ("/shop/quotes/../prices.xlsx", "../prices.xlsx"),
        ("/shop/quotes/job 117.xlsx", "job%20117.xlsx"),
        ("/shop/quotes/50% #1.xlsx", "50%25%20%231.xlsx"),
        ("/shop/quotes/a?b&c=d.xlsx", "a%3Fb%26c%3Dd.xlsx"),
        ("/shop/quotes/Müller.xlsx", "Müller.xlsx"),
        ("/shop/quotes/a-b_c.~d.xlsx", "a-b_c.~d.xlsx"),
        ("/shop/quotes/tab\there.xlsx", "tab%09here.xlsx"),
        ("/shop/quotes/c:/x.xlsx", "c:/x.xlsx"),
        ("/shop/quotes/1:/x.xlsx", "1%3A/x.xlsx"),
    ],
    ids=["beside it", "above", "in another folder", "below", "the long way round", "a space", "percent and hash",
         "marks of an address", "another script", "marks that stay", "two digits always", "a drive", "no drive"],
)  # fmt: skip
def test_an_address(path: str, expected: str) -> None:
    """A `#` left as it is would cut the address off, and a `%` would begin a code."""
    assert address(path) == expected


@pytest.mark.parametrize(
    ("names", "left"),
    [
        (["prices.xlsx", "job.xlsx"], ["prices.xlsx", "job.xlsx"]),
        (["a.xlsx", "a.xlsx", "b.xlsx"], ["b.xlsx"]),
        (["", "b.xlsx"], ["b.xlsx"]),
        ([], []),
    ],
    ids=["two names", "two files of one name", "a name that is empty", "none"],
)
def test_a_link_that_could_lead_to_the_wrong_file_is_left_out(names: list[str], left: list[str]) -> None:
    """Rows say a file's name only: where the book and the job are both `a.xlsx`, no link can be right for both."""
    files = ((name, Path(f"/shop/{place}/{name or 'x'}")) for place, name in enumerate(names))
    assert list(link_addresses(FOLDER, files)) == left


@given(name=st.text(st.characters(exclude_characters="/\0", exclude_categories=("Cs",)), min_size=1, max_size=12))
def test_an_address_read_back_is_the_file(name: str) -> None:
    """What a spreadsheet program decodes is the path it must open (RFC 3986, percent-encoding)."""
    path = FOLDER / f"x{name}y.xlsx"
    written = address(str(path))
    assert unquote(written) == path.name
    assert not set(written) & set(' #?"<>|\\^`{}')
