"""What taking times over records and writes: the changed copy of the shop book, checked by reading it."""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.which_ledger import Facts, facts_of
from quotekit.problems import Problem, error, has_errors

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Entry, Proposed
    from quotekit.model.shop_book import ShopBook
    from quotekit.model.source import Source
    from quotekit.problems import Place
    from quotekit.workbook.package import Package
    from quotekit.workbook.read_proposals import TickedTime

KEPT = "Replaced times"
TITLES = ("Sheet", "Code", "Column", "Value until then", "Replaced on", "New value", "By")
FIELDS: Mapping[tuple[str, str], str] = {
    ("Operations", "Net hours"): "net_hours",
    ("Operations", "Second side hours"): "second_side_hours",
    ("Access", "Hours to open"): "hours_to_open",
    ("Access", "Hours to close"): "hours_to_close",
    ("Conditions", "Allowance"): "allowance",
}
"""The cells that may be taken over, and their fields."""
_GIVE = "Give the workbook `proposed times ...` that `quotekit review` wrote, then the shop book."


def read_ticked(file: Path) -> tuple[tuple[TickedTime, ...], list[Problem]]:
    """The ticked values of a workbook of proposals, each cell ticked for once."""
    from quotekit.workbook.read_proposals import read_proposals

    ticked, problems = read_proposals(file)
    problems = [replace(one, remedy=_GIVE) if one.code == "missing-sheet" else one for one in problems]
    return ticked, [*problems, *_ticked_twice(ticked)]


def prepare(options: argparse.Namespace) -> tuple[TakingOver | None, list[Problem]]:
    """The ticked values and the shop book, checked against each other; None with an error."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.workbook.package import open_package

    ticked, problems = read_ticked(options.proposals)
    inputs = read_inputs(options.book)
    problems = [*problems, *inputs.problems]
    package, found = open_package(options.book)
    if inputs.book is None or package is None or has_errors([*problems, *found]):
        return None, problems if has_errors(problems) else [*problems, *found]
    problems += [problem for one in ticked if (problem := differs(one, inputs.book)) is not None]
    if has_errors(problems):
        return None, problems
    facts = facts_of(options)
    target = options.out or options.book.with_name(f"{options.book.stem} {facts.day.isoformat()}{options.book.suffix}")
    taking = TakingOver(options, inputs.book, ticked, target, facts)
    taking.known = frozenset(_same(problem) for problem in inputs.problems)
    problems += taking.change(package)
    return (None if has_errors(problems) else taking), problems


class TakingOver:
    """Ticked values on their way into a new shop book."""

    def __init__(
        self, options: argparse.Namespace, book: ShopBook, ticked: tuple[TickedTime, ...], target: Path, facts: Facts
    ) -> None:
        self.options, self.book, self.ticked, self.target, self.facts = options, book, ticked, target, facts
        self.data = b""
        self.known: frozenset[tuple[str, ...]] = frozenset()
        """What was wrong in the shop book before."""
        self.problems: list[Problem] = []

    def change(self, package: Package) -> list[Problem]:
        """Make the changed copy, and read it to see that it says what was ticked."""
        from quotekit.workbook.add_rows import with_rows
        from quotekit.workbook.in_place.changes import Change
        from quotekit.workbook.in_place.edit_workbook import edit_workbook
        from quotekit.workbook.in_place.office_results import office_work_out
        from quotekit.workbook.package import package_of

        places = [(place_of(one, self.book), one) for one in self.ticked]
        changes = [Change(place.sheet, place.cell, one.new) for place, one in places if place is not None]
        program = office_work_out(ending=self.options.book.suffix.lower(), language=self.book.settings.language)
        edited, told = edit_workbook(package.file, package.data, changes, program)
        if edited is None:
            self.problems = [cannot(problem) for problem in told]
            return self.problems
        kept = [TITLES, *map(self._kept, self.ticked)]
        self.data = with_rows(package_of(package.file, edited.data), KEPT, kept)
        of_copy = [replace(one, place=one.place._replace(file=str(self.target))) for one in told]
        self.problems = [*self._read_again(), *of_copy]
        return self.problems

    def decide(self, ledger: Ledger) -> Decision:
        """One entry with what was taken over; the same book again adds none."""
        from quotekit.cli.output_files import check_targets, these_bytes

        body = self._body()
        entry = _made_before(ledger, body)
        there = self.target.is_file() and self.target.read_bytes() == self.data
        if entry is not None and there and _is_written(ledger, entry):
            return Decision(problems=self.problems, already=entry)
        inputs = (self.options.book, self.options.proposals)
        found = [] if there else check_targets((self.target,), inputs, replace=self.options.replace)
        draft = self.facts.draft("proposed", body)
        return Decision(
            problems=[*self.problems, *found],
            drafts=() if entry is not None else (draft,),
            files=((self.target.name, self.data),),
            documents={self.target: these_bytes(self.data)},
            unfinished=entry,
        )

    def _body(self) -> Proposed:
        from quotekit.model.entries import KeptFile, Proposed

        kept = KeptFile.of(self.target.name, self.data)
        taken = {f"{one.sheet}: {one.code}, {one.column}": one.new for one in self.ticked}
        return Proposed(taken=taken, book=kept)

    def _kept(self, one: TickedTime) -> tuple[str | Decimal, ...]:
        day = self.facts.day.isoformat()
        return one.sheet, one.code, one.column, one.now, day, one.new, self.facts.who

    def _read_again(self) -> list[Problem]:
        """What is wrong in the copy and was not before; errors where it says anything else than the ticked values."""
        from quotekit.workbook.read_shop_book import read_shop_book

        with tempfile.TemporaryDirectory(prefix="quotekit-") as folder:
            path = Path(folder) / self.options.book.name
            path.write_bytes(self.data)
            book, problems = read_shop_book(path)
        new = [problem for problem in problems if _same(problem) not in self.known]
        wrong = [one for one in self.ticked if book is not None and value_of(one, book) != one.new]
        return [*new, *(self._not_taken(one) for one in wrong)]

    def _not_taken(self, one: TickedTime) -> Problem:
        place = place_of(one, self.book) or one.source.place("New")
        return error(place, "time-not-taken-over", "the new value does not reach this cell", _BY_HAND)


_BY_HAND = "Untick it in the proposals and change the shop book by hand."


def cannot(problem: Problem) -> Problem:
    """A refusal of a cell as one of its time; one of the whole workbook stays as it is."""
    if problem.code == "cell-is-formula":
        message = "a formula works this time out, and a formula is not replaced"
        return error(problem.place, "time-by-formula", message, _BY_HAND)
    if problem.place.cell:
        return error(problem.place, "time-not-taken-over", problem.message, _BY_HAND)
    return problem


def _same(problem: Problem) -> tuple[str, ...]:
    """What makes two problems of a shop book and its copy the same."""
    return problem.code, problem.place.sheet, problem.place.cell, problem.message


def value_of(one: TickedTime, book: ShopBook) -> Decimal | None:
    """What the shop book says in the cell of a ticked value; None for a blank or a cell that is not there."""
    row, field = _row(one, book), FIELDS.get((one.sheet, one.column))
    value: Decimal | None = None if row is None or field is None else getattr(row, field)
    return value


def place_of(one: TickedTime, book: ShopBook) -> Place | None:
    """Where that cell is."""
    row = _row(one, book)
    source: Source | None = None if row is None else row.source  # type: ignore[attr-defined]
    return None if source is None else source.place(one.column)


def _row(one: TickedTime, book: ShopBook) -> object | None:
    rows: Mapping[str, Mapping[str, object]] = {
        "Operations": book.operations,
        "Access": book.access,
        "Conditions": book.conditions,
    }
    return rows.get(one.sheet, {}).get(one.code)


def differs(one: TickedTime, book: ShopBook) -> Problem | None:
    """What keeps a ticked value from being taken over: no such cell, or another value there."""
    if (one.sheet, one.column) not in FIELDS:
        message = f"{one.column} of the sheet {one.sheet} is no time that can be taken over"
        return error(one.source.place("Column"), "not-a-time", message, "Leave Sheet, Code and Column as they are.")
    if _row(one, book) is None:
        message = f"the shop book has no {one.code} on its sheet {one.sheet}"
        return error(one.source.place("Code"), "time-gone", message, "Untick it, or give the shop book it is of.")
    now = value_of(one, book)
    if now != one.now:
        said = "nothing" if now is None else f"{now:f}"
        message = f"the shop book says {said} in {one.column} of {one.code}, not {one.now:f}: it was changed since"
        return error(one.source.place("Now"), "time-changed", message, "Review again with this shop book.")
    return None


def _ticked_twice(ticked: Iterable[TickedTime]) -> Iterator[Problem]:
    """Rows for a cell that a row above is ticked for."""
    rows: dict[tuple[str, str, str], int] = {}
    for one in ticked:
        cell = (one.sheet, one.code, one.column)
        if cell in rows:
            message = f"row {rows[cell]} is ticked for the same cell of the shop book"
            remedy = "Leave one of the two rows ticked."
            yield error(one.source.place("Take over"), "time-not-taken-over", message, remedy)
        rows.setdefault(cell, one.source.row)


def _is_written(ledger: Ledger, entry: Entry) -> bool:
    """Whether the ledger says that the new shop book stands in its place."""
    from quotekit.model.entries import Written

    return any(one.told(Written).of == entry.seq for one in ledger.entries("", ("written",)))


def _made_before(ledger: Ledger, body: Proposed) -> Entry | None:
    """The entry that took the same values over into the same file."""
    from quotekit.model.entries import Proposed

    return next((one for one in ledger.entries(kinds=("proposed",)) if one.told(Proposed) == body), None)
