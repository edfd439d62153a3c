"""Whose a row is: by the same name, by a name within a name, by none; never by a likeness of spelling."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.rates.names import (
    meant_by,
    misspelt,
    names_nobody,
    says_contribution,
    says_markup,
    says_sales,
    words_of,
)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("Owner", "owner"),
        ("Owner pay", "owner"),
        ("owner's wages", "owner"),
        ("Burden on owner", "owner"),
        ("OWNER: share at the bench", "owner"),
        ("Owner 48 wk x 42 h", "owner"),
        ("Owner 62,000 + 15 % burden", "owner"),
        ("Employee 1,000 h x 19 + 18 % burden", "employee"),
        ("Employees", "employee"),
        ("Employee 2", "2 employee"),
        ("Helper B, hours", "b helper"),
        ("Clock hours", ""),
        ("Efficiency", ""),
        ("Payroll taxes and benefits", ""),
        ("Margin on parts sales 40 %", ""),
        ("Boss", "boss"),
        ("Employee 2, pay a year", "2 employee"),
        ("—", ""),
    ],
)
def test_words_that_say_whose_it_is(line: str, words: str) -> None:
    assert words_of(line) == frozenset(words.split())


@pytest.mark.parametrize(
    ("line", "others", "meant"),
    [
        ("Owner", "Owner/Employee", "Owner"),
        ("Owner burden", "Owner pay/Employee pay", "Owner pay"),
        ("Owner burden", "Owner/Owner's son", "Owner"),
        ("Owner's son burden", "Owner/Owner's son", "Owner's son"),
        ("Owner health plan", "Owner/Employee", "Owner"),
        ("Helper", "Owner/Shop helper", "Shop helper"),
        ("Employee", "Employee 1/Employee 2/Owner", "Employee 1/Employee 2"),
        ("Helper", "Helper A/Helper B", "Helper A/Helper B"),
        ("Employee 2 burden", "Employee 1/Employee 2", "Employee 2"),
        ("Burden", "Owner/Employee", "Owner/Employee"),
        ("Burden", "Wages/Salary", "Wages/Salary"),
        ("Wages", "Wages/Owner", "Wages"),
        ("Owner pay", "Owner pay/Owner pay", "Owner pay/Owner pay"),
        ("Owner", "Owner wages/Owner bonus", "Owner wages"),
        ("Employee 2", "Employee/Employee 2 from May", "Employee 2 from May"),
    ],
)
def test_the_lines_a_row_means(line: str, others: str, meant: str) -> None:
    assert meant_by(line, others.split("/"), str) == meant.split("/")


@pytest.mark.parametrize(
    ("line", "others"),
    [
        ("Mechanic", "Owner/Employee"),
        ("Employee 3", "Employee 1/Employee 2"),
        ("Owner", "Owner summer/Owner winter"),
        ("Burden", "Wages/Owner"),
        ("Employe", "Owner/Employee"),
        ("Owner and employee", "Owner/Employee"),
        ("Anything", ""),
        ("Owner's son", "Owner/Owner's son Jim"),
        ("Employee 2", "Owner/Employee"),
    ],
    ids=[
        "a stranger",
        "another number",
        "told apart by words",
        "some named",
        "a slip",
        "two at once",
        "no line",
        "within and around",
        "another of its kind",
    ],
)
def test_rows_of_which_it_cannot_be_told(line: str, others: str) -> None:
    """Two names that fit as well as each other, or none, are asked about: money hangs on it."""
    assert meant_by(line, [other for other in others.split("/") if other], str) == []


@pytest.mark.parametrize(
    ("line", "close"),
    [("Employe burden", "Employee"), ("Ownr", "Owner"), ("Health plan", ""), ("Burden", ""), ("Mechanic", "")],
)
def test_a_slip_is_named_and_not_followed(line: str, close: str) -> None:
    assert misspelt(line, ["Owner", "Employee"]) == close


@given(name=st.text(max_size=20), others=st.lists(st.text(max_size=12), max_size=4))
def test_only_lines_that_are_there_are_meant(name: str, others: list[str]) -> None:
    found = meant_by(name, others, str)
    assert set(found) <= set(others) and len(found) <= len(others)
    assert name not in others or name in found
    assert names_nobody(name) == (not words_of(name))


@pytest.mark.parametrize(
    ("line", "sales", "contribution", "markup"),
    [
        ("Parts sales", True, False, False),
        ("Parts sold", True, False, False),
        ("Parts", False, False, False),
        ("Parts contribution", False, True, False),
        ("What parts leave", False, True, False),
        ("Contribution of parts sold", False, True, False),
        ("Margin on parts sold", False, False, False),
        ("Markup on parts", False, False, True),
        ("Parts mark-up", False, False, True),
    ],
)
def test_what_a_row_of_parts_says_of_itself(line: str, sales: bool, contribution: bool, markup: bool) -> None:
    assert (says_sales(line), says_contribution(line), says_markup(line)) == (sales, contribution, markup)
