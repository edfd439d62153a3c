"""Which remedies use a part: by themselves, their work, access, and what parts bring along."""

from __future__ import annotations

from hypothesis import given, settings

from quotekit.pricing import build_quote
from quotekit.pricing.proposals.standing_uses import standing_uses
from quotekit.problems import has_errors
from tests.build import a_finding, a_part_used, a_remedy, a_step, an_extra, an_operation
from tests.pricing.proposals.rows import book_of, part
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
    """The old number, the one that took its place, what that needs, what a kit holds; not what the old one needed."""
    book = book_of(
        part("OLD", "1", replaced_by="NEW", also_needs="GONE"), part("NEW", "1", also_needs="PIN x 2"),
        part("PIN", "1", contains="HEAD"), part("HEAD", "1"), part("GONE", "1"),
        findings=[a_finding("WORN")], operations=[an_operation("FIT")],
        remedies=[a_remedy("REPAIR", ["WORN"], ["FIT"], parts="OLD")],
    )  # fmt: skip
    assert set(standing_uses(book)) == {"OLD", "NEW", "PIN", "HEAD"}


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
