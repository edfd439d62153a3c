"""Chooses every entry of the menu over every kind of document in a real office, and tells what came of it, as JSON.

`every_action.py WORDS`: `folder`, `extension`, `book`, `job`, `entries` (word and whether it is a form), `forms_on`
(the forms that are opened on a kind of document).
"""

from __future__ import annotations

import hashlib
import json
import sys
import time
from contextlib import suppress
from pathlib import Path

import uno
from com.sun.star.accessibility.AccessibleRole import DIALOG
from com.sun.star.beans import NamedValue
from office import Office, _names, values

WORKING = "quotekit is working"
ENDS = ("Close", "Cancel", "Stop")
PASSWORD = "two stage"
RUN_ALL = 4
"""`ALWAYS_EXECUTE_NO_WARN`: as in the office of a person who trusts the folder."""
MACRO = 'Sub Main\nThisComponent.Sheets(0).getCellRangeByName("Z1").Value = 1\nEnd Sub\n'


def documents(office: Office, words: dict) -> dict:
    """How each kind of document comes on the screen."""
    folder, book, job = (Path(words[name]) for name in ("folder", "book", "job"))
    return {
        "empty": lambda: office.new(),
        "no spreadsheet": lambda: another_kind(office),
        "shop book": lambda: office.open(book),
        "job": lambda: office.open(job),
        "ods": lambda: office.open(as_ods(office, book, folder / "ods")),
        "unsaved": lambda: office.open(book, AsTemplate=True),
        "read-only": lambda: office.open(book, ReadOnly=True),
        "macros": lambda: office.open(with_macros(office, book, folder / "macros"), MacroExecutionMode=RUN_ALL),
        "password": lambda: office.open(with_password(office, book, folder / "password"), Password=PASSWORD),
    }


def another_kind(office: Office):
    """A text, a drawing or a chart: whichever part of the office is installed."""
    for part in ("swriter", "sdraw", "schart"):
        with suppress(Exception):
            document = office.desktop.loadComponentFromURL(f"private:factory/{part}", "_blank", 0, ())
            if document is not None and document.CurrentController is not None:
                return document
    raise SystemExit("the office has no other kind of document")


def as_ods(office: Office, book: Path, folder: Path) -> Path:
    return kept(office, book, folder / "shop book.ods", FilterName="calc8")


def with_password(office: Office, book: Path, folder: Path) -> Path:
    """As the office itself locks a workbook of this kind."""
    secret = NamedValue(Name="OOXPassword", Value=PASSWORD), NamedValue(Name="CryptoType", Value="Standard")
    lock = uno.Any("[]com.sun.star.beans.NamedValue", secret)
    path = kept(office, book, folder / "shop book.xlsx", FilterName="Calc MS Excel 2007 XML", EncryptionData=lock)
    assert path.read_bytes()[:2] != b"PK"
    return path


def with_macros(office: Office, book: Path, folder: Path) -> Path:
    """A macro that would write into the workbook whenever a copy of it is made."""
    folder.mkdir(exist_ok=True)
    path = folder / "shop book.ods"
    document = office.open(book, hidden=True)
    libraries = document.BasicLibraries
    library = (
        libraries.getByName("Standard") if libraries.hasByName("Standard") else libraries.createLibrary("Standard")
    )
    library.insertByName("Module1", MACRO)
    call = values(
        EventType="Script", Script="vnd.sun.star.script:Standard.Module1.Main?language=Basic&location=document"
    )
    for event in ("OnCopyTo", "OnCopyToDone"):
        uno.invoke(document.Events, "replaceByName", (event, uno.Any("[]com.sun.star.beans.PropertyValue", call)))
    document.storeAsURL(path.as_uri(), values(FilterName="calc8"))
    document.close(True)
    return path


def kept(office: Office, book: Path, path: Path, **how) -> Path:
    """The book in another form, in a folder of its own."""
    path.parent.mkdir(exist_ok=True)
    document = office.open(book, hidden=True)
    document.storeToURL(path.as_uri(), values(**how))
    document.close(True)
    return path


class Tried:
    """One entry over one document."""

    def __init__(self, office: Office, document) -> None:
        self.office, self.document = office, document
        self.uid = getattr(document, "RuntimeUID", "")

    def choose(self, word: str) -> dict:
        modified = self.document.isModified()
        began = time.monotonic()
        self.office.choose(self.document, word)
        busy, windows = time.monotonic() - began, self._settled()
        slowest, opened = self._answers(), [one.getTitle() for one in self._opened()]
        self._tidy()
        return {
            "busy": busy,
            "slowest": slowest,
            "windows": windows,
            "opened": opened,
            "modified": self.document.isModified() != modified,
            "left": [title for title, _ in dialogs(self.office)],
        }

    def _settled(self) -> list[dict]:
        """The windows that are there when nothing goes on any more; the longest wait is for an answer."""
        end = time.monotonic() + 60
        found, same = [], 0
        while time.monotonic() < end and same < 3:
            now = [(title, context.getAccessibleChildCount()) for title, context in dialogs(self.office)]
            done = (now or self._opened()) and all(title != WORKING for title, _ in now)
            same = same + 1 if done and now == found else 0
            found = now
            time.sleep(0.1)
        return [{"title": title, "texts": list(_names(context))[:60]} for title, context in dialogs(self.office)]

    def _answers(self) -> float:
        """How long the office takes to answer a simple question now."""
        began = time.monotonic()
        self.document.isModified()
        return time.monotonic() - began

    def _tidy(self) -> None:
        """Close the windows as a person does, and documents that were opened."""
        end = time.monotonic() + 15
        while (shown := dialogs(self.office)) and time.monotonic() < end:
            with suppress(Exception):
                press_end(shown[0][1])
            time.sleep(0.1)
        for one in self._opened():
            with suppress(Exception):
                one.close(True)

    def _opened(self) -> list:
        """Documents beside the one it is about."""
        listed = self.office.desktop.getComponents().createEnumeration()
        found = []
        while listed.hasMoreElements():
            one = listed.nextElement()
            if getattr(one, "RuntimeUID", self.uid) != self.uid:
                found.append(one)
        return found


def dialogs(office: Office) -> list[tuple[str, object]]:
    """Titles of the extension's windows, and their contexts; what stands in them is not looked at."""
    toolkit = office.make("com.sun.star.awt.Toolkit")
    found = []
    for number in range(toolkit.getTopWindowCount()):
        with suppress(Exception):  # it may be closing
            context = toolkit.getTopWindow(number).getAccessibleContext()
            if context.getAccessibleRole() == DIALOG:
                found.append((context.getAccessibleName(), context))
    return found


def press_end(context) -> None:
    """Its button that closes it: near the end of its parts."""
    for number in reversed(range(context.getAccessibleChildCount())):
        child = context.getAccessibleChild(number).getAccessibleContext()
        if child.getAccessibleName() in ENDS and hasattr(child, "doAccessibleAction"):
            child.doAccessibleAction(0)
            return


def digest(document) -> str:
    """Of the file a document is of; empty where it has none."""
    address = document.getURL()
    if not address.startswith("file:"):
        return ""
    return hashlib.sha256(Path(uno.fileUrlToSystemPath(address)).read_bytes()).hexdigest()


def main() -> None:
    words = json.loads(Path(sys.argv[1]).read_text())
    folder = Path(words["folder"])
    found: dict = {}
    environment = {"TMPDIR": words["temporary"]}
    with Office(folder / "profile", extension=Path(words["extension"]), environment=environment) as office:
        for kind, opened in documents(office, words).items():
            if words.get("kinds") and kind not in words["kinds"]:
                continue
            document = opened()
            tried, before, found[kind] = Tried(office, document), digest(document), {}
            for word, is_form in words["entries"]:
                if not is_form or word in words["forms_on"].get(kind, ()):
                    began = time.monotonic()
                    found[kind][word] = tried.choose(word)
                    titles = [one["title"] for one in found[kind][word]["windows"]]
                    print(kind, word, f"{time.monotonic() - began:.1f}", titles, file=sys.stderr, flush=True)
            found[kind]["bytes stay"] = digest(document) == before
            with suppress(Exception):
                document.setModified(False)
                document.close(True)
    found["left"] = sorted(path.name for path in Path(words["temporary"]).glob("quotekit-*"))
    print(json.dumps(found))


if __name__ == "__main__":
    main()
