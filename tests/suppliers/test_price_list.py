"""Looking numbers up: exact first, alike told as near, one slip away only shown."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.suppliers.near_numbers import alike, keys_of, made_of, number_key, one_slip_away, slips_of
from tests.suppliers.lists import read

LIST = """Part No,Net
AB-100,1.00
AB-101,2.00
AB-1010,3.00
00717,4.00
X 55,5.00
x-55,6.00
TWO,7.00
TWO,8.00
NOCOST,
"""


@pytest.mark.parametrize(
    ("asked", "how", "cost", "near"),
    [
        ("AB-100", "exact", "1", ()),
        (" AB-100 ", "exact", "1", ()),
        ("ab-100", "near", "1", ()),
        ("AB100", "near", "1", ()),
        ("AB 100", "near", "1", ()),
        ("ab/100", "near", "1", ()),
        ("717", "near", "4", ()),
        ("X 55", "exact", "5", ()),
        ("X55", "several", None, ("X 55", "x-55")),
        ("TWO", "contradicted", None, ()),
        ("NOCOST", "no price", None, ()),
        ("AB-102", "not found", None, ("AB-100", "AB-101")),
        ("BA-100", "not found", None, ("AB-100",)),
        ("AB-10", "not found", None, ("AB-100", "AB-101")),
        ("ZZZ-9", "not found", None, ()),
        ("", "not found", None, ()),
    ],
)
def test_how_a_number_is_found(tmp_path: Path, asked: str, how: str, cost: str | None, near: tuple[str, ...]) -> None:
    """Where two numbers of the list are alike nobody but a person can say which was meant."""
    found = read(tmp_path, LIST).find([asked])[asked]
    assert (found.how, found.nearest) == (how, near)
    assert (None if found.price is None else found.price.cost) == (None if cost is None else Decimal(cost))


def test_what_has_no_price_shows_its_rows(tmp_path: Path) -> None:
    prices = read(tmp_path, LIST).find(["TWO", "NOCOST", "X55"])
    assert [[row.row for row in found.rows] for found in prices.values()] == [[8, 9], [10], [6, 7]]
    assert [row.fate for row in prices["TWO"].rows] == ["contradicted", "contradicted"]


def test_the_order_of_asking_is_kept(tmp_path: Path) -> None:
    asked = ["AB-101", "nothing", "AB-100", "AB-101"]
    assert list(read(tmp_path, LIST).find(asked)) == ["AB-101", "nothing", "AB-100"]


def test_nearest_may_be_left_out(tmp_path: Path) -> None:
    assert read(tmp_path, LIST).find(["AB-102"], nearest=False)["AB-102"].nearest == ()


def test_many_numbers_make_few_records(tmp_path: Path) -> None:
    """Thousands are asked for at once, of a list of many more."""
    text = "Part No,Net\n" + "".join(f"P{row:06d},{row}.25\n" for row in range(20_000))
    asked = [f"P{row:06d}" for row in range(0, 20_000, 7)]
    found = read(tmp_path, text).find(asked)
    assert all(each.price and each.price.cost == Decimal(f"{int(number[1:])}.25") for number, each in found.items())


@given(st.text(alphabet="AB-01 ./", max_size=10), st.text(alphabet="AB-01 ./", max_size=10))
def test_alike_means_the_same_key(one: str, other: str) -> None:
    found = alike([one], pl.Series([other], dtype=pl.String))
    key, listed = number_key(one), number_key(other)
    same = bool(key) and (key == listed or (key.lstrip("0") == listed.lstrip("0") != ""))
    assert (one in found) is same


def distance_one(one: str, other: str) -> bool:
    """One character too many, missing or wrong, or two neighbours exchanged, by trying every place."""
    if one == other:
        return False
    if len(one) == len(other):
        differ = [at for at in range(len(one)) if one[at] != other[at]]
        swapped = len(differ) == 2 and differ[1] == differ[0] + 1 and one[differ[0]] == other[differ[1]]
        return len(differ) == 1 or (swapped and one[differ[1]] == other[differ[0]])
    short, long = sorted((one, other), key=len)
    return len(long) == len(short) + 1 and any(long[:at] + long[at + 1 :] == short for at in range(len(long)))


keys = st.text(alphabet="ab01", min_size=3, max_size=6)


@given(keys, keys)
def test_slips_are_those_at_distance_one(one: str, other: str) -> None:
    assert (other in set(slips_of(one))) is distance_one(one, other)


def test_slips_are_found_among_many() -> None:
    numbers = pl.Series([f"AB-{row:05d}" for row in range(20_000)])
    assert one_slip_away(["AB-123456"], numbers)["AB-123456"][:2] == ("AB-12345", "AB-12346")


@given(st.lists(st.text("aZ0 1-./_é\t", max_size=4), max_size=5))
def test_keys_of_a_list_are_the_keys_of_its_numbers(numbers: list[str]) -> None:
    """Also where none has a mark or a capital, and the numbers are taken as they are."""
    assert keys_of(pl.Series("number", numbers, dtype=pl.String)).to_list() == [number_key(one) for one in numbers]


@given(st.lists(st.text("a01-é", max_size=3), max_size=5))
def test_what_texts_are_made_of(texts: list[str]) -> None:
    assert made_of(pl.Series("text", texts, dtype=pl.String), "a01") is not bool({"-", "é"} & set("".join(texts)))
