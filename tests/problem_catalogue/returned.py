"""Cases of what came back from a customer: a quote with something typed in it, or the text of a reply.

`[returned.set]` types into cells, each a name, a `Sheet!A1` or the box before some words, as "box I decline".
`add`, `without` and `rename` change its sheets; `names` takes names away; `notes` are comments. `beside` is the version
of another quote in the same folder, `job` the version or the number of the job it is read for, `on` the day. `reply` is
a text instead of a workbook; CHECK in it stands for the right check digits.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from openpyxl.comments import Comment
from openpyxl.workbook import Workbook

from quotekit.cli.read_choice import read_choice
from quotekit.problems import Problem
from tests.workbook.returned import box_of, cell_of, changed, fingerprint, job_file, renamed, sent, type_in, with_part


def returned_problems(case: Mapping[str, Any], folder: Path) -> list[Problem]:
    """The problems of reading what came back."""
    here = folder / "returned"
    here.mkdir()
    if "beside" in case:
        sent(here, f"117-{case['beside']} quote.xlsx", version=case["beside"])
    path = here / "reply.txt" if "reply" in case else _workbook(case, here)
    if "reply" in case:
        path.write_text(case["reply"].replace("CHECK", fingerprint()[:12]), encoding="utf-8")
    job = None
    if "job" in case:
        job = job_file(folder / "job.xlsx", case["job"].get("version", 1), case["job"].get("number", "117"))
    return read_choice(path, case.get("on", date(2026, 12, 1)), job, text="reply" in case)[1]


def _cell(where: str) -> str:
    return box_of(where.removeprefix("box ")) if where.startswith("box ") else where


def _workbook(case: Mapping[str, Any], folder: Path) -> Path:
    def change(book: Workbook) -> None:
        type_in(
            book, {"chosen_tier": "Put right"} | {_cell(where): said for where, said in case.get("set", {}).items()}
        )
        for where, words in case.get("notes", {}).items():
            cell_of(book, where).comment = Comment(words, "A customer")
        for sheet in case.get("add", []):
            book.create_sheet(sheet)
        for sheet in case.get("without", []):
            del book[sheet]
            book["Working"].sheet_state = "visible"
        for name in case.get("names", []):
            del book.defined_names[name]

    path = changed(folder, change, "returned.xlsx")
    if "rename" in case:
        for part in ("xl/workbook.xml", "xl/worksheets/sheet1.xml"):
            with_part(path, part, partial(renamed, new=case["rename"]["Working"]))
    return path
