"""The customer's sheet for a changed job, as a value: words, amounts side by side, the answer, what is read back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.documents.consent_answer import NO, NO_CODE, YES
from quotekit.documents.consent_sheet import lay_out_consent_sheet
from quotekit.documents.consent_words import new_words, part_change_words, rule_words, why_words
from quotekit.documents.fingerprint import fingerprint_of
from quotekit.documents.page_breaks import pages_of
from quotekit.documents.sheet import Cell, WorkbookValue
from quotekit.model.agreed import AgreedTax
from quotekit.model.consent import AmountChange, ChangedJob, Changes, PartChange
from quotekit.model.entries import Revision
from quotekit.pricing.consent.changes import changes_of
from quotekit.workbook.read_returned import read_quote, read_returned
from quotekit.workbook.write_sheet import write_workbook
from tests.documents import quotes
from tests.pricing.consent.made import a_part_agreed, a_rule, an_agreed, an_item

D = Decimal
BEFORE = an_agreed(
    "200.00",
    "14.00",
    items=(an_item("BELT", "New belt"), an_item("CAP", "Filler cap")),
    parts=(a_part_agreed("BELT", price="29.25", name="Drive belt"),),
    amounts={"labour": D("170.75"), "parts": D("29.25")},
    deposit=D("10.00"),
    ready_days=3,
)
NOW = an_agreed(
    "254.00",
    "17.78",
    items=(an_item("BELT", "New belt"), an_item("BUSH@left", "New bushing", fixes=("WORN@left",))),
    parts=(
        a_part_agreed("BELT", price="29.25", name="Drive belt"),
        a_part_agreed("BUSH-19", "2", "8.25", name="Bronze bushing", sides=("left",)),
    ),
    amounts={"labour": D("208.25"), "parts": D("45.75")},
    deposit=D("15.00"),
    ready_days=None,
)


def changed(before: Any = BEFORE, now: Any = NOW, *, asks: bool = True, shop: dict[str, Any] | None = None,
            **more: Any) -> ChangedJob:  # fmt: skip
    """A change of what was agreed on November 20."""
    changes = changes_of(before, now)
    language = (shop or {}).get("language", "en_US")
    revision = Revision(
        of_version=1,
        tier=now.tier,
        extras=(),
        before=before.total,
        after=now.total,
        threshold=D("21.40"),
        needs_consent=asks,
        agreed=now,
        new=new_words(changes, language),
    )
    known: dict[str, Any] = {
        "quote": quotes.quote(**(shop or {})),
        "before": before,
        "agreed_on": date(2026, 11, 20),
        "revision": revision,
        "changes": changes,
        "rule": a_rule("0.10", "25", "the lesser"),
        "valid_until": date(2026, 12, 28),
        "paid": D("0.00"),
    }
    return ChangedJob(**{**known, **more})


def cells(value: WorkbookValue) -> Iterator[Cell]:
    """Every cell of the sheet the customer sees."""
    for row in value.sheets[0].rows:
        yield from row.cells


def read(value: WorkbookValue) -> str:
    """All that stands in it."""
    return "\n".join(str(cell.content) for cell in cells(value) if cell.content is not None)


def line(value: WorkbookValue, label: str) -> list[object]:
    """The amounts in the row of a label."""
    row = next(row for row in value.sheets[0].rows if row.cells and row.cells[0].content == label)
    return [cell.content for cell in row.cells[1:]]


def test_amounts_side_by_side_down_to_the_new_total() -> None:
    """California (B&P 9884.9): the revised total; each amount with what was agreed and the difference."""
    value = lay_out_consent_sheet(changed())
    assert line(value, "Labor") == [D("170.75"), D("208.25"), D("37.50")]
    assert line(value, "Parts") == [D("29.25"), D("45.75"), D("16.50")]
    assert line(value, "Subtotal before tax") == [D("200.00"), D("254.00"), D("54.00")]
    assert line(value, "State") == [D("14.00"), D("17.78"), D("3.78")]
    assert line(value, "TOTAL TO PAY") == [D("214.00"), D("271.78"), D("57.78")]
    assert line(value, "Deposit before parts are ordered") == [D("10.00"), D("15.00"), D("5.00")]
    assert line(value, "Working days from your yes to ready")[:2] == ["3 days", "To be confirmed"]


def test_what_is_new_and_what_is_gone() -> None:
    value = lay_out_consent_sheet(changed())
    found = read(value)
    assert "Added: New bushing, left" in found and "No longer done: Filler cap" in found
    label = "New part: 2 × Bronze bushing (BUSH-19, new original, left)"
    assert line(value, label) == [D(0), D("16.50"), D("16.50")]
    assert "Drive belt" not in found, "what stays the same is not told again"


def test_a_finding_that_the_new_repair_puts_right_is_told_with_its_measurement() -> None:
    """Why: what was found, the limit, and what comes of leaving it."""
    finding = next(found for found in quotes.quote().job.findings if found.measured is not None and found.fault)
    now = replace(NOW, items=(*BEFORE.items, an_item("FIX", "The repair", fixes=(finding.key,))))
    found = read(lay_out_consent_sheet(changed(now=now)))
    assert finding.name in found and "measured" in found and finding.if_left.rstrip(".") in found


def test_only_what_was_asked_for_is_asked() -> None:
    """A rise within the threshold is told: there is nothing to pick, to sign or to refuse."""
    value = lay_out_consent_sheet(changed(asks=False))
    found = read(value)
    assert "You need not sign anything" in found
    for asked in ("valid until", "Your answer", "Signature", "If you say no"):
        assert asked not in found
    assert not [cell for cell in cells(value) if cell.name]


def test_a_no_is_told_with_the_safety_that_stays() -> None:
    value = lay_out_consent_sheet(changed(safety=("Guard loose. If left: fingers.",)))
    assert "matter of safety: Guard loose. If left: fingers." in read(value)
    assert "matter of safety" not in read(lay_out_consent_sheet(changed()))


@pytest.mark.parametrize(
    ("paid", "due", "label"),
    [("60.00", "211.78", "Still due"), ("300.00", "-28.22", "Still due (below zero: we return it)")],
)
def test_what_was_paid(paid: str, due: str, label: str) -> None:
    value = lay_out_consent_sheet(changed(paid=D(paid)))
    assert line(value, "Paid so far") == [D(paid), D(paid), D("0.00")]
    assert line(value, label)[1] == D(due)


@pytest.mark.parametrize(
    ("revised", "more", "expected"),
    [
        ({}, {}, "it is now $271.78, $57.78 more. Without asking we may go over it by $21.40 at most (the lesser of"),
        ({"after": D("200.00"), "needs_consent": False}, {}, "$14.00 less. That is within"),
        ({"after": D("214.00"), "needs_consent": False}, {}, "It stays at the $214.00 (with tax) you agreed to."),
        ({}, {"spending_limit": D("250.00")}, "It passes the $250.00 you want to spend at most"),
        ({"threshold": D("0.00")}, {}, "We do not go over what you agreed to by any amount without asking."),
    ],
)
def test_why_the_customer_is_asked(revised: dict[str, Any], more: dict[str, Any], expected: str) -> None:
    job = changed(**more)
    job = replace(job, revision=replace(job.revision, **revised))
    assert expected in " ".join(why_words(job))


@pytest.mark.parametrize(
    ("percent", "amount", "over", "expected"),
    [
        ("0.10", "25", "the lesser", "by $12.00 at most (the lesser of 10% and $25.00)."),
        ("0.10", "0", "the greater", "by $12.00 at most (10%)."),
        ("0", "12", "the greater", "by $12.00 at most ($12.00)."),
    ],
)
def test_the_rule_in_words(percent: str, amount: str, over: str, expected: str) -> None:
    said = rule_words(a_rule(percent, amount, over), D("12.00"), "USD", "en_US")
    assert said.endswith(expected)


BELT = a_part_agreed("BELT", "1", "29.25", name="Drive belt")


@pytest.mark.parametrize(
    ("before", "now", "expected"),
    [
        (None, BELT, "New part: 1 × Drive belt (BELT, new original)"),
        (BELT, None, "No longer fitted: 1 × Drive belt (BELT, new original)"),
        (BELT, replace(BELT, quantity=D(3)), "Drive belt: 3 in place of 1"),
        (BELT, replace(BELT, unit_price=D("31.00")), "Drive belt: the price changed"),
        (BELT, replace(BELT, new_or_used="used"),
         "Drive belt (BELT, used) in place of Drive belt (BELT, new original)"),
        (BELT, replace(BELT, own=True), "Drive belt: your own part now"),
        (replace(BELT, own=True), BELT, "Drive belt: no longer your own part"),
        (None, replace(BELT, unit="ft", quantity=D("2.5")), "New part: 2.5 ft Drive belt (BELT, new original)"),
        (None, replace(BELT, part="ONEOFF-1", new_or_used=""), "New part: 1 × Drive belt"),
    ],
)  # fmt: skip
def test_a_part_in_words(before: Any, now: Any, expected: str) -> None:
    assert part_change_words(PartChange(before=before, after=now), "en_US") == expected


@pytest.mark.parametrize(
    ("amounts", "expected"),
    [
        ((), "The same repairs at the same price"),
        ((AmountChange(name="labour", before=D(1), after=D(1)),), "The same repairs at the same price"),
        ((AmountChange(name="labour", before=D(1), after=D(2)),),
         "The same repairs at another amount of labor or charges"),
    ],
)  # fmt: skip
def test_where_no_repair_and_no_part_is_another(amounts: Any, expected: str) -> None:
    changes = Changes(new=(), gone=(), parts=(), amounts=amounts, taxes=())
    assert new_words(changes, "en_US") == (expected,)


def test_money_and_dates_in_the_shops_language() -> None:
    found = read(lay_out_consent_sheet(changed(shop={"language": "de_DE", "currency": "EUR"})))
    assert "271,78\u00a0€" in found and "28. Dezember 2026" in found
    yen = an_agreed("20000", "2000")
    value = lay_out_consent_sheet(changed(yen, an_agreed("23000", "2300"), shop={"currency": "JPY"}))
    assert line(value, "TOTAL TO PAY") == [D("22000"), D("25300"), D("3300")]
    assert value.formats["money"] == '"¥"#,##0;"-¥"#,##0'


def test_it_prints_on_one_page_and_holds_nothing_of_the_shops() -> None:
    value = lay_out_consent_sheet(changed())
    assert pages_of(value.sheets[0].rows) == 1
    for secret in ("NORTH", "N-1", "105.00", "margin", "markup"):
        assert secret not in read(value)


def test_a_long_change_breaks_between_lines() -> None:
    """Forty parts go on a second page, and no row is lost."""
    parts = tuple(a_part_agreed(f"PART-{n:02}", name=f"Part {n:02}") for n in range(60))
    value = lay_out_consent_sheet(changed(now=replace(NOW, parts=parts)))
    assert pages_of(value.sheets[0].rows) >= 2
    assert sum("New part: 1 × Part" in str(cell.content) for cell in cells(value)) == 60


def test_a_text_that_looks_like_a_formula_stays_a_text(tmp_path: Path) -> None:
    now = replace(NOW, items=(an_item("BAD", '=HYPERLINK("x")'),))
    value = lay_out_consent_sheet(changed(now=now))
    assert [cell for cell in cells(value) if cell.formula] == []
    write_workbook(value, tmp_path / "sheet.xlsx")
    assert read_quote(tmp_path / "sheet.xlsx")[0] is not None


def test_what_is_sent_is_read_back(tmp_path: Path) -> None:
    """The reader of returned quotes knows the sheet: its number, version and day, and the two answers."""
    value = lay_out_consent_sheet(changed())
    write_workbook(value, tmp_path / "sheet.xlsx")
    quote, problems = read_quote(tmp_path / "sheet.xlsx")
    assert quote is not None and problems == []
    assert (quote.number, quote.version, quote.valid_until) == (
        changed().quote.job.job_number,
        changed().quote.job.version,
        date(2026, 12, 28),
    )
    assert [(option.code, option.label) for option in quote.options] == [("good", YES), (NO_CODE, NO)]
    assert quote.fingerprint == fingerprint_of(value)
    choice, problems = read_returned(tmp_path / "sheet.xlsx", date(2026, 12, 1))
    assert choice is not None and choice.unchanged is True
    assert [problem.code for problem in problems] == ["no-option-chosen"]


def test_the_same_change_gives_the_same_marks_whatever_it_costs_the_shop() -> None:
    """Other costs, suppliers and margins with the same prices: the same sheet."""
    dearer = replace(
        NOW,
        parts=tuple(replace(part, cost=D(9), pack_cost=D(9), supplier="SOUTH") for part in NOW.parts),
        margin=D("1.00"),
        cost_total=D("253.00"),
    )
    one, other = (fingerprint_of(lay_out_consent_sheet(changed(now=now))) for now in (NOW, dearer))
    assert one == other
    tax = replace(NOW, taxes=(AgreedTax(tax="City", base=D(1), amount=D("17.78")),))
    assert fingerprint_of(lay_out_consent_sheet(changed(now=tax))) != one
