"""A shop's day in a real office without a window: only menu, fields and buttons; the ledger is that of the commands.

Job 2611-01 goes from its quote to the last payment, 2611-02 is agreed to in the quote sent back, 2611-06 gets a no.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from quotekit.addin.build import extension_bytes
from quotekit.cli.answers.serve import version
from quotekit.cli.main import main
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Entry

HERE = Path(__file__).parent
BOOK, LEDGER = "shop book.xlsx", "shop book ledger.db"
ONE, TWO = "2611-01 snow thrower, worn bushings.xlsx", "2611-02 snow thrower, worn shaft.xlsx"
FOUR = "2611-04 log splitter, one honest option.xlsx"
TOLD = "The customer's yes, by telephone or in person"
DAY = "Day it happened"

STEPS: list[dict[str, Any]] = [
    {"open": ONE},
    {"form": "price", "title": "Job 2611-01, version 1"},
    {"cells": {"Job!C40": "looked at again"}},
    {"form": "issue", "title": "Issue the quote", "type": {DAY: "2026-11-10"}, "press": "Issue it", "save": True,
     "over": True},
    {"form": "accept-told", "title": TOLD, "press": "Record", "missing": True},
    {"form": "accept-told", "title": TOLD, "pick": {"Option": "Put right and prevent"}, "press": "Record",
     "type": {"What was said": "go ahead", "Day": "2199-12-31", "Time": "10:20"}, "refused": True},
    {"form": "accept-told", "title": TOLD, "pick": {"Option": "Put right and prevent"}, "press": "Record",
     "type": {"What was said": "go ahead", "Day": "2026-11-16", "Time": "10:20"}},
    {"form": "pay", "title": "Money taken or given back", "press": "Record", "twice": True,
     "type": {"Amount": "100", "How": "card", DAY: "2026-11-16"}},
    {"form": "order", "title": "Order parts", "type": {DAY: "2026-11-18"}, "press": "Order"},
    {"form": "receive", "title": "What came in", "pick": {"A part": "SEAL-GB", "What of it": "It was put off"},
     "type": {"Will come on": "2026-11-23", DAY: "2026-11-20"}, "press": "Record"},
    {"form": "receive", "title": "What came in", "type": {DAY: "2026-11-23"}, "press": "Record"},
    {"form": "clock", "title": "Hours", "type": {"Hours": "0.5", "Whose": "Ben", DAY: "2026-11-23"}, "press": "Record"},
    {"form": "work-order", "title": "Work order", "type": {"Day on the sheet": "2026-11-20"}, "press": "Write it",
     "then": "Open 2611-01-1 work order.xlsx"},
    {"hours": {"B-BEARING-FIT@left": 1.5}, "by": "Ann"},
    {"form": "close", "title": "Close the job", "type": {DAY: "2026-11-24"}, "press": "Close it"},
    {"form": "bill", "title": "Bill", "type": {DAY: "2026-11-27"}, "press": "Bill it"},
    {"form": "pay", "title": "Money taken or given back", "type": {"How": "card", DAY: "2026-11-27"},
     "press": "Record"},
    {"close": True},
    {"open": TWO},
    {"form": "issue", "title": "Issue the quote", "type": {DAY: "2026-11-11"}, "press": "Issue it",
     "then": "Open 2611-02-1 quote.xlsx"},
    {"named": {"chosen_tier": "Put right"}},
    {"form": "accept", "title": "The customer's yes, from what was sent back", "type": {DAY: "2026-11-16"},
     "press": "Record"},
    {"close": True},
    {"open": FOUR},
    {"form": "issue", "title": "Issue the quote", "type": {DAY: "2026-11-13"}, "press": "Issue it", "stop": True},
    {"close": True},
    {"open": BOOK},
    {"form": "review", "title": "Review", "type": {"From": "2026-11-01", "To": "2026-11-30"}, "press": "Review"},
    {"form": "jobs", "title": "Where each job stands"},
    {"form": "ledger-check", "title": "Check the ledger", "press": "Check it"},
]  # fmt: skip

COMMANDS = [
    ["issue", BOOK, ONE, "--on", "2026-11-10"],
    ["accept", "--job", "2611-01", "--tier", "better", "--by", "phone", "--who", "Marta Lindqvist",
     "--phone", "555-0171", "--note", "go ahead", "--at", "2026-11-16 10:20"],
    ["pay", "2611-01", "100", "--how", "card", "--on", "2026-11-16"],
    ["order", "--on", "2026-11-18"],
    ["receive", "1", "--all", "--back-ordered", "SEAL-GB", "--expected", "2026-11-23", "--on", "2026-11-20"],
    ["receive", "1", "--all", "--on", "2026-11-23"],
    ["clock", "2611-01", "--hours", "0.5", "--person", "Ben", "--on", "2026-11-23"],
    ["work-order", "2611-01", "--on", "2026-11-20"],
    ["close", "2611-01", "--from", "2611-01-1 work order.xlsx", "--on", "2026-11-24"],
    ["bill", "2611-01", "--on", "2026-11-27"],
    ["pay", "2611-01", "567.89", "--how", "card", "--on", "2026-11-27"],
    ["issue", BOOK, TWO, "--on", "2026-11-11"],
    ["accept", "2611-02-1 quote.xlsx", "--on", "2026-11-16"],
    ["issue", BOOK, FOUR, "--on", "2026-11-13"],
]  # fmt: skip
"""The same day at a terminal."""

SAVED_BY_THE_OFFICE = {"close": "2611-01-1 work order.xlsx", "accept": "2611-02-1 quote.xlsx"}
Ran = tuple[list[dict[str, Any]], Path]


@pytest.fixture(scope="module")
def ran(uno_python: str, tmp_path_factory: pytest.TempPathFactory) -> Ran:
    """What each window said, and the shop's folder after the day."""
    folder = tmp_path_factory.mktemp("forms")
    assert main(["new", str(folder / "shop"), "--demo"]) == 0
    flag = folder / "flag.txt"
    engine = [sys.executable, "-P", str(HERE / "slow_engine.py"), str(flag)]
    (folder / "quotekit.oxt").write_bytes(extension_bytes(version(), engine))
    words = ["forms_day.py", str(folder / "quotekit.oxt"), str(folder / "shop"), str(flag)]
    told = subprocess.run(
        [uno_python, *words],
        cwd=HERE / "in_office",
        input=json.dumps(STEPS),
        capture_output=True,
        text=True,
        timeout=900,
        check=False,
    )
    assert told.returncode == 0, told.stderr[-3000:]
    return json.loads(told.stdout), folder / "shop"


def said(ran: Ran, form: str, number: int = 0) -> str:
    """What a window said."""
    return str([one for one in ran[0] if one["form"] == form][number]["said"])


def test_the_ledger_is_that_of_the_commands(ran: Ran, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Entry for entry the same day typed at a terminal, on the same workbooks."""
    shop = tmp_path / "shop"
    assert main(["new", str(shop), "--demo"]) == 0
    shutil.copy(ran[1] / ONE, shop / ONE)
    monkeypatch.chdir(shop)
    for command in COMMANDS:
        name = SAVED_BY_THE_OFFICE.get(command[0], "")
        if name in command:
            shutil.copy(ran[1] / name, shop / name)
        assert main(command) == 0, command
    here, there = entries(ran[1] / LEDGER), entries(shop / LEDGER)
    assert [told(one) for one in here] == [told(one) for one in there]


def entries(ledger: Path) -> list[Entry]:
    """All of a ledger."""
    with open_ledger(ledger, create=False) as opened:
        return list(opened.entries())


def told(entry: Entry) -> dict[str, Any]:
    """What an entry says, but for when it was written and in which folder its documents lie."""
    body = {name: value for name, value in entry.body.items() if name != "folder"}
    return {
        "kind": entry.kind, "job": entry.job, "version": entry.version, "number": entry.number, "day": entry.day,
        "who": entry.who, "why": entry.why, "body": body,
    }  # fmt: skip


def test_the_ledger_is_as_it_was_written_and_the_job_is_paid(ran: Ran) -> None:
    """As the windows tell it at the end of the day."""
    assert "are as they were written" in said(ran, "ledger-check")
    jobs = said(ran, "jobs").splitlines()
    assert "2611-01  Marta Lindqvist, Example make 28-S: billed and paid" in jobs
    assert any(line.startswith("2611-02") and line.endswith("version 1 is agreed, in work") for line in jobs)


def test_what_was_changed_and_not_saved_is_saved_first(ran: Ran) -> None:
    """The version that was issued is of the file with what was typed into it."""
    issued = entries(ran[1] / LEDGER)[0]
    assert issued.body["job_workbook"]["sha256"] == hashlib.sha256((ran[1] / ONE).read_bytes()).hexdigest()
    assert load_workbook(ran[1] / ONE)["Job"]["C40"].value == "looked at again"


def test_what_is_missing_is_told_beside_its_field(ran: Ran) -> None:
    """Nothing is asked of the engine before; the window stays."""
    window = next(one for one in ran[0] if one["form"] == "accept-told")
    lines = window["said"].splitlines()
    assert window["open"] and lines.count("needed") == 2 and "Something is missing or can't be read." in lines


def test_a_refusal_speaks_of_fields(ran: Ran) -> None:
    """Not of options that nobody typed; the form stays, and nothing was recorded."""
    assert "“Time”: 2199-12-31 10:20 is still to come." in said(ran, "accept-told", 1)
    assert "Nothing was recorded." in said(ran, "accept-told", 1)
    assert sum(entry.kind == "accepted" and entry.job == "2611-01" for entry in entries(ran[1] / LEDGER)) == 1


def test_what_was_priced_is_written_over_after_a_yes(ran: Ran) -> None:
    """The quote that was priced has the name of the one that is issued, and stands open here."""
    question = said(ran, "issue over").splitlines()
    assert any("2611-01-1 quote.xlsx" in line and "2611-01-1 costing.xlsx" in line for line in question) or {
        line.strip() for line in question
    } >= {"2611-01-1 quote.xlsx", "2611-01-1 costing.xlsx"}


def test_two_presses_record_once(ran: Ran) -> None:
    """A hand that clicks twice takes the money once."""
    paid = [entry.body["amount"] for entry in entries(ran[1] / LEDGER) if entry.kind == "paid"]
    assert paid == ["100.00", "567.89"]


def test_stopped_and_done_again_is_recorded_once(ran: Ran) -> None:
    """Stopped after it was recorded and before its documents were there: the same again finishes it."""
    stopped = next(one for one in ran[0] if one["form"] == "issue stopped")
    assert stopped["open"] and "It may be recorded or not: look with “What happened to a job”" in stopped["said"]
    issued = [entry for entry in entries(ran[1] / LEDGER) if entry.kind == "issued" and entry.job == "2611-04"]
    assert [entry.version for entry in issued] == [1]
    assert (ran[1] / "2611-04-1 quote.xlsx").is_file() and "version 1, is issued" in said(ran, "issue", 2)


def test_files_are_offered_to_be_opened(ran: Ran) -> None:
    """What was written has a button, by its name."""
    files = {one["form"]: one["files"] for one in ran[0] if one.get("files")}
    assert files["order"] == ["Open order 1.xlsx"] and files["bill"] == ["Open 2611-01 bill 1.xlsx"]
    assert files["review"][0] == "Open review 2026-11-01 to 2026-11-30.xlsx"
