"""Days, lead times and quantities in words."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.suppliers.date_texts import DATE_ORDERS, decide_order, read_date, read_lead_days, read_quantity_words

DAY = date(2026, 3, 14)


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("2026-03-14", ""),
        ("2026/03/14", ""),
        ("2026-03-14 00:00:00", ""),
        ("2026-03-14T00:00:00", ""),
        ("20260314", ""),
        ("14.3.2026", "day month year"),
        ("14.03.26", "day month year"),
        ("14/03/2026", ""),
        ("03/14/2026", ""),
        ("3/14/2026", "month day year"),
        ("26-03-14", "year month day"),
        ("14 Mar 2026", ""),
        ("14-March-2026", ""),
    ],
)
def test_days(text: str, order: str) -> None:
    assert read_date(text, order) == DAY


@pytest.mark.parametrize(
    "text", ["03/04/2026", "03/04/26", "14/03/26", "31.02.2026", "soon", "", "14 Foo 2026", "2026"]
)
def test_no_day_is_guessed(text: str) -> None:
    """3/4 is March in one country and April in another; the list's order is asked for."""
    assert read_date(text, "") is None


def test_the_wrong_order_gives_no_day() -> None:
    assert read_date("14/03/2026", "month day year") is None


@given(st.dates(min_value=date(2000, 1, 1), max_value=date(2099, 12, 31)), st.sampled_from(DATE_ORDERS))
def test_a_day_written_in_an_order_is_read_in_it(day: date, order: str) -> None:
    form = {"day month year": "%d.%m.%Y", "month day year": "%m/%d/%Y", "year month day": "%Y-%m-%d"}[order]
    assert read_date(day.strftime(form), order) == day


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (["03/04/2026", "14/04/2026"], "day month year"),
        (["03/04/2026", "04/14/2026"], "month day year"),
        (["2026-03-04"], ""),
        (["03/04/2026"], ""),
        (["31.02.2026", "03/14/2026"], "month day year"),
        (["13/04/2026", "03/14/2026", "03/15/2026"], "month day year"),
        ([], ""),
    ],
)
def test_the_order_of_a_list(texts: list[str], order: str) -> None:
    assert decide_order(texts)[0] == order


def test_a_doubtful_order_names_the_day() -> None:
    assert "“03/04/2026” could be two days" in decide_order(["03/04/2026"])[1]


def test_days_of_both_orders_are_told() -> None:
    """One date that was typed the other way round must not turn all the others, and the owner is told of it."""
    told = decide_order(["13/04/2026", "03/14/2026", "03/15/2026"])[1]
    assert "“03/14/2026” (2 such), but “13/04/2026” (1 such) has the other order" in told


@pytest.mark.parametrize("text", ["14.03.226", "14.03.0206", "0026-03-14", "226-03-14"])
def test_a_year_of_long_ago_is_a_slip(text: str) -> None:
    """Such a price would count as an old one; it is told as a day that can't be read."""
    assert [read_date(text, order) for order in ("", *DATE_ORDERS)] == [None] * 4


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("3", 3),
        ("3 days", 3),
        ("3d", 3),
        ("5 Tage", 5),
        ("2 weeks", 10),
        ("2 wk", 10),
        ("0", 0),
        ("3.0", 3),
        ("in stock", None),
        ("2-3 days", None),
        ("", None),
        ("call", None),
    ],
)
def test_lead_days(text: str, days: int | None) -> None:
    assert read_lead_days(text) == days


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("10", 10),
        ("10 pcs", 10),
        ("per 100", 100),
        ("C", 100),
        ("M", 1000),
        ("EA", 1),
        ("each", 1),
        ("PK/25", 25),
        ("pack of 4", 4),
        ("dozen", 12),
        ("pair", 2),
        ("/100", 100),
        ("0", None),
        ("10 mm", None),
        ("box", None),
    ],
)
def test_quantities(text: str, units: int | None) -> None:
    """`10 mm` is a size, not a quantity."""
    assert read_quantity_words(text) == units
