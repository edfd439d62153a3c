"""A shop's day through the menu and the windows of a real office: `forms_day.py EXTENSION FOLDER FLAG`, steps on stdin.

Each step opens a workbook, types into cells of the one in front, or chooses an entry of the menu, fills its form in
and presses its button. What each window said is printed as JSON. FLAG is a file that makes the engine slow while it is
there (slow_engine.py), so that it can be stopped in the middle.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

from hands import Hands, settled
from office import Office


class Day:
    """One office, one folder."""

    KINDS = ("open", "front", "cells", "ticks", "named", "hours", "close", "form")

    def __init__(self, office: Office, folder: Path, flag: Path) -> None:
        self.office, self.folder, self.flag = office, folder, flag
        self.front = None
        self.said: list[dict[str, object]] = []

    def do(self, step: dict) -> None:
        """One step of any kind."""
        next(getattr(self, f"_{kind}") for kind in self.KINDS if kind in step)(step)

    def _open(self, step: dict) -> None:
        self.front = self.office.open(self.folder / step["open"])
        settled()

    def _front(self, step: dict) -> None:
        """Another workbook that is open comes to the front."""
        address = (self.folder / step["front"]).as_uri()
        self.front = next(one for one in self._documents() if one.getURL() == address)

    def _close(self, _: dict) -> None:
        self.front.close(True)

    def _cells(self, step: dict) -> None:
        """Type into cells of the workbook in front, not saved."""
        for address, value in step["cells"].items():
            sheet, _, cell = address.rpartition("!")
            target = self.front.Sheets.getByName(sheet).getCellRangeByName(cell)
            if isinstance(value, str):
                target.setString(value)
            else:
                target.setValue(value)

    def _ticks(self, step: dict) -> None:
        """Type Yes beside parts in the proposals in front, not saved."""
        sheet = self.front.Sheets.getByName("Proposals")
        cells = [[sheet.getCellByPosition(column, row) for column in (0, 2)] for row in range(60)]
        for take, part in cells:
            if part.String in step["ticks"]:
                take.setString("Yes")

    def _named(self, step: dict) -> None:
        """Type into cells by their names, and save: as a customer does in a quote."""
        for name, text in step["named"].items():
            self._column(name)[0].setString(text)
        self.front.store()

    def _hours(self, step: dict) -> None:
        """As the technician does: hours beside each step of the work order in front, as standard; then save."""
        columns = {name: self._column(f"qk_steps_{name}") for name in ("key", "standard", "hours", "person")}
        for key, standard, hours, person in zip(*columns.values()):  # noqa: B905 (the office's Python may be older)
            if key.String and standard.Value:
                hours.setValue(round(standard.Value * float(step["hours"].get(key.String, 1)), 4))
                person.setString(step["by"])
        self.front.store()

    def _column(self, name: str) -> list:
        sheets = [self.front.Sheets.getByIndex(number) for number in range(self.front.Sheets.Count)]
        scopes = [self.front.NamedRanges, *(sheet.NamedRanges for sheet in sheets)]
        area = next(scope.getByName(name) for scope in scopes if scope.hasByName(name)).getReferredCells()
        return [area.getCellByPosition(0, row) for row in range(area.Rows.Count)]

    def _form(self, step: dict) -> None:
        self.office.choose(self.front, step["form"])
        if step["form"] == "price":
            Hands(self.office, step["title"], has="Close").press("Close")
            self.said.append({"form": "price", "said": step["title"]})
            return
        if "press" in step:
            form = Hands(self.office, step["title"], has="Cancel")
            self._fill(form, step)
            if step.get("stop"):
                self._stop(form, step)
            (form.press_twice if step.get("twice") else form.press)(step["press"])
            if step.get("save"):
                Hands(self.office, step["title"], has="Save and go on").press("Save and go on")
            if step.get("closes"):
                question = Hands(self.office, step["title"], has="Close it and go on")
                self.said.append({"form": f"{step['form']} closes", "said": question.said()})
                question.press("Close it and go on")
            if step.get("missing"):
                settled(1)
                self.said.append({"form": step["form"], "said": form.said(), "open": form.is_open})
                form.press("Cancel")
                return
            if step.get("over"):
                question = Hands(self.office, step["title"], has="Write over")
                self.said.append({"form": f"{step['form']} over", "said": question.said()})
                question.press("Write over")
        title = f"Not done: {step['title']}" if step.get("refused") else step["title"]
        result = Hands(self.office, title, has="Close")
        settled()
        files = [label for label in result.labels() if label.startswith("Open ")]
        opened = [one.getTitle() for one in self._documents()]
        self.said.append({"form": step["form"], "said": result.said(), "files": files, "opened": opened})
        if "then" in step:
            before = {one.RuntimeUID for one in self._documents()}
            result.press(step["then"])
            self.front = self.office.wait_for(lambda: next(iter(self._new(before)), None))
        result.press("Close")
        result.wait_closed()
        if step.get("refused") or step.get("told"):
            Hands(self.office, step["title"], has="Cancel").press("Cancel")

    def _stop(self, form: Hands, step: dict) -> None:
        """Press the button, and Stop when it is recorded and its documents are not yet in their place."""
        self.flag.touch()
        form.press(step["press"])
        self.office.wait_for(self.flag.with_suffix(".staged").exists)
        Hands(self.office, "quotekit is working", has="Stop").press("Stop")
        told = Hands(self.office, step["title"], has="Close")
        self.said.append({"form": f"{step['form']} stopped", "said": told.said(), "open": form.is_open})
        self.flag.unlink()
        told.press("Close")
        told.wait_closed_of("Close")

    def _new(self, before: set) -> list:
        return [one for one in self._documents() if one.RuntimeUID not in before]

    def _documents(self) -> list:
        listed, found = self.office.desktop.getComponents().createEnumeration(), []
        while listed.hasMoreElements():
            found.append(listed.nextElement())
        return found

    def _fill(self, form: Hands, step: dict) -> None:
        for label, begins in step.get("pick", {}).items():
            form.pick(label, begins)
            settled()
        for label, text in step.get("type", {}).items():
            form.type(label, text)
        for label in step.get("tick", ()):
            form.press(label)


def main(words: list[str]) -> None:
    """All steps, in one office."""
    extension, folder, flag = map(Path, words)
    with tempfile.TemporaryDirectory() as there, Office(Path(there) / "profile", extension=extension) as office:
        day = Day(office, folder, flag)
        for step in json.load(sys.stdin):
            print(step, file=sys.stderr, flush=True)
            day.do(step)
        print(json.dumps(day.said))


if __name__ == "__main__":
    main(sys.argv[1:])
