"""Cases of what happens after a quote: commands typed in a folder where job 117 is issued, or agreed to.

`[after]` has `commands`, each as typed after `quotekit`; the problems of the last one are the case's. `agreed` begins
with good and BELT-NEW agreed to on 2026-11-23. `[after.change]` adds a one-off line to the job workbook before the last
command (before the first with `changed_first`), `[after.book]` writes `other book.xlsx` with settings of its own
(`rate` is the labour rate), `[after.returned]` types into a document the customer sends back as `returned.xlsx` (`of`
names it), `reply` is a reply text as `reply.txt`. `[after.work_order]` fills in the work order that was written, as
`filled.xlsx` (tests/workbook/filled.py); `[after.template]` is the shop's own template of it: `drop` names that are
taken away, `typed` texts put in cells, `named` names given to areas, `as` the name of its file.
"""

from __future__ import annotations

import contextlib
import io
import json
import shlex
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.workbook.defined_name import DefinedName

from quotekit.cli.main import main
from quotekit.problems import Place, Problem
from quotekit.workbook.find_template import default_template
from tests.cli.consent_shop import LEDGER, Shop, agreed_shop, issued_shop
from tests.workbook.filled import fill_in

_ONE_OFF = ("line", "kind", "quantity")


def problems_after(case: Mapping[str, Any], folder: Path) -> list[Problem]:
    """The problems of the last command."""
    shop = agreed_shop(folder) if case.get("agreed") else issued_shop(folder)
    *first, last = case["commands"]
    if case.get("changed_first"):
        _change(shop, case)
    for command in first:
        code, _ = _typed(shop, command)
        assert code == 0, command
    if not case.get("changed_first"):
        _change(shop, case)
    if "book" in case:
        shop.write_book("other book.xlsx", **case["book"])
    if "reply" in case:
        (shop.folder / "reply.txt").write_text(case["reply"], encoding="utf-8")
    if "work_order" in case:
        fill_in(shop.folder / "117-1 work order.xlsx", case["work_order"], shop.folder / "filled.xlsx")
    if "template" in case:
        _write_template(shop.folder / "workbook_templates", case["template"])
    if "returned" in case:
        shop.returned(case["returned"]["of"], case["returned"]["set"])
    return [_problem(told) for told in _typed(shop, last)[1]["problems"]]


def _change(shop: Shop, case: Mapping[str, Any]) -> None:
    if "change" in case:
        shop.change_job([*(case["change"][name] for name in _ONE_OFF), *[""] * 8])


def _write_template(folder: Path, change: Mapping[str, Any]) -> None:
    """The first template of a work order, restyled so that something is wrong with it."""
    book = openpyxl.load_workbook(BytesIO(default_template("work order")))
    sheet = book.active
    for name in change.get("drop", []):
        at = sheet.defined_names.pop(name).attr_text.rpartition("!")[2].replace("$", "").partition(":")[0]
        if str(sheet[at].value) == name:
            sheet[at].value = None
    for at, text in change.get("typed", {}).items():
        sheet[at] = text
    for name, area in change.get("named", {}).items():
        sheet.defined_names[name] = DefinedName(name, attr_text=f"'{sheet.title}'!{area}")
    if change.get("twice"):
        other = book.copy_worksheet(sheet)
        other.defined_names["qk_sheet_work_order"] = DefinedName(
            "qk_sheet_work_order", attr_text=f"'{other.title}'!$A$1"
        )
    folder.mkdir()
    book.save(folder / change.get("as", "work order.xlsx"))


def _typed(shop: Shop, command: str) -> tuple[int, dict[str, Any]]:
    """A command in the shop's folder: its exit code and what it says."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.chdir(shop.folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([*shlex.split(command), "--ledger", LEDGER, "--json"])
    return code, json.loads(out.getvalue())


def _problem(told: Mapping[str, str]) -> Problem:
    severity: Any = told["severity"]
    place = Place(told["place"])
    return Problem(place=place, code=told["code"], severity=severity, message=told["message"], remedy=told["remedy"])
