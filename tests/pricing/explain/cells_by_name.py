"""The cells behind a figure by their headings, stage by stage, and every number of a small book changed in turn.

>>> from tests.pricing.explain.small import a_shop
>>> numbers(cells(a_shop())["hours.access"])
{'hours': 'COVER: Hours to close; COVER: Hours to open'}
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from typing import Any

from quotekit.documents.quote_json import tier_json
from quotekit.model.cell_names import header_of, is_read_from_cells
from quotekit.model.job import FoundFinding, Job
from quotekit.model.shop_book import Settings, ShopBook
from quotekit.model.source import Source
from quotekit.model.watched import watched
from quotekit.model.watched_reads import Reads, Seen
from quotekit.pricing import build_quote
from quotekit.pricing.explain.cells import FigureCells, cells_behind
from quotekit.pricing.explain.cells_charges import WORK
from quotekit.pricing.explain.cells_choice import CHOICE, LateSetup
from quotekit.problems import Place, has_errors
from tests import build
from tests.completeness.figures import figures_of_tier
from tests.pricing.explain.small import job_of, typed

DECIDES = (CHOICE, WORK)
"""Stages that decide what is done, and are the same for most figures."""
NUMBERS = frozenset(
    name.removesuffix("_").replace("_", " ").capitalize()
    for name in (*build._NUMBERS, "lead_days", "sublet_days", "queue_days", "in_force_from", "slowed_by_rust", "shelf")
)
"""Headings of numbers, dates and of yes or no; the others hold codes, by which rows are found."""


def pair_of(book: ShopBook, job: Job | None = None) -> tuple[ShopBook, Job]:
    """Book and job with a cell for every field; each setting and each field of the job is a sheet by its name."""
    typed_book, typed_job = typed(book), typed(job or job_of(book))
    settings = replace(typed_book.settings, sources=_each_typed(Settings))
    return replace(typed_book, settings=settings), replace(typed_job, sources=_each_typed(Job))


def _each_typed(kind: Any) -> dict[str, Source]:
    names = (header_of(kind, each.name) for each in fields(kind) if is_read_from_cells(kind, each.name))
    return {name: Source(file="book", sheet=name, row=1, columns={"Value": "Value "}) for name in names}


_FIELDS = frozenset(f"{name}: Value" for kind in (Settings, Job) for name in _each_typed(kind))


def late(book: ShopBook, job: Job | None = None) -> LateSetup:
    """A setup on the watched book and job."""
    seen = Seen()
    return LateSetup(seen, *watched(*pair_of(book, job), seen))


def told(places: Iterable[Place]) -> str:
    """Cells as `SHEET: Heading`, in text order."""
    return "; ".join(sorted(f"{place.sheet}: {place.cell.removesuffix(' 1')}" for place in places))


def by_stage(reads: Reads | Mapping[str, Iterable[Place]]) -> dict[str, str]:
    """Cells of each stage that read any."""
    return {stage: told(places) for stage, places in reads.items() if list(places)}


def cells(book: ShopBook, job: Job | None = None, tier: str = "good") -> FigureCells:
    """Cells of every figure of a tier."""
    return cells_behind(*pair_of(book, job), tier)


def numbers(reads: Reads | Mapping[str, Iterable[Place]]) -> dict[str, str]:
    """Cells that hold numbers, of each stage that does not decide what is done."""
    kept = {stage: [place for place in places if _is_number(place)] for stage, places in reads.items()}
    return {stage: said for stage, said in by_stage(kept).items() if stage not in DECIDES}


def numbers_of(reads: Reads | Mapping[str, Iterable[Place]]) -> frozenset[str]:
    """The same in one set; a setting, or a field of the job, by its name alone."""
    said = (cell for each in numbers(reads).values() for cell in each.split("; "))
    return frozenset(cell.removesuffix(": Value") if cell in _FIELDS else cell for cell in said)


def assert_same_sets(made: Mapping[str, frozenset[str]], expected: Mapping[str, frozenset[str]]) -> None:
    """Each set is the expected one; else what is too much and what is missing."""
    names = [name for name in expected if made[name] != expected[name]]
    wrong = {n: (sorted(made[n] - expected[n]), sorted(expected[n] - made[n])) for n in names}
    assert not wrong, f"too much, and missing: {wrong}"


def _is_number(place: Place) -> bool:
    heading = place.cell.removesuffix(" 1")
    return heading in NUMBERS or (heading == "Value" and place.sheet in NUMBERS)


def assert_unnamed_leave_it(book: ShopBook, job: Job | None = None, *, fewest: int = 20) -> None:
    """Changing a number moves no figure that does not name its cell; `fewest` changes have moved some figure."""
    typed_book, typed_job = pair_of(book, job)
    known = cells_behind(typed_book, typed_job, "good")
    before, moving = _figures(typed_book, typed_job), 0
    assert before is not None
    for place, other_book, other_job in _changes(typed_book, typed_job):
        after = _figures(other_book, other_job)
        if after is None:
            continue
        moved = {name for name in known if name in before and after.get(name, "gone") != before[name]}
        unnamed = sorted(name for name in moved if place not in known.all_of(name))
        assert unnamed == [], f"{told([place])} moves {unnamed}, which do not name it"
        moving += bool(moved)
    assert moving >= fewest, f"only {moving} changes moved a figure"


def _figures(book: ShopBook, job: Job) -> dict[str, Any] | None:
    try:
        quote = build_quote(book, job)
    except ValueError:  # a markup that has no band for a cost: the reader of a book refuses it
        return None
    tier = next((one for one in quote.tiers if one.code == "good"), None)
    return None if has_errors(quote.problems) or tier is None else figures_of_tier(dict(tier_json(tier, 2)))


def _changes(book: ShopBook, job: Job) -> Iterator[tuple[Place, ShopBook, Job]]:
    """Each number one more, and each yes or no the other way, with its cell."""
    for place, other in _other(book):
        yield place, other, job
    for place, other in _other(job):
        yield place, book, other


def _other(record: Any) -> Iterator[tuple[Place, Any]]:
    """The record with one cell changed, for each cell of it and of its rows."""
    for each in fields(record):
        value = getattr(record, each.name)
        if is_dataclass(value) and not isinstance(value, Source):
            yield from ((place, replace(record, **{each.name: made})) for place, made in _other(value))
        elif isinstance(value, Mapping) and each.name != "sources":
            for key, row in value.items():
                yield from ((place, replace(record, **{each.name: {**value, key: made}})) for place, made in _row(row))
        elif isinstance(value, tuple):
            for at, row in enumerate(value):
                changed = ((place, (*value[:at], made, *value[at + 1 :])) for place, made in _row(row))
                yield from ((place, replace(record, **{each.name: rows})) for place, rows in changed)
        elif isinstance(value, (Decimal, bool)) and is_read_from_cells(type(record), each.name):
            changed_value = (not value) if isinstance(value, bool) else value + 1
            yield _place(record, each.name), replace(record, **{each.name: changed_value})


def _row(row: Any) -> Iterator[tuple[Place, Any]]:
    if is_dataclass(row) and hasattr(row, "source") and not isinstance(row, FoundFinding):
        yield from _other(row)


def _place(record: Any, field: str) -> Place:
    header = header_of(type(record), field)
    if hasattr(record, "sources"):
        return Place("book", header, "Value 1")
    return Place("book", record.source.sheet, f"{header} 1")
