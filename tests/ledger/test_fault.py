"""What a database complains of, in words for a person: by its own numbers, else by what the driver says."""

from __future__ import annotations

import errno
import sqlite3

import pytest
from sqlalchemy.exc import DBAPIError, OperationalError

from quotekit.ledger.fault import LedgerFault, busy, disk_fault, fault, in_plain_words, unsure
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger.drafts import add, noted
from tests.ledger.postgres import Server


class Complaint(Exception):
    """As a driver raises it."""

    def __init__(self, said: str, *, sqlite: str | None = None, state: str | None = None) -> None:
        super().__init__(said)
        if sqlite:
            self.sqlite_errorname = sqlite
        self.sqlstate = state


def told(raised: BaseException) -> LedgerFault:
    """What is made of an exception."""
    with pytest.raises(LedgerFault) as found, in_plain_words("shop ledger.db"):
        raise raised
    assert str(found.value.problem.place) == "shop ledger.db"
    assert found.value.problem.severity == "error"
    assert found.value.problem.remedy.endswith(".")
    return found.value


def wrapped(complaint: Complaint) -> DBAPIError:
    """As the database library hands it on, with its own words around."""
    return OperationalError("INSERT INTO entries ...", {"secret": "value"}, complaint)


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("SQLITE_BUSY", "ledger-busy"),
        ("SQLITE_BUSY_SNAPSHOT", "ledger-busy"),
        ("SQLITE_LOCKED", "ledger-busy"),
        ("SQLITE_FULL", "ledger-disk"),
        ("SQLITE_IOERR_WRITE", "ledger-disk"),
        ("SQLITE_IOERR_FSYNC", "ledger-disk"),
        ("SQLITE_READONLY", "ledger-read-only"),
        ("SQLITE_READONLY_DIRECTORY", "ledger-read-only"),
        ("SQLITE_CANTOPEN", "ledger-folder"),
        ("SQLITE_NOTADB", "ledger-damaged"),
        ("SQLITE_CORRUPT", "ledger-damaged"),
        ("SQLITE_CORRUPT_INDEX", "ledger-damaged"),
        ("SQLITE_CONSTRAINT_TRIGGER", "ledger-refused"),
    ],
)
def test_sqlite_by_the_name_of_its_code(name: str, code: str) -> None:
    assert told(wrapped(Complaint("something", sqlite=name))).problem.code == code


@pytest.mark.parametrize(
    ("state", "code"),
    [
        ("55P03", "ledger-busy"),
        ("53300", "ledger-busy"),
        ("40P01", "ledger-busy"),
        ("53100", "ledger-disk"),
        ("58030", "ledger-disk"),
        ("25006", "ledger-read-only"),
        ("42501", "ledger-read-only"),
        ("XX001", "ledger-damaged"),
        ("28P01", "ledger-login"),
        ("28000", "ledger-login"),
        ("3D000", "ledger-login"),
        ("08006", "ledger-gone"),
        ("57P01", "ledger-gone"),
        ("57P03", "ledger-gone"),
        ("23505", "ledger-refused"),
        ("42P01", "ledger-refused"),
    ],
)
def test_a_server_by_its_state_whatever_its_language(state: str, code: str) -> None:
    assert told(wrapped(Complaint("Der Datenträger ist voll", state=state))).problem.code == code


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ('connection failed: connection to server at "10.0.0.1", port 5432 failed: Connection refused', "ledger-gone"),
        ('connection failed: FATAL:  password authentication failed for user "anna"', "ledger-login"),
        ('connection failed: FATAL:  role "anna" does not exist', "ledger-login"),
        ('connection failed: FATAL:  database "shop" does not exist', "ledger-login"),
        ('connection failed: FATAL:  no pg_hba.conf entry for host "10.0.0.9"', "ledger-login"),
        ("connection failed: fe_sendauth: no password supplied", "ledger-login"),
        ("connection failed: FATAL:  sorry, too many clients already", "ledger-busy"),
        ("connection failed: FATAL:  the database system is starting up", "ledger-gone"),
        ("failed to resolve host 'countre': [Errno -2] Name or service not known", "ledger-gone"),
        ("connection timeout expired", "ledger-gone"),
        ("consuming input failed: server closed the connection unexpectedly", "ledger-gone"),
        ("the connection is lost", "ledger-gone"),
        ('invalid port number: "port"', "ledger-address"),
        ('invalid connection option "sslmod"', "ledger-address"),
        ("something never heard of", "ledger-refused"),
    ],
)
def test_a_driver_without_a_number_by_its_words(said: str, code: str) -> None:
    assert told(wrapped(Complaint(said))).problem.code == code


def test_the_drivers_own_exceptions_are_told_too() -> None:
    """Where the library is not between: settings of a file are made on the bare connection."""
    with pytest.raises(sqlite3.OperationalError) as real:
        sqlite3.connect("/no such folder/l.db")
    assert told(real.value).problem.code == "ledger-folder"


def test_no_statement_and_no_value_is_shown() -> None:
    """The library's own text holds the statement with what a person typed, and a link to its pages."""
    problem = told(wrapped(Complaint("something never heard of."))).problem
    assert problem.message == "The ledger refused it: something never heard of."
    assert "secret" not in problem.message + problem.remedy


def test_a_long_complaint_is_cut() -> None:
    assert len(told(wrapped(Complaint("x " * 1000))).problem.message) < 250


def test_what_is_no_complaint_of_the_database_goes_on() -> None:
    with pytest.raises(ZeroDivisionError), in_plain_words("shop ledger.db"):
        raise ZeroDivisionError


@pytest.mark.parametrize(
    ("number", "code"),
    [
        (errno.EACCES, "ledger-read-only"),
        (errno.EROFS, "ledger-read-only"),
        (errno.ENOSPC, "ledger-disk"),
        (errno.EDQUOT, "ledger-disk"),
        (errno.EFBIG, "ledger-disk"),
        (errno.ENOENT, "ledger-folder"),
    ],
)
def test_the_disks_complaints(number: int, code: str) -> None:
    assert disk_fault("shop ledger.db", OSError(number, "said")).problem.code == code


def test_who_waits_is_told_how_long() -> None:
    problem = busy("shop ledger.db", 60).problem
    assert (problem.code, problem.message) == (
        "ledger-busy",
        "Another command has been using the ledger for more than 60 seconds.",
    )


@pytest.mark.parametrize(
    ("before", "words"),
    [(False, "may have been recorded or not"), (True, "It is recorded; that its documents are written may be, or not")],
)
def test_a_server_that_may_have_kept_it(before: bool, words: str) -> None:
    """Nobody is told to simply do it again, which would count money twice; after the entry itself that is known."""
    raised = fault("shop", "ledger-gone", "The database server does not answer.", "Run it again.")
    problem = unsure(raised, before=before).problem
    assert words in problem.remedy and "`quotekit jobs`" in problem.remedy
    assert (problem.code, problem.message) == ("ledger-gone", "The database server does not answer.")


def test_what_fails_after_the_entry_itself(ledger: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    """The line that its documents are written is missing: it is not said that nothing was recorded."""
    add(ledger, noted())

    def refused(*_: object) -> None:
        raise sqlite3.OperationalError("disk I/O error")

    monkeypatch.setattr("quotekit.ledger.writing.row_of", refused)
    with pytest.raises(LedgerFault) as found:
        add(ledger, noted())
    assert "It is recorded and its documents are written" in found.value.problem.remedy
    assert "Nothing was recorded" not in found.value.problem.remedy


def test_what_is_read_after_recording(server: Server) -> None:
    """The answer is lost, not the entry: with payments, doing it again would count the money twice."""
    with pytest.raises(LedgerFault) as found, open_ledger(server.empty_database()) as ledger:
        add(ledger, noted())
        ledger.raw_connection().connection.driver_connection.close()  # type: ignore[union-attr]
        ledger.story("117")
    problem = found.value.problem
    assert problem.code == "ledger-gone"
    assert "It is recorded: look with `quotekit jobs` before you run it again." in problem.remedy


@pytest.mark.parametrize(
    ("said", "code", "words"),
    [
        ("connection failed: server does not support SSL, but SSL was required", "ledger-login", "sslmode"),
        ('invalid sslmode value: "nonsense"', "ledger-login", "sslmode"),
        ("certificate verify failed", "ledger-login", "sslmode"),
        ("bad value for connect_timeout: 'abc'", "ledger-address", "postgresql://"),
    ],
)
def test_connections_that_cannot_be_made_safe(said: str, code: str, words: str) -> None:
    """A server that answers is not said to be silent."""
    problem = told(wrapped(Complaint(said))).problem
    assert problem.code == code
    assert words in problem.remedy


def test_a_user_without_rights(server: Server) -> None:
    """It is said to whom to turn; the words for a file's permission would be of no use."""
    import psycopg

    address = server.empty_database()
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute("DROP ROLE IF EXISTS clerk")
        connection.execute("CREATE ROLE clerk LOGIN PASSWORD 'clerk'")
        connection.execute("GRANT USAGE ON SCHEMA public TO clerk")
    database = address.rpartition("/")[2]
    with pytest.raises(LedgerFault) as found:
        open_ledger(server.url(database, user="clerk", password="clerk"))
    assert found.value.problem.code == "ledger-read-only"
    assert "permission denied" in found.value.problem.message
    assert "grant" in found.value.problem.remedy
