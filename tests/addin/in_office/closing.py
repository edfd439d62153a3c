"""Workbooks closed at any moment by another program while they are checked: `closing.py EXTENSION FOLDER ROUNDS SEED`.

FOLDER holds workbooks with problems, and jobs beside their shop books `b*.xlsx`. A program beside the office may close
what it works on between any two of its steps; the office must live, and nobody be told of a fault. What was seen is
printed as JSON.
"""

from __future__ import annotations

import json
import random
import sys
import time
from contextlib import suppress
from pathlib import Path

from hands import Hands
from office import Office


def main() -> None:
    """So many rounds; an office that is lost is counted, and another goes on."""
    extension, folder = (Path(word).resolve() for word in sys.argv[1:3])
    rounds, chance = int(sys.argv[3]), random.Random(sys.argv[4])
    with Office(folder / "profile", extension=extension):
        pass
    found = {"rounds": 0, "lost": [], "told": []}
    while found["rounds"] < rounds:
        with Office(folder / "profile") as office:
            try:
                while found["rounds"] < rounds:
                    found["rounds"] += 1
                    book, seconds = chance.choice(sorted(folder.glob("[!b]*.xlsx"))), chance.uniform(0, 2.5)
                    at = f"{book.name} after {seconds:.2f} s"
                    found["told"] += closed_after(office, book, seconds, chance)
            except Exception as fault:
                print(at, repr(fault)[:200], file=sys.stderr, flush=True)
                if not lives(office):
                    found["lost"].append(at)
    print(json.dumps(found))


def closed_after(office: Office, book: Path, seconds: float, chance: random.Random) -> list[str]:
    """Checked and closed a while later, at times after a change of a cell or a pick; what a window said of a fault."""
    document = office.open(book)
    office.choose(document, "check")
    if chance.random() < 0.5:
        closed_between_notes(document, chance.randrange(45))
        return [text for one in office.windows() for text in one["texts"] if "fault" in text]
    time.sleep(seconds)
    with suppress(SystemExit):
        if chance.random() < 0.4:
            window = Hands(office, f"Problems: {document.Title}", seconds=5)
            title = window.labels()[0]
            window.pick(title, chance.choice([one for one in window.lines(title) if one.startswith("Error")]))
            if chance.random() < 0.5:
                window.tick("Notes on the cells")
        elif chance.random() < 0.6:
            document.Sheets.getByIndex(1).getCellRangeByName("D7").Value = 3
    time.sleep(chance.uniform(0, 2.5))
    for one in chance.sample(documents(office), len(documents(office))):
        one.setModified(False)
        one.close(True)
        time.sleep(chance.uniform(0, 0.5))
    return [text for one in office.windows() for text in one["texts"] if "fault" in text]


def closed_between_notes(document, count: int) -> None:
    """As soon as so many notes are on its cells, while more are being put on."""
    notes, end = document.Sheets.getByName("Parts").Annotations, time.monotonic() + 20
    while notes.getCount() <= count and time.monotonic() < end:
        pass
    document.setModified(False)
    document.close(True)


def lives(office: Office) -> bool:
    """Whether it still answers: a window that went while it was looked at is no loss."""
    try:
        return office.desktop.getComponents() is not None and office.process.poll() is None
    except Exception:
        return False


def documents(office: Office) -> list:
    """All that is open: picking a line may have opened a shop book."""
    found, listed = [], office.desktop.getComponents().createEnumeration()
    while listed.hasMoreElements():
        found.append(listed.nextElement())
    return [one for one in found if hasattr(one, "setModified")]


if __name__ == "__main__":
    main()
