"""The window that tells what a job comes to: each option with its total, warnings, and what to open next."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Callable, Dict, List

from .layout import BUTTON, EDGE, GAP, LINE, WIDTH, button_width, text_height
from .open_files import open_with_its_program
from .priced_words import priced_from, warned
from .question import Answer, ask
from .show_problems import show_problems
from .windows import Window

if TYPE_CHECKING:
    from .pipe import Line
    from .price_job import Pricing

TOTAL = 64
MARGIN, PLACE_ONLY = 16, 3
RIGHT = 2
"""How a text is aligned."""

KINDS = {"pdf": "PDF", "page": "page"}

_shown: Dict[str, Window] = {}
"""The window of each job, by the document's own number: a new pricing takes the place of the old."""


def show_priced(pricing: Pricing, done: Dict[str, Any]) -> None:
    """Tell what was priced and written."""
    uid = str(pricing.document.RuntimeUID)
    before = _shown.pop(uid, None)
    if before is not None:
        before.close()
    _shown[uid] = PricedWindow(pricing, done).show()


class PricedWindow:
    """One window; its parts stand beneath each other."""

    def __init__(self, pricing: Pricing, done: Dict[str, Any]) -> None:
        self.pricing, self.desk, self.done = pricing, pricing.desk, done
        self.window = Window(self.desk, f"Job {done['job']}, version {done['version']}", WIDTH, 10)
        self._at = EDGE

    def show(self) -> Window:
        """Lay it out and put it on the screen."""
        for number, tier in enumerate(self.done["tiers"]):
            self._tier(number, tier)
        self._at += 3
        self._line("from", priced_from(self.pricing.unsaved, self.pricing.book.name))
        self._warnings()
        self._line("written", f"Written beside the job: {_names(self.done)}.")
        self._at += 4
        self._files()
        self._buttons()
        self.window.model.Height = self._at + EDGE
        self.window.show()
        self._aside()
        self.window.focus("close")
        return self.window

    def _aside(self) -> None:
        """At the right, above the middle: the options of the quote stay in sight, and a list of problems beneath."""
        frame = self.desk.desktop.getCurrentFrame()
        around = frame.getContainerWindow().getPosSize() if frame is not None else None
        own = self.window.dialog.getPosSize()
        if around is not None and around.Width > own.Width and around.Height > own.Height:
            x, y = around.Width - own.Width - MARGIN, (around.Height - own.Height) // 3
            self.window.dialog.setPosSize(x, y, 0, 0, PLACE_ONLY)

    def _tier(self, number: int, tier: Dict[str, Any]) -> None:
        window, wide = self.window, WIDTH - 2 * EDGE - TOTAL
        window.text(f"tier{number}", tier["name"], EDGE, self._at, wide, LINE + 1)
        said = tier["total"] if tier["offered"] else "not offered"
        window.text(f"total{number}", said, WIDTH - EDGE - TOTAL, self._at, TOTAL, LINE + 1)
        window.model.getByName(f"total{number}").Align = RIGHT
        if tier["offered"]:
            window.model.getByName(f"total{number}").FontWeight = 150.0
        self._at += LINE + 2
        if not tier["offered"] and tier["reason"]:
            self._line(f"reason{number}", f"   {tier['reason'][:1].upper()}{tier['reason'][1:]}")

    def _line(self, name: str, words: str) -> None:
        tall = text_height(words)
        self.window.text(name, words, EDGE, self._at, WIDTH - 2 * EDGE, tall)
        self._at += tall + 2

    def _warnings(self) -> None:
        warnings = self.done["warnings"]
        if not warnings:
            return
        label = "Show it" if len(warnings) == 1 else "Show them"
        width = button_width(label)
        self.window.text("warnings", warned(len(warnings)), EDGE, self._at + 3, 190, LINE + 1)
        self.window.button(
            "show_warnings", label, WIDTH - EDGE - width, self._at, width, BUTTON, lambda: self._show_warnings(warnings)
        )
        self._at += BUTTON + 3

    def _show_warnings(self, warnings: List[Dict[str, str]]) -> None:
        show_problems(self.desk, self.pricing.document, self.pricing.book, warnings)

    def _files(self) -> None:
        buttons: List[Any] = []
        if self.done["quote"] is not None:
            buttons.append(("open_quote", "Open the quote", lambda: self._open(self.done["quote"])))
        buttons.append(("open_costing", "Open the costing", lambda: self._open(self.done["costing"])))
        if self.done["quote"] is not None:
            buttons.append(("pdf", "Also as PDF", lambda: self._more("pdf")))
            buttons.append(("page", "Also as a page", lambda: self._more("page")))
        wide = (WIDTH - 2 * EDGE - GAP * (len(buttons) - 1)) // len(buttons)
        for number, (name, label, pressed) in enumerate(buttons):
            x = EDGE + number * (wide + GAP)
            last = WIDTH - EDGE - x if len(buttons) == 4 and number == 3 else wide
            self.window.button(name, label, x, self._at, last, BUTTON, pressed)
        self._at += BUTTON + 6

    def _buttons(self) -> None:
        close = self.window.close
        self.window.button("close", "Close", WIDTH - EDGE - 44, self._at, 44, BUTTON, close, default=True)
        self._at += BUTTON

    def _open(self, path: str) -> None:
        self.desk.open(path)

    def _more(self, kind: str, replace: bool = False) -> None:
        """The same quote as a PDF or a page."""
        words = {"do": "price", "token": self.done["token"], kind: True, "replace": replace}
        self.desk.ask(words, f"Making the {KINDS[kind]}", self._made(kind), self.pricing.document)

    def _made(self, kind: str) -> Callable[[Line], None]:
        def done(answer: Line) -> None:
            if "problems" in answer:
                show_problems(self.desk, self.pricing.document, self.pricing.book, answer["problems"])
            elif answer["done"]["token"] is None:
                self.window.say("written", "Price the job again first: this was a while ago.")
            elif answer["done"]["in_the_way"]:
                self._ask_to_write_over(kind, answer["done"]["in_the_way"])
            else:
                self._offer_to_open(kind, answer["done"]["files"][0])

        return done

    def _ask_to_write_over(self, kind: str, in_the_way: List[Dict[str, str]]) -> None:
        name = os.path.basename(in_the_way[0]["path"])
        if in_the_way[0]["code"] == "output-open":
            self.window.say("written", f"{name} is open in another program: close it there, then try again.")
            return
        words = f"{name} is there already. Write over?"
        ask(self.desk, "Price this job", words, [Answer("Write over", lambda: self._more(kind, replace=True))])

    def _offer_to_open(self, kind: str, path: str) -> None:
        self.window.say("written", f"Written beside the job: {os.path.basename(path)}.")
        self.window.relabel(kind, f"Open the {KINDS[kind]}", lambda: open_with_its_program(self.desk, path))


def _names(done: Dict[str, Any]) -> str:
    return ", ".join(os.path.basename(path) for path in (done["quote"], done["costing"]) if path)
