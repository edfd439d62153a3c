"""Ticks read back from the workbook of price proposals: exact values, and a refusal for anything that was altered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.workbook import Workbook

from quotekit.documents.price_proposals import lay_out_price_proposals
from quotekit.model.proposed_prices import PriceProposals, ProposedChange, ProposedPrices
from quotekit.problems import Problem
from quotekit.workbook.read_price_proposals import read_price_proposals
from quotekit.workbook.write_sheet import workbook_bytes, write_workbook
from tests.pricing.proposals.a_shop import everything, shop
from tests.pricing.proposals.rows import DAY, book_of, compared, exact, found, part
from tests.workbook.returned import saved_by_libreoffice

USED = {"pin": 100, "seal": 10}
LINES = {("Parts", "PIN"): 8, ("Parts", "SEAL"): 9, ("Parts", "CAP"): 12, ("Parts", "BELT"): 13, ("Offers", "SEAL"): 14}
"""The row of each proposal on the sheet."""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The proposals of the small shop."""
    write_workbook(lay_out_price_proposals(everything(USED)), tmp_path / "proposals.xlsx")
    return tmp_path / "proposals.xlsx"


def changed(file: Path, change: Callable[[Workbook], object]) -> Path:
    """The same file after somebody did something to it."""
    book = openpyxl.load_workbook(file)
    change(book)
    book.save(file)
    return file


def tick(file: Path, *cells: str, what: object = "Yes") -> Path:
    """Something typed into cells of the sheet of ticks."""

    def type_in(book: Workbook) -> None:
        for cell in cells:
            book["Proposals"][cell].value = what

    return changed(file, type_in)


def codes(problems: list[Problem]) -> list[tuple[str, str]]:
    return [(problem.code, f"{problem.place.sheet}!{problem.place.cell}") for problem in problems]


def read(file: Path) -> PriceProposals:
    told, problems = read_price_proposals(file)
    assert told is not None and problems == [], problems
    return told


def as_proposed(one: ProposedPrices) -> list[ProposedChange]:
    """Every change that was written, in order."""
    return [change for proposal in one.proposals for change in proposal.changes]


def test_the_lines_of_the_sheet(file: Path) -> None:
    """What the other tests count on."""
    page = openpyxl.load_workbook(file)["Proposals"]
    found = {
        (str(line[4].value).split()[0], line[2].value): line[0].row
        for line in page.iter_rows(min_row=6)
        if line[2].value
    }
    assert found == LINES


def test_nothing_is_ticked_for_the_owner(file: Path) -> None:
    told, problems = read_price_proposals(file)
    assert told is None and codes(problems) == [("nothing-ticked", "Proposals!")]


def test_what_is_ticked_comes_back_exactly(file: Path) -> None:
    told = read(tick(file, "A9", "A14"))
    assert [(one.sheet, one.cell, one.field, one.old, one.new) for one in told.accepted] == [
        ("Parts", "E2", "pack cost", Decimal("10.00"), Decimal("11")),
        ("Offers", "E3", "pack cost", Decimal("9.50"), Decimal("9.9")),
    ]
    assert {(one.part, one.supplier) for one in told.accepted} == {("SEAL", "NORTH"), ("SEAL", "LAKE")}
    assert told.accepted[0].place.cell == "A9"


def test_what_it_was_made_from_comes_back(file: Path) -> None:
    told = read(tick(file, "A9"))
    assert (told.book_file, told.book_sha256, told.day, told.currency) == ("book.xlsx", "b" * 64, DAY, "USD")
    assert [(one.supplier, one.file, one.sha256) for one in told.sources] == [
        ("NORTH", "north.csv", "a" * 64), ("LAKE", "lake.csv", "a" * 64),
    ]  # fmt: skip


def test_every_change_comes_back_ticked_or_not(file: Path) -> None:
    told = read(tick(file, "A9"))
    plain = [replace(one, taken=False, place=ProposedChange.place, reason="") for one in told.changes]
    assert plain == as_proposed(everything(USED))


def test_what_has_to_hold_for_a_new_cost(file: Path) -> None:
    """Its pack and its number: the owner may have changed them since."""
    told = read(tick(file, "A9"))
    assert [(one.part, one.field, one.cell, one.old) for one in told.must_hold] == [
        ("SEAL", "pack quantity", "D2", Decimal(1)), ("SEAL", "supplier's number", "H2", "N-SEAL"),
    ]  # fmt: skip
    assert {one.field for one in told.accepted} == {"pack cost"}


def test_a_row_over_the_limit_needs_its_second_tick(file: Path) -> None:
    """PIN costs 30 % more: without the second tick it is told and left out, and the others go on."""
    told, problems = read_price_proposals(tick(file, "A8", "A9"))
    assert codes(problems) == [("second-tick-missing", "Proposals!B8")]
    assert told is not None and [one.part for one in told.accepted] == ["SEAL"]
    told = read(tick(file, "B8"))
    assert [one.part for one in told.accepted] == ["PIN", "SEAL"]
    assert "by more than 20%" in told.accepted[0].reason


def test_a_second_tick_alone_takes_nothing(file: Path) -> None:
    told, problems = read_price_proposals(tick(file, "B8"))
    assert told is None and codes(problems) == [("nothing-ticked", "Proposals!")]


def test_only_a_row_over_the_limit_and_no_second_tick(file: Path) -> None:
    told, problems = read_price_proposals(tick(file, "A8"))
    assert told is None and [code for code, _ in codes(problems)] == ["second-tick-missing", "nothing-ticked"]


@pytest.mark.parametrize("what", ["Yes", "yes", "x", "☑", True, 1, "ja", "Oui"])
def test_what_counts_as_a_tick(file: Path, what: object) -> None:
    assert [one.part for one in read(tick(file, "A9", what=what)).accepted] == ["SEAL"]


@pytest.mark.parametrize("what", ["No", "", False, 0, "-", None])
def test_what_counts_as_none(file: Path, what: object) -> None:
    tick(file, "A12")
    assert [one.part for one in read(tick(file, "A9", what=what)).accepted] == ["CAP"]


@pytest.mark.parametrize("what", ["perhaps", 2, "12.50"])
def test_what_is_neither(file: Path, what: object) -> None:
    told, problems = read_price_proposals(tick(file, "A9", what=what))
    assert told is None and codes(problems) == [("not-yes-no", "Proposals!A9")]


@pytest.mark.parametrize(
    ("sheet", "cell", "value"),
    [
        ("Proposals", "G9", 10.5),
        ("Proposals", "F9", 9.0),
        ("Proposals", "C9", "PIN"),
        ("Proposals", "E9", "Parts 3"),
        ("Proposals", "J9", 99),
        ("Proposals", "B9", None),
        ("Cells", "G6", 9.5),
        ("Cells", "H6", 10.99),
        ("Cells", "E6", "E3"),
        ("Cells", "D6", "Offers"),
        ("Cells", "F6", "List price each"),
        ("Cells", "A6", 7),
        ("Cells", "I5", None),
        ("About", "B12", "c" * 64),
        ("About", "B13", "2026-12-02"),
    ],
)
def test_an_altered_workbook_is_refused_and_the_cell_named(file: Path, sheet: str, cell: str, value: object) -> None:
    """A new value, an old value, an address, the mark for the second tick, the book's digest, the day."""
    tick(file, "A9")

    def alter(book: Workbook) -> None:
        assert (book[sheet][cell].value is None) == (value is None and cell == "B9"), book[sheet][cell].value
        book[sheet][cell].value = value

    if cell == "B9":
        changed(file, alter)
        assert read_price_proposals(file)[0] is not None, "the column of the second tick may be typed in"
        return
    told, problems = read_price_proposals(changed(file, alter))
    assert told is None and codes(problems) == [("price-proposals-changed", f"{sheet}!{cell}")]


def test_a_row_that_was_put_in_between_is_refused(file: Path) -> None:
    tick(file, "A9")
    told, problems = read_price_proposals(changed(file, lambda book: book["Cells"].insert_rows(5)))
    assert told is None and {code for code, _ in codes(problems)} == {"price-proposals-changed"}


def test_many_altered_cells_are_counted(tmp_path: Path) -> None:
    parts = [part(f"P{place}", "1.00", row=place + 2) for place in range(60)]
    answers = found(*(exact(f"N-P{place}", "1.10") for place in range(60)))
    from quotekit.pricing.proposals.propose import propose_prices

    file = tmp_path / "many.xlsx"
    write_workbook(lay_out_price_proposals(propose_prices(book_of(*parts), [compared(answers)], DAY, Decimal(1))), file)

    def alter(book: Workbook) -> None:
        for line in range(5, 65):
            book["Cells"][f"H{line}"].value = 7

    told, problems = read_price_proposals(changed(tick(file, "A6"), alter))
    assert told is None and len(problems) == 21
    assert problems[-1].message == "40 more cells differ from what was proposed"


def test_what_is_only_to_be_read_may_be_changed(file: Path) -> None:
    """A note on another sheet, or a sheet of one's own, proposes nothing."""
    tick(file, "A9")

    def alter(book: Workbook) -> None:
        book["Effect"]["G30"].value = "call Pat"
        book.create_sheet("My notes")["A1"].value = "hello"

    assert len(read(changed(file, alter)).accepted) == 1


def test_a_name_that_was_moved_is_refused(file: Path) -> None:
    tick(file, "A9")

    def alter(book: Workbook) -> None:
        book.defined_names["ticks_proposals"].attr_text = "Proposals!$A$8:$P$14"

    told, problems = read_price_proposals(changed(file, alter))
    assert told is None and [code for code, _ in codes(problems)] == ["price-proposals-changed"]
    assert "ticks_proposals" in problems[0].message


def test_marks_that_were_changed_are_refused(file: Path) -> None:
    tick(file, "A9")

    def alter(book: Workbook) -> None:
        book["Working"]["A1"].value = "0" * 64

    told, problems = read_price_proposals(changed(file, alter))
    assert told is None and problems[0].code == "price-proposals-changed"


def test_other_workbooks_are_none(tmp_path: Path) -> None:
    book = Workbook()
    book.save(tmp_path / "other.xlsx")
    told, problems = read_price_proposals(tmp_path / "other.xlsx")
    assert told is None and [problem.code for problem in problems] == ["not-price-proposals"]
    (tmp_path / "text.xlsx").write_text("no workbook")
    told, problems = read_price_proposals(tmp_path / "text.xlsx")
    assert told is None and [problem.code for problem in problems] == ["not-a-workbook"]


def test_a_value_that_is_none_of_ours_though_sealed(tmp_path: Path) -> None:
    """Whoever seals a workbook anew can write what he likes: it is refused, with no fault of ours."""
    one = everything(USED)
    first = one.proposals[0]
    odd = replace(first.changes[0], field="cost date", new="soon")
    one = replace(one, proposals=(replace(first, changes=(odd,)), *one.proposals[1:]))
    write_workbook(lay_out_price_proposals(one), tmp_path / "odd.xlsx")
    told, problems = read_price_proposals(tick(tmp_path / "odd.xlsx", "A8", "B8"))
    assert told is None and [problem.code for problem in problems] == ["price-proposals-changed"]


def test_the_same_proposals_give_the_same_bytes() -> None:
    value = lay_out_price_proposals(everything(USED))
    assert workbook_bytes(value) == workbook_bytes(lay_out_price_proposals(everything(USED)))


TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=12)
AMOUNTS = st.decimals("0.000001", "999999999", allow_nan=False, places=6)


@settings(max_examples=10, deadline=None)
@given(old=AMOUNTS, new=AMOUNTS, numbers=st.tuples(TEXTS, TEXTS), day=st.dates(date(1900, 3, 1), date(2100, 1, 1)))
def test_any_value_comes_back_exactly(
    tmp_path_factory: pytest.TempPathFactory, old: Decimal, new: Decimal, numbers: tuple[str, str], day: date
) -> None:
    """Amounts of up to fifteen digits, numbers of any letters (also those that look like formulas), any day."""
    one = everything(USED)
    first = one.proposals[0]
    changes = (
        replace(first.changes[0], old=old, new=new),
        replace(first.changes[0], field="supplier's number", old=f"={numbers[0]}", new=numbers[1]),
        replace(first.changes[0], field="cost date", old=day, new=None),
        replace(first.changes[0], field="replaced by", old=None, new=f"+{numbers[0]}"),
    )
    one = replace(one, proposals=(replace(first, changes=changes), *one.proposals[1:]))
    file = tmp_path_factory.mktemp("any") / "any.xlsx"
    write_workbook(lay_out_price_proposals(one), file)
    told = read(tick(file, "A8", "B8"))
    assert [(change.field, change.old, change.new) for change in told.accepted] == [
        (change.field, change.old, change.new) for change in changes if change.old != change.new
    ]


def test_saved_by_libreoffice(file: Path, tmp_path: Path, soffice: str) -> None:
    """As an owner without Excel does it: opened, ticked, saved."""
    (saved,) = saved_by_libreoffice(soffice, [tick(file, "A9", "A8", "B8")], tmp_path)
    assert read(saved) == replace(read(file))


def test_the_shop_has_what_the_tests_say() -> None:
    assert set(shop().parts) == {"SEAL", "PIN", "CAP", "NUT", "BELT"}
