"""Which remedies use a part: by themselves, their work, access, and what parts bring along."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given, settings

from quotekit.model.shop_book import Part
from quotekit.pricing import build_quote
from quotekit.pricing.proposals.propose import propose_prices
from quotekit.pricing.proposals.standing_uses import standing_uses
from quotekit.pricing.proposals.successors import Found
from quotekit.problems import has_errors
from tests.build import a_finding, a_part_used, a_remedy, a_step, an_extra, an_operation
from tests.pricing.proposals.rows import DAY, book_of, compared, exact, found, part
from tests.random_jobs import Case, cases


def test_every_way_to_use_a_part() -> None:
    book = book_of(
        part("OWN", "1"), part("BY-ROW", "1"), part("OF-WORK", "1"), part("OF-REQUIRED", "1"), part("OF-ACCESS", "1"),
        part("OF-NEEDED", "1"), part("NOWHERE", "1"), part("OF-EXTRA", "1"),
        findings=[a_finding("WORN")],
        access=[a_step("COVER", needs=("PANEL",), parts="OF-ACCESS"), a_step("PANEL", parts="OF-NEEDED")],
        operations=[
            an_operation("FIT", parts="OF-WORK", requires=("TEST",), access=["COVER"]),
            an_operation("TEST", parts="OF-REQUIRED"),
            an_operation("WIPE", parts="OF-EXTRA"),
        ],
        parts_used=[a_part_used("REPAIR", "BY-ROW")],
        remedies=[a_remedy("REPAIR", ["WORN"], ["FIT"], parts="OWN")],
        extras=[an_extra("CLEAN", ["WIPE", "TEST"])],
    )  # fmt: skip
    assert standing_uses(book) == {
        "OWN": ("REPAIR",), "BY-ROW": ("REPAIR",), "OF-WORK": ("REPAIR",), "OF-REQUIRED": ("REPAIR", "CLEAN"),
        "OF-ACCESS": ("REPAIR",), "OF-NEEDED": ("REPAIR",), "OF-EXTRA": ("CLEAN",),
    }  # fmt: skip


def test_parts_that_come_with_parts() -> None:
    """The old number, what took its place, what that needs; not what the old one needed, nor what a kit holds."""
    book = book_of(
        part("OLD", "1", replaced_by="NEW", also_needs="GONE"), part("NEW", "1", also_needs="PIN x 2"),
        part("PIN", "1", contains="HEAD"), part("HEAD", "1"), part("GONE", "1"),
        findings=[a_finding("WORN")], operations=[an_operation("FIT")],
        remedies=[a_remedy("REPAIR", ["WORN"], ["FIT"], parts="OLD")],
    )  # fmt: skip
    assert set(standing_uses(book)) == {"OLD", "NEW", "PIN"}


def touched(*parts: Part, answers: Found) -> dict[str, tuple[str, ...]]:
    """Remedies that each proposal touches; REPAIR has OLD, OTHER has PIN."""
    book = book_of(
        *parts,
        findings=[a_finding("WORN")], operations=[an_operation("FIT")],
        remedies=[
            a_remedy("REPAIR", ["WORN"], ["FIT"], parts="OLD"), a_remedy("OTHER", ["WORN"], ["FIT"], parts="PIN"),
        ],
    )  # fmt: skip
    told = propose_prices(book, [compared(answers)], DAY, Decimal("0.2"))
    return {one.row.code: one.remedies for one in told.proposals}


def test_a_part_in_whose_place_the_book_has_another_touches_no_remedy() -> None:
    """REPAIR asks the price of PIN alone, whatever OLD costs."""
    assert touched(
        part("OLD", "1", replaced_by="PIN"), part("PIN", "1"), answers=found(exact("N-OLD", "2"), exact("N-PIN", "2"))
    ) == {"OLD": (), "PIN": ("REPAIR", "OTHER")}


def test_a_part_that_would_take_a_place_touches_the_remedies_of_that_place() -> None:
    answers = found(exact("N-OLD", "1", superseded_by="N-PIN"), exact("N-PIN", "2"))
    assert touched(part("OLD", "1"), part("PIN", "1"), answers=answers) == {
        "OLD": ("REPAIR",), "PIN": ("REPAIR", "OTHER"),
    }  # fmt: skip


def test_another_part_in_a_place_that_was_taken_touches_its_remedies() -> None:
    """The book has PIN in the place of OLD, the list says CAP."""
    answers = found(exact("N-OLD", "1", superseded_by="N-CAP"), exact("N-CAP", "3"))
    told = touched(part("OLD", "1", replaced_by="PIN"), part("PIN", "1"), part("CAP", "3"), answers=answers)
    assert told == {"OLD": ("REPAIR",)}


def test_a_companion_of_a_part_that_gives_way_touches_what_it_goes_into_today() -> None:
    """OLD needs CAP too, LONG does not; each proposal may be taken without the other."""
    answers = found(exact("N-OLD", "1", superseded_by="N-LONG"), exact("N-CAP", "3"), exact("N-LONG", "1"))
    told = touched(
        part("OLD", "1", also_needs="CAP"), part("PIN", "1"), part("CAP", "2"), part("LONG", "1"), answers=answers
    )
    assert told == {"OLD": ("REPAIR",), "CAP": ("REPAIR",)}


@settings(max_examples=30)
@given(cases())
def test_no_part_of_a_quote_is_missing(case: Case) -> None:
    """Whatever a priced option's repairs bring is among the standing uses of one of its repairs."""
    book, job = case
    quote = build_quote(book, job)
    if has_errors(quote.problems):
        return
    uses = standing_uses(book)
    always = {code for machine in (book.machines or {}).values() for code in machine.always}
    brought_always = {entry.code for code in always for entry in book.operations[code].parts} | {
        row.part for code in always for row in book.parts_used_by.get(code, ())
    }
    if brought_always or any(book.operations[code].access or book.operations[code].requires for code in always):
        return
    for tier in quote.tiers:
        items = {item.code for item in tier.items}
        if all(item.kind in ("remedy", "extra") for item in tier.items):
            for line in tier.part_lines:
                assert items & set(uses.get(line.part, ())), line.part
