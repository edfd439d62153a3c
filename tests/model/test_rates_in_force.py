"""Which row of a labour rate holds on a day."""

from __future__ import annotations

from datetime import date

import pytest

from quotekit.model.rates_in_force import rates_on
from quotekit.model.shop_book import LabourRate
from tests import build


def a_rate(code: str, rate: int, start: date | None) -> LabourRate:
    return build.a_rate(code, rate, in_force_from=start)


MAIN = (
    a_rate("MAIN", 50, None),
    a_rate("MAIN", 60, date(2026, 1, 1)),
    a_rate("MAIN", 70, date(2027, 1, 1)),
    a_rate("WELD", 80, date(2026, 11, 28)),
)


@pytest.mark.parametrize(
    ("day", "rates"),
    [
        (date(2025, 6, 1), {"MAIN": 50}),
        (date(2026, 11, 27), {"MAIN": 60}),
        (date(2026, 11, 28), {"MAIN": 60, "WELD": 80}),
        (date(2027, 1, 1), {"MAIN": 70, "WELD": 80}),
    ],
)
def test_the_latest_rate_not_after_the_day_is_in_force(day: date, rates: dict[str, int]) -> None:
    assert {row.code: row.rate_per_hour for row in rates_on(MAIN, day).values()} == rates
    assert {row.code: row.rate_per_hour for row in rates_on(MAIN[::-1], day).values()} == rates


def test_codes_keep_the_order_of_the_sheet() -> None:
    """The first code is the default."""
    rows = (a_rate("WELD", 80, None), a_rate("MAIN", 60, None), a_rate("WELD", 90, date(2026, 1, 1)))
    assert list(rates_on(rows, date(2026, 11, 28))) == ["WELD", "MAIN"]


def test_no_row_holds_before_all_of_them() -> None:
    assert rates_on((a_rate("MAIN", 60, date(2026, 1, 1)),), date(2025, 12, 31)) == {}
