"""A replacement that a list tells in words is the one number of the list among them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.suppliers.lists import codes, read, remark

FIELDS = ("number", "cost", "superseded_by")


@pytest.mark.parametrize(
    ("said", "taken"),
    [
        ("NLA, use 2-0312", "2-0312"),
        ("see 2-0312.", "2-0312"),
        ("(2-0312 replaces it)", "2-0312"),
        ("2-0312", "2-0312"),
        ("NLA", "NLA"),
        ("use 9-9999", "use 9-9999"),
        ("2-0312 or 2-0313", "2-0312 or 2-0313"),
        ("KIT 5", "KIT 5"),
    ],
)
def test_words(tmp_path: Path, said: str, taken: str) -> None:
    """None of the list, several of the list, and a number that itself has blanks stay as they are."""
    text = f'Part No,Net,Replaced by\n2-0310,3,"{said}"\n2-0312,4,\n2-0313,5,\nKIT 5,6,\n5,7,\n'
    prices = read(tmp_path, text, *FIELDS)
    found = prices.find(["2-0310"])["2-0310"].price
    assert found is not None and found.superseded_by == taken
    if said == taken:
        assert "replacement-in-words" not in codes(prices)
    else:
        (example,) = remark(prices, "replacement-in-words").examples
        assert (example.number, example.text) == ("2-0310", said)
    assert ("replacement-not-listed" in codes(prices)) is (taken not in ("2-0312", "KIT 5"))
