"""Several lists together: order, effects, quotes and remedies of each part."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from quotekit.pricing.proposals.propose import propose_prices
from tests.pricing.proposals.a_shop import everything, open_quote, shop
from tests.pricing.proposals.rows import DAY, book_of, compared, exact, found, offer, part


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
