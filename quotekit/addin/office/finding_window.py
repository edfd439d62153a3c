"""The window that puts findings into a job, one after the other: a list to filter, what was measured, what it says.

What a measurement says is the engine's word, asked for while it is typed; nothing is judged here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Callable, Dict, List, Optional

from com.sun.star.awt import Selection

from .copies import Copies
from .finding_cells import put_in
from .finding_words import (
    AS_IN_BOOK,
    OTHER,
    SEVERITIES,
    SOMETHING_ELSE,
    Finding,
    already,
    facts,
    hint,
    incomplete,
    line,
    matching,
    row_values,
    sides,
)
from .layout import BUTTON, EDGE, GAP, LINE, button_width
from .timer import after
from .windows import Window

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line
    from .shop_book_for import ShopBook

WIDTH, LIST, FIELD = 300, 84, 13
COLUMNS = (("side", "Side", 52), ("measured", "Measured", 56), ("unit", "Unit", 40), ("severity", "Severity", 0))
PAUSE = 0.15
"""Seconds after the last key until the engine is asked."""

NO_ANSWER = "quotekit did not answer: try again in a moment."


class FindingWindow:
    """One window a job."""

    def __init__(self, desk: Desk, job: Any, book: ShopBook, told: Dict[str, Any]) -> None:
        self.desk, self.job, self.book, self.told = desk, job, book, told
        self.findings: List[Finding] = [*told["findings"], SOMETHING_ELSE]
        self.shown: List[Finding] = list(self.findings)
        self.window = Window(desk, f"Put a finding in {job.getTitle()}", WIDTH, 10)
        self._measured: Dict[str, Any] = {"number": None, "bad": False}
        self._asked = 0

    def show(self, code: str = "") -> None:
        """Lay it out and put it on the screen, with a finding picked already where a code is given."""
        window, wide = self.window, WIDTH - 2 * EDGE
        machine = self.told["machine"]
        window.text("head", f"Findings of: {machine}" if machine else "All findings", EDGE, EDGE, wide, LINE + 1)
        self._label("filter", "Filter", EDGE, 21)
        window.field("filter", "", EDGE + 28, 20, wide - 28, FIELD)
        window.list("findings", [line(one) for one in self.shown], EDGE, 36, wide, LIST, lambda _: self._picked())
        window.text("facts", "Pick a finding.", EDGE, 38 + LIST, wide, 2 * LINE + 1)
        self._fields(60 + LIST)
        window.text("verdict", "", EDGE, 102 + LIST, wide, 2 * LINE + 1)
        window.model.getByName("verdict").FontWeight = 150.0
        self._foot(124 + LIST)
        window.show()
        window.when_typed("filter", self._filtered)
        for name in ("measured", "unit"):
            window.when_typed(name, self._typed)
        self._offer_next()
        if code:
            self._pick(code)
        window.focus("filter")

    def _fields(self, at: int) -> None:
        window = self.window
        x = EDGE
        for name, label, width in COLUMNS:
            width = width or WIDTH - EDGE - x
            self._label(name, label, x, at - 1, width)
            if name == "side":
                self._drop_down(name, sides(self.told["positions"]), x, at + LINE, width)
            elif name == "severity":
                self._drop_down(name, [AS_IN_BOOK, *SEVERITIES], x, at + LINE, width)
            else:
                window.field(name, "", x, at + LINE, width, FIELD)
            x += width + GAP + 2
        self._label("note", "Note", EDGE, at + LINE + FIELD + 5)
        window.field("note", "", EDGE + 28, at + LINE + FIELD + 3, WIDTH - 2 * EDGE - 28, FIELD)

    def _foot(self, at: int) -> None:
        window = self.window
        window.text("next", "", EDGE, at + 3, WIDTH - 2 * EDGE - 50, LINE + 1)
        window.button("take", "Take it", WIDTH - EDGE - 44, at, 44, BUTTON, self._take_next)
        at += BUTTON + 6
        window.text("done", "", EDGE, at + 3, WIDTH - 2 * EDGE - 44 - GAP - button_width("Put in the job"), LINE + 1)
        width = button_width("Put in the job")
        window.button(
            "put", "Put in the job", WIDTH - EDGE - 44 - GAP - width, at, width, BUTTON, self._put, default=True
        )
        window.button("close", "Close", WIDTH - EDGE - 44, at, 44, BUTTON, window.close)
        window.model.Height = at + BUTTON + EDGE

    def _label(self, name: str, words: str, x: int, y: int, width: int = 26) -> None:
        self.window.text(f"{name} label", words, x, y + 1, width, LINE)

    def _drop_down(self, name: str, lines: List[str], x: int, y: int, width: int) -> None:
        self.window.list(name, lines, x, y, width, FIELD, lambda _: None)
        self.window.model.getByName(name).Dropdown = True
        self.window.pick(name, 0)

    @property
    def picked(self) -> Optional[Finding]:
        """The finding that is picked."""
        at = self.window.picked("findings")
        return self.shown[at] if 0 <= at < len(self.shown) else None

    def _filtered(self) -> None:
        before = self.picked
        self.shown = matching(self.findings, self.window.typed("filter"))
        self.window.lines("findings", [line(one) for one in self.shown])
        if self.window.typed("filter").strip():
            self.window.pick("findings", 0)
        elif before in self.shown:
            self.window.pick("findings", self.shown.index(before))
        if self.picked is not before:
            self._picked()

    def _pick(self, code: str, side: str = "") -> None:
        """Pick a finding by its code, whatever was filtered."""
        self.window.model.getByName("filter").Text = ""
        self.shown = list(self.findings)
        self.window.lines("findings", [line(one) for one in self.shown])
        codes = [one["code"].casefold() for one in self.shown]
        if code.casefold() not in codes:
            self.window.say("facts", f"{code} is no finding of this machine.")
            return
        self.window.pick("findings", codes.index(code.casefold()))
        listed = sides(self.told["positions"])
        self.window.pick("side", listed.index(side) if side in listed else 0)
        self._picked()

    def _picked(self) -> None:
        finding = self.picked
        if finding is None:
            return
        self.window.say("facts", facts(finding))
        self.window.model.getByName("unit").Text = finding["unit"]
        self._typed()

    def _typed(self) -> None:
        """The measurement or its unit was changed: ask what it says, once typing rests."""
        self._asked += 1
        number = self._asked
        after(self.desk, PAUSE, lambda: self._judge(number))

    def _judge(self, number: int, then: Optional[Callable[[], None]] = None) -> None:
        finding = self.picked
        if number != self._asked or finding is None or not self.window.is_open:
            return
        if finding["code"] == OTHER and not self.window.typed("measured").strip():
            self._judged({"number": None, "bad": False, "said": ""})
            if then is not None:
                then()
            return
        words: Line = {"do": "measurement", "finding": finding}
        words.update(measured=self.window.typed("measured"), unit=self.window.typed("unit"))

        def done(answer: Line) -> None:
            if number != self._asked or not self.window.is_open:
                return
            if "done" not in answer:
                refused = answer["problems"][0]
                self.window.say("verdict", f"{refused['message']} {refused['remedy']}")
                return
            self._judged(answer["done"])
            if then is not None:
                then()

        self.desk.ask_quietly(words, done, lambda: self.window.say("verdict", NO_ANSWER))

    def _judged(self, said: Dict[str, Any]) -> None:
        self._measured = said
        self.window.say("verdict", said["said"])

    def _put(self) -> None:
        """Put it in; what is typed is judged first, so that nothing else than what was judged goes in."""
        if self.picked is None:
            self.window.say("verdict", "Pick a finding first.")
            return
        self._asked += 1
        self._judge(self._asked, self._put_judged)

    def _put_judged(self) -> None:
        finding, window = self.picked, self.window
        if finding is None or self._measured["bad"]:
            return
        severity = ["", *SEVERITIES][max(0, window.picked("severity"))]
        typed = {
            "side": sides(self.told["positions"])[max(0, window.picked("side"))],
            "unit": window.typed("unit"),
            "severity": severity,
            "note": window.typed("note"),
        }
        lacks = incomplete(finding, typed["side"], severity, typed["note"])
        if lacks:
            window.say("verdict", lacks)
            window.focus("side" if "side" in lacks else "severity" if "Choose" in lacks else "note")
            return
        twice = already(finding, typed["side"], self.told["recorded"], self.told["positions"])
        if twice:
            window.say("verdict", twice)
            return
        number = self._measured["number"]
        row = put_in(self.job, row_values(finding, typed, None if number is None else float(number)))
        at = [typed["side"]] if typed["side"] else []
        self.told["recorded"].append({"code": finding["code"], "sides": at, "row": row})
        window.say("done", f"{finding['code']} is in row {row}.")
        self._blank()
        self._look_again()

    def _blank(self) -> None:
        """Ready for the next one; the finding stays picked, often for the other side."""
        for name in ("measured", "note"):
            self.window.model.getByName(name).Text = ""
        for name in ("severity", "side"):
            self.window.pick(name, 0)
        self.window.focus("filter")
        self.window.dialog.getControl("filter").setSelection(Selection(0, len(self.window.typed("filter"))))

    def _look_again(self) -> None:
        """What to measure or look at next, now that there is one more."""
        copies = Copies()
        try:
            words: Line = {"do": "findings", "document": copies.of(self.job), "book": self.book.copy(self.desk, copies)}
        except Exception:  # the shop book was moved: the hints stay as they are
            copies.away()
            return

        def done(answer: Line) -> None:
            copies.away()
            if "done" in answer and self.window.is_open:
                self.told = {**self.told, **{key: answer["done"][key] for key in ("next", "recorded")}}
                self._offer_next()

        self.desk.ask_quietly(words, done, copies.away)

    def _offer_next(self) -> None:
        following = self.told["next"]
        more = f"  (and {len(following) - 1} more)" if len(following) > 1 else ""
        self.window.say("next", hint(following[0], self.findings) + more if following else "")
        self.window.dialog.getControl("take").setVisible(bool(following))

    def _take_next(self) -> None:
        if self.told["next"]:
            self._pick(self.told["next"][0]["code"], self.told["next"][0]["side"])
            self.window.focus("measured")
