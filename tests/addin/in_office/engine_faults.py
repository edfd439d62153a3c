"""A real office whose engine is killed, missing, another program, of another version, mute: told as JSON.

`engine_faults.py WORDS`: `folder` to work in, `extension` whose engine is `folder/engine`, `book` a shop book,
`engines` what that program is in each case. It writes down its number and what it sees of the environment.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from contextlib import suppress
from pathlib import Path

import uno  # noqa: F401 (lets `com` be imported)
from com.sun.star.accessibility.AccessibleRole import DIALOG
from hands import Hands
from office import Office, _names, values


class Case:
    """An office, its shop book, and an engine that can be exchanged under it."""

    def __init__(self, office: Office, words: dict) -> None:
        self.office, self.words = office, words
        self.folder, self.engine = Path(words["folder"]), Path(words["folder"]) / "engine"
        self.document = office.open(Path(words["book"]))

    def become(self, name: str) -> None:
        """The next start is of this engine; the one that runs is killed, as by a person or a lack of memory."""
        text = self.words["engines"][name]
        if text:
            fresh = self.engine.with_suffix(".new")
            fresh.write_text(text)
            fresh.chmod(0o755)
            fresh.replace(self.engine)
        else:
            self.engine.unlink(missing_ok=True)
        for number in self.running():
            with suppress(ProcessLookupError):
                os.kill(number, signal.SIGKILL)
        self.office.wait_for(lambda: not self.running())

    def started(self) -> list[int]:
        file = self.folder / "numbers"
        return [int(line) for line in file.read_text().split()] if file.exists() else []

    def running(self) -> list[int]:
        return [number for number in self.started() if state(number) not in ("", "Z")]

    def check(self) -> str:
        """Choose the entry of the menu; what the window says that comes of it."""
        self.office.choose(self.document, "check")
        return self.told()

    def told(self, seconds: float = 60) -> str:
        """The words of the window that is no sign of work; it is closed."""
        window = self.office.wait_for(self._other_window, seconds)
        said = "\n".join(window["texts"])
        self.close_windows()
        return said

    def _other_window(self):
        return next((one for one in self.windows() if one["title"] != "quotekit is working"), None)

    def windows(self) -> list[dict]:
        """Windows of the extension: those that hold no document."""
        toolkit = self.office.make("com.sun.star.awt.Toolkit")
        found = []
        for number in range(toolkit.getTopWindowCount()):
            with suppress(Exception):
                context = toolkit.getTopWindow(number).getAccessibleContext()
                title = context.getAccessibleName()
                if context.getAccessibleRole() == DIALOG:
                    found.append({"title": title, "texts": list(_names(context))})
        return found

    def close_windows(self) -> None:
        """As a person does who has read them."""
        end = time.monotonic() + 20
        while self.windows() and time.monotonic() < end:
            with suppress(SystemExit, Exception):
                hands = Hands(self.office, self.windows()[0]["title"], seconds=1)
                hands.press("Stop" if "Stop" in hands.labels() else "Close")
            time.sleep(0.1)


def state(number: int) -> str:
    """Of a process; empty where there is none, Z where it is dead and nobody took leave of it."""
    try:
        return Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return ""


def faults(case: Case) -> dict:
    """Each kind of engine, by the menu."""
    found = {"well": case.check()}
    found["environment"] = (case.folder / "environment").read_text()
    first = case.started()
    case.become("well")
    found["killed while idle"] = case.check()
    found["started again"] = len(case.started()) - len(first)
    for name in ("missing", "another program", "older", "newer", "dies"):
        case.become(name)
        found[name] = case.check()
    case.become("well")
    found["well again"] = case.check()
    found["dead processes"] = [number for number in case.started() if state(number) == "Z"]
    return found


def hanging(case: Case) -> dict:
    """An engine that never answers: the office stays usable, Stop ends it."""
    case.become("hangs")
    case.office.choose(case.document, "check")
    window = Hands(case.office, "quotekit is working")
    cell = case.document.Sheets.getByIndex(0).getCellRangeByName("Z99")
    slowest = 0.0
    modified = case.document.isModified()
    for turn in range(20):
        began = time.monotonic()
        cell.Value = turn
        slowest = max(slowest, time.monotonic() - began)
        time.sleep(0.05)
    cell.String = ""
    case.document.setModified(modified)
    working = case.running()
    window.press("Stop")
    case.office.wait_for(lambda: not window.is_open, 10)
    case.office.wait_for(lambda: not case.running(), 10)
    time.sleep(0.5)
    after = [one["title"] for one in case.windows()]
    return {"slowest": slowest, "worked": len(working), "windows after": after, "left": folders(case.words)}


def cells(case: Case) -> dict:
    """2,000 cells with an engine that does not start, that is missing, and that is well again."""
    found = {}
    sheet_book = case.office.new()
    sheet_book.storeAsURL((Path(case.words["book"]).parent / "sums.ods").as_uri(), values(FilterName="calc8"))
    rows = sheet_book.Sheets.getByIndex(0).getCellRangeByName("B1:B2000")
    first = sheet_book.Sheets.getByIndex(0).getCellRangeByName("B1")
    for name in ("hangs at start", "missing", "well"):
        case.become(name)
        time.sleep(5.2)  # after a fault cells are refused for a while
        began = time.monotonic()
        rows.setFormulaArray(tuple((f"=SELLING_PRICE({row + 1})",) for row in range(2000)))
        sheet_book.calculateAll()
        found[name] = [time.monotonic() - began, first.String, first.getError()]
        if name == "missing":
            found["back"] = back(case, sheet_book, rows)
    sheet_book.close(True)
    return found


def back(case: Case, sheet_book, rows) -> dict:
    """The program is there again: the cells that were refused find it by themselves."""
    sheet_book.setModified(False)
    began = time.monotonic()
    case.become("well")
    last = rows.getCellByPosition(0, 1999)
    case.office.wait_for(lambda: not last.getError(), 90)
    seconds = time.monotonic() - began
    errors = sum(rows.getCellByPosition(0, row).getError() != 0 for row in range(0, 2000, 100))
    return {"seconds": seconds, "errors": errors, "modified": sheet_book.isModified()}


def closed_meanwhile(case: Case, book: Path) -> dict:
    """The workbook is closed while it is being checked: nobody is told of a fault."""
    case.become("slow")
    second = case.office.open(book)
    case.office.choose(second, "check")
    Hands(case.office, "quotekit is working")
    second.close(True)
    time.sleep(1)
    end = time.monotonic() + 20
    while folders(case.words) and time.monotonic() < end:  # until the answer came, that nobody waits for any more
        time.sleep(0.1)
    time.sleep(1)
    said = case.windows()
    case.close_windows()
    return {"windows": said, "left": folders(case.words)}


def closed_while_working(words: dict, environment: dict) -> dict:
    """A person closes the office while the engine is at work."""
    folder = Path(words["folder"])
    with Office(folder / "profile", environment=environment) as office:
        case = Case(office, words)
        case.become("slow")
        office.choose(case.document, "check")
        Hands(office, "quotekit is working")
        running = case.running()
        case.document.close(True)
        began = time.monotonic()
        with suppress(Exception):
            office.desktop.terminate()
        office.process.wait(30)
        office_ended = time.monotonic() - began
        while case.running() and time.monotonic() - began < 30:
            time.sleep(0.05)
    return {"running": len(running), "office ended": office_ended, "after": case.running()}


def folders(words: dict) -> list[str]:
    """Temporary folders of ours."""
    return sorted(path.name for path in Path(words["temporary"]).glob("quotekit-*"))


def main() -> None:
    words = json.loads(Path(sys.argv[1]).read_text())
    folder = Path(words["folder"])
    engine = folder / "engine"
    engine.write_text(words["engines"]["well"])
    engine.chmod(0o755)
    environment = {"TMPDIR": words["temporary"], "PYTHONPATH": "/nowhere", "LD_LIBRARY_PATH": "/nowhere"}
    found: dict = {}
    with Office(folder / "profile", extension=Path(words["extension"]), environment=environment) as office:
        case = Case(office, words)
        found["faults"] = faults(case)
        found["hanging"] = hanging(case)
        found["closed"] = closed_meanwhile(case, Path(words["second"]))
        found["cells"] = cells(case)
        found["modified"] = case.document.isModified()
        case.document.close(True)
    time.sleep(1)
    found["after the end"] = {"running": case.running(), "left": folders(words)}
    found["closed while working"] = closed_while_working(words, environment)
    with Office(folder / "profile", environment=environment) as office:
        case = Case(office, words)
        case.become("slow")
        office.choose(case.document, "check")
        Hands(office, "quotekit is working")
        running = case.running()
        os.killpg(office.process.pid, signal.SIGKILL)
        began = time.monotonic()
        while case.running() and time.monotonic() - began < 30:
            time.sleep(0.05)
        found["office killed"] = {
            "running": len(running), "seconds": time.monotonic() - began, "left": folders(words),
            "after": case.running(),
        }  # fmt: skip
    engine.write_text(words["engines"]["well"])
    with Office(folder / "profile", environment=environment) as office:
        case = Case(office, words)
        case.check()
        found["next office"] = {"left": folders(words)}
        case.document.close(True)
    time.sleep(0.5)
    found["at last"] = {"running": case.running(), "left": folders(words)}
    print(json.dumps(found))


if __name__ == "__main__":
    main()
