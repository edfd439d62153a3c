"""The list of a workbook's problems: one window a workbook; a line picked goes to its cell and tells the remedy."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, List, Optional, Sequence, Tuple

from .cell_notes import Shown
from .problem_words import Problem, counted, line, whole
from .reading_window import Button, ReadingWindow

if TYPE_CHECKING:
    from .checked import Checked


class ProblemList:
    """The window, and which line of it is picked."""

    def __init__(self, checked: Checked) -> None:
        self.checked = checked
        self._window: Optional[ReadingWindow] = None
        self._picked: Optional[Tuple[str, ...]] = None
        self._foot: List[str] = []

    @property
    def is_open(self) -> bool:
        """Whether it is on the screen."""
        return self._window is not None

    def refresh(self, taxes: Sequence[str], open_it: bool = False) -> None:
        """Show the problems as they are now; the line that was picked stays picked while it is there."""
        self._foot = list(taxes)
        if self._window is None and open_it:
            self._window = self._made()
            self._window.show()
        elif open_it and self._window is not None:
            self._window.to_front()
        if self._window is None:
            return
        problems = self.checked.problems
        self._window.lines("list", [line(one, self.checked.other_file(one)) for one in problems])
        self._window.say("head", self._head())
        self._window.set_tick("notes", self.checked.notes.on)
        self._window.set_tick("keep", self.checked.notes.kept)
        keys = [_key(one) for one in problems]
        if self._picked in keys:
            place = keys.index(self._picked)
            self._window.pick("list", place)
            self._window.read(self._whole(problems[place]))
        else:
            self._picked = None
            self._window.read(self._unpicked())

    def follow(self, document: Any) -> None:
        """Over the window of the workbook that a line leads to; after the click itself is over."""
        self.checked.desk.later(lambda: self._window.follow(document) if self._window is not None else None)

    def close(self) -> None:
        """Take it off the screen."""
        if self._window is not None:
            self._window.close()

    def _made(self) -> ReadingWindow:
        return ReadingWindow(
            self.checked.desk,
            f"Problems: {self.checked.name}",
            self._pick,
            [
                Button("again", "Check again", 52, self.checked.check),
                Button("notes", "Notes on the cells", 78, self._switch, box=True),
                Button("keep", "Keep the notes in the file", 100, self._keep, box=True),
                Button("close", "Close", 44, self.close),
            ],
            self._closed,
        )

    def _head(self) -> str:
        shown = self.checked.notes.shown
        said = [counted(self.checked.problems)]
        if self.checked.notes.on and shown.notes < shown.cells:
            said.append(f"Notes on {shown.notes:,} of {shown.cells:,} cells{_why(shown)}.")
        return " ".join(said)

    def _unpicked(self) -> str:
        if not self.checked.problems:
            said = "Nothing to mend. This list follows what you change, as long as it is open."
        else:
            said = "Pick a line to go to its cell. What is mended leaves the list shortly after you changed it."
        return "\n".join([said, *([""] if self._foot else []), *self._foot])

    def _whole(self, problem: Problem, where: str = "") -> str:
        words = whole(problem, self.checked.other_file(problem))
        return f"{words}\n\n{where}" if where else words

    def _pick(self, place: int) -> None:
        if self._window is None or not 0 <= place < len(self.checked.problems):
            return
        problem = self.checked.problems[place]
        self._picked = _key(problem)
        self._window.read(self._whole(problem))
        where = self.checked.go(problem)
        if where:
            self._window.read(self._whole(problem, where))

    def _switch(self, ticked: int) -> None:
        self.checked.switch_notes(bool(ticked))
        if self._window is not None:
            self._window.say("head", self._head())

    def _keep(self, ticked: int) -> None:
        self.checked.notes.keep(bool(ticked))

    def _closed(self) -> None:
        self._window = None
        self.checked.list_closed()


def _key(problem: Problem) -> Tuple[str, ...]:
    return tuple(problem.get(name, "") for name in ("of", "sheet", "cell", "code", "message"))


def _why(shown: Shown) -> str:
    said = []
    if shown.read_only:
        said.append("the workbook is read-only")
    elif shown.protected:
        said.append(f"none on protected {', '.join(shown.protected)}")
    if shown.owners:
        said.append("a cell with a note of your own gets none of ours")
    return f" ({'; '.join(said)})" if said else ""
