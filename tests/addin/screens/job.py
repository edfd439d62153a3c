"""Pictures of a job priced by hand: `job.py EXTENSION FOLDER PICTURES`, by a real mouse and keys on a virtual screen.

FOLDER is an empty one; the demo's files are looked for in FOLDER/demo. Run by the Python that has the office's modules:
  /usr/bin/python3 tests/addin/screens/job.py quotekit.oxt /tmp/shop /tmp/pictures
"""

from __future__ import annotations

import shutil
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "in_office"))

from hands import Hands
from mouse import Screen, press
from office import Office, values

JOB = "2611-01 snow thrower, worn bushings"
TITLE = "Job 2611-01, version 1"
NOTE = f"Put a finding in {JOB}.xlsx"


class Shots:
    """What a person does, and a picture after each step."""

    def __init__(self, screen: Screen, office: Office, shop: Path, pictures: Path) -> None:
        self.screen, self.office, self.shop, self.pictures = screen, office, shop, pictures
        self.number = 0

    def picture(self, name: str) -> None:
        time.sleep(0.8)
        self.number += 1
        self.screen.picture(self.pictures / f"{self.number:02} {name}.png")

    def menu(self, entry: str) -> None:
        """By the mouse: the menu of the extension, then the entry."""
        press(self.screen, self.office, "Quote")
        time.sleep(0.5)
        press(self.screen, self.office, entry)

    def open(self, name: str):
        document = self.office.open(self.shop / name)
        frame = document.CurrentController.Frame
        frame.ContainerWindow.setPosSize(0, 0, 1280, 776, 15)
        time.sleep(1.5)
        return document

    def gone(self, title: str) -> bool:
        """Whether a window is closed by now; it is waited for."""
        end = time.monotonic() + 10
        while _is_there(self.office, title):
            if time.monotonic() > end:
                raise SystemExit(f"{title} is still open")
            time.sleep(0.2)
        return True

    def price(self) -> None:
        job = self.open(f"{JOB}.xlsx")
        self.menu("Price this job")
        Hands(self.office, TITLE)
        self.picture("priced")
        press(self.screen, self.office, "Also as PDF")
        self.office.wait_for(lambda: (self.shop / "2611-01-1 quote.pdf").exists())
        time.sleep(1)
        self.picture("also as PDF")
        press(self.screen, self.office, "Show it")
        Hands(self.office, f"Problems: {JOB}.xlsx")
        self.picture("the warning")
        Hands(self.office, f"Problems: {JOB}.xlsx").press("Close")
        self.screen.key("Escape")
        Hands(self.office, TITLE).press("Close") if _is_there(self.office, TITLE) else None
        job.CurrentController.Frame.ContainerWindow.toFront()
        self.office.choose(job, "price")
        Hands(self.office, "Price this job")
        self.picture("asked before writing over")
        self.screen.key("Escape")
        self.gone("Price this job")
        self.office.choose(job, "price")
        Hands(self.office, "Price this job")
        self.screen.key("Return")
        self.gone("Price this job")
        Hands(self.office, TITLE)
        self.picture("priced again")
        self.screen.key("Return")
        self.gone(TITLE)
        self.office.choose(job, "costing")
        time.sleep(4)
        self.picture("costing")
        self.close_all(job)

    def finding(self) -> None:
        job = self.open(f"{JOB}.xlsx")
        self.office.choose(job, "finding")
        Hands(self.office, NOTE)
        self.picture("finding")
        self.screen.type("gears")
        self.picture("finding, filtered")
        self.screen.key("Tab", "Tab", "Tab")
        self.screen.type("0.62")
        self.picture("finding, measured")
        self.screen.key("Return")
        time.sleep(2.5)
        self.picture("finding, put in")
        self.screen.type("shaft")
        time.sleep(0.5)
        self.screen.key("Tab", "Tab")
        self.screen.type("l")
        self.screen.key("Tab")
        self.screen.type("0.735")
        time.sleep(1)
        self.picture("finding, another")
        self.screen.key("Escape")
        self.gone(NOTE)
        self.close_all(job)

    def returned(self) -> None:
        job = self.open(f"{JOB}.xlsx")
        if not (self.shop / "2611-01-1 quote.xlsx").exists():
            self.office.choose(job, "price")
            Hands(self.office, TITLE).press("Close")
        quote = self.open("2611-01-1 quote.xlsx")
        listed = quote.NamedRanges.getByName("offered_options").getReferredCells().getDataArray()
        quote.NamedRanges.getByName("chosen_tier").getReferredCells().setString(listed[1][1])
        back = self.shop / "2611-01-1 quote (2).xlsx"
        quote.storeAsURL(back.as_uri(), values(FilterName="Calc MS Excel 2007 XML"))
        self.menu("Read a returned quote")
        Hands(self.office, "A returned quote")
        self.picture("returned")
        press(self.screen, self.office, "Price the choice")
        Hands(self.office, "The choice of job 2611-01")
        self.picture("the choice, priced")
        self.screen.key("Escape")
        self.gone("The choice of job 2611-01")
        Hands(self.office, "A returned quote").press("Close")
        self.close_all(job, quote)

    def books(self) -> None:
        shutil.copy2(self.shop / "shop book.xlsx", self.shop / "last year's book.xlsx")
        job = self.open("2611-02 snow thrower, worn shaft.xlsx")
        self.menu("Price this job")
        Hands(self.office, "Which shop book?")
        self.picture("which shop book")
        self.screen.key("Escape")
        self.gone("Which shop book?")
        (self.shop / "last year's book.xlsx").rename(self.shop.parent.parent / "last year's book.xlsx")
        (self.shop / "shop book.xlsx").rename(self.shop.parent.parent / "kept.xlsx")
        (self.shop.parent.parent / "last year's book.xlsx").unlink()
        self.office.choose(job, "price")
        Hands(self.office, "No shop book")
        self.picture("no shop book")
        self.screen.key("Escape")
        self.gone("No shop book")
        (self.shop.parent.parent / "kept.xlsx").rename(self.shop / "shop book.xlsx")
        self.close_all(job)

    def close_all(self, *documents) -> None:
        listed = self.office.desktop.getComponents().createEnumeration()
        while listed.hasMoreElements():
            document = listed.nextElement()
            if hasattr(document, "Sheets"):
                document.setModified(False)
                document.close(True)
        time.sleep(0.5)


def _is_there(office: Office, title: str) -> bool:
    toolkit = office.make("com.sun.star.awt.Toolkit")
    for number in range(toolkit.getTopWindowCount()):
        try:
            context = toolkit.getTopWindow(number).getAccessibleContext()
            if context is not None and context.getAccessibleName() == title:
                return True
        except Exception:
            continue
    return False


def main() -> None:
    """Each part in turn; the names of the parts wanted may follow."""
    extension, folder, pictures = (Path(word).absolute() for word in sys.argv[1:4])
    shop = folder / "jobs" / "2026"
    shop.parent.mkdir(parents=True)
    shutil.copytree(folder / "demo", shop)
    for written in [*shop.glob("26*-1 quote.*"), *shop.glob("26*-1 costing.*")]:
        written.unlink()
    with Screen() as screen, Office(folder / "profile", extension=extension, headless=False) as office:
        shots = Shots(screen, office, shop, pictures)
        for part in sys.argv[4:] or ("price", "finding", "returned", "books"):
            getattr(shots, part)()


if __name__ == "__main__":
    main()
