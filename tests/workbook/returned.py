"""A small quote as it is sent to a customer, and ways to change it as a person with a spreadsheet would.

Two options: good (Put right) and better (Put right and prevent); BELT-NEW is offered with good and inside better,
BUSHING-OFFER@right is offered with both. Job 117, version 1, of 2026-11-20, valid until 2026-12-20.
"""

from __future__ import annotations

import atexit
import re
import subprocess
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import openpyxl
from openpyxl.cell.cell import Cell
from openpyxl.workbook import Workbook

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.fingerprint import fingerprint_of
from quotekit.model.quote import Quote
from quotekit.model.returned_choice import ReturnedChoice
from quotekit.pricing import build_quote
from quotekit.problems import Problem
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_returned import read_returned
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_sheet import workbook_bytes
from tests.problem_catalogue.workbooks import BOOK, JOB, write

IN_TIME, TOO_LATE = date(2026, 12, 20), date(2026, 12, 21)
SENT = "117-1 quote.xlsx"
BELT, BUSHING = "extra_BELT_NEW", "extra_BUSHING_OFFER_right"
_AS_IT_IS: dict[str, dict[str, list[str]]] = {"merge": {}, "hide": {}}
_PROFILE = "-env:UserInstallation=file://"


@cache
def small_quote(version: int = 1, number: str = "117", live: bool = True) -> Quote:
    """The quote of the small job, or of one that differs in number or version; without live figures on request."""
    with TemporaryDirectory() as folder:
        book = read_shop_book(write(Path(folder) / "prices.xlsx", BOOK, _AS_IT_IS))[0]
        assert book is not None
        job = read_job(write(Path(folder) / "job.xlsx", job_rows(version, number), _AS_IT_IS), book)[0]
    assert job is not None
    quote = build_quote(book, job)
    return quote if live else replace(quote, live=None, not_live="a test")


def job_rows(version: int = 1, number: str = "117") -> dict[str, list[list[Any]]]:
    """The sheets of the job workbook."""
    rows = {sheet: [list(row) for row in rows] for sheet, rows in JOB.items()}
    rows["Job"][1][1] = number
    rows["Job"].append(["Version", version])
    return rows


def job_file(path: Path, version: int = 1, number: str = "117") -> Path:
    """The job workbook as a file."""
    return write(path, job_rows(version, number), _AS_IT_IS)


@cache
def sent_bytes(version: int = 1, number: str = "117", live: bool = True) -> bytes:
    """The workbook as the customer gets it."""
    return workbook_bytes(lay_out_customer_quote(small_quote(version, number, live)))


@cache
def fingerprint() -> str:
    """The fingerprint of the quote."""
    return fingerprint_of(lay_out_customer_quote(small_quote()))


def sent(folder: Path, name: str = SENT, *, version: int = 1, number: str = "117", live: bool = True) -> Path:
    """The workbook as a file."""
    path = folder / name
    path.write_bytes(sent_bytes(version, number, live))
    return path


def returned(folder: Path, typed: Mapping[str, object], name: str = "returned.xlsx", *, live: bool = True) -> Path:
    """The quote with something typed into cells, each a name or `Sheet!A1`, saved by openpyxl."""
    return changed(folder, lambda book: type_in(book, typed), name, live=live)


def changed(
    folder: Path, change: Callable[[Workbook], object], name: str = "returned.xlsx", *, live: bool = True
) -> Path:
    """The quote after a change, saved by openpyxl."""
    path = sent(folder, name, live=live)
    book = openpyxl.load_workbook(path)
    change(book)
    book.save(path)
    return path


def type_in(book: Workbook, typed: Mapping[str, object]) -> None:
    """Put values into cells; a text that begins with `#` is an error."""
    for where, value in typed.items():
        cell = cell_of(book, where)
        cell.value = value
        if isinstance(value, str) and value.startswith("#"):
            cell.data_type = "e"


def cell_of(book: Workbook, where: str) -> Cell:
    """The first cell of a name, or `Sheet!A1`."""
    text = where if "!" in where else str(book.defined_names[where].attr_text)
    sheet, _, address = text.replace("$", "").replace("'", "").rpartition("!")
    return book[sheet][address.partition(":")[0]]


def address_of(where: str) -> str:
    """`Sheet!A1` of a name."""
    cell = cell_of(as_openpyxl(), where)
    return f"{cell.parent.title}!{cell.coordinate}"


@cache
def as_openpyxl(live: bool = True) -> Workbook:
    """The quote as openpyxl sees it, to look cells up."""
    with TemporaryDirectory() as folder:
        return openpyxl.load_workbook(sent(Path(folder), live=live))


def box_of(words: str, live: bool = True) -> str:
    """`Quote!A1` of the box before the words of the decision."""
    sheet = as_openpyxl(live)["Quote"]
    [row] = [cell.row for column in sheet.columns for cell in column if str(cell.value).startswith(words)][-1:]
    return f"Quote!A{row}"


def with_part(path: Path, part: str, change: Callable[[str], str]) -> Path:
    """The same file with the text of one part changed."""
    with zipfile.ZipFile(path) as package:
        parts = {info.filename: package.read(info) for info in package.infolist()}
    before = parts[part].decode()
    after = change(before)
    assert after != before
    parts[part] = after.encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in parts.items():
            package.writestr(name, data)
    return path


def renamed(xml: str, new: str) -> str:
    """A part in which the sheet Working has another name."""
    return re.sub(r"(?:'Working'|\bWorking)!", f"'{new}'!", xml).replace('"Working"', f'"{new}"')


def without_value(xml: str) -> str:
    """A sheet whose formulas lost their stored results."""
    return re.sub(r"</f><v>[^<]*</v>", "</f>", xml)


def read(path: Path, today: date = IN_TIME) -> tuple[ReturnedChoice, list[tuple[str, str]]]:
    """The choice, and code and `Sheet!A1` of each problem, which must say something."""
    choice, problems = read_returned(path, today)
    assert choice is not None, problems
    return choice, codes(problems)


def codes(problems: list[Problem]) -> list[tuple[str, str]]:
    """Code and place of each problem."""
    assert all(problem.message.endswith(".") and problem.remedy.endswith((".", "?")) for problem in problems)
    return [(problem.code, f"{problem.place.sheet}!{problem.place.cell}") for problem in problems]


def saved_by_libreoffice(soffice: str, paths: list[Path], folder: Path, form: str = "xlsx") -> list[Path]:
    """The files as LibreOffice saves them, in one run."""
    out = folder / f"saved as {form}"
    command = [
        soffice,
        f"{_PROFILE}{_profile()}",
        "--headless",
        "--convert-to",
        form,
        "--outdir",
        str(out),
        *map(str, paths),
    ]
    done = subprocess.run(command, capture_output=True, text=True, timeout=180, check=False)
    saved = [out / path.with_suffix(f".{form}").name for path in paths]
    assert all(path.exists() for path in saved), done.stderr
    return saved


@cache
def _profile() -> str:
    """A profile for all runs of these tests: a new one takes seconds to make."""
    made = TemporaryDirectory(prefix="quotekit-office-")
    atexit.register(made.cleanup)
    return made.name
