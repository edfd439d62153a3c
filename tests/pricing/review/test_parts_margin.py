"""What parts leave, by bands of their cost."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.review import PartsMargin
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.review.material import used_units
from quotekit.pricing.review.paid_costs import paid_costs
from quotekit.pricing.review.parts_margin import USUAL_BANDS, bands_of, parts_margin
from tests import build
from tests.pricing.review.stories import a_job, done

D = Decimal


def margin(parts: str, used: str = "", book: ShopBook | None = None) -> PartsMargin:
    """Of one job."""
    return parts_margin([used_units(done(a_job(parts=parts, used=used)), paid_costs([], []))], book, 2)


def told(found: PartsMargin) -> list[tuple[str, int, str, str, str]]:
    """The bands with something in them."""
    return [
        (f"{one.over}-{one.up_to}", one.lines, f"{one.sales:f}", f"{one.cost:f}", f"{one.share:f}")
        for one in found.bands
        if one.lines
    ]


def test_by_bands_of_cost() -> None:
    """A band leaves its lower end out and holds its upper one."""
    found = margin("SEAL 2 at 5 for 8; CLIP 4 at 0.50 for 1; BELT 1 at 5.01 for 9; SHAFT 1 at 200 for 260")
    assert told(found) == [
        ("0-5", 2, "20.00", "12.00", "0.4000"),
        ("5-20", 1, "9.00", "5.01", "0.4433"),
        ("150-None", 1, "260.00", "200.00", "0.2308"),
    ]
    assert not found.from_book


@pytest.mark.parametrize(
    ("used", "sales", "cost"),
    [("SEAL 1", "7.00", "4.00"), ("SEAL 3", "14.00", "12.00"), ("SEAL 2 at 6", "14.00", "12.00")],
    ids=["fewer sell fewer", "more than agreed sells nothing more", "dearer than agreed"],
)
def test_what_was_fitted(used: str, sales: str, cost: str) -> None:
    """Two were agreed at 4.00 for 7.00; the part stays in the band of its agreed cost."""
    assert told(margin("SEAL 2 at 4 for 7", used))[0][2:4] == (sales, cost)
    assert told(margin("SEAL 2 at 4 for 7", used))[0][0] == "0-5"


def test_a_part_that_was_not_fitted() -> None:
    """It is in no band."""
    assert told(margin("SEAL 2 at 4 for 7", "SEAL 0")) == []


def test_a_part_that_was_not_agreed() -> None:
    """It costs and sells nothing, in the band of its real cost."""
    found = margin("", "CLIP 2 at 6")
    (band,) = [one for one in found.bands if one.lines]
    assert (band.over, band.sales, band.cost, band.share) == (D(5), D("0.00"), D("12.00"), None)


def test_unknown_cost() -> None:
    """Its sales are told apart, and are in no band."""
    found = margin("SEAL 2 at ? for 7; BELT 1 at 20 for 30")
    assert (found.cost_unknown, found.sales_unknown) == (1, D("14.00"))
    assert sum(one.lines for one in found.bands) == 1


def test_the_bands_of_the_book() -> None:
    """In the order of their cost, whatever the order of the rows."""
    book = build.a_book(markup=[build.a_band(10, None), build.a_band(0, 10)])
    found = margin("SEAL 1 at 10 for 15; BELT 1 at 11 for 16", book=book)
    assert [(one.over, one.up_to, one.lines) for one in found.bands] == [(D(0), D(10), 1), (D(10), None, 1)]
    assert found.from_book


def test_bands_without_a_book_have_no_gap() -> None:
    """Each begins where the one before ends."""
    assert bands_of(None) == USUAL_BANDS
    assert [up_to for _, up_to in USUAL_BANDS[:-1]] == [over for over, _ in USUAL_BANDS[1:]]
    assert USUAL_BANDS[-1][1] is None
