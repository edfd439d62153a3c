"""Several lists together: order, effects, quotes and remedies of each part."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.pricing.proposals.propose import Ledger, propose_prices
from tests.pricing.proposals.a_shop import everything, gives_way, open_quote, shop
from tests.pricing.proposals.rows import DAY, book_of, compared, exact, found, listed, notes, offer, part, unpriced


def test_used_parts_by_effect_then_the_others_by_change() -> None:
    """PIN: 100 units of 0.30 and of 0.60; SEAL: 10 of 1.00 and of 1.50; CAP and BELT were never used."""
    found = everything({"pin": 100, "seal": 10})
    rows = [(one.row.sheet, one.row.code) for one in found.proposals]
    assert rows == [("Parts", "PIN"), ("Parts", "SEAL"), ("Parts", "CAP"), ("Parts", "BELT"), ("Offers", "SEAL")]
    pin, seal, cap, *_ = found.proposals
    assert (pin.cost_effect, pin.price_effect) == (30, 60)
    assert (seal.cost_effect, seal.price_effect) == (10, 15)
    assert (cap.used, cap.cost_effect, cap.price_effect) == (0, 0, 0)


def test_without_a_ledger_by_change_alone() -> None:
    """30 %, then 10 % of SEAL, CAP and BELT (down) in the order of the lists, then 4.2 % of the offer."""
    found = everything()
    assert [one.row.code for one in found.proposals] == ["PIN", "SEAL", "CAP", "BELT", "SEAL"]
    assert all(one.used is None and one.cost_effect is None for one in found.proposals)
    assert found.used_from is None


def test_quotes_and_remedies_of_each_part() -> None:
    by_row = {(one.row.sheet, one.row.code): one for one in everything().proposals}
    assert by_row["Parts", "SEAL"].quotes == ("117-2",) and by_row["Parts", "SEAL"].remedies == ("REPAIR",)
    assert by_row["Offers", "SEAL"].quotes == () and by_row["Parts", "PIN"].remedies == ()


def test_quotes_that_are_touched_or_in_trouble_are_told_the_others_counted() -> None:
    found = everything()
    assert [(quote.name, quote.trouble) for quote in found.quotes] == [("90-1", "no sheet Job"), ("117-2", "")]
    assert found.quotes_untouched == 1


def test_a_date_that_is_renewed_touches_no_quote() -> None:
    """The list confirms the seal's old price: its row is proposed, and the open quote stays what it is."""
    book, answers = shop(), found(exact("N-SEAL", "10.00"))
    seal = replace(book.parts["SEAL"], cost_date=date(2026, 2, 1))
    told = propose_prices(
        replace(book, parts={**book.parts, "SEAL": seal}), [compared(answers)], DAY, Decimal("0.2"),
        waiting=[open_quote()],
    )  # fmt: skip
    (one,) = told.proposals
    assert [change.field for change in one.changes] == ["cost date"] and one.quotes == ()
    assert (told.quotes, told.quotes_untouched) == ((), 1)


@pytest.mark.parametrize(
    ("terms", "says"),
    [
        ({}, {"superseded_by": "N-SEAL-2"}),
        ({"fixed_price_each": "30.00"}, {"list_price": "90.00"}),
        ({"list_price_each": "80.00"}, {"list_price": "90.00"}),
    ],
    ids=["another number at the same price", "a list price beside a fixed one", "a list price above the price"],
)
def test_what_alters_no_figure_touches_no_quote(terms: dict[str, str], says: dict[str, str]) -> None:
    book = shop()
    amounts = {name: Decimal(value) for name, value in terms.items()}
    seal = replace(book.parts["SEAL"], **amounts)  # type: ignore[arg-type]
    answers = found(exact("N-SEAL", "10.00", **says), exact("N-SEAL-2", "10.00"))
    told = propose_prices(
        replace(book, parts={**book.parts, "SEAL": seal}), [compared(answers)], DAY, Decimal("0.2"),
        waiting=[open_quote()],
    )  # fmt: skip
    (one,) = told.proposals
    assert one.changes and one.quotes == () and told.quotes_untouched == 1


def test_what_it_was_made_from() -> None:
    found = everything()
    assert (found.book_file, found.book_sha256, found.day, found.limit) == ("book.xlsx", "b" * 64, DAY, Decimal("0.2"))
    assert [one.supplier for one in found.lists] == ["NORTH", "LAKE"]
    assert [(one.row.code, one.why) for one in found.left] == [("NUT", "not found")]
    assert found.same == 0


def test_an_offer_takes_no_parts_place() -> None:
    """The superseding number is that of an offer alone: no part has it, so the number itself is followed."""
    book = book_of(
        part("SEAL", "10.00"), part("PIN", "1.00", supplier="SHELF"), offers=(offer("PIN", "0.90", supplier="NORTH"),)
    )  # fmt: skip
    answers = found(exact("N-SEAL", "10.00", superseded_by="L-PIN"), exact("L-PIN", "0.95"))
    told = propose_prices(book, [compared(answers)], DAY, Decimal(10))
    seal = next(one for one in told.proposals if one.row.code == "SEAL")
    assert (seal.new.number, seal.new.replaced_by) == ("L-PIN", None)


def test_a_cost_that_was_zero_stands_first_of_the_unused() -> None:
    book = book_of(part("A", "10.00"), part("B", "0", fixed_price_each="4.00"))
    lists = [compared(found(exact("N-A", "11.00"), exact("N-B", "1.00")))]
    told = propose_prices(book, lists, DAY, Decimal("0.2"))
    assert [one.row.code for one in told.proposals] == ["B", "A"]
    assert told.proposals[0].cost_change is None


def test_a_part_that_gives_way_costs_what_takes_its_place_costs() -> None:
    """Ten belts: 23.00 for 20.00 to pay, 34.50 for 30.00 to sell for; LONG counts its own two units."""
    told = {one.row.code: one for one in gives_way({"belt": 10, "long": 2, "pin": 50}).proposals}
    belt, long = told["BELT"], told["LONG"]
    assert belt.instead is not None and belt.instead.code == "LONG" and long.instead is None
    assert (belt.then.cost_each, belt.then.price) == (23, Decimal("34.50"))
    assert (belt.cost_effect, belt.price_effect) == (30, 45)
    assert (belt.cost_change, belt.cost_change_then) == (0, Fraction(3, 20)), "the row's own cost stays"
    assert (long.cost_effect, long.price_effect) == (2, 3)


def test_a_part_that_gives_way_stands_where_its_effect_puts_it() -> None:
    """45.00 of the belt before the pin's 10.00; unused, 15 % before the pin's 10 % and LONG's 4.5 %."""
    used = gives_way({"belt": 10, "pin": 50, "long": 1}).proposals
    assert [one.row.code for one in used] == ["BELT", "PIN", "LONG"]
    assert [one.row.code for one in gives_way().proposals] == ["BELT", "PIN", "LONG"]


def test_a_part_that_gave_way_before_has_no_effect_and_its_units_count_in_its_place() -> None:
    """Five belts and three of LONG were fitted; quotes hold LONG alone by now: 8 x 1.00 more, and no 5 x 9.00."""
    book = book_of(part("BELT", "20.00", replaced_by="LONG"), part("LONG", "22.00"))
    ledger = Ledger(used_from=DAY, units={"belt": Fraction(5), "long": Fraction(3)})
    lists = [compared(found(exact("N-BELT", "29.00"), exact("N-LONG", "23.00")))]
    long, belt = propose_prices(book, lists, DAY, Decimal("0.2"), ledger=ledger).proposals
    assert (long.row.code, long.used, long.cost_effect) == ("LONG", 8, 8)
    assert (belt.row.code, belt.used, belt.cost_effect) == ("BELT", 0, 0)


def test_the_part_at_the_end_of_the_books_own_line_takes_the_place() -> None:
    """The list says LONG; the book has LONGER in the place of LONG."""
    book = book_of(part("BELT", "20.00"), part("LONG", "22.00", replaced_by="LONGER"), part("LONGER", "25.00"))
    row = listed("N-BELT", fate="no cost", superseded_by="N-LONG")
    lists = [compared(found(unpriced("N-BELT", "no price", row), exact("N-LONG", "22.00")))]
    (belt,) = propose_prices(book, lists, DAY, Decimal("0.2")).proposals
    assert belt.new.replaced_by == "LONG" and belt.instead is not None and belt.instead.code == "LONGER"


def test_proposals_make_no_circle_together() -> None:
    """The book goes from B to C and from D to A; the list from A to B and from C to D: one of the two at most."""
    book = book_of(
        part("A", "1.00"), part("B", "2.00", replaced_by="C"), part("C", "3.00"), part("D", "4.00", replaced_by="A")
    )  # fmt: skip
    answers = found(
        exact("N-A", "1.00", superseded_by="N-B"), exact("N-B", "2.00"), exact("N-C", "3.10", superseded_by="N-D"),
        exact("N-D", "4.00"),
    )  # fmt: skip
    told = {one.row.code: one for one in propose_prices(book, [compared(answers)], DAY, Decimal("0.2")).proposals}
    assert told["A"].new.replaced_by == "B" and told["A"].instead is not None and told["A"].instead.code == "C"
    assert told["C"].new.replaced_by is None and notes(told["C"]) == [("in a circle", "D")]
