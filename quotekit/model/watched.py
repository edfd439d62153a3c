"""A shop book and a job that tell which cells are read: equal in value, of the same types, and watched.

Each record is of a subclass whose every field, when read, logs the cells behind it. A blank cell of a known column
counts as a cell. A mapping by code logs the code cells: of the row that was found, or of all rows where none was.
Behind a field may stand more than its own cell: a recorded finding hangs on its row of the job and on the finding of
the shop book, a side on the positions of the machine class, a setting that was not typed on every name in its column,
a tax's name on the first row that spells it, the code of a job's own part on the book's row, and a code that is handed
on unread on the row that spells it. `_Cells` says which.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, replace
from functools import cached_property
from typing import Any, TypeVar

from quotekit.model.cell_names import NOT_FROM_CELLS, ROWS, header_of, headers_behind_finding
from quotekit.model.job import FoundFinding, Job, JobExtra, PlanItem
from quotekit.model.shop_book import FitsOnlyIf, LabourRate, Part, Settings, ShopBook, Tax
from quotekit.model.source import NOWHERE, Source
from quotekit.model.watched_reads import KeptValue, Seen, keep
from quotekit.problems import Place

Places = frozenset[Place]
Record = TypeVar("Record")

_NOTHING: Places = frozenset()
_LATE = frozenset({"parts"})
"""Fields that count as read only when what they hold is looked at: an item hands its parts on unread."""


def watched(book: ShopBook, job: Job, seen: Seen) -> tuple[ShopBook, Job]:
    """The same book and job, telling `seen` which cells are read."""
    watch = _Watch(seen, _Cells(book, job))
    return watch.of(book), watch.of(job)


def cells_of(source: Source, *headers: str) -> Places:
    """The cells of some columns in a row; a column that the sheet lacks has none."""
    letters = (source.columns.get(header) for header in headers)
    return frozenset(Place(source.file, source.sheet, f"{letter}{source.row}") for letter in letters if letter)


class _Cells:
    """The cells behind each field of each record."""

    def __init__(self, book: ShopBook, job: Job) -> None:
        self.book, self.job = book, job

    def behind(self, record: Any, field: str) -> Places:
        """The cells behind a field."""
        if field in NOT_FROM_CELLS:
            return _NOTHING
        if isinstance(record, FoundFinding):
            return self._of_finding(record, field)
        if isinstance(record, ShopBook):
            return _NOTHING
        if isinstance(record, Job):
            return self._of_job(field)
        if isinstance(record, Settings):
            return _field_cells(record.sources, header_of(Settings, field))
        return cells_of(record.source, header_of(type(record), field)) | self._elsewhere(record, field)

    def _elsewhere(self, record: Any, field: str) -> Places:
        """Cells of other rows that decide how a field reads."""
        if isinstance(record, JobExtra | PlanItem) and field == "side" and record.side is not None:
            return self.positions
        if isinstance(record, Tax) and field == "tax":
            return self._tax_names
        if isinstance(record, Tax) and field == "charges":
            return self._fee_codes
        if isinstance(record, LabourRate) and field == "code":
            first = next(row for row in self.book.labour_rates if row.code == record.code)
            return cells_of(first.source, "Code")
        if isinstance(record, Part) and field == "code" and record.code in self.book.parts:
            return cells_of(self.book.parts[record.code].source, "Code")
        if field == "labour":
            return self._rate_codes(record.labour)
        if isinstance(record, FitsOnlyIf) and field == "finding":
            return self._finding_codes([record.finding])
        return _NOTHING

    def _rate_codes(self, code: str | None) -> Places:
        """How the rows of a labour rate spell its code."""
        rows = (row for row in self.book.labour_rates if row.code == code)
        return _NOTHING.union(*(cells_of(row.source, "Code") for row in rows))

    def _finding_codes(self, codes: Iterable[str]) -> Places:
        """How the rows of findings spell their codes."""
        rows = (self.book.findings[code] for code in codes if code in self.book.findings)
        return _NOTHING.union(*(cells_of(row.source, "Code") for row in rows))

    def _of_finding(self, found: FoundFinding, field: str) -> Places:
        on_job, in_book = headers_behind_finding(field)
        finding = self.book.findings.get(found.code)
        if finding is not None and field == "name":
            on_job = ()
        if field in ("fault", "severity") and found.severity_typed:
            on_job, in_book = ("Severity",), ()
        elif field in ("fault", "severity", "judged") and found.measured is None:
            on_job = ("Measured", "Severity")
            in_book = ("Severity",) if field == "severity" else ()
        cells = cells_of(found.source, *on_job)
        if finding is not None:
            cells |= cells_of(finding.source, *in_book)
        if field == "also_check":
            cells |= self._finding_codes(found.also_check)
        return cells | self.positions if field == "side" and found.side is not None else cells

    def _of_job(self, field: str) -> Places:
        if field == "positions":
            return self.positions
        if field in ("machine_class", "machine_class_name"):
            return self._class
        if field in ROWS:
            return self._rows_of_job(field)
        if field == "labour_rate":
            return _field_cells(self.job.sources, "Labour rate") | self._rate_codes(self.job.labour_rate)
        return _field_cells(self.job.sources, header_of(Job, field))

    def _rows_of_job(self, field: str) -> Places:
        """What decides how many records a sheet of the job gives: what is named, and on which sides."""
        if field == "findings":
            each = ((found, name) for found in self.job.findings for name in ("code", "side"))
            return _NOTHING.union(*(self._of_finding(found, name) for found, name in each))
        sided: tuple[JobExtra | PlanItem, ...] = self.job.extras if field == "extras" else self.job.plan
        if field not in ("extras", "plan"):
            return _NOTHING
        return _NOTHING.union(*(self.behind(row, name) for row in sided for name in ("code", "side")))

    @cached_property
    def _class(self) -> Places:
        """Which class the machine is of: what the job says, and how the book spells it."""
        named: Iterable[tuple[Any, tuple[str, ...]]]
        if self.book.machines is None:
            rows = (*self.book.findings.values(), *self.book.extras.values(), *self.book.parts_used, *self.book.taxes)
            named = ((row, ("Machine",)) for row in rows)
        else:
            named = ((row, ("Code", "Machine class")) for row in self.book.machines.values())
        typed = _field_cells(self.job.sources, "Machine class")
        return typed.union(*(cells_of(row.source, *headers) for row, headers in named))

    @cached_property
    def positions(self) -> Places:
        """The positions of the machine's class."""
        machine = (self.book.machines or {}).get(self.job.machine_class)
        return self._class if machine is None else self._class | cells_of(machine.source, "Positions")

    @cached_property
    def _tax_names(self) -> Places:
        return _NOTHING.union(*(cells_of(row.source, "Tax") for row in self.book.taxes))

    @cached_property
    def _fee_codes(self) -> Places:
        return _NOTHING.union(*(cells_of(fee.source, "Code") for fee in self.book.fees.values()))


def _field_cells(sources: Mapping[str, Source], name: str) -> Places:
    """The name and the value of a setting or field; of one that is not typed, every name from first row to last."""
    source = sources.get(name)
    if source is not None:
        return cells_of(source, *source.columns)
    rows = [each.row for each in sources.values()]
    first = next(iter(sources.values()), NOWHERE)
    names = set(first.columns) - {"Value"}
    between = range(min(rows, default=0), max(rows, default=-1) + 1)
    return _NOTHING.union(*(cells_of(replace(first, row=row), *names) for row in between))


class _Watch:
    """Wraps records, once each, and what they hold."""

    def __init__(self, seen: Seen, cells: _Cells) -> None:
        self.seen, self.cells = seen, cells
        self._made: dict[int, tuple[Any, Any]] = {}

    def of(self, record: Record) -> Record:
        """The watched twin of a record."""
        known = self._made.get(id(record))
        if known is None:
            twin: Any = object.__new__(_watched_kind(type(record)))
            values = {each.name: self._held(getattr(record, each.name)) for each in fields(record)}  # type: ignore[arg-type]
            twin.__dict__.update(values, _watch=_OfRecord(self, record))
            known = self._made[id(record)] = (record, twin)
        twin_of: Record = known[1]
        return twin_of

    def _held(self, value: Any) -> Any:
        """What a field holds: records and rows of records are watched too."""
        if isinstance(value, Mapping) and all(_is_row(each) for each in value.values()):
            return WatchedRows(self, value)
        if isinstance(value, tuple) and value and all(_is_row(each) for each in value):
            return tuple(self.of(each) for each in value)
        return self.of(value) if isinstance(value, Settings) else value


class _OfRecord:
    """Logs the reads of one record."""

    def __init__(self, watch: _Watch, record: Any) -> None:
        self.watch, self.record = watch, record
        self.known: dict[str, Places] = {}
        self.worked_out: dict[str, KeptValue[Any]] = {}

    def behind(self, field: str) -> Places:
        """The cells behind a field, looked up once."""
        found = self.known.get(field)
        if found is None:
            found = self.known[field] = self.watch.cells.behind(self.record, field)
        return found


class WatchedRows(Mapping[str, Any]):
    """Rows by code: what is looked up or gone through logs the code cells."""

    def __init__(self, watch: _Watch, rows: Mapping[str, Any]) -> None:
        self._watch, self._rows = watch, rows

    def __getitem__(self, code: str) -> Any:
        row = self._rows.get(code)
        if row is None:
            self._watch.seen.read(self._every_code)
            raise KeyError(code)
        twin = self._watch.of(row)
        _ = twin.code
        return twin

    def __iter__(self) -> Iterator[str]:
        for code, row in self._rows.items():
            _ = self._watch.of(row).code
            yield code

    def __len__(self) -> int:
        return len(self._rows)

    def values(self) -> Any:
        """Every row in order; what is read of each is logged by itself."""
        return [self._watch.of(row) for row in self._rows.values()]

    @cached_property
    def _every_code(self) -> Places:
        return _NOTHING.union(*(self._watch.cells.behind(row, "code") for row in self._rows.values()))


class WatchedParts(tuple[Any, ...]):
    """A quantity list that logs its cell when it is looked at."""

    log: Any

    def __iter__(self) -> Iterator[Any]:
        self.log()
        return super().__iter__()

    def __len__(self) -> int:
        self.log()
        return super().__len__()

    def __getitem__(self, at: Any) -> Any:
        self.log()
        return super().__getitem__(at)

    def __contains__(self, one: object) -> bool:
        self.log()
        return super().__contains__(one)

    def __eq__(self, other: object) -> bool:
        self.log()
        return super().__eq__(other)

    def __hash__(self) -> int:
        self.log()
        return super().__hash__()

    def __add__(self, other: Any) -> Any:
        self.log()
        return super().__add__(other)


_KINDS: dict[type, type] = {}


def _watched_kind(kind: type) -> type:
    """The subclass of a record class whose reads are logged."""
    found = _KINDS.get(kind)
    if found is None:
        names = frozenset(each.name for each in fields(kind))
        later = {
            name for base in kind.__mro__ for name, held in vars(base).items() if isinstance(held, cached_property)
        }
        members = {name: _worked_out(name, kind) for name in later}
        found = type(kind.__name__, (kind,), {"__getattribute__": _reader(names), **members})
        _KINDS[kind] = found
    return found


def _reader(names: frozenset[str]) -> Any:
    def read(self: Any, name: str) -> Any:
        value = object.__getattribute__(self, name)
        if name in names:
            watch = object.__getattribute__(self, "__dict__").get("_watch")
            if watch is not None:
                return _logged(watch, name, value)
        return value

    return read


def _logged(watch: _OfRecord, name: str, value: Any) -> Any:
    places = watch.behind(name)
    if name in _LATE and type(value) is tuple and not isinstance(watch.record, Job | ShopBook):
        late = WatchedParts(value)
        late.log = lambda: watch.watch.seen.read(places)
        return late
    watch.watch.seen.read(places)
    return value


def _worked_out(name: str, kind: type) -> property:
    """A value that a record keeps once worked out, kept with what was read for it."""
    rule = next(base.__dict__[name] for base in kind.__mro__ if name in vars(base)).func

    def read(self: Any) -> Any:
        watch = self.__dict__.get("_watch")
        if watch is None:
            return rule(self)
        seen = watch.watch.seen
        found = watch.worked_out.get(name)
        if found is None:
            found = watch.worked_out[name] = keep(seen, "rows of the shop book", lambda: rule(self))
        return found.use(seen)

    return property(read)


def _is_row(value: Any) -> bool:
    return hasattr(type(value), "_declared") and "source" in type(value)._declared.names
