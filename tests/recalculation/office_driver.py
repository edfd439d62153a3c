"""Runs LibreOffice for a test: opens workbooks, fills cells like a person at the keyboard, tells what they then show.

A program of its own, because the bridge to LibreOffice belongs to the system's Python: it needs nothing but `uno`.
One request a line on standard input, one answer a line on standard output, both JSON:

    {"open": PATH}                 -> {"names": [...]}
    {"try": [{CELL: VALUE}, ...], "read": [CELL, ...], "again": true}
                                   -> {"values": [[...], ...], "again": [[...], ...]}
    {"offered": [CELL, ...]}       -> {"offered": [[...], ...]}, what the drop-down of each cell lists
    {"store": PATH, "filter": NAME} -> {}, a copy of the workbook in another format
    {"formulas": true}             -> {"formulas": {"Sheet!A1": VALUE, ...}}, after everything was worked out anew
    {"close": true}                -> {}

A cell is a defined name or `Sheet!A1`. A value is a number, a text, null for blank, true or false, a formula,
`{"formula": "=NA()"}`, or keys to type, `{"keys": "TRUE"}`; an error reads as `{"error": 32767}`.
Values of a try come from what depends on the cells set; `again` works out everything.
"""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import threading
import time
from contextlib import suppress
from typing import Any

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.sheet.ValidationType import LIST
from com.sun.star.table.CellContentType import EMPTY, FORMULA, TEXT

SCRATCH = 200
"""A column that no workbook of ours uses."""
SECONDS_FOR_A_REQUEST = float(os.environ.get("QUOTEKIT_OFFICE_SECONDS", "300"))
FORMULA_CELLS = 16
"""com.sun.star.sheet.CellFlags.FORMULA"""
TEXT_RESULT = 2
"""com.sun.star.sheet.FormulaResult.STRING"""
BLANKED = 1 | 2 | 4 | 16
"""Numbers, dates, texts and formulas of a cell; its looks stay."""


class Office:
    """One LibreOffice without a screen, with a profile of its own."""

    def __init__(self, program: str, profile: str) -> None:
        pipe = f"quotekit{os.getpid()}"
        self._process = subprocess.Popen(
            [
                program,
                "--headless",
                "--norestore",
                "--nologo",
                f"-env:UserInstallation=file://{profile}",
                f"--accept=pipe,name={pipe};urp;",
            ],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
        context = self._connected(resolver, f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        self._desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
        self.dispatcher = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.DispatchHelper", context)

    def _connected(self, resolver: Any, address: str) -> Any:
        until = time.monotonic() + 60
        while True:
            try:
                return resolver.resolve(address)
            except NoConnectException:
                if time.monotonic() > until or self._process.poll() is not None:
                    self.end()
                    raise
                time.sleep(0.1)

    def open(self, path: str) -> Any:
        """A document nobody sees."""
        hidden = PropertyValue(Name="Hidden", Value=True)
        return self._desktop.loadComponentFromURL(uno.systemPathToFileUrl(path), "_blank", 0, (hidden,))

    def end(self) -> None:
        """Asks it to end, then makes sure that nothing of it is left."""
        with suppress(Exception):
            self._desktop.terminate()
            self._process.wait(10)
        self.kill()
        self._process.wait()

    def kill(self) -> None:
        """At once, with all that it started; a call that waits for it then fails."""
        with suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)


class Workbook:
    """An open document and its cells by name."""

    def __init__(self, document: Any, dispatcher: Any) -> None:
        self._document, self._dispatcher = document, dispatcher
        self._cells: dict[str, Any] = {}
        self._addresses: dict[str, tuple[int, int, int]] = {}
        self._set: dict[str, str] = {}
        formats = document.NumberFormats
        self._logical = formats.getStandardFormat(1024, document.CharLocale)

    def names(self) -> list[str]:
        """The workbook's defined names."""
        return list(self._document.NamedRanges.ElementNames)

    def cell(self, name: str) -> Any:
        """A cell by defined name or address."""
        if name not in self._cells:
            self._cells[name] = self._found(name)
        return self._cells[name]

    def _found(self, name: str) -> Any:
        if "!" in name:
            sheet, address = name.rsplit("!", 1)
            return self._document.Sheets.getByName(sheet).getCellRangeByName(address).getCellByPosition(0, 0)
        return self._document.NamedRanges.getByName(name).getReferredCells().getCellByPosition(0, 0)

    def put(self, name: str, value: Any) -> None:
        """What a person types; a cell that holds it already is left alone."""
        written = json.dumps(value)
        if self._set.get(name) == written:
            return
        self._set[name] = written
        cell = self.cell(name)
        if value is None:
            cell.clearContents(BLANKED)
        elif isinstance(value, bool):
            cell.Value = float(value)
            cell.NumberFormat = self._logical
        elif isinstance(value, (int, float)):
            cell.Value = value
        elif isinstance(value, str):
            cell.String = value
        elif "formula" in value:
            cell.Formula = value["formula"]
        else:
            self._type(cell, value["keys"])

    def _type(self, cell: Any, keys: str) -> None:
        """As from the keyboard: the program reads a number or truth value into it, and protection holds."""
        controller = self._document.CurrentController
        controller.select(cell)
        entered = PropertyValue(Name="StringName", Value=keys)
        self._dispatcher.executeDispatch(controller.Frame, ".uno:EnterString", "", 0, (entered,))

    def tried(self, cells: dict[str, Any], wanted: list[str]) -> list[Any]:
        """What cells show once others were filled."""
        for name, value in cells.items():
            self.put(name, value)
        return self.read(wanted)

    def again(self, wanted: list[str]) -> list[Any]:
        """What cells show once everything was worked out anew."""
        self._document.calculateAll()
        return self.read(wanted)

    def read(self, wanted: list[str]) -> list[Any]:
        """What cells show, a column at a time; a cell that seems blank is looked at by itself: it may be an error."""
        columns: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for place, name in enumerate(wanted):
            if name not in self._addresses:
                found = self.cell(name).CellAddress
                self._addresses[name] = (found.Sheet, found.Column, found.Row)
            sheet, column, row = self._addresses[name]
            columns.setdefault((sheet, column), []).append((row, place))
        values: list[Any] = [None] * len(wanted)
        for (sheet, column), rows in columns.items():
            first, last = min(rows)[0], max(rows)[0]
            area = self._document.Sheets.getByIndex(sheet).getCellRangeByPosition(column, first, column, last)
            data = area.getDataArray()
            for row, place in rows:
                value = data[row - first][0]
                values[place] = value if value not in ("", None) else shown(self.cell(wanted[place]))
        return values

    def offered(self, name: str) -> list[str]:
        """What the drop-down of a cell lists: its rule's formula worked out in a scratch column for the cell's row."""
        rule = self.cell(name).getPropertyValue("Validation")
        if rule.Type != LIST:
            return []
        formula = rule.getFormula1()
        if formula.startswith('"'):
            return [part.strip('"') for part in formula.split(";")]
        place, base = self.cell(name).CellAddress, rule.getSourcePosition()
        shifted = re.sub(rf"([A-Z]){base.Row + 1}\b", rf"\g<1>{place.Row + 1}", formula)
        sheet, wanted = self._document.Sheets.getByIndex(place.Sheet), shifted.lstrip("=")
        count = sheet.getCellByPosition(SCRATCH, 0)
        count.setFormula(f"=ROWS({wanted})")
        many = 0 if count.getError() else int(count.Value)
        count.clearContents(BLANKED)
        if not many:
            return [f"error {count.getError()}"]
        scratch = sheet.getCellRangeByPosition(SCRATCH, 0, SCRATCH, many - 1)
        scratch.setArrayFormula(f"={wanted}")
        shows = [str(row[0]) for row in scratch.getDataArray()]
        scratch.setArrayFormula("")
        return shows

    def store(self, path: str, form: str) -> None:
        """A copy in another format; the open document stays what it is."""
        kind = PropertyValue(Name="FilterName", Value=form)
        self._document.storeToURL(uno.systemPathToFileUrl(path), (kind,))

    def formulas(self) -> dict[str, Any]:
        """Every formula cell and what it comes to."""
        self._document.calculateAll()
        found = {}
        for sheet in self._document.Sheets:
            for cell in sheet.queryContentCells(FORMULA_CELLS).Cells:
                found[f"{sheet.Name}!{cell.AbsoluteName.rsplit('.', 1)[1].replace('$', '')}"] = shown(cell)
        return found

    def close(self) -> None:
        """Away without saving."""
        self._document.close(True)


def shown(cell: Any) -> Any:
    """What a cell holds: text, number, None, or its error."""
    kind = cell.Type
    if kind == EMPTY:
        return None
    if kind == FORMULA:
        error = cell.getError()
        if error:
            return {"error": error}
        return cell.String if cell.FormulaResultType2 == TEXT_RESULT else cell.Value
    return cell.String if kind == TEXT else cell.Value


def answer(office: Office, open_book: list[Workbook], asked: dict[str, Any]) -> dict[str, Any]:
    """One request."""
    if "open" in asked:
        open_book.append(Workbook(office.open(asked["open"]), office.dispatcher))
        return {"names": open_book[-1].names()}
    book = open_book[-1]
    if "close" in asked:
        open_book.pop().close()
        return {}
    if "offered" in asked:
        return {"offered": [book.offered(name) for name in asked["offered"]]}
    if "store" in asked:
        book.store(asked["store"], asked["filter"])
        return {}
    if "formulas" in asked:
        return {"formulas": book.formulas()}
    wanted = asked["read"]
    values, again = [], []
    for cells in asked["try"]:
        values.append(book.tried(cells, wanted))
        if asked.get("again"):
            again.append(book.again(wanted))
    return {"values": values, "again": again}


def main() -> None:
    """Until standard input ends."""
    program, profile = sys.argv[1:]
    office = Office(program, profile)
    open_book: list[Workbook] = []
    try:
        for line in sys.stdin:
            late = threading.Timer(SECONDS_FOR_A_REQUEST, office.kill)
            late.start()
            try:
                said = answer(office, open_book, json.loads(line))
            except Exception as fault:
                said = {"fault": f"{type(fault).__name__}: {fault}"}
            finally:
                late.cancel()
            print(json.dumps(said), flush=True)
    finally:
        office.end()


if __name__ == "__main__":
    main()
