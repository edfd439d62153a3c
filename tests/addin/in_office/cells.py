"""Cells with the functions in a real office without a window: `cells.py FOLDER` prints one JSON object.

FOLDER holds `shop book.xlsx` and three extensions: one whose engine notes what it is asked, one whose engine notes its
start, and one whose engine is missing. What is seen is printed; whether it is right is for the test that started this.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import sys
import time
from collections import Counter
from pathlib import Path

from office import Office, values

KINDS = {"ods": "calc8", "xlsx": "Calc MS Excel 2007 XML"}
FORMULAS = {
    "price": "=SELLING_PRICE(A1)",
    "price of a blank": "=SELLING_PRICE(D9)",
    "price of a text": '=SELLING_PRICE("12.50")',
    "price below nothing": "=SELLING_PRICE(-4)",
    "price of nothing": "=SELLING_PRICE()",
    "price at most the list": "=SELLING_PRICE(A1;B1)",
    "price without a list": "=SELLING_PRICE(A1;D9)",
    "of a book that is not there": '=SELLING_PRICE(A1;;"another")',
    "within another": "=ROUND(SELLING_PRICE(A1);0)",
    "tax": '=TAX_ON(100;"parts")',
    "tax on a day": '=TAX_ON(100;"parts";DATE(2026;3;2))',
    "tax on no charge": '=TAX_ON(100;"prts")',
    "hours of cells": "=SHARED_HOURS(A2:B3)",
    "hours of a text": '=SHARED_HOURS("BELTING; BUSH@left")',
    "hours without a side": '=SHARED_HOURS("BUSH")',
    "remedy": '=REMEDY_PRICE("NEWBELT";;"Snow thrower")',
    "remedy with tax": '=REMEDY_PRICE("NEWBUSH";"both";"Snow thrower";TRUE())',
    "an error of its own": "=SELLING_PRICE(1/0)",
}
MANY = 5000


def main() -> None:
    """Every part, one after the other."""
    folder = Path(sys.argv[1])
    found = {}
    with Office(folder / "noted profile", extension=folder / "noted.oxt") as office:
        found["help"] = help_of(office)
        found["cells"] = {kind: cells_of(office, folder, kind) for kind in KINDS}
        found["live"] = live(office, folder)
        found["together"] = together(office, folder)
        found["own"] = within_the_book(office, folder)
        found["old"] = old_figures(office, folder)
        found["ods book"] = ods_book(office, folder)
        found["new book"] = new_book(office, folder)
        found["circle"] = circle(office, folder)
        found["killed"] = killed(office, folder)
    with Office(folder / "bare profile") as office:
        found["without"] = without(office, folder)
    with Office(folder / "plain profile", extension=folder / "plain.oxt") as office:
        found["many"] = many(office, folder)
        found["with again"] = with_again(office, folder)
    with Office(folder / "broken profile", extension=folder / "broken.oxt") as office:
        found["no engine"] = no_engine(office, folder)
    print(json.dumps(found))


def help_of(office: Office) -> dict:
    """What the function wizard shows."""
    listed = office.make("com.sun.star.sheet.FunctionDescriptions")
    found = {}
    for number in range(listed.Count):
        one = {each.Name: each.Value for each in listed.getByIndex(number)}
        if one["Name"] in ("SELLING_PRICE", "SHARED_HOURS", "TAX_ON", "REMEDY_PRICE"):
            found[one["Name"]] = [one["Description"], *([each.Name, each.Description] for each in one["Arguments"])]
    return found


def shown(cell) -> object:
    """A figure, or the error as it is shown."""
    return cell.String if cell.getError() else cell.Value


def fill(document) -> dict:
    """The formulas under each other, and what they show."""
    sheet = document.Sheets.getByIndex(0)
    sheet.getCellRangeByName("A1").Value, sheet.getCellRangeByName("B1").Value = 5.5, 8
    for address, text in (("A2", "BELTING"), ("B3", "SEALING")):
        sheet.getCellRangeByName(address).String = text
    for row, formula in enumerate(FORMULAS.values()):
        sheet.getCellByPosition(5, row).Formula = formula
    return figures(document)


def figures(document) -> dict:
    """What each formula shows."""
    sheet = document.Sheets.getByIndex(0)
    return {name: shown(sheet.getCellByPosition(5, row)) for row, name in enumerate(FORMULAS)}


def cells_of(office: Office, folder: Path, kind: str) -> dict:
    """Typed in a document beside the shop book, saved, opened again, and recalculated."""
    path = folder / f"sums.{kind}"
    document = office.new()
    document.storeAsURL(path.as_uri(), values(FilterName=KINDS[kind]))
    found = {"typed": fill(document)}
    document.store()
    document.close(True)
    document = office.open(path)
    wanted = found["typed"]["price"]
    office.wait_for(lambda: figures(document)["price"] == wanted, 30)
    found["opened"], found["modified"] = figures(document), document.isModified()
    cell = document.Sheets.getByIndex(0).getCellRangeByName("A1")
    cell.Value = 11
    found["after a change"] = figures(document)["price"]
    document.close(True)
    return found


def live(office: Office, folder: Path) -> dict:
    """A band changed in the open, unsaved shop book; then one that matters to nothing; then closed without saving."""
    document = office.open(folder / "sums.ods")
    book = office.open(folder / "shop book.xlsx")
    price = document.Sheets.getByIndex(0).getCellByPosition(5, 0)
    office.wait_for(lambda: price.Value == 8.25, 30)
    band = book.Sheets.getByName("Markup").getCellRangeByName("C2")
    band.Value = 1
    found = {"modified": [document.isModified(), book.isModified()]}
    office.wait_for(lambda: price.Value == 11, 60)
    found["changed"] = price.Value
    found["then modified"] = [document.isModified(), book.isModified()]
    book.close(True)
    office.wait_for(lambda: price.Value == 8.25, 60)
    found["closed"] = price.Value
    found["at last modified"] = document.isModified()
    document.close(True)
    return found


def together(office: Office, folder: Path) -> dict:
    """A band of the open shop book changes while a document has a thousand cells of two functions, some twice."""
    document, book = office.open(folder / "sums.ods"), office.open(folder / "shop book.xlsx")
    sheet = document.Sheets.getByIndex(0)
    rows = [
        (f"=SELLING_PRICE({at % 900 + 1})", f'=TAX_ON({at % 900 + 1};"parts";DATE(2026;3;2))') for at in range(1000)
    ]
    cells = sheet.getCellRangeByPosition(8, 0, 9, 999)
    cells.setFormulaArray(tuple(rows))
    document.setModified(False)
    notes = folder / "notes"
    before = len(notes.read_text(encoding="utf-8").split("\n"))
    book.Sheets.getByName("Markup").getCellRangeByName("C2").Value = 1
    office.wait_for(lambda: sheet.getCellRangeByName("I1").Value == 2, 60)
    asked = Counter(notes.read_text(encoding="utf-8").split("\n")[before:])
    found = {"figures": [list(row) for row in cells.getDataArray()], "modified": document.isModified()}
    book.close(True)
    document.close(True)
    return {**found, "one by one": asked["function"], "together": asked["functions"]}


def within_the_book(office: Office, folder: Path) -> dict:
    """In a column of the owner's own, and as the pack cost of a part, which the book itself then holds."""
    path = folder / "own" / "shop book.xlsx"
    path.parent.mkdir()
    shutil.copy(folder / "shop book.xlsx", path)
    book = office.open(path)
    parts = book.Sheets.getByName("Parts")
    own, cost = parts.getCellRangeByName("J2"), parts.getCellRangeByName("D3")
    own.Formula, cost.Formula = "=SELLING_PRICE(D2/C2)", "=SELLING_PRICE(10)"
    found = {"typed": [shown(own), shown(cost)]}
    band = book.Sheets.getByName("Markup").getCellRangeByName("C2")
    band.Value = 1
    office.wait_for(lambda: own.Value == 11, 60)
    found["changed"] = [shown(own), shown(cost)]
    remedy = parts.getCellRangeByName("K2")
    remedy.Formula = '=REMEDY_PRICE("NEWBELT";;"Snow thrower")'
    band.Value = 0.75
    office.wait_for(lambda: remedy.Value == 120.63, 60)
    found["what depends on a result"] = [shown(cost), shown(remedy)]
    band.Value = 1
    office.wait_for(lambda: own.Value == 11, 60)
    book.store()
    time.sleep(2)
    found["modified"] = book.isModified()
    book.close(True)
    return found


def old_figures(office: Office, folder: Path) -> dict:
    """The shop book was changed and saved while documents with its prices were closed: they are opened again."""
    folder = folder / "old"
    folder.mkdir()
    shutil.copy(folder.parent / "shop book.xlsx", folder)
    for kind, filtered in KINDS.items():
        document = office.new()
        document.storeAsURL((folder / f"sums.{kind}").as_uri(), values(FilterName=filtered))
        document.Sheets.getByIndex(0).getCellRangeByName("A1").Formula = "=SELLING_PRICE(10)"
        document.store()
        document.close(True)
    book = office.open(folder / "shop book.xlsx")
    book.Sheets.getByName("Markup").getCellRangeByName("C2").Value = 1
    book.store()
    book.close(True)
    found = {}
    for kind in KINDS:
        document = office.open(folder / f"sums.{kind}")
        price = document.Sheets.getByIndex(0).getCellRangeByName("A1")
        office.wait_for(lambda price=price: price.Value == 20, 60)
        found[kind] = [price.Value, document.isModified()]
        document.close(True)
    return found


def ods_book(office: Office, folder: Path) -> dict:
    """A shop book that only the office can read: seen while it is open, a moment after it was opened."""
    path = folder / "ods" / "shop book.ods"
    path.parent.mkdir()
    book = office.open(folder / "shop book.xlsx")
    book.storeAsURL(path.as_uri(), values(FilterName=KINDS["ods"]))
    own = book.Sheets.getByName("Parts").getCellRangeByName("J2")
    own.Formula = "=SELLING_PRICE(D2/C2)"
    book.store()
    book.close(True)
    book = office.open(path)
    own = book.Sheets.getByName("Parts").getCellRangeByName("J2")
    office.wait_for(lambda: not own.getError(), 60)
    found = {"figure": shown(own), "modified": book.isModified()}
    band = book.Sheets.getByName("Markup").getCellRangeByName("C2")
    band.String = "much"
    office.wait_for(own.getError, 60)
    found["with an error in its bands"] = own.String
    band.Value = 1
    office.wait_for(lambda: own.Value == 11, 60)
    book.close(True)
    time.sleep(2)
    return found


def new_book(office: Office, folder: Path) -> dict:
    """A shop book that was never saved, with a function of its own, and another document that was never saved."""
    book = office.open(folder / "shop book.xlsx", AsTemplate=True)
    own = book.Sheets.getByName("Parts").getCellRangeByName("J2")
    own.Formula = "=SELLING_PRICE(D2/C2)"
    found = {"at once": shown(own), "address": book.getURL()}
    office.wait_for(lambda: not own.getError(), 60)
    other = office.new()
    price = other.Sheets.getByIndex(0).getCellByPosition(0, 0)
    price.Formula = "=SELLING_PRICE(10)"
    found |= {"then": shown(own), "in another": shown(price)}
    other.close(True)
    book.close(True)
    return found


def circle(office: Office, folder: Path) -> dict:
    """A band that depends on the price it makes: it is worked out a few times and then left alone."""
    book = office.open(folder / "shop book.xlsx")
    band = book.Sheets.getByName("Markup").getCellRangeByName("C2")
    band.Formula = "=SELLING_PRICE(10)/10"
    seen = [band.Value]
    quiet = time.monotonic()
    while time.monotonic() - quiet < 6:
        time.sleep(0.05)
        if band.Value != seen[-1]:
            seen.append(band.Value)
            quiet = time.monotonic()
    band.Value = 1
    own = book.Sheets.getByName("Parts").getCellRangeByName("J2")
    own.Formula = "=SELLING_PRICE(D2/C2)"
    office.wait_for(lambda: own.Value == 11, 60)
    book.close(True)
    return {"grew": seen == sorted(seen), "times": len(seen) - 1}


def killed(office: Office, folder: Path) -> dict:
    """The engine is killed while an open book has changes: the next one is told of them again."""
    document, book = office.open(folder / "sums.ods"), office.open(folder / "shop book.xlsx")
    price = document.Sheets.getByIndex(0).getCellByPosition(5, 0)
    book.Sheets.getByName("Markup").getCellRangeByName("C2").Value = 1
    office.wait_for(lambda: price.Value == 11, 60)
    os.kill(int((folder / "notes pid").read_text(encoding="utf-8")), signal.SIGKILL)
    document.calculateAll()
    found = {"at once": shown(price)}
    office.wait_for(lambda: price.Value == 11, 60)
    found |= {"then": shown(price), "modified": [document.isModified(), book.isModified()]}
    book.close(True)
    document.close(True)
    return found


def without(office: Office, folder: Path) -> dict:
    """Files with functions in an office that knows none of them: seen, changed, saved."""
    (folder / "lent").mkdir()
    shutil.copy(folder / "shop book.xlsx", folder / "lent")
    found = {}
    for kind in KINDS:
        path = Path(shutil.copy(folder / f"sums.{kind}", folder / "lent"))
        document = office.open(path)
        found[kind] = figures(document)["price"]
        document.Sheets.getByIndex(0).getCellRangeByName("A1").Value = 11
        document.store()
        document.close(True)
    return found


def with_again(office: Office, folder: Path) -> dict:
    """The same files where the functions are known again."""
    found = {}
    for kind in KINDS:
        document = office.open(folder / "lent" / f"sums.{kind}")
        office.wait_for(lambda document=document: figures(document)["price"] == 16.5, 60)
        found[kind] = [figures(document)["within another"], figures(document)["tax"], document.isModified()]
        document.close(True)
    return found


def many(office: Office, folder: Path) -> dict:
    """Thousands of cells, filled in and worked out again."""
    document = office.open(folder / "sums.ods")
    sheet = document.Sheets.getByIndex(0)
    sheet.getCellRangeByPosition(8, 0, 8, MANY - 1).setDataArray(tuple((float(at + 1),) for at in range(MANY)))
    cells = sheet.getCellRangeByPosition(9, 0, 9, MANY - 1)
    seconds = [time.perf_counter()]
    cells.setFormulaArray(tuple((f"=SELLING_PRICE(I{at + 1})",) for at in range(MANY)))
    figures = [row[0] for row in cells.getDataArray()]
    seconds.append(time.perf_counter())
    document.calculateAll()
    again = [row[0] for row in cells.getDataArray()]
    seconds.append(time.perf_counter())
    document.close(True)
    return {"figures": figures, "same again": again == figures,
            "seconds": [seconds[1] - seconds[0], seconds[2] - seconds[1]]}  # fmt: skip


def no_engine(office: Office, folder: Path) -> dict:
    """The program is not where it was: thousands of cells show an error and nobody waits for each."""
    document = office.open(folder / "sums.ods")
    sheet = document.Sheets.getByIndex(0)
    start = time.perf_counter()
    cells = sheet.getCellRangeByPosition(9, 0, 9, MANY - 1)
    cells.setFormulaArray(tuple((f"=SELLING_PRICE({at + 1})",) for at in range(MANY)))
    shown_ones = {sheet.getCellByPosition(9, at).String for at in (0, 1, MANY // 2, MANY - 1)}
    found = {"shown": sorted(shown_ones), "seconds": time.perf_counter() - start}
    document.close(True)
    return found


if __name__ == "__main__":
    main()
