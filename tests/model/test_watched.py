"""A watched book and job are the same book and job, and no cell is read unseen."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.documents.quote_json import lay_out_quote_json
from quotekit.model.cell_names import header_of, headers_behind_finding
from quotekit.model.job import FoundFinding, Job
from quotekit.model.shop_book import ShopBook
from quotekit.model.watched import watched
from quotekit.model.watched_reads import Seen
from quotekit.pricing import build_quote
from tests.random_jobs import a_random_case
from tests.workbook.books import good_book, good_job

Read = Callable[[ShopBook, Job], object]


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> tuple[ShopBook, Job]:
    folder: Path = tmp_path_factory.mktemp("watched")
    book = good_book(folder)
    return book, good_job(folder, book=book)


def cells_read(pair: tuple[ShopBook, Job], rule: Read) -> set[str]:
    """Sheet and cell of what a rule reads."""
    seen = Seen()
    book, job = watched(*pair, seen)
    with seen.frame("rule") as reads:
        rule(book, job)
    return {f"{place.sheet}!{place.cell}" for places in reads.values() for place in places}


def cell(record: Any, *headers: str) -> set[str]:
    """Sheet and cell of a record's columns."""
    return {f"{record.source.sheet}!{record.source.columns[header]}{record.source.row}" for header in headers}


def rows(book: ShopBook, job: Job) -> Iterator[Any]:
    """Every record of both that came from a row."""
    for holder in (book, job):
        for each in fields(holder):
            held = getattr(holder, each.name)
            for row in held.values() if hasattr(held, "values") else held if isinstance(held, tuple) else ():
                if hasattr(row, "source"):
                    yield row


def test_a_rule_that_reads_a_field_is_seen(pair: tuple[ShopBook, Job]) -> None:
    """The watch itself: a double of a rule reads one field of one row, and that cell is named."""
    part = next(iter(pair[0].parts.values()))

    def rule(book: ShopBook, job: Job) -> object:
        return next(row for row in book.parts.values()).pack_cost

    assert cells_read(pair, rule) == cell(part, "Pack cost")


def test_every_field_of_every_row_is_seen_when_it_is_read(pair: tuple[ShopBook, Job]) -> None:
    """Whatever a later rule reads: no field of any row can be read unseen where its sheet has a cell for it."""
    seen = Seen()
    watched_rows = rows(*watched(*pair, seen))
    checked = 0
    for row in watched_rows:
        for name in (each.name for each in fields(row) if each.name != "source"):
            with seen.frame("rule") as reads:
                held = getattr(row, name)
                _ = len(held) if isinstance(held, tuple) else held
            checked += 1
            assert bool(reads["rule"]) == has_a_cell(row, name, pair[0]), f"{type(row).__name__}.{name}"
    assert checked > 300


def has_a_cell(row: Any, name: str, book: ShopBook) -> bool:
    """True where the row's sheet, or the sheet its finding comes from, has a column for a field."""
    if isinstance(row, FoundFinding):
        known = book.findings.get(row.code)
        on_job, in_book = headers_behind_finding(name)
        if row.code.startswith("OTHER"):
            return any(header in row.source.columns for header in on_job)
        there = known.source.columns if known is not None else {}
        on_job = () if name == "name" else on_job
        return any(header in row.source.columns for header in on_job) or any(header in there for header in in_book)
    return header_of(type(row).__mro__[1], name) in row.source.columns


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        (lambda book, job: book.settings.currency, {"Shop": 2}),
        (lambda book, job: job.quote_date, {"Job": 2}),
        (lambda book, job: book.parts_used_by.get("NOTHING"), {"Parts used": 1}),
    ],
)
def test_sheets_that_a_read_names(pair: tuple[ShopBook, Job], rule: Read, expected: dict[str, int]) -> None:
    """A setting and a job field hang on their name and their value; a look-up by user on every row's user."""
    found = cells_read(pair, rule)
    for sheet, least in expected.items():
        assert len([name for name in found if name.startswith(f"{sheet}!")]) >= least
    assert {name.split("!")[0] for name in found} == set(expected)


def test_a_setting_that_was_not_typed_hangs_on_every_name(pair: tuple[ShopBook, Job]) -> None:
    """One of them could be renamed to it."""
    book, _ = pair
    absent = next(name for name in ("queue_days", "sublet_markup", "interest_a_year") if _untyped(book, name))
    found = cells_read(pair, lambda book, job: getattr(book.settings, absent))
    assert len(found) == len(book.settings.sources)
    assert all(name.startswith("Shop!A") for name in found)


def _untyped(book: ShopBook, name: str) -> bool:
    return name.replace("_", " ").capitalize() not in book.settings.sources


def test_a_look_up_by_code_reads_that_rows_code_or_where_it_fails_all_codes(pair: tuple[ShopBook, Job]) -> None:
    book, _ = pair
    first = next(iter(book.parts.values()))
    assert cells_read(pair, lambda book, job: book.parts[first.code]) == cell(first, "Code")
    every = set().union(*(cell(part, "Code") for part in book.parts.values()))
    assert cells_read(pair, lambda book, job: book.parts.get("NO-SUCH-PART")) == every
    assert cells_read(pair, lambda book, job: [*book.parts]) == every


def test_going_through_rows_reads_only_what_is_read_of_each(pair: tuple[ShopBook, Job]) -> None:
    book, _ = pair
    found = cells_read(pair, lambda book, job: [part.supplier for part in book.parts.values()])
    assert found == set().union(*(cell(part, "Supplier") for part in book.parts.values()))


def test_parts_of_an_operation_count_as_read_when_they_are_looked_at(pair: tuple[ShopBook, Job]) -> None:
    """An item hands its quantity list on; only who goes through it hangs on it."""
    operation = next(row for row in pair[0].operations.values() if "Parts" in row.source.columns)

    def unread(book: ShopBook, job: Job) -> object:
        return next(row for row in book.operations.values()).parts

    assert cells_read(pair, unread) == set()
    for look in (len, list, bool, lambda parts: "x" in parts, hash, lambda parts: parts == (), lambda parts: parts[:1]):
        assert cells_read(pair, lambda book, job, look=look: look(unread(book, job))) == cell(operation, "Parts")  # type: ignore[misc]


def test_a_recorded_finding_hangs_on_its_row_and_on_the_books(pair: tuple[ShopBook, Job]) -> None:
    book, job = pair
    found = next(row for row in job.findings if row.measured is not None and row.code in book.findings)
    known = book.findings[found.code]
    at = job.findings.index(found)
    seen = Seen()
    twin = watched(*pair, seen)[1].findings[at]
    with seen.frame("rule") as reads:
        assert twin.fault == found.fault
    named = {f"{place.sheet}!{place.cell}" for place in reads["rule"]}
    wanted = [header for header in ("Unit", "Fails when", "Limit") if header in known.source.columns]
    on_job = [header for header in ("Measured", "Unit", "Limit", "Severity") if header in found.source.columns]
    assert named == cell(found, *on_job) | cell(known, *wanted)


def test_a_changed_copy_of_a_watched_record_has_been_read_whole(pair: tuple[ShopBook, Job]) -> None:
    """A rule that asks what if another life were stated makes a copy; what it took over was read."""
    remedy = next(iter(pair[0].remedies.values()))

    def rule(book: ShopBook, job: Job) -> object:
        twin = next(row for row in book.remedies.values())
        return replace(twin, life_years=Decimal(9)).kind

    assert cell(remedy, "Kind", "Fixes", "Operations") <= cells_read(pair, rule)


def test_types_and_values_stay(pair: tuple[ShopBook, Job]) -> None:
    book, job = watched(*pair, Seen())
    assert isinstance(book, ShopBook) and isinstance(job, Job)
    assert book.parts["SHAFT" if "SHAFT" in pair[0].parts else next(iter(pair[0].parts))].code in pair[0].parts
    assert next(iter(book.parts.values())) is next(iter(book.parts.values())), "one twin a record"
    assert len(book.parts) == len(pair[0].parts) and list(book.parts) == list(pair[0].parts)


@pytest.mark.parametrize("seed", range(0, 60, 2))
def test_a_watched_book_and_job_give_the_same_quote(seed: int) -> None:
    """Byte for byte, on random books and jobs."""
    book, job = a_random_case(seed)
    assert _json(build_quote(*watched(book, job, Seen()))) == _json(build_quote(book, job))


def _json(quote: Any) -> str:
    return json.dumps(lay_out_quote_json(quote))
