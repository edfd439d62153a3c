"""What is proposed for one row: which cells, from which row of the list, and why nothing is."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.price_list import FoundPrice
from quotekit.model.proposed_prices import TOGETHER
from quotekit.model.shop_book import Quantity
from tests.build import a_band, settings
from tests.pricing.proposals.rows import (
    DAY,
    book_of,
    cells,
    exact,
    left,
    listed,
    notes,
    offer,
    part,
    proposal,
    proposed,
    reasons,
    unpriced,
)


def test_each_field_has_its_cell() -> None:
    book = book_of(part("SEAL", "10.00", list_price_each="20", cost_date=date(2026, 9, 1)))
    one = proposal(book, exact("N-SEAL", "5.50", pack="2", list_price="21", lead_days=4, dated=date(2026, 11, 1)))
    assert cells(one) == {
        "Parts!D5": ("1", "2"),
        "Parts!E5": ("10", "11"),
        "Parts!F5": ("20", "21"),
        "Parts!G5": ("", "4"),
        "Parts!J5": ("2026-09-01", "2026-12-01"),
    }
    assert (one.list_row, one.list_number) == (7, "N-SEAL")
    assert one.row.terms.price == Decimal("15.00")
    assert one.new.price == Decimal("10.00"), "never below the top of the band below, 5.00 at 100 %"


def test_an_offer_has_its_own_columns_and_sells_nothing() -> None:
    book = book_of(part("SEAL", "10.00"), offers=(offer("SEAL", "9.00", dated=date(2026, 9, 1)),))
    one = proposal(book, exact("L-SEAL", "9.40", list_price="20", lead_days=6), supplier="LAKE")
    assert cells(one) == {
        "Offers!E3": ("9", "9.4"),
        "Offers!F3": ("", "6"),
        "Offers!H3": ("2026-09-01", "2026-12-01"),
    }
    assert one.new.price is None and one.new.margin_each is None


def test_a_new_pack_never_comes_without_its_cost() -> None:
    """Ten at 10.00 become twelve at 10.00: the cost cell is named though it stays."""
    one = proposal(book_of(part("SEAL", "10.00", "10")), exact("N-SEAL", "120", cost_for="144", pack="12"))
    assert {change.field for change in one.changes} == TOGETHER
    assert cells(one)["Parts!E5"] == ("10", "10")


def test_a_new_cost_for_the_same_pack_is_one_cell() -> None:
    one = proposal(book_of(part("SEAL", "10.00", "10")), exact("N-SEAL", "1.10", pack="10"))
    assert cells(one) == {"Parts!E5": ("10", "11")}


@pytest.mark.parametrize(
    "says",
    [
        {},
        {"pack": "10"},
        {"list_price": "20.000", "pack": "10"},
        {"lead_days": 3},
        {"dated": date(2026, 11, 30)},
        {"description": "something else", "unit": "box"},
    ],
)
def test_nothing_is_proposed_where_nothing_differs(says: dict[str, Any]) -> None:
    book = book_of(part("SEAL", "10.00", "10", list_price_each="20", lead_days=3, cost_date=date(2026, 11, 1)))
    assert proposed(book, exact("N-SEAL", "1", **says)) is None


def test_an_old_date_is_renewed_where_the_list_confirms_the_price() -> None:
    """Quotes warn of it, and the list is the answer."""
    one = proposal(book_of(part("SEAL", "10.00", cost_date=date(2026, 6, 1))), exact("N-SEAL", "10"))
    assert cells(one) == {"Parts!J5": ("2026-06-01", "2026-12-01")}
    assert notes(one) == [("confirmed", "")]
    assert reasons(one) == []


def test_what_the_sheet_has_no_column_for() -> None:
    book = book_of(part("SEAL", "10.00", without=("Lead days", "List price each")))
    one = proposal(book, exact("N-SEAL", "11", lead_days=4, list_price="30"))
    assert cells(one) == {"Parts!E5": ("10", "11")}
    assert notes(one) == [("no column", "List price each"), ("no column", "Lead days")]


def test_where_only_a_missing_column_differs_nothing_is_proposed() -> None:
    book = book_of(part("SEAL", "10.00", without=("Lead days",)))
    assert proposed(book, exact("N-SEAL", "10", lead_days=4)) is None


@pytest.mark.parametrize(
    ("answer", "why", "nearest"),
    [
        (unpriced("N-SEAL", "not found", nearest=("N-SEAM",)), "not found", ("N-SEAM",)),
        (FoundPrice(asked="N-SEAL", how="near", price=listed("nseal", "11")), "near", ("nseal",)),
        (
            unpriced("N-SEAL", "several", listed("NSEAL", "1"), nearest=("NSEAL", "N.SEAL")),
            "several",
            ("NSEAL", "N.SEAL"),
        ),
        (unpriced("N-SEAL", "contradicted", listed("N-SEAL", "1", fate="contradicted")), "contradicted", ()),
        (unpriced("N-SEAL", "no price", listed("N-SEAL", "0", fate="zero cost")), "no price", ()),
    ],
)
def test_a_number_that_is_not_there_for_sure(answer: FoundPrice, why: str, nearest: tuple[str, ...]) -> None:
    """It is told with what stands near it, and never proposed."""
    one = left(book_of(part("SEAL", "10.00")), answer)
    assert (one.why, one.nearest) == (why, nearest)


def test_what_stands_near_a_number_comes_with_it() -> None:
    """The row of a number that is alike, or the rows that stand against each other: for a person to look at."""
    book = book_of(part("SEAL", "10.00"))
    near = FoundPrice(asked="N-SEAL", how="near", price=listed("nseal", "11"))
    assert [row.number for row in left(book, near).listed] == ["nseal"]
    two = (listed("N-SEAL", "1", fate="contradicted"), listed("N-SEAL", "2", fate="contradicted", row=8))
    assert left(book, unpriced("N-SEAL", "contradicted", *two)).listed == two
    assert left(book, exact("N-SEAL", "123456789012.123456")).listed == (listed("N-SEAL", "123456789012.123456"),)


def test_a_part_without_a_number() -> None:
    """Its code may stand in the list by accident: a hint, never a price."""
    book = book_of(part("SEAL", "10.00", suppliers_number=""))
    assert left(book, exact("SEAL", "11")).nearest == ("SEAL",)
    assert left(book, unpriced("SEAL", "not found", nearest=("SEAM",))).nearest == ()


def test_a_cost_that_no_band_holds() -> None:
    """The book could not be priced with it."""
    book = book_of(part("SEAL", "10.00"), markup=(a_band(0, 50, "0.5"),))
    one = left(book, exact("N-SEAL", "50.01"))
    assert (one.why, one.about) == ("no band", "50.01")
    fixed = book_of(part("SEAL", "10.00", fixed_price_each="80"), markup=(a_band(0, 50, "0.5"),))
    assert proposal(fixed, exact("N-SEAL", "50.01")).new.price == Decimal("80.00")


def test_more_digits_than_a_cell_holds() -> None:
    one = left(book_of(part("SEAL", "10.00")), exact("N-SEAL", "123456789012.123456"))
    assert one.why == "too exact"


def test_a_number_replaced_by_one_of_the_book() -> None:
    book = book_of(part("SEAL", "10.00"), part("SEAL-B", "11.00", row=6))
    one = proposal(book, exact("N-SEAL", "10.40", superseded_by="N-SEAL-B"))
    assert cells(one) == {"Parts!E5": ("10", "10.4"), "Parts!I5": ("", "SEAL-B")}
    assert one.new.number == "N-SEAL"


def test_a_number_replaced_by_one_of_the_book_and_no_longer_priced() -> None:
    book = book_of(part("SEAL", "10.00"), part("SEAL-B", "11.00", row=6))
    row = listed("N-SEAL", fate="no cost", superseded_by="N-SEAL-B")
    one = proposal(book, unpriced("N-SEAL", "no price", row))
    assert cells(one) == {"Parts!I5": ("", "SEAL-B")}
    assert one.list_row == 0


@pytest.mark.parametrize("line", [("SEAL-B",), ("SEAL-A", "SEAL-B")])
def test_what_the_book_replaces_already_is_settled(line: tuple[str, ...]) -> None:
    """Directly, or by a part between."""
    middle = [part("SEAL-A", "10.50", row=6, replaced_by="SEAL-B")] if len(line) > 1 else []
    book = book_of(part("SEAL", "10.00", replaced_by=line[0]), *middle, part("SEAL-B", "11.00", row=7))
    gone = listed("N-SEAL", fate="no cost", superseded_by="N-SEAL-B")
    assert proposed(book, unpriced("N-SEAL", "no price", gone)) is None
    one = proposal(book, exact("N-SEAL", "10.20", superseded_by="N-SEAL-B"))
    assert cells(one) == {"Parts!E5": ("10", "10.2")}


def test_no_circle_is_made_in_the_book() -> None:
    """The owner uses the old number in place of the new one; the list says the contrary."""
    book = book_of(part("SEAL", "10.00"), part("SEAL-B", "11.00", row=6, replaced_by="SEAL"))
    one = proposal(book, exact("N-SEAL", "10.20", superseded_by="N-SEAL-B"))
    assert cells(one) == {"Parts!E5": ("10", "10.2")}
    assert notes(one) == [("in a circle", "SEAL-B")]


@pytest.mark.parametrize(
    ("kit_of_seal", "kit_in_its_place", "replaced"),
    [("SEAL", "O-RING", False), ("SEAL", "", True), ("O-RING", "O-RING", True), ("OLD-SEAL", "O-RING", False)],
)
def test_no_kit_comes_into_a_kit(kit_of_seal: str, kit_in_its_place: str, replaced: bool) -> None:
    """The shop book refuses a kit within a kit, also where a kit contains what the part took the place of."""

    def content(code: str) -> tuple[Quantity, ...]:
        return (Quantity(code=code, quantity=Decimal(1)),) if code else ()

    book = book_of(
        part("SEAL", "10.00"),
        part("OLD-SEAL", "9.00", row=6, replaced_by="SEAL"),
        part("O-RING", "1.00", row=7),
        part("HUB-KIT", "40.00", row=8, contains=content(kit_of_seal)),
        part("SEAL-KIT", "12.00", row=9, contains=content(kit_in_its_place)),
    )
    one = proposal(book, exact("N-SEAL", "10.20", superseded_by="N-SEAL-KIT"), exact("N-SEAL-KIT", "12.00"))
    assert one.new.replaced_by == ("SEAL-KIT" if replaced else None)
    assert notes(one) == ([] if replaced else [("kit in a kit", "SEAL-KIT")])
    assert one.new.pack_cost == Decimal("10.20")


def test_no_kit_comes_into_a_kit_by_the_books_own_line() -> None:
    """The list says SEAL-B, and the shop book has a kit in its place by now."""
    inside = (Quantity(code="SEAL", quantity=Decimal(1)),)
    rings = (Quantity(code="O-RING", quantity=Decimal(1)),)
    book = book_of(
        part("SEAL", "10.00"),
        part("SEAL-B", "11.00", row=6, replaced_by="SEAL-KIT"),
        part("HUB-KIT", "40.00", row=7, contains=inside),
        part("SEAL-KIT", "12.00", row=8, contains=rings),
    )
    one = proposal(book, exact("N-SEAL", "10.20", superseded_by="N-SEAL-B"), exact("N-SEAL-B", "11.00"))
    assert one.new.replaced_by is None and notes(one) == [("kit in a kit", "SEAL-B")]


def test_a_number_replaced_by_one_that_only_the_list_has() -> None:
    one = proposal(
        book_of(part("SEAL", "10.00")), exact("N-SEAL", "10.40", superseded_by="N-9"), exact("N-9", "10.80", row=12)
    )
    assert cells(one) == {"Parts!E5": ("10", "10.8"), "Parts!H5": ("N-SEAL", "N-9")}
    assert (one.list_number, one.list_row) == ("N-9", 12)


def test_a_number_replaced_by_one_without_a_price() -> None:
    """The row's own terms stand, and the owner is told."""
    book = book_of(part("SEAL", "10.00"))
    one = proposal(book, exact("N-SEAL", "10.40", superseded_by="N-9"), unpriced("N-9", "not found"))
    assert cells(one) == {"Parts!E5": ("10", "10.4")}
    assert notes(one) == [("in no price list", "N-9")]
    gone = unpriced("N-SEAL", "no price", listed("N-SEAL", fate="no cost", superseded_by="N-9"))
    assert (left(book, gone).why, left(book, gone).about) == ("no price", "N-9")


def test_a_list_that_goes_in_a_circle() -> None:
    one = proposal(
        book_of(part("SEAL", "10.00")),
        exact("N-SEAL", "10.40", superseded_by="N-9"),
        exact("N-9", "10.80", superseded_by="N-SEAL"),
    )
    assert cells(one) == {"Parts!E5": ("10", "10.4")}
    assert notes(one) == [("in a circle", "N-SEAL")]


def test_a_number_beside_two_parts_replaces_none() -> None:
    """Left and right under one number: which one is meant can't be told, so the number itself is followed."""
    book = book_of(
        part("SEAL", "10.00"), part("B-L", "11.00", row=6, suppliers_number="N-9"),
        part("B-R", "11.00", row=7, suppliers_number="N-9"),
    )  # fmt: skip
    one = proposal(book, exact("N-SEAL", "10.40", superseded_by="N-9"), exact("N-9", "10.80"))
    assert reasons(one) == ["other number"]


def test_the_age_limit_is_the_shops_own() -> None:
    book = book_of(
        part("SEAL", "10.00", cost_date=date(2026, 11, 1)), settings=settings(currency="USD", price_age_limit_days=7)
    )
    assert cells(proposal(book, exact("N-SEAL", "10"))) == {"Parts!J5": ("2026-11-01", DAY.isoformat())}
