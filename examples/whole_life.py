"""The whole life of the worked example's six jobs, by commands: issue, accept, order, receive, a surprise, close, bill.

    python examples/whole_life.py [FOLDER]

writes the worked example into a new folder, runs each command as a person would type it, and plays the parts of the
customer and the technician where a workbook is filled in by hand. Every command is printed before it runs.
"""

from __future__ import annotations

import shlex
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
from openpyxl.worksheet.worksheet import Worksheet

BOOK = "shop book.xlsx"
JOBS = {
    "2611-01": "2611-01 snow thrower, worn bushings.xlsx",
    "2611-02": "2611-02 snow thrower, worn shaft.xlsx",
    "2611-03": "2611-03 utility trailer, hubs and brakes.xlsx",
    "2611-04": "2611-04 log splitter, one honest option.xlsx",
    "2611-05": "2611-05 tiller, the extra work is free.xlsx",
    "2611-06": "2611-06 walk mower, better replaced.xlsx",
}


class Shop:
    """A folder in which commands are run as they are typed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def quotekit(self, *words: str, on: str = "", expect: int = 0) -> str:
        """Run one command; stop the story where it does not end as expected. Returns what it printed."""
        typed = [*words, *(("--on", on) if on else ())]
        print(f"\n$ quotekit {shlex.join(typed)}", flush=True)
        done = subprocess.run(
            [sys.executable, "-m", "quotekit", *typed],
            cwd=self.folder,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
        print(done.stdout, end="", flush=True)
        if done.returncode != expect:
            raise SystemExit(f"it ended with {done.returncode}, not {expect}")
        return done.stdout

    def says_yes(self, job: str, *, who: str, by: str, phone: str, note: str, at: str, tier: str = "") -> None:
        """A customer's yes by word of mouth, with all that is kept of it."""
        option = ("--tier", tier) if tier else ()
        self.quotekit(
            "accept", "--job", job, *option, "--by", by, "--who", who, "--phone", phone, "--note", note, "--at", at
        )  # fmt: skip

    def fill(self, file: str, cells: Mapping[str, object]) -> None:
        """Type into named cells, as a person would, and save: `name` or `name[2]` for the second cell of a column."""
        path = self.folder / file
        book = openpyxl.load_workbook(path)
        for name, value in cells.items():
            word, _, place = name.partition("[")
            sheet, cell = _cells_named(book, word)[int(place.rstrip("]") or 1) - 1 if place else 0]
            book[sheet][cell].value = value
        book.save(path)
        print(f"\n(typed into {file}: {', '.join(f'{name} = {value}' for name, value in cells.items())})", flush=True)

    def add_row(self, file: str, sheet: str, row: Mapping[str, object]) -> None:
        """Type a new row below the last of a sheet, each value under its header."""
        path = self.folder / file
        book = openpyxl.load_workbook(path)
        page = book[sheet]
        header = next(line for line in page.iter_rows() if any(cell.value in row for cell in line))
        columns = {cell.value: cell.column for cell in header}
        first = columns[next(iter(row))]
        rows = range(header[0].row + 1, page.max_row + 2)
        free = next(number for number in rows if page.cell(number, first).value is None)
        for name, value in row.items():
            page.cell(free, columns[name]).value = value
        book.save(path)
        print(f"\n(typed into {file}, sheet {sheet}: {row})", flush=True)

    def set_field(self, file: str, field: str, value: object) -> None:
        """Type the value of a field of the sheet Job."""
        path = self.folder / file
        book = openpyxl.load_workbook(path)
        page = book["Job"]
        line = next(row for row in page.iter_rows() if row[0].value == field)
        line[1].value = value
        book.save(path)
        print(f"\n(typed into {file}: {field} = {value})", flush=True)

    def keep_rows(self, file: str, sheet: str, *kept: str) -> None:
        """Empty the rows of a sheet whose first cell is none of these, and what the sheets Extras and One-off hold."""
        path = self.folder / file
        book = openpyxl.load_workbook(path)
        for name in (sheet, "Extras", "One-off", "Plan", "Parts"):
            for number, row in enumerate(book[name].iter_rows() if name in book.sheetnames else (), start=1):
                if number > _header_row(book[name]) and not (name == sheet and row[0].value in kept):
                    for cell in row:
                        cell.value = None
        book.save(path)
        print(f"\n(left on {file}, sheet {sheet}: {', '.join(kept)})", flush=True)

    def work(self, job: str, version: int, person: str, slower: Mapping[str, str]) -> str:
        """Write the times of a work order beside its steps: as standard, or as given by code. Returns its name."""
        file = f"{job}-{version} work order.xlsx"
        path = self.folder / file
        book = openpyxl.load_workbook(path)
        columns = {name: _cells_named(book, f"qk_steps_{name}") for name in ("key", "standard", "hours", "person")}
        page = book[columns["key"][0][0]]
        for key, standard, hours, by in zip(*([cell for _, cell in found] for found in columns.values()), strict=True):
            code = page[key].value
            if code and page[standard].value is not None:
                page[hours].value = float(Decimal(slower.get(code, "1")) * Decimal(str(page[standard].value)))
                page[by].value = person
        book.save(path)
        print(f"\n(times of {person} written into {file})", flush=True)
        return file


def _header_row(page: Worksheet) -> int:
    """The row of the headers: the first with two cells or more."""
    return next(row[0].row for row in page.iter_rows() if sum(cell.value is not None for cell in row) > 1)


def _cells_named(book: openpyxl.Workbook, name: str) -> list[tuple[str, str]]:
    """Sheets and cells of a name: one cell, or a column of cells."""
    scopes = [book.defined_names, *(sheet.defined_names for sheet in book.worksheets)]
    for known in (scope[name] for scope in scopes if name in scope):
        for sheet, area in known.destinations:
            return [(sheet, cell.coordinate) for line in _lines(book[sheet][area.replace("$", "")]) for cell in line]
    raise SystemExit(f"there is no name {name}")


def _lines(cells: object) -> Sequence[Sequence[openpyxl.cell.Cell]]:
    if isinstance(cells, tuple):
        return [line if isinstance(line, tuple) else (line,) for line in cells]
    return [(cells,)]  # type: ignore[list-item]


def issue_all(shop: Shop) -> None:
    """Six quotes go out."""
    for job, file in JOBS.items():
        shop.quotekit("issue", BOOK, file, on=f"2026-11-{9 + int(job[-2:])}")


def answers(shop: Shop) -> None:
    """Five say yes, each in another way, one says no."""
    shop.says_yes(
        "2611-01",
        who="Marta Lindqvist",
        by="phone",
        phone="555-0171",
        note="better, without extras; she needs it before the first snow",
        at="2026-11-16 10:20",
        tier="better",
    )
    shop.quotekit("pay", "2611-01", "100", "--how", "card", on="2026-11-16")
    shop.fill("2611-02-1 quote.xlsx", {"chosen_tier": "good"})
    shop.quotekit("accept", "2611-02-1 quote.xlsx", on="2026-11-16")
    shop.says_yes(
        "2611-03",
        who="Priya Raman",
        by="in-person",
        phone="555-0119",
        note="read the quote at the counter, wants the old parts",
        at="2026-11-17 16:40",
        tier="good",
    )
    shop.says_yes(
        "2611-04",
        who="Alder Creek Volunteer Fire Company",
        by="message",
        phone="555-0110",
        note="wrote: please go ahead",
        at="2026-11-17 08:05",
        tier="good",
    )
    shop.says_yes(
        "2611-05",
        who="Tom Vasquez",
        by="phone",
        phone="555-0133",
        note="take all of it if it costs the same",
        at="2026-11-18 11:00",
        tier="best",
    )
    shop.quotekit("decline", "2611-06", "--reason", "not-worth-it", "--note", "buys a new mower", on="2026-11-18")


def parts(shop: Shop) -> None:
    """One order for all; a seal comes later, and one part costs more than it should."""
    shop.quotekit("order", on="2026-11-18")
    shop.quotekit(
        "receive", "1", "--all", "--back-ordered", "LEVER-TILLER", "--packs", "1", "--expected", "2026-11-24",
        "--part", "KIT-HUB", "--packs", "2", "--cost", "17.90", on="2026-11-20",
    )  # fmt: skip
    shop.quotekit("receive", "1", "--all", on="2026-11-24")
    shop.quotekit("shelf", on="2026-11-24")


def surprise(shop: Shop) -> None:
    """The auger belt of 2611-02 is found frayed once it is open: the customer is asked, and says yes."""
    file = JOBS["2611-02"]
    shop.add_row(file, "Findings", {"Finding": "BELT-AUGER-BAD", "Note": "Seen once the cover was off"})
    shop.quotekit("revise", BOOK, file, on="2026-11-20")
    shop.says_yes(
        "2611-02",
        who="Dale Okafor",
        by="phone",
        phone="555-0188",
        note="yes to the belt, price told with tax",
        at="2026-11-20 13:30",
    )
    shop.quotekit("order", "2611-02", on="2026-11-20")
    shop.quotekit("receive", "2", "--all", on="2026-11-21")


def work(shop: Shop) -> None:
    """The work is done: times beside each step, by the clock, or for the whole job alone."""
    for job in JOBS:
        if job != "2611-06":
            shop.quotekit("work-order", job, on="2026-11-24")
    file = shop.work("2611-01", 1, "Ann", {"B-BEARING-FIT@left": "1.5", "B-BEARING-FIT@right": "1.25"})
    shop.fill(file, {"qk_notes": "Left journal polished; the right one was hardly worn."})
    shop.quotekit("close", "2611-01", "--from", file, on="2026-11-24")
    file = shop.work("2611-02", 2, "Ann", {"B-SHAFT-FIT": "1.25"})
    shop.quotekit("close", "2611-02", "--from", file, on="2026-11-25")
    shop.quotekit("clock", "2611-03", "--hours", "2.5", "--person", "Ann", on="2026-11-25")
    shop.quotekit("clock", "2611-03", "--hours", "1.2", "--person", "Ben", on="2026-11-25")
    shop.quotekit("close", "2611-03", on="2026-11-25")
    file = shop.work("2611-04", 1, "Ben", {})
    shop.quotekit("close", "2611-04", "--from", file, on="2026-11-25")
    shop.fill("2611-05-1 work order.xlsx", {"qk_whole_hours": 1.4, "qk_whole_person": "Ben"})
    shop.quotekit("close", "2611-05", "--from", "2611-05-1 work order.xlsx", on="2026-11-26")


def bills(shop: Shop) -> None:
    """Bills go out and are paid; the no is billed with its inspection."""
    due = {
        "2611-01": "567.89", "2611-02": "735.78", "2611-03": "759.49", "2611-04": "162.03", "2611-05": "264.87",
        "2611-06": "45.00",
    }  # fmt: skip
    for job, amount in due.items():
        shop.quotekit("bill", job, on="2026-11-27")
        shop.quotekit("pay", job, amount, "--how", "card", on="2026-11-27")


def comeback(shop: Shop) -> None:
    """The tiller comes back: the cable was set too loose. No charge; the cost is kept and goes to the first job."""
    file = "2611-07 tiller, comeback.xlsx"
    shutil.copy(shop.folder / JOBS["2611-05"], shop.folder / file)
    shop.set_field(file, "Job number", "2611-07")
    shop.set_field(file, "Quote date", date(2026, 11, 28))
    shop.keep_rows(file, "Findings", "TINE-SLIP")
    shop.quotekit("issue", BOOK, file, on="2026-11-28")
    shop.says_yes(
        "2611-07",
        who="Tom Vasquez",
        by="in-person",
        phone="555-0133",
        note="no charge, our work",
        at="2026-11-28 09:00",
        tier="good",
    )
    shop.quotekit("comeback", "2611-07", "--of", "2611-05", "--cause", "workmanship", on="2026-11-28")
    shop.quotekit("clock", "2611-07", "--hours", "0.6", "--person", "Ben", on="2026-11-28")
    shop.quotekit("close", "2611-07", on="2026-11-28")
    shop.quotekit("bill", "2611-07", on="2026-11-28")


def look_back(shop: Shop) -> None:
    """What was learned, and whether the ledger is as it was written."""
    shop.quotekit("jobs")
    shop.quotekit("review", "--from", "2026-11-01", "--to", "2026-11-30", "--book", BOOK)
    shop.quotekit("ledger", "check")
    shop.quotekit("ledger", "backup", "ledger backup.db")
    shop.quotekit("ledger", "check", "--against", "ledger backup.db")
    shop.quotekit("ledger", "export", "everything")


def main(words: Sequence[str]) -> None:
    """The story, from an empty folder."""
    folder = Path(words[0] if words else "whole life")
    if folder.exists():
        raise SystemExit(f"{folder} is there already: give the name of a new folder.")
    here = Shop(folder.parent)
    here.quotekit("new", str(folder.resolve()), "--demo")
    shop = Shop(folder)
    issue_all(shop)
    answers(shop)
    parts(shop)
    surprise(shop)
    work(shop)
    bills(shop)
    comeback(shop)
    look_back(shop)


if __name__ == "__main__":
    main(sys.argv[1:])
