"""What a person sees who checks a shop book and a job and asks what a cell is: by real mouse, as pictures.

`/usr/bin/python3 tests/addin/screens/check.py FOLDER EXTENSION WORK` writes the pictures to FOLDER. EXTENSION is the
built extension, WORK a folder with `shop book.xlsx`, one job and its costing, which are copied first. What was seen is
printed as JSON.
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "in_office"))

from mouse import Screen, press
from office import Office, _names

BOOK = "shop book.xlsx"


def main(folder: Path, extension: Path, work: Path) -> None:
    """Every picture, in the order of a person's doing."""
    with tempfile.TemporaryDirectory() as there, Screen() as screen:
        own = Path(there)
        for path in work.glob("*.xlsx"):
            shutil.copy(path, own / path.name)
        with Office(own / "profile", headless=False) as office:
            office.install(extension)
            try:
                seen = _checked(office, screen, own, folder)
                seen |= _typed(office, screen, folder)
                seen |= _explained(office, screen, own, folder)
            finally:
                for document in _documents(office):
                    document.setModified(False)
    print(json.dumps(seen))


def _checked(office: Office, screen: Screen, own: Path, folder: Path) -> dict:
    """A shop book with three problems, the list, a jump."""
    book = office.open(own / BOOK)
    parts = book.Sheets.getByName("Parts")
    parts.getCellRangeByName("E10").Formula = "9 USD"
    parts.getCellRangeByName("H10").Formula = "NORHT"
    book.Sheets.getByName("Operations").getCellRangeByName("C6").Formula = "0.5 h"
    time.sleep(4)
    press(screen, office, "Check this workbook")
    office.wait_for(lambda: _texts(office, "Problems"), 240)
    time.sleep(1.5)
    screen.picture(folder / "check 1 the list.png")
    line = next(text for text in _texts(office, "Problems") if "Parts!E10" in text)
    press(screen, office, line)
    time.sleep(1.5)
    screen.picture(folder / "check 2 a line picked.png")
    return {"lines": _texts(office, "Problems")[:8], "selected": book.getCurrentSelection().AbsoluteName}


def _typed(office: Office, screen: Screen, folder: Path) -> dict:
    """The cell is mended by typing: while typing nothing happens, shortly after Enter its note is gone."""
    book = next(one for one in _documents(office) if one.Title == BOOK)
    parts, cell = book.Sheets.getByName("Parts"), book.getCurrentSelection()
    before = parts.Annotations.Count
    at = office.wait_for(lambda: _middle(cell, book))
    screen.click(*at)
    screen.type("12.50")
    time.sleep(4)
    screen.picture(folder / "check 3 being typed.png")
    while_typing = {"notes": parts.Annotations.Count, "text": cell.String}
    screen.key("Return")
    start = time.monotonic()
    office.wait_for(lambda: parts.Annotations.Count < before, 180)
    seconds = time.monotonic() - start
    time.sleep(1.5)
    screen.picture(folder / "check 4 mended.png")
    return {"before": before, "while_typing": while_typing, "seconds": round(seconds, 1), "value": cell.Value}


def _explained(office: Office, screen: Screen, own: Path, folder: Path) -> dict:
    """A cell of the shop book, then a figure of the costing, and a jump from there into the shop book."""
    book = next(one for one in _documents(office) if one.Title == BOOK)
    book.Sheets.getByName("Parts").getCellRangeByName("H10").String = "NORTH"
    book.Sheets.getByName("Operations").getCellRangeByName("C6").Value = 0.2
    press(screen, office, "Close")
    costing = office.open(next(own.glob("*costing.xlsx")))
    time.sleep(2)
    summary = costing.Sheets.getByName("Summary")
    row = next(row for row in range(60) if summary.getCellByPosition(0, row).String == "Total to pay")
    costing.CurrentController.select(summary.getCellByPosition(1, row))
    press(screen, office, "Explain the selected cell")
    time.sleep(5)
    office.wait_for(lambda: any("Total to pay" in text for text in _texts(office, "What this cell is")), 240)
    time.sleep(1.5)
    screen.picture(folder / "explain 1 a figure of the costing.png")
    line = next(text for text in _texts(office, "What this cell is") if text.startswith("Access!"))
    press(screen, office, line)
    time.sleep(2)
    screen.picture(folder / "explain 2 its cell in the shop book.png")
    press(screen, office, "Explain the selected cell")
    office.wait_for(lambda: any("Hours to open" in text for text in _texts(office, "What this cell is")[:1]), 240)
    time.sleep(1.5)
    screen.picture(folder / "explain 3 what hangs on it.png")
    return {"jumped_to": book.getCurrentSelection().AbsoluteName}


def _documents(office: Office) -> list:
    found, listed = [], office.desktop.getComponents().createEnumeration()
    while listed.hasMoreElements():
        found.append(listed.nextElement())
    return found


def _texts(office: Office, title: str) -> list[str]:
    """The texts of one window; others are left alone, as an office whose table is walked through may end."""
    toolkit = office.make("com.sun.star.awt.Toolkit")
    for number in range(toolkit.getTopWindowCount()):
        top = toolkit.getTopWindow(number)
        context = top.getAccessibleContext() if hasattr(top, "getAccessibleContext") else None
        if context is not None and context.getAccessibleName().startswith(title):
            try:
                return list(_names(context))
            except Exception:  # its list changes just now
                return []
    return []


def _middle(cell, document) -> tuple[int, int] | None:
    """Where a cell is on the screen: the office tells it through accessibility only for the table as a whole."""
    window = document.CurrentController.Frame.getComponentWindow()
    table = _table(window.getAccessibleContext(), 0)
    if table is None:
        return None
    at = cell.getRangeAddress() if hasattr(cell, "getRangeAddress") else cell.RangeAddress
    spot = table.getAccessibleCellAt(at.StartRow, at.StartColumn).getAccessibleContext()
    place, size = spot.getLocationOnScreen(), spot.getSize()
    return place.X + size.Width // 2, place.Y + size.Height // 2


def _table(context, deep: int):
    if context is None or deep > 8:
        return None
    if hasattr(context, "getAccessibleCellAt"):
        return context
    for number in range(min(context.getAccessibleChildCount(), 40)):
        child = context.getAccessibleChild(number)
        found = _table(child.getAccessibleContext(), deep + 1) if child is not None else None
        if found is not None:
            return found
    return None


if __name__ == "__main__":
    main(*(Path(word).resolve() for word in sys.argv[1:4]))
