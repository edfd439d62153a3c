"""Which ledger a command works with, and who records what on which day."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

import pytest

from quotekit.cli.which_ledger import VARIABLE, add_ledger_options, facts_of, ledger_address
from quotekit.ledger.fault import LedgerFault
from quotekit.model.entries import Draft, Noted


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, with no ledger named by the environment."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.delenv(VARIABLE, raising=False)
    return tmp_path / "here"


def test_as_it_is_named(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before anything else: the environment, the shop book, what lies about."""
    monkeypatch.setenv(VARIABLE, "other.db")
    (here / "shop ledger.db").touch()
    assert ledger_address("named.db", book=here / "shop book.xlsx") == "named.db"


def test_as_the_environment_says(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, "postgresql://counter/shop")
    assert ledger_address(None, book=here / "shop book.xlsx") == "postgresql://counter/shop"


def test_an_empty_environment_says_nothing(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, "  ")
    assert ledger_address(None, book=Path("shop book.xlsx")) == Path("shop book ledger.db")


def test_beside_the_shop_book(here: Path) -> None:
    """Also where others lie there: a shop with two books has two ledgers."""
    (here / "other ledger.db").touch()
    book = here / "books" / "shop book.xlsx"
    assert ledger_address(None, book=book) == here / "books" / "shop book ledger.db"


def test_the_only_one_of_the_folder(here: Path) -> None:
    (here / "shop book ledger.db").touch()
    (here / "notes.db").touch()
    assert ledger_address(None) == Path("shop book ledger.db")


def test_the_only_one_beside_a_document(here: Path, tmp_path: Path) -> None:
    (tmp_path / "shop ledger.db").touch()
    assert ledger_address(None, tmp_path) == tmp_path / "shop ledger.db"


def test_one_and_the_same_counts_once(here: Path) -> None:
    (here / "shop ledger.db").touch()
    assert ledger_address(None, here) == here / "shop ledger.db"


def refusal(beside: Path | None = None) -> str:
    with pytest.raises(LedgerFault) as refused:
        ledger_address(None, beside)
    problem = refused.value.problem
    assert problem.code == "which-ledger"
    made = "`quotekit issue` makes one beside the shop book. " if problem.message.startswith("There is no ") else ""
    assert problem.remedy == f"{made}Say which one with --ledger, or set QUOTEKIT_LEDGER."
    return problem.message


def test_none_is_not_guessed(here: Path) -> None:
    """A shop that has none yet is told how it comes about."""
    assert refusal() == "There is no ledger in this folder."


def test_of_several_none_is_guessed(here: Path, tmp_path: Path) -> None:
    for place in (here / "a ledger.db", here / "b ledger.db", tmp_path / "c ledger.db"):
        place.touch()
    assert refusal() == "There are several ledgers here: a ledger.db, b ledger.db."
    assert refusal(tmp_path).count("ledger.db") == 3


# who, why, when


def parsed(*words: str, records: bool = True) -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    add_ledger_options(parser, records=records)
    return parser.parse_args(words)


def test_who_why_and_when_as_typed() -> None:
    facts = facts_of(parsed("--recorded-by", " Ida ", "--because", "he called", "--on", "2026-11-25"))
    assert facts == (date(2026, 11, 25), "Ida", "he called")


def test_an_entry_is_made_of_them() -> None:
    facts = facts_of(parsed("--recorded-by", "Ida", "--because", "he called", "--on", "2026-11-25"))
    body = Noted(text="the key is under the seat")
    expected = {"kind": "noted", "body": body, "day": date(2026, 11, 25), "who": "Ida", "why": "he called"}
    assert facts.draft("noted", body) == Draft(job="", **expected)  # type: ignore[arg-type]
    of_a_job = Draft(job="117", version=2, number=5, **expected)  # type: ignore[arg-type]
    assert facts.draft("noted", body, job="117", version=2, number=5) == of_a_job


def test_who_and_when_by_default(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("getpass.getuser", lambda: "counter")
    facts = facts_of(parsed())
    assert (facts.day, facts.who, facts.why) == (date.today(), "counter", "")


def test_a_machine_without_login_names(monkeypatch: pytest.MonkeyPatch) -> None:
    def nobody() -> str:
        raise KeyError("uid not found")

    monkeypatch.setattr("getpass.getuser", nobody)
    assert facts_of(parsed()).who == "unknown"


@pytest.mark.parametrize("word", ["--recorded-by", "--because", "--on"])
def test_a_command_that_only_reads_has_no_such_options(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        parsed(word, "2026-11-25", records=False)
    assert "unrecognized arguments" in capsys.readouterr().err
