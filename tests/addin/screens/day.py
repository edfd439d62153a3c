"""A shop's day after the quote, by real mouse and keys, as pictures: menu, forms, what they say.

`/usr/bin/python3 tests/addin/screens/day.py FOLDER EXTENSION WORK` writes the pictures to FOLDER. EXTENSION is the
built extension, WORK the worked example's workbooks, which are copied first. What was seen is printed as JSON. With
`forms` behind them every form is opened once, on the ledger of that day.
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "in_office"))

from hands import Hands
from mouse import Screen, place_of, press
from office import Office

JOB = "2611-01 snow thrower, worn bushings.xlsx"
TEXT, COMBO = 60, 7
"""Roles of things to type in and of lists that open, as the office numbers them."""

FORMS = {
    "new-shop": "A shop folder", "new-job": "The next job", "accept": "The customer's yes, from what was sent back",
    "decline": "The customer's no", "revise": "More was found: a change", "history": "What happened to a job",
    "clock": "Hours", "close": "Close the job", "comeback": "A job that comes back",
    "cancel-order": "What will not come", "shelf": "Shelf", "bill": "Bill", "review": "Review",
    "prices-propose": "What new prices would do", "prices-apply": "Take over the prices you ticked",
    "prices-undo": "Undo new prices", "take-over-undo": "Undo times taken over",
    "batch": "All jobs of a folder at once",
    "take-over": "Take over the times you ticked", "rate": "What an hour must sell for",
    "compare": "Compare two shop books", "life": "How long a part lasts", "ledger-check": "Check the ledger",
    "ledger-backup": "Back the ledger up", "ledger-export": "Everything as plain files",
}  # fmt: skip


class Day:
    """One office on one screen."""

    def __init__(self, office: Office, screen: Screen, pictures: Path) -> None:
        self.office, self.screen, self.pictures = office, screen, pictures
        self.seen: dict[str, object] = {}

    def picture(self, name: str) -> None:
        time.sleep(1.0)
        self.screen.picture(self.pictures / f"{name}.png")

    def menu(self, group: str, entry: str, name: str = "") -> None:
        """By the mouse: the menu, its group, the entry."""
        press(self.screen, self.office, "Quote")
        press(self.screen, self.office, group)
        time.sleep(0.5)
        if name:
            self.picture(name)
        press(self.screen, self.office, entry)

    def type(self, label: str, text: str) -> None:
        """Click into a field and type, over what stands there."""
        self.screen.click(*place_of(self.office, label, TEXT))
        self.screen.key("ctrl+a")
        self.screen.type(text)

    def pick(self, label: str, text: str) -> None:
        """Open a list by the mouse and type the beginning of a line."""
        self.screen.click(*place_of(self.office, label, COMBO))
        time.sleep(0.4)
        self.screen.type(text)
        self.screen.key("Return")
        time.sleep(0.4)

    def result(self, title: str, name: str) -> None:
        """What was said; Enter closes it."""
        window = Hands(self.office, title, has="Close")
        self.picture(name)
        self.seen[name] = window.said().splitlines()[:3]
        self.screen.key("Return")
        window.wait_closed(10)


def main(folder: Path, extension: Path, work: Path, *more: str) -> None:
    """Every picture, in the order of a person's doing."""
    with tempfile.TemporaryDirectory() as there, Screen() as screen:
        own = Path(there) / "shop"
        shutil.copytree(work, own)
        with Office(Path(there) / "profile", extension=extension, headless=False) as office:
            job = office.open(own / JOB)
            time.sleep(2)
            day = Day(office, screen, folder)
            _agreed(day)
            _done(day)
            if "forms" in more:
                _each_form(day, job)
            job.setModified(False)
    print(json.dumps(day.seen))


def _agreed(day: Day) -> None:
    """Issue the quote; the customer says yes on the telephone."""
    day.menu("After the quote", "Issue the quote ...", "day 1 the menu")
    Hands(day.office, "Issue the quote", has="Cancel")
    day.type("Day it happened", "2026-11-16")
    day.picture("day 2 issue")
    day.screen.key("Return")
    day.result("Issue the quote", "day 3 issued")
    day.menu("After the quote", "The customer's yes, by telephone or in person ...")
    form = Hands(day.office, "The customer's yes, by telephone or in person", has="Cancel")
    day.screen.key("Return")
    day.picture("day 4 what is missing")
    day.pick("Option *", "Put right and")
    day.type("What was said *", "go ahead, she needs it before the first snow")
    day.type("Day *", "2026-11-16")
    day.type("Time *", "10:20")
    day.picture("day 5 a yes by telephone")
    day.screen.key("Return")
    day.result(form.title, "day 6 agreed")


def _done(day: Day) -> None:
    """Parts are ordered and come in; the work order; money."""
    for group, entry, label, on, name in (
        ("Parts", "Order parts ...", "Day it happened", "2026-11-16", "day 7 order"),
        ("Parts", "What came in ...", "Day it happened", "2026-11-20", "day 8 came in"),
        ("Work", "Work order ...", "Day on the sheet", "2026-11-20", "day 9 work order"),
        ("Money", "Money taken or given back ...", "Day it happened", "2026-11-24", "day 10 money"),
    ):
        day.menu(group, entry)
        title = entry.removesuffix(" ...")
        Hands(day.office, title, has="Cancel")
        day.type(label, on)
        day.picture(name)
        day.screen.key("Return")
        day.result(title, f"{name}, done")
    day.menu("After the quote", "Where each job stands")
    day.result("Where each job stands", "day 11 where each job stands")


def _each_form(day: Day, job) -> None:
    """Each other form as it opens; Escape closes it."""
    for word, title in FORMS.items():
        day.office.choose(job, word)
        form = Hands(day.office, title, has="Cancel")
        day.picture(f"form {word}")
        day.screen.key("Escape")
        form.wait_closed(10)
        day.seen[f"form {word}"] = "closed by Escape"


if __name__ == "__main__":
    main(*(Path(word).resolve() for word in sys.argv[1:4]), *sys.argv[4:])
