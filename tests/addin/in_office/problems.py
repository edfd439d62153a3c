"""Problems where they are, in a real office without a window: `problems.py EXTENSION FOLDER`, prints one JSON object.

FOLDER holds `planted.xlsx` (a shop book with 50 problems in Parts!D5:D54), `many.xlsx` (2,000), and `job/` with
`book.xlsx` (2 errors) and `job.xlsx`. What is seen is printed; whether it is right is for the test that began it.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
import traceback
from pathlib import Path

import uno
from hands import Hands, settled
from office import Office, values

XLSX, ODS, PDF = "Calc MS Excel 2007 XML", "calc8", "calc_pdf_Export"
OWN = "Ask Northside about this one."
ASKED = "Asked on Monday."
LIST, CELL = "Problems: ", "What this cell is"


class Live(Hands):
    """Hands for a window whose words change: none of its parts is remembered."""

    def _named(self, label: str):
        self._parts = []
        return super()._named(label)


class Parts:
    """What was done in one office, one part after another."""

    def __init__(self, office: Office, folder: Path) -> None:
        self.office, self.folder = office, folder

    def check(self, document) -> Live:
        self.office.choose(document, "check")
        return Live(self.office, f"{LIST}{document.Title}", seconds=180)

    def planted(self) -> dict:
        """50 problems, one cell with the owner's note; jumps, mending, undo, rows put in, an engine killed."""
        book = self.office.open(self.folder / "planted.xlsx")
        sheet = book.Sheets.getByName("Parts")
        sheet.Annotations.insertNew(_address(sheet, 3, 9), OWN)
        book.store()
        book.UndoManager.clear()
        window = self.check(book)
        seen = {"lines": lines(window), "head": head(window), "notes": len(ours(sheet)), "own": note(sheet, "D10")}
        seen |= {"modified": book.isModified(), "undo": list(book.UndoManager.getAllUndoActionTitles())}
        window.pick(head(window), "Error   Parts!D7")
        seen |= {"jumped": book.getCurrentSelection().AbsoluteName}
        seen["note"] = note(sheet, "D7")
        seen["mended"] = self.mend(sheet, "D7", 3)
        seen |= {"then modified": book.isModified(), "then undo": list(book.UndoManager.getAllUndoActionTitles())}
        seen["then head"] = head(window)
        book.UndoManager.undo()
        self.office.wait_for(lambda: note(sheet, "D7"))
        seen["after undo"] = len(ours(sheet))
        sheet.Rows.insertByIndex(4, 1)
        seen["moved at once"] = (note(sheet, "D5"), note(sheet, "D55") != "")
        self.office.wait_for(lambda: any("Parts!D55" in one for one in lines(window)))
        seen["after a row"] = set(ours(sheet)) == {f"D{row}" for row in range(6, 56) if row != 11}
        killed = kill_engines(self.office.process.pid)
        seen["killed"] = killed
        seen["mended without an engine"] = self.mend(sheet, "D8", 3)
        seen["saved"] = self.saved(book, sheet)
        window.press("Close")
        window.wait_closed()
        seen["mended without the list"] = self.mend(sheet, "D9", 3)
        self.close(book)
        return seen

    def saved(self, book, sheet) -> dict:
        """Saved in both kinds, copied and printed to PDF: the notes are on the cells before and after."""
        before = len(ours(sheet))
        book.storeAsURL((self.folder / "saved.ods").as_uri(), values(FilterName=ODS))
        book.storeAsURL((self.folder / "saved.xlsx").as_uri(), values(FilterName=XLSX))
        book.store()
        book.storeToURL((self.folder / "copied.ods").as_uri(), values(FilterName=ODS))
        book.storeToURL((self.folder / "printed.pdf").as_uri(), values(FilterName=PDF))
        failed = False
        try:
            book.storeToURL("file:///proc/nowhere/x.ods", values(FilterName=ODS))
        except Exception:
            failed = True
        seen = {"before": before, "after": len(ours(sheet)), "own": note(sheet, "D11"), "failed": failed}
        return {**seen, "modified": book.isModified()}

    def kept(self) -> dict:
        """Kept in the file because the owner says so; known again when it is opened, and gone when mended."""
        book = self.office.open(self.folder / "planted.xlsx")
        window = self.check(book)
        window.tick("Keep the notes in the file")
        seen = {"modified": book.isModified()}
        book.storeAsURL((self.folder / "kept.xlsx").as_uri(), values(FilterName=XLSX))
        self.close(book)
        window.wait_closed()
        book = self.office.open(self.folder / "kept.xlsx")
        sheet = book.Sheets.getByName("Parts")
        seen["opened with"] = len(ours(sheet))
        window = self.check(book)
        seen["checked"] = (len(ours(sheet)), book.isModified())
        seen["mended"] = self.mend(sheet, "D7", 3)
        book.store()
        window.tick("Keep the notes in the file")
        book.storeAsURL((self.folder / "no longer kept.xlsx").as_uri(), values(FilterName=XLSX))
        self.close(book)
        window.wait_closed()
        return seen

    def protected(self) -> dict:
        """A protected sheet takes no note; one that is protected with notes on it loses them when it is saved."""
        book = self.office.open(self.folder / "planted.xlsx")
        sheet = book.Sheets.getByName("Parts")
        sheet.protect("")
        window = self.check(book)
        seen = {"head": head(window), "notes": len(ours(sheet)), "lines": len(lines(window))}
        sheet.unprotect("")
        window.press("Check again")
        self.put_on(sheet)
        sheet.protect("")
        book.storeAsURL((self.folder / "protected.xlsx").as_uri(), values(FilterName=XLSX))
        seen |= {"still protected": sheet.isProtected()}
        self.close(book)
        window.wait_closed()
        return seen

    def read_only(self) -> dict:
        book = self.office.open(self.folder / "planted.xlsx", ReadOnly=True)
        sheet = book.Sheets.getByName("Parts")
        window = self.check(book)
        seen = {"head": head(window), "notes": len(ours(sheet)), "lines": len(lines(window))}
        window.pick(head(window), "Error   Parts!D7")
        seen |= {"jumped": book.getCurrentSelection().AbsoluteName, "modified": book.isModified()}
        self.close(book)
        window.wait_closed()
        return seen

    def odd(self) -> dict:
        """A note that the owner wrote beneath, a hidden row, merged cells, notes switched off and on."""
        book = self.office.open(self.folder / "planted.xlsx")
        sheet = book.Sheets.getByName("Parts")
        window = self.check(book)
        written = f"{note(sheet, 'D8')}\n{ASKED}"
        sheet.getCellRangeByName("D8").getCellByPosition(0, 0).getAnnotation().setString(written)
        sheet.Rows.getByIndex(8).IsVisible = False
        sheet.getCellRangeByName("D12:D13").merge(True)
        window.press("Check again")
        self.office.wait_for(lambda: any("hidden" in one for one in lines(window)))
        window.pick(head(window), "Error   Parts!D9")
        seen = {"jumped": book.getCurrentSelection().AbsoluteName, "on hidden": note(sheet, "D9") != ""}
        seen |= {"merged": [note(sheet, cell) != "" for cell in ("D12", "D13")], "asked": note(sheet, "D8") == written}
        window.tick("Notes on the cells")
        self.office.wait_for(lambda: len(ours(sheet)) == 1)
        book.storeAsURL((self.folder / "odd.xlsx").as_uri(), values(FilterName=XLSX))
        window.tick("Notes on the cells")
        self.put_on(sheet)
        seen["asked still"] = note(sheet, "D8") == written
        self.close(book)
        window.wait_closed()
        return seen

    def many(self) -> dict:
        """2,000 problems: as many notes as there may be, and how many is said."""
        book = self.office.open(self.folder / "many.xlsx")
        start = time.monotonic()
        window = self.check(book)
        sheet = book.Sheets.getByName("Parts")
        seen = {"seconds": time.monotonic() - start, "head": head(window), "notes": len(ours(sheet))}
        seen["undo"] = list(book.UndoManager.getAllUndoActionTitles())
        start = time.monotonic()
        window.tick("Notes on the cells")
        self.office.wait_for(lambda: not ours(sheet))
        seen["seconds to take off"] = time.monotonic() - start
        self.close(book)
        window.wait_closed()
        return seen

    def job(self) -> dict:
        """A job whose shop book is closed: its problems are listed with its name, and picking one opens it."""
        job = self.office.open(self.folder / "job" / "job.xlsx")
        window = self.check(job)
        seen = {"lines": lines(window)}
        window.pick(head(window), "Error   book.xlsx: Parts!D3")
        book = self.office.wait_for(lambda: self.opened("book.xlsx"))
        seen["jumped"] = self.office.wait_for(lambda: selected(book))
        window = Live(self.office, f"{LIST}job.xlsx")
        sheet = book.Sheets.getByName("Parts")
        seen["notes"] = sorted(self.office.wait_for(lambda: ours(sheet)))
        for cell in ("D3", "D4"):
            self.mend(sheet, cell, 20)
        self.office.wait_for(lambda: not any("Error   book.xlsx" in one for one in lines(window)))
        seen["then"] = lines(window)
        seen["explained"] = self.explained(job, "Findings", "C2")
        seen["price"] = self.explained(book, "Parts", "D2")
        self.close(book)
        time.sleep(1)
        window = Live(self.office, f"{LIST}job.xlsx")
        window.pick(head(window), "Warning   book.xlsx: ")
        seen["opened again"] = self.office.wait_for(lambda: self.opened("book.xlsx")) is not None
        window = Live(self.office, f"{LIST}job.xlsx")
        self.close(self.opened("book.xlsx"))
        time.sleep(1)
        self.close(job)
        window.wait_closed()
        return seen

    def explained(self, document, sheet: str, cell: str) -> dict:
        """The title of what is told of a cell, and the cells of its list; its page has no name, so it can't be read."""
        where = document.Sheets.getByName(sheet)
        document.CurrentController.setActiveSheet(where)
        document.CurrentController.select(where.getCellRangeByName(cell))
        self.office.choose(document, "explain")
        start = f"{sheet}!{cell}"
        window = Live(self.office, CELL, seconds=180)
        self.office.wait_for(lambda: head(window).startswith(start))
        listed = lines(window)
        seen = {"head": head(window), "places": listed}
        if listed and "!" in listed[0]:
            window.pick(head(window), listed[0][:12])
        window.press("Close")
        window.wait_closed()
        return seen

    def unknown(self) -> dict:
        """A workbook that is none of ours, and a cell in it."""
        other = self.office.new()
        self.office.choose(other, "check")
        said = Live(self.office, "quotekit").said()
        seen = {"check": said, "explain": self.explained(other, "Sheet1", "B2")["head"]}
        Live(self.office, "quotekit").press("Close")
        self.office.choose(other, "explain")
        window = Live(self.office, CELL)
        self.close(other)
        window.wait_closed()
        return seen

    def mend(self, sheet, cell: str, value: float) -> float:
        """Type a value; the seconds until the note of the cell is gone."""
        sheet.getCellRangeByName(cell).Value = value
        start = time.monotonic()
        self.office.wait_for(lambda: not note(sheet, cell), 120)
        return round(time.monotonic() - start, 1)

    def put_on(self, sheet) -> None:
        """Until all notes are on: from outside a workbook could be closed in between, which no person can do."""
        before = -1
        while (now := len(ours(sheet))) != before or now < 40:
            before = now
            time.sleep(1.5)

    def documents(self) -> list:
        found, listed = [], self.office.desktop.getComponents().createEnumeration()
        while listed.hasMoreElements():
            found.append(listed.nextElement())
        return [one for one in found if hasattr(one, "setModified")]

    def opened(self, name: str):
        return next((one for one in self.documents() if one.getURL().endswith(f"/{name}")), None)

    def close(self, document) -> None:
        settled(1)
        document.setModified(False)
        document.close(True)


def _address(sheet, column: int, row: int):
    address = uno.createUnoStruct("com.sun.star.table.CellAddress")
    address.Sheet, address.Column, address.Row = sheet.RangeAddress.Sheet, column, row
    return address


def head(window: Live) -> str:
    return window.labels()[0]


def lines(window: Live) -> list[str]:
    """The lines of the list; it has the name of the words above it."""
    return window.lines(head(window))


def selected(document) -> str:
    selection = document.getCurrentSelection()
    return selection.AbsoluteName if selection is not None else ""


def note(sheet, cell: str) -> str:
    return sheet.getCellRangeByName(cell).getCellByPosition(0, 0).getAnnotation().getString()


def ours(sheet) -> list[str]:
    """The cells with a note of the extension."""
    notes = sheet.Annotations
    found = [notes.getByIndex(number) for number in range(notes.getCount())]
    return [
        f"{'ABCDEFGH'[one.Position.Column]}{one.Position.Row + 1}"
        for one in found
        if one.getString().startswith("To mend, says quotekit:")
    ]


def kill_engines(office: int) -> int:
    """Kill the engine of this office, as a machine short of memory does; how many there were."""
    parents = {}
    for status in Path("/proc").glob("[0-9]*/stat"):
        try:
            words = status.read_text().rpartition(")")[2].split()
            command = (status.parent / "cmdline").read_bytes()
        except OSError:
            continue
        parents[int(status.parent.name)] = (int(words[1]), command)
    killed = 0
    for process, (parent, command) in parents.items():
        while parent and parent != office:
            parent = parents.get(parent, (0, b""))[0]
        if parent == office and b"quotekit" in command and b"answer" in command:
            os.kill(process, signal.SIGKILL)
            killed += 1
    return killed


def main(extension: Path, folder: Path) -> None:
    with Office(folder / "profile", extension=extension) as office:
        parts, seen = Parts(office, folder), {}
        for name in ("planted", "kept", "protected", "read_only", "odd", "many", "job", "unknown"):
            start = time.monotonic()
            try:
                seen[name] = getattr(parts, name)()
            except (Exception, SystemExit):
                seen[name] = {"fault": traceback.format_exc()[:3000]}
                for document in parts.documents():
                    parts.close(document)
            print(name, round(time.monotonic() - start, 1), file=sys.stderr, flush=True)
    print(json.dumps(seen))


if __name__ == "__main__":
    main(*(Path(word).resolve() for word in sys.argv[1:3]))
