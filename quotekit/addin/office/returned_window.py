"""The window that tells what a customer chose, what differs, and what to do next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Dict, List

from .copies import Copies, path_of, same_path
from .jump import to_cell
from .layout import BUTTON, EDGE, GAP, LINE, WIDTH, button_width, text_height
from .returned_words import added, chosen, differs, lines, of_which
from .shop_book_for import ShopBook, with_shop_book
from .show_problems import show_problems
from .windows import Window, tell

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

UNSAVED = "Read as on the screen: what is ticked here is not saved yet."
SAVE_FIRST = ("What is on the screen was not saved.", "Save it first: what is recorded is the file that came back.")
BOLD, RIGHT, ROOM = 150.0, 2, 46


class ReturnedWindow:
    """One window a returned quote; a problem that is picked shows its cell."""

    def __init__(self, desk: Desk, document: Any, found: Dict[str, Any], unsaved: bool) -> None:
        self.desk, self.document, self.found, self.unsaved = desk, document, found, unsaved
        self.window = Window(desk, "A returned quote", WIDTH, 10)
        self._at = EDGE

    def show(self) -> None:
        """Lay it out and put it on the screen."""
        found = self.found
        self._line("which", of_which(found))
        self._line("chosen", chosen(found), bold=True)
        if found["tier"]:
            self._line("added", added(found))
        self._line("differs", differs(found))
        if self.unsaved:
            self._line("unsaved", UNSAVED)
        if found["problems"]:
            self._at += 2
            self.window.list("problems", lines(found["problems"]), EDGE, self._at, WIDTH - 2 * EDGE, ROOM, self._picked)
            self._at += ROOM + 2
            self._line("remedy", "Pick a line to go to its cell and see what to do.", tall=2 * LINE + 1)
        self._at += 4
        self._buttons()
        self.window.model.Height = self._at + EDGE
        self.window.show()
        self.window.focus("close" if not found["tier"] else "record")

    def _line(self, name: str, words: str, bold: bool = False, tall: int = 0) -> None:
        tall = tall or text_height(words)
        self.window.text(name, words, EDGE, self._at, WIDTH - 2 * EDGE, tall)
        if bold:
            self.window.model.getByName(name).FontWeight = BOLD
        self._at += tall + 2

    def _picked(self, number: int) -> None:
        problem = self.found["problems"][number]
        unseen = to_cell(self.document, problem["sheet"], problem["cell"])
        self.window.say("remedy", f"{problem['remedy']} {unseen}".strip())

    def _buttons(self) -> None:
        buttons: List[Any] = []
        if self.found["tier"]:
            buttons = [("record", "Record the yes ...", self._record), ("price", "Price the choice", self._price)]
        at = EDGE
        for name, label, pressed in buttons:
            width = button_width(label)
            self.window.button(name, label, at, self._at, width, BUTTON, pressed, default=name == "record")
            at += width + GAP
        close = self.window.close
        self.window.button("close", "Close", WIDTH - EDGE - 44, self._at, 44, BUTTON, close, default=not buttons)
        self._at += BUTTON

    def _record(self) -> None:
        """The form of the yes, with this file filled in; what is recorded is a file, not a screen."""
        from .forms import open_form

        path = path_of(self.document)
        if self.document.isModified() or path is None:
            tell(self.desk, *SAVE_FIRST)
        else:
            open_form(self.desk, "accept", {"returned": path})

    def _price(self) -> None:
        job = self._job()
        if job is None:
            message = f"Job {self.found['job']} is not open."
            tell(self.desk, message, "Open it, read the quote again, and the choice is priced by it.")
        else:
            with_shop_book(self.desk, job, lambda book: self._ask_price(job, book))

    def _job(self) -> Any:
        wanted = same_path(self.found["job_file"]) if self.found["job_file"] else ""
        return next((one for one in self.desk.documents() if same_path(path_of(one) or "") == wanted), None)

    def _ask_price(self, job: Any, book: ShopBook) -> None:
        copies = Copies()
        words: Line = {"do": "choice", "tier": self.found["tier"], "extras": self.found["extras"]}
        try:
            words.update(document=copies.as_it_stands(job), book=book.copy(self.desk, copies))
        except OSError as fault:
            copies.away()
            tell(self.desk, f"{fault}.", "Open it, then do this again.")
            return

        def done(answer: Line) -> None:
            copies.away()
            if "problems" in answer:
                show_problems(self.desk, job, book, answer["problems"])
            else:
                show_amounts(self.desk, self.found["job"], answer["done"])

        self.desk.ask(words, "Pricing the choice", done, self.document, otherwise=copies.away)


def show_amounts(desk: Desk, job: str, done: Dict[str, Any]) -> None:
    """What a choice comes to, line by line."""
    rows = done["rows"]
    window = Window(desk, f"The choice of job {job}", 190, 2 * EDGE + (LINE + 1) * (len(rows) + 1) + BUTTON + 8)
    window.text("option", f"{done['option']}, in {done['currency']}", EDGE, EDGE, 174, LINE + 1)
    at = EDGE + LINE + 4
    for number, (label, amount) in enumerate(rows):
        window.text(f"label{number}", label, EDGE, at, 110, LINE + 1)
        window.text(f"amount{number}", amount, 190 - EDGE - 60, at, 60, LINE + 1)
        window.model.getByName(f"amount{number}").Align = RIGHT
        if label in ("Total", "Due"):
            window.model.getByName(f"label{number}").FontWeight = BOLD
            window.model.getByName(f"amount{number}").FontWeight = BOLD
        at += LINE + 1
    window.button("close", "Close", 190 - EDGE - 44, at + 4, 44, BUTTON, window.close, default=True)
    window.show()
    window.focus("close")
