"""Steps of a story at the bench: the work order, the clock, and closing with the sheet filled in."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import openpyxl
from openpyxl.workbook import Workbook

from tests.after.life import DONE, EITHER, REFUSED, Life
from tests.after.rules import ZERO, number
from tests.after.run import Ran
from tests.after.told import Choice, Done, Known


def work_order(life: Life, random: Random) -> None:
    """The sheet for the bench, of a job that is agreed or is not."""
    job = _a_job(life, random)
    choice, out = job.in_force(), f"bench {len(life.commands)}"
    because = "nothing is agreed" if choice is None else "something is agreed"
    ran = life.tell(
        "work-order", job.file.number, "--out", out, expect=REFUSED if choice is None else DONE, because=because
    )
    if ran.code != 0 or choice is None:
        return
    job.sheet = life.folder / ran.json["files"][0]
    job.sheet_at = life.place()
    _look_at_order_of_steps(life, ran, job, choice)


def _a_job(life: Life, random: Random) -> Known:
    known = list(life.jobs.values())
    return random.choice([job for job in known if job.in_force() is not None] or known)


def _look_at_order_of_steps(life: Life, ran: Ran, job: Known, choice: Choice) -> None:
    """Opened once and closed once, the last opened first; work while what it needs is open; nothing is left out."""
    assert job.sheet is not None
    rows = life.books[job.version_in_force().aside]
    steps = _rows(openpyxl.load_workbook(job.sheet), "steps", ("kind", "key"))
    needs = {row["Code"]: _codes(row.get("Needs")) for row in rows["Access"]}
    reached = {row["Code"]: _codes(row.get("Access")) for row in rows["Operations"]}
    still_open: list[str] = []
    opened, worked = [], []
    for kind, key in steps:
        code = str(key).partition("@")[0]
        if kind == "Open":
            if not needs[code] <= {one.partition("@")[0] for one in still_open}:
                life.differ(ran, f"{key} is opened before {needs[code]}")
            still_open.append(key)
            opened.append(key)
        elif kind == "Close":
            if not still_open or still_open.pop() != key:
                life.differ(ran, f"{key} is closed, which was not the last opened: {steps}")
        else:
            worked.append(key)
            if not reached.get(code, set()) <= {one.partition("@")[0] for one in still_open}:
                life.differ(ran, f"{key} is done while {reached[code]} is not open: {steps}")
    life.same(ran, "left open", still_open, [])
    life.same(ran, "steps opened", sorted(opened), sorted(choice.told["access"]))
    operations = [key for key in worked if not str(key).startswith("ONEOFF")]
    life.same(ran, "operations", sorted(operations), sorted(choice.told["operations"]))


def clock(life: Life, random: Random) -> None:
    """Hours of a person, on the job or on some of its work."""
    job = _a_job(life, random)
    choice = job.in_force()
    hours = random.choice(["0.5", "1.25", "2", "2", random.choice(["0", "-0.5", "x", "30"])])
    words = ["--hours", hours, "--person", random.choice(["Bo", "Ann"])]
    if choice is not None and random.random() < 0.6:
        words += ["--work", random.choice([*choice.told["operations"], *choice.told["operations"], "NO-SUCH"])]
    good = hours in ("0.5", "1.25", "2") and "NO-SUCH" not in words and bool(job.versions)
    expect = DONE if good else frozenset({1, 2}) if hours != "-0.5" else frozenset({0, 1, 2})
    ran = life.tell("clock", job.file.number, *words, expect=expect, because="hours and work as typed")
    if ran.code == 0:
        job.clocked += Decimal(hours)


def close(life: Life, random: Random) -> None:
    """The work is done: with the sheet filled in, or by the clock alone."""
    known = list(life.jobs.values())
    ready = [job for job in known if job.sheet is not None and job.in_force() is not None]
    job = random.choice(ready) if ready and random.random() < 0.85 else random.choice(known)
    choice = job.in_force()
    if job.sheet is None or choice is None or random.random() < 0.15:
        expect, because = (DONE, "it is agreed") if choice is not None else (REFUSED, "nothing is agreed")
        ran = life.tell("close", job.file.number, expect=expect, because=because)
        _closed(life, ran, job, Done(0, hours=job.clocked))
        return
    filled = life.folder / f"filled {len(life.commands)}.xlsx"
    done = _fill_in(random, job.sheet, filled, choice)
    done.hours += job.clocked
    old = job.sheet_at < max(yes.at for yes in job.yes)
    twice = bool(job.clocked and done.hours > job.clocked)
    ran = life.tell(
        "close",
        job.file.number,
        "--from",
        filled.name,
        expect=EITHER if old or twice else DONE,
        because="filled in for what is agreed, and nobody's hours could be there twice",
    )
    _closed(life, ran, job, done)


def _closed(life: Life, ran: Ran, job: Known, done: Done) -> None:
    if ran.code != 0:
        return
    life.same(ran, "hours together", Decimal(ran.json["hours_together"]), done.hours)
    life.same(ran, "not done", set(ran.json["not_done"]), set(done.not_done))
    told = {part["part"]: Decimal(part["quantity"]) for part in ran.json["parts"]}
    for part, used in done.parts.items():
        life.same(ran, f"used of {part}", told.get(part), used)
    if ran.json["recorded"]:
        done.at = life.place()
        job.done.append(done)


def _fill_in(random: Random, sheet: Path, filled: Path, choice: Choice) -> Done:
    """Write as a technician would: hours beside steps or of the whole job, parts, what was not done."""
    book = openpyxl.load_workbook(sheet)
    done = Done(0)
    if random.random() < 0.6:
        steps = _cells(book, "steps", ("kind", "hours", "person"))
        for kind, hours, person in steps:
            if random.random() < 0.5 and kind.value != "Close":
                hours.value = float(random.choice(["0.1", "0.25", "0.5", "1.5"]))
                person.value = random.choice(["Bo", "Ann"])
                done.hours += number(str(hours.value))
    if random.random() < 0.5:
        hours, person = _cells(book, "whole", ("hours", "person"))[0]
        hours.value, person.value = 1.5, "Bo"
        done.hours += Decimal("1.5")
    parts = _cells(book, "parts", ("used", "part"))
    if parts and random.random() < 0.35:
        used, part = random.choice(parts)
        agreed = [Decimal(line["quantity"]) for line in choice.told["parts"] if line["part"] == part.value]
        now = random.choice([ZERO, *agreed, *(units + 1 for units in agreed)])
        used.value = float(now)
        done.parts = {str(part.value): now}
    taken = {str(key.value): no for no, key in _cells(book, "items", ("not_done", "key"))}
    left = [extra for extra in choice.extras if extra in taken]
    if left and random.random() < 0.4:
        done.not_done = (random.choice(left),)
        taken[done.not_done[0]].value = "Yes"
    book.save(filled)
    return done


def _rows(book: Workbook, table: str, columns: tuple[str, ...]) -> list[tuple[Any, ...]]:
    return [tuple(cell.value for cell in row) for row in _cells(book, table, columns)]


def _cells(book: Workbook, table: str, columns: tuple[str, ...]) -> list[tuple[Any, ...]]:
    """The cells of a table's columns, row by row; none where the table is not there."""
    sheet = book.worksheets[0]
    found = []
    for column in columns:
        name = sheet.defined_names.get(f"qk_{table}_{column}")
        if name is None:
            return []
        area = str(name.attr_text).rpartition("!")[2].replace("$", "")
        cells = sheet[area]
        found.append([row[0] for row in cells] if isinstance(cells, tuple) else [cells])
    return list(zip(*found, strict=True))


def _codes(text: str | None) -> set[str]:
    return {code.strip() for code in (text or "").split(";") if code.strip()}
