"""What the shop's ledger promises, on a file and on a server: entries at the end, in order, whole, for ever."""

from __future__ import annotations

import hashlib
import re
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotekit.ledger.chain import START, hash_of
from quotekit.ledger.check import check_ledger
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Issued, KeptFile, Noted, Paid
from tests.ledger.by_hand import change, changing
from tests.ledger.drafts import DAY, add, add_issued, issued, noted, paid, season


def test_an_entry_is_kept_as_it_was_told(ledger: Ledger) -> None:
    """With its place, the time, who and why, and it reads as the record it was."""
    (made,) = add(ledger, paid("60.00"))
    (kept,) = ledger.entries()
    assert kept == made
    assert (kept.seq, kept.kind, kept.job, kept.day, kept.who) == (1, "paid", "117", DAY, "Ida")
    assert kept.told(Paid) == Paid(amount=Decimal("60.00"), purpose="deposit", how="cash")
    assert str(kept.told(Paid).amount) == "60.00"


def test_the_time_is_utc_to_the_microsecond(ledger: Ledger) -> None:
    (made,) = add(ledger, noted())
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z", made.at)


def test_entries_stand_in_their_order_without_a_gap(ledger: Ledger) -> None:
    season(ledger)
    assert [entry.seq for entry in ledger.entries()] == [1, 2, 3, 4, 5, 6, 7]


def test_each_entry_seals_the_one_before(ledger: Ledger) -> None:
    season(ledger)
    entries = ledger.entries()
    assert [entry.before for entry in entries] == [START, *(entry.hash for entry in entries[:-1])]
    assert len({entry.hash for entry in entries}) == 7


def test_it_is_all_there_when_it_is_opened_again(address: str) -> None:
    with open_ledger(address) as ledger:
        season(ledger)
        before = ledger.entries()
    with open_ledger(address) as ledger:
        assert ledger.entries() == before


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ({"job": "117"}, [1, 2, 3, 5, 6]),
        ({"job": " 117 "}, [1, 2, 3, 5, 6]),
        ({"job": "no such job"}, []),
        ({"kinds": ["paid"]}, [5, 7]),
        ({"kinds": ["paid", "issued"]}, [1, 4, 5, 7]),
        ({"job": "117", "kinds": ["paid"]}, [5]),
        ({"first": date(2026, 11, 28), "last": date(2026, 11, 28)}, [1, 2, 3, 4, 5, 6, 7]),
        ({"first": date(2026, 11, 29)}, []),
        ({"last": date(2026, 11, 27)}, []),
    ],
)
def test_entries_are_found_by_job_kind_and_day(ledger: Ledger, asked: dict[str, object], expected: list[int]) -> None:
    season(ledger)
    assert [entry.seq for entry in ledger.entries(**asked)] == expected  # type: ignore[arg-type]


def test_the_day_is_the_shops_not_the_clocks(ledger: Ledger) -> None:
    """What happened on Monday and is typed on Tuesday is found under Monday; both ends of a period belong to it."""
    add(ledger, *(noted(day=date(2026, 3, day)) for day in (1, 2, 3, 4)))
    found = ledger.entries(first=date(2026, 3, 2), last=date(2026, 3, 3))
    assert [entry.seq for entry in found] == [2, 3]


def test_job_numbers_compare_without_case_and_outer_spaces(ledger: Ledger) -> None:
    add(ledger, noted(job="A-7"), noted(job=" a-7 "), noted(job="A-70"))
    assert [entry.seq for entry in ledger.entries("a-7")] == [1, 2]
    assert [entry.job for entry in ledger.entries()] == ["A-7", "a-7", "A-70"]


def test_jobs_are_those_with_a_quote_in_the_order_of_their_first(ledger: Ledger) -> None:
    add(ledger, noted(job="never issued"))
    for job in ("b", "a", "B"):
        add_issued(ledger, job=job)
    assert [job.casefold() for job in ledger.jobs()] == ["b", "a"]


def test_a_story_is_told_by_the_entries(ledger: Ledger) -> None:
    season(ledger)
    story = ledger.story("117")
    assert [told.entry.seq for told in story.issued] == [1]
    assert story.paid_so_far == Decimal("60.00")
    assert story.documents_of(story.issued[0].entry) is not None


@pytest.mark.parametrize("kind", ["paid", "painted"])
def test_an_entry_that_is_not_understood_stops_the_story(address: str, kind: str) -> None:
    """It may come from a newer quotekit: better no answer than one without it."""
    with open_ledger(address) as ledger:
        season(ledger)
        change(address, f"UPDATE entries SET kind = '{kind}', body = '{{}}' WHERE seq = 3")
        with pytest.raises(LedgerFault) as refused:
            ledger.story("117")
    assert refused.value.problem.code == "ledger-unreadable"
    assert "quotekit ledger check" in refused.value.problem.remedy


# numbers


def test_numbers_and_versions_go_up_by_one(ledger: Ledger) -> None:
    """The number runs over all jobs, the version over those of one."""
    made = [add_issued(ledger, job=job) for job in ("117", "118", "117", "117", "118")]
    assert [entry.number for entry in made] == [1, 2, 3, 4, 5]
    assert [entry.version for entry in made] == [1, 1, 2, 3, 2]


def test_what_comes_next_is_one_more_than_the_last(ledger: Ledger) -> None:
    assert (ledger.next_number("issued"), ledger.next_number("billed"), ledger.next_version("117")) == (1, 1, 1)
    season(ledger)
    assert (ledger.next_number("issued"), ledger.next_number("billed"), ledger.next_version("117")) == (3, 1, 2)
    assert ledger.next_version("119") == 1


@pytest.mark.parametrize(("version", "number", "job"), [(1, 9, "117"), (9, 1, "119"), (1, 9, " 117")])
def test_a_number_or_version_that_is_taken_is_refused(ledger: Ledger, version: int, number: int, job: str) -> None:
    """By the database itself, whatever a program thinks."""
    season(ledger)
    before = ledger.entries()
    with pytest.raises(LedgerFault) as refused, ledger.writing() as writing:
        kept = writing.keep_file("job.xlsx", b"third")
        writing.append(issued(kept, version=version, number=number, job=job))
    assert refused.value.problem.code == "ledger-refused"
    assert ledger.entries() == before
    assert check_ledger(ledger).problems == []


# all or nothing


def test_a_transaction_that_fails_leaves_nothing(ledger: Ledger) -> None:
    season(ledger)
    before = check_ledger(ledger)
    with pytest.raises(ZeroDivisionError), ledger.writing() as writing:
        kept = writing.keep_file("job.xlsx", b"third")
        writing.append(issued(kept, version=7, number=7, job="119"))
        writing.append(noted())
        raise ZeroDivisionError
    assert check_ledger(ledger) == before
    assert before.problems == []


def test_an_entry_can_name_only_files_that_are_kept(ledger: Ledger) -> None:
    stranger = KeptFile(name="job.xlsx", sha256="ab" * 32)
    with pytest.raises(LedgerFault), ledger.writing() as writing:
        writing.append(issued(stranger))
    assert ledger.entries() == []


# files


def test_bytes_are_kept_by_their_digest_once(ledger: Ledger) -> None:
    """A shop book that stands under a hundred quotes is kept once."""
    data = bytes(range(256)) * 500
    for job in ("117", "118", "119"):
        add_issued(ledger, data, job=job)
    digest = hashlib.sha256(data).hexdigest()
    assert ledger.entries()[2].told(Issued).book == KeptFile(name="job.xlsx", sha256=digest)
    assert ledger.file(digest) == data
    assert check_ledger(ledger).files == 1


@pytest.mark.parametrize("data", [b"", b"\0", b"PK\x03\x04" * 1000, bytes(300_000)])
def test_any_bytes_come_back(ledger: Ledger, data: bytes) -> None:
    add_issued(ledger, data)
    assert ledger.file(hashlib.sha256(data).hexdigest()) == data


@pytest.mark.parametrize("statement", ["UPDATE files SET packed = ?", "DELETE FROM files WHERE packed <> ?"])
def test_a_file_that_was_lost_is_not_taken_for_another(address: str, statement: str) -> None:
    """Not the wrong bytes, and not none: a problem that says what to do."""
    with open_ledger(address) as ledger:
        add_issued(ledger, b"a workbook")
        with changing(address) as execute:
            if statement.startswith("DELETE"):
                execute("DELETE FROM entry_files")
            execute(statement, (b"no longer packed",))
        with pytest.raises(LedgerFault) as refused:
            ledger.file(hashlib.sha256(b"a workbook").hexdigest())
    assert refused.value.problem.code == "ledger-file-lost"
    assert "backup" in refused.value.problem.remedy


# texts


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(texts=st.lists(st.text(), min_size=4, max_size=4))
def test_any_text_is_kept_and_sealed(ledger: Ledger, texts: list[str]) -> None:
    """Signs no database likes too: half letters of a file name in another coding, and the letter zero."""
    text, who, why, job = texts
    draft = noted(text, job=job)
    with ledger.writing() as writing:
        kept = writing.append(type(draft)(kind="noted", job=job, body=draft.body, day=DAY, who=who, why=why))
    assert ledger.entries()[-1] == kept
    assert kept.told(Noted).text == text
    assert check_ledger(ledger).problems == []


@pytest.mark.parametrize("name", ["Rechnung für Ärger.xlsx", "photo \udce4.jpg", "a\0b.xlsx", "=1+1.xlsx", "x" * 300])
def test_any_file_name_is_kept(ledger: Ledger, name: str) -> None:
    with ledger.writing() as writing:
        writing.append(issued(writing.keep_file(name, b"bytes")))
    assert ledger.entries()[0].told(Issued).book.name == name
    assert check_ledger(ledger).problems == []


# never changed


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entries SET who = 'Somebody'",
        "UPDATE entries SET seq = seq + 100",
        "DELETE FROM entries WHERE seq = 7",
        "UPDATE files SET name = 'other.xlsx'",
        "DELETE FROM files",
        "UPDATE entry_files SET seq = 2",
        "DELETE FROM entry_files",
    ],
)
def test_the_database_forbids_change_and_removal(ledger: Ledger, statement: str) -> None:
    """A slip in another program, or a curious hand, gets an error in place of a changed ledger."""
    from sqlalchemy.exc import DatabaseError

    season(ledger)
    before = check_ledger(ledger)
    connection = ledger.raw_connection()
    with pytest.raises(DatabaseError, match="are never changed"), connection.begin():
        connection.exec_driver_sql(statement)
    assert check_ledger(ledger) == before


def test_a_hash_is_of_everything_the_entry_holds(ledger: Ledger) -> None:
    from quotekit.ledger.rows import sealed_in
    from quotekit.ledger.tables import ENTRIES

    season(ledger)
    for row in ledger.each_row(ENTRIES.select()):
        sealed = sealed_in(row)
        assert hash_of(sealed) == row["hash"]
        assert set(row) - set(sealed._fields) == {"job_key", "hash"}


def test_the_last_entry_of_all_of_jobs_and_of_the_shop(ledger: Ledger) -> None:
    """Job numbers are told apart as a person would; "" is what belongs to no job."""
    assert (ledger.last_seq(), ledger.last_seq("117")) == (0, 0)
    with ledger.writing() as writing:
        for job in ("A1", "", "b2"):
            writing.append(noted(job=job))
    assert [ledger.last_seq(*jobs) for jobs in ((), ("a1",), ("B2",), ("",), ("a1", ""), ("c3",))] == [3, 1, 3, 2, 2, 0]
