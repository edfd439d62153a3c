"""What a person does who types in cells: a wrong measurement and functions, by real mouse and keys, as pictures.

`/usr/bin/python3 tests/addin/screens/check.py FOLDER EXTENSION WORK` writes the pictures to FOLDER. EXTENSION is the
built extension, WORK the worked example's workbooks, which are copied first. What was seen is printed as JSON.

Cells are clicked where the office says that it draws them. Nothing walks through the cells of a sheet by accessibility:
that takes minutes.
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "in_office"))

from hands import Hands, _all
from mouse import Screen, place_of_cell, press
from office import Office, values

JOB = "2611-01 snow thrower, worn bushings.xlsx"
MEASURED, WRONG, RIGHT = "D3", "about 0.78", "0.782"
FORMULAS = {
    "B2": "=SELLING_PRICE(5.5;8)",
    "B3": "=SELLING_PRICE(B2*4)",
    "B4": '=TAX_ON(100;"parts")',
    "B5": "=SELLING_PRICE(-4)",
}
PAGE = 51
"""The role of the page, as the office numbers it."""


class Person:
    """One office on one screen, and somebody at it."""

    def __init__(self, office: Office, screen: Screen, pictures: Path) -> None:
        self.office, self.screen, self.pictures = office, screen, pictures

    def open(self, document):
        document.CurrentController.Frame.ContainerWindow.setPosSize(0, 0, 1280, 776, 15)
        time.sleep(1.5)
        return document

    def picture(self, name: str) -> None:
        time.sleep(1)
        self.screen.picture(self.pictures / f"typing {name}.png")

    def menu(self, entry: str, name: str = "") -> None:
        """The menu of the extension, then the entry, by the mouse."""
        press(self.screen, self.office, "Quote")
        if name:
            self.picture(name)
        press(self.screen, self.office, entry)

    def go_to(self, document, cell: str) -> None:
        """A click on a cell."""
        self.screen.click(*place_of_cell(document, cell))
        self.office.wait_for(lambda: selected(document).endswith(f".{cell}"), 10)

    def type(self, document, cell: str, text: str) -> None:
        """Over what stands in a cell, with Return."""
        self.go_to(document, cell)
        self.screen.type(text)
        self.screen.key("Return")

    def copied(self, window: Hands) -> str:
        """What stands on the page of a window: it has no name, so it is clicked, and copied as by a person."""
        page = next(one for one in _all(window.context) if one.getAccessibleRole() == PAGE)
        at, size = page.getLocationOnScreen(), page.getSize()
        self.screen.click(at.X + size.Width // 2, at.Y + size.Height // 2)
        self.screen.key("ctrl+a", "ctrl+c")
        clipboard = self.office.make("com.sun.star.datatransfer.clipboard.SystemClipboard")
        return self.office.wait_for(lambda: _text_on(clipboard), 10)


def _text_on(clipboard) -> str:
    contents = clipboard.getContents()
    plain = [one for one in contents.getTransferDataFlavors() if one.MimeType.startswith("text/plain;charset=utf-16")]
    return contents.getTransferData(plain[0]) if plain else ""


def main(folder: Path, extension: Path, work: Path) -> None:
    """Every picture, in the order of a person's doing."""
    with tempfile.TemporaryDirectory() as there, Screen() as screen:
        own = Path(there) / "shop"
        shutil.copytree(work, own)
        with Office(Path(there) / "profile", extension=extension, headless=False) as office:
            person = Person(office, screen, folder)
            try:
                seen = {**_wrong(person, own), **_functions(person, own)}
            except SystemExit:
                person.picture("where it stopped")
                raise
    print(json.dumps(seen))


def _wrong(person: Person, own: Path) -> dict:
    """A measurement typed as words, and the menu chosen without Return: it is listed, with a note on its cell.

    Typed over, both are gone; while it is being typed nothing happens.
    """
    job = person.open(person.office.open(own / JOB))
    job.CurrentController.setActiveSheet(job.Sheets.getByName("Findings"))
    cell = job.Sheets.getByName("Findings").getCellRangeByName(MEASURED)
    person.go_to(job, MEASURED)
    person.screen.type(WRONG)
    person.menu("Check this workbook", "1 the menu")
    window = Hands(person.office, f"Problems: {JOB}")
    person.office.wait_for(lambda: cell.getCellByPosition(0, 0).getAnnotation().getString())
    seen = {
        "typed": cell.String,
        "note": cell.getCellByPosition(0, 0).getAnnotation().getString(),
        "lines": _lines(window),
    }
    person.screen.click(*_line(window))
    person.picture("2 a problem picked")
    seen["selected"] = job.getCurrentSelection().AbsoluteName
    person.go_to(job, MEASURED)
    person.screen.type(RIGHT)
    time.sleep(2.5)
    person.picture("3 being typed")
    seen["while typing"] = [cell.String, cell.getCellByPosition(0, 0).getAnnotation().getString() != ""]
    person.screen.key("Return")
    person.office.wait_for(lambda: not cell.getCellByPosition(0, 0).getAnnotation().getString())
    person.office.wait_for(lambda: not [line for line in _lines(window) if MEASURED in line])
    person.picture("4 mended")
    seen["mended"] = cell.Value
    window.press("Close")
    window.wait_closed()
    job.setModified(False)
    job.close(True)
    return seen


def _functions(person: Person, own: Path) -> dict:
    """Functions with arguments, typed in a sheet beside the shop book; the reason of one that has no figure."""
    sums = person.office.new()
    sums.storeAsURL((own / "sums.ods").as_uri(), values(FilterName="calc8"))
    person.open(sums)
    sheet = sums.Sheets.getByIndex(0)
    for cell, formula in FORMULAS.items():
        person.type(sums, cell, formula)
    cells = {cell: sheet.getCellRangeByName(cell) for cell in FORMULAS}
    person.office.wait_for(lambda: all(cell.Formula for cell in cells.values()))
    seen = {name: cell.String if cell.getError() else cell.Value for name, cell in cells.items()}
    person.go_to(sums, "B5")
    person.menu("Explain the selected cell")
    window = Hands(person.office, "What this cell is")
    person.picture("5 functions, and why one has no figure")
    seen["why"] = person.copied(window)
    person.screen.key("Escape")
    window.wait_closed(10)
    person.type(sums, "B5", "=SELLING_PRICE(4)")
    person.picture("6 all figures")
    seen["typed over"] = cells["B5"].Value
    sums.setModified(False)
    sums.close(True)
    return seen


def selected(document) -> str:
    return document.getCurrentSelection().AbsoluteName.replace("$", "")


def _lines(window: Hands) -> list[str]:
    return Hands(window.office, window.title).lines(window.labels()[0])


def _line(window: Hands) -> tuple[int, int]:
    """Where the first line of the list of a window is on the screen."""
    fresh = Hands(window.office, window.title)
    label = fresh.labels()[0]
    found = next(one for one in fresh._named(label) if hasattr(one, "selectAccessibleChild"))
    at = found.getLocationOnScreen()
    return at.X + 60, at.Y + 9


if __name__ == "__main__":
    main(*(Path(word).resolve() for word in sys.argv[1:4]))
