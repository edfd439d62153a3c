"""The pictures of the README's day in the office: `readme.py FOLDER EXTENSION WORK` writes them to FOLDER.

EXTENSION is the built extension, WORK a folder with what `quotekit new FOLDER --demo` writes, which is copied first.
Windows are filled in and pressed through accessibility, so that it works with every look of the office
(`QUOTEKIT_TEST_LOOK=gtk3` where a desktop is there); the tests by a real mouse are beside this file.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "in_office"))

from hands import Hands
from mouse import Screen
from office import Office

JOB = "2611-01 snow thrower, worn bushings"
COLOURS = "128"


class Album:
    """One office on one screen, and the pictures taken of it."""

    def __init__(self, office: Office, screen: Screen, shop: Path, pictures: Path) -> None:
        self.office, self.screen, self.shop, self.pictures = office, screen, shop, pictures

    def picture(self, name: str) -> None:
        time.sleep(1.5)
        self.screen.picture(self.pictures / f"office-{name}.png", colours=COLOURS)

    def open(self, name: str):
        document = self.office.open(self.shop / name)
        document.CurrentController.Frame.ContainerWindow.setPosSize(0, 0, 1280, 776, 15)
        time.sleep(2)
        return document

    def window(self, document, word: str, title: str, has: str = "") -> Hands:
        document.CurrentController.Frame.ContainerWindow.toFront()
        self.office.choose(document, word)
        return Hands(self.office, title, has=has)

    def done(self, form: Hands, button: str, name: str = "") -> None:
        """Press the button of a form, wait for what is said, take a picture of it, close it."""
        form.press(button)
        said = Hands(self.office, form.title, has="Close", seconds=120)
        if name:
            self.picture(name)
        said.press("Close")
        said.wait_closed()


def main(pictures: Path, extension: Path, work: Path) -> None:
    """The owner's and the technician's day, in order."""
    with tempfile.TemporaryDirectory() as there, Screen() as screen:
        shop = Path(there) / "shop"
        shutil.copytree(work, shop, ignore=shutil.ignore_patterns(".~lock.*"))
        profile = Path(there) / "profile"
        with Office(profile, extension=extension, headless=False) as office:
            album = Album(office, screen, shop, pictures)
            job = _of_the_technician(album)
            _of_the_owner(album)
            _after_the_yes(album, job)


def _of_the_technician(album: Album):
    job = album.open(f"{JOB}.xlsx")
    findings = job.Sheets.getByName("Findings")
    job.CurrentController.setActiveSheet(findings)
    album.screen.key("alt+q")
    album.picture("menu")
    album.screen.key("Escape", "Escape")
    window = album.window(job, "finding", f"Put a finding in {JOB}.xlsx")
    album.screen.type("gears")
    album.screen.key("Tab", "Tab", "Tab")
    album.screen.type("0.62")
    album.picture("finding")
    window.press("Close")
    window.wait_closed()
    measured = findings.getCellRangeByName("D3")
    kept = measured.Value
    measured.String = "about 0.78"
    listed = album.window(job, "check", f"Problems: {JOB}.xlsx")
    album.office.wait_for(lambda: findings.Annotations.Count)
    album.picture("check")
    measured.Value = kept
    album.office.wait_for(lambda: not findings.Annotations.Count)
    listed.press("Close")
    priced = album.window(job, "price", "Job 2611-01, version 1")
    album.picture("priced")
    priced.press("Close")
    job.store()
    return job


def _of_the_owner(album: Album) -> None:
    costing = album.open("2611-01-1 costing.xlsx")
    summary = costing.Sheets.getByName("Summary")
    row = next(row for row in range(60) if summary.getCellByPosition(0, row).String == "Total to pay")
    costing.CurrentController.select(summary.getCellByPosition(1, row))
    told = album.window(costing, "explain", "What this cell is")
    album.picture("explained")
    told.press("Close")
    costing.close(True)
    book = album.open("shop book.xlsx")
    book.Sheets.insertNewByName("My prices", 0)
    own = book.Sheets.getByName("My prices")
    book.CurrentController.setActiveSheet(own)
    for row, cells in enumerate(_CELLS):
        for column, text in enumerate(cells):
            own.getCellByPosition(column, row).Formula = text
    own.Columns.getByIndex(0).Width, own.Columns.getByIndex(1).Width = 9500, 9500
    time.sleep(6)
    book.CurrentController.select(own.getCellByPosition(2, 1))
    album.picture("functions")
    book.setModified(False)
    book.close(True)


_HOURS = 'SHARED_HOURS("B-BUSH-FIT; B-CAP-FIT"; "both"; "BLOWER2")'
_ALONE = 'REMEDY_PRICE("BUSH-NEW"; "both"; "BLOWER2")'
_CELLS = (
    ("What I ask", "As a formula", "What it comes to"),
    ("A part that costs 4.20 sells for", "SELLING_PRICE(4.20)", "=SELLING_PRICE(4.20)"),
    ("Bushings and caps, both sides, hours", _HOURS, f"={_HOURS}"),
    ("New bushings both sides, by itself", _ALONE, f"={_ALONE}"),
    ("Tax on 100 of parts", 'TAX_ON(100; "parts")', '=TAX_ON(100; "parts")'),
)


def _after_the_yes(album: Album, job) -> None:
    form = album.window(job, "issue", "Issue the quote", has="Cancel")
    form.type("Day it happened", "2026-11-16")
    form.press("Issue it")
    Hands(album.office, "Issue the quote", has="Write over").press("Write over")
    said = Hands(album.office, "Issue the quote", has="Close", seconds=120)
    said.press("Close")
    said.wait_closed()
    title = "The customer's yes, by telephone or in person"
    form = album.window(job, "accept-told", title, has="Cancel")
    form.pick("Option", "Put right and")
    form.type("What was said", "go ahead, she needs it before the first snow")
    form.type("Day", "2026-11-16")
    form.type("Time", "10:20")
    album.picture("yes")
    album.done(form, "Record")
    form = album.window(job, "order", "Order parts", has="Cancel")
    form.type("Day it happened", "2026-11-16")
    album.done(form, "Order", "ordered")
    form = album.window(job, "work-order", "Work order", has="Cancel")
    form.type("Day on the sheet", "2026-11-20")
    form.press("Write it")
    said = Hands(album.office, "Work order", has="Close", seconds=120)
    said.press("Close")
    order = next(album.shop.glob("*work order*.xlsx"))
    sheet = album.open(order.name)
    album.picture("work-order")
    sheet.close(True)
    told = album.window(job, "jobs", "Where each job stands")
    album.picture("jobs")
    told.press("Close")


if __name__ == "__main__":
    main(*(Path(word).resolve() for word in sys.argv[1:4]))
