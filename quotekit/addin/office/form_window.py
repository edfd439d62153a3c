"""A form on the screen: a row a field, with its label before it and its hint, or what is missing, behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Callable, Dict, List, Mapping, Sequence

import uno

from .form_fields import (
    BETWEEN,
    CHOICE,
    DATE,
    FILE,
    FOLDER,
    NEW_FILE,
    PICK,
    SEVERAL,
    YES,
    YES_NO,
    Choice,
    Field,
    Form,
)
from .form_state import FormState
from .windows import Window

if TYPE_CHECKING:
    from .desk import Desk

EDGE, LABEL, FIELD, NOTE, GAP = 8, 104, 200, 112, 6
WIDTH = EDGE + LABEL + GAP + FIELD + GAP + NOTE + EDGE
ROW, BETWEEN_ROWS, SHORT, BROWSE = 14, 4, 84, 16
HEIGHTS = {SEVERAL: 42}
FOOT, BUTTON, WIDE_BUTTON = 15, 52, 116
RED = 0xB00020

ISO_DAYS = 11
"""The office's number for days as 2026-11-25."""


class FormWindow(Window):
    """The window of a form. What is filled in and what can be picked is told by its state."""

    def __init__(self, desk: Desk, form: Form, state: FormState, run: Callable[[], None]) -> None:
        rows = sum(HEIGHTS.get(one.kind, ROW) + BETWEEN_ROWS for one in form.fields)
        head = 22 if len(form.help) > 96 else 13
        super().__init__(desk, form.title.rstrip(". "), WIDTH, EDGE + head + rows + 6 + FOOT + EDGE)
        self.form, self.state = form, state
        self._filling = False
        self._wrong: Dict[str, str] = {}
        self.text("help", form.help, EDGE, EDGE, WIDTH - 2 * EDGE, head - 3)
        top = EDGE + head
        for field in form.fields:
            self._row(field, top)
            top += HEIGHTS.get(field.kind, ROW) + BETWEEN_ROWS
        self._foot(top + 6, run)

    def show_form(self) -> None:
        """Put it on the screen, filled in as its state says, the keys in its first empty field."""
        self.refresh()
        self.show()
        values = self.state.values
        empty = [one for one in self.form.fields if not values.get(one.name) and self.state.applies(one)]
        order = [*(one for one in empty if one.needed), *empty, *self.form.fields]
        self.focus(order[0].name)

    def refresh(self) -> None:
        """Show what the state says."""
        self._filling = True
        try:
            for field in self.form.fields:
                self._show(field)
        finally:
            self._filling = False

    def changed(self, *_: Any) -> None:
        """Something was picked or ticked, on which other fields may hang."""
        if not self._filling:
            self.state.fill_in(self.read())
            self.refresh()
            self.noted()

    def noted(self, *_: Any) -> None:
        """Something was typed, on which no field hangs: what was missing may be there now."""
        if self._wrong and not self._filling:
            self.state.values.update(self.read())
            self._note_wrong({name: said for name, said in self.state.wrong().items() if name in self._wrong})

    def read(self) -> Dict[str, str]:
        """What is filled in, as the person left it."""
        return {field.name: self._read(field) for field in self.form.fields}

    def say_wrong(self, wrong: Mapping[str, str]) -> None:
        """Beside each field what is missing in it, or its hint; the keys go into the first of them."""
        self._wrong = dict(wrong)
        self._note_wrong(wrong)
        if wrong:
            self.focus(next(field.name for field in self.form.fields if field.name in wrong))

    def _note_wrong(self, wrong: Mapping[str, str]) -> None:
        for field in self.form.fields:
            note, said = self.model.getByName(f"{field.name}_note"), wrong.get(field.name, "")
            if note.Label != (said or _hint(field)):
                note.Label = said or _hint(field)
                note.TextColor = RED if said else -1
        self.say("said", "Something is missing or can't be read." if wrong else "")

    def busy(self, busy: bool, said: str = "") -> None:
        """While it runs it can't be run again."""
        self.model.getByName("run").Enabled = not busy
        self.say("said", said)

    def _row(self, field: Field, top: int) -> None:
        height = HEIGHTS.get(field.kind, ROW)
        left = EDGE + LABEL + GAP
        if field.kind == YES_NO:
            self.tick(field.name, field.label, left, top, FIELD + GAP, ROW)
            self.model.getByName(field.name).VerticalAlign = _MIDDLE
            self.when_picked(field.name, self.changed)
            self._note(field, left + FIELD + GAP, top, NOTE)
            return
        label = f"{field.label} *" if field.needed else field.label
        self._put("FixedText", f"{field.name}_label", EDGE, top, LABEL, ROW, Label=label, VerticalAlign=_MIDDLE)
        short = field.kind in (DATE, "number", "money", "time")
        wide = SHORT if short else FIELD - (BROWSE + 3 if field.kind in (FILE, NEW_FILE, FOLDER) else 0)
        self._control(field, left, top, wide, height)
        if field.kind in (FILE, NEW_FILE, FOLDER):
            self.button(
                f"{field.name}_browse", "...", left + FIELD - BROWSE, top, BROWSE, ROW, lambda: self._browse(field)
            )
            self.model.getByName(f"{field.name}_browse").HelpText = f"{field.label}: look for it"
        at = left + (SHORT if short else FIELD) + GAP
        self._note(field, at, top, WIDTH - EDGE - at)

    def _note(self, field: Field, left: int, top: int, width: int) -> None:
        name, height = f"{field.name}_note", HEIGHTS.get(field.kind, ROW)
        self._put("FixedText", name, left, top, width, height, Label=_hint(field), MultiLine=height > ROW)
        if height == ROW:
            self.model.getByName(name).VerticalAlign = _MIDDLE

    def _control(self, field: Field, x: int, y: int, width: int, height: int) -> None:
        if field.kind in (CHOICE, SEVERAL):
            several = field.kind == SEVERAL
            self._put(
                "ListBox", field.name, x, y, width, height, Dropdown=not several, MultiSelection=several, LineCount=12
            )
            self.when_picked(field.name, self.changed)
        elif field.kind in (PICK, FILE, NEW_FILE, FOLDER):
            self._put("ComboBox", field.name, x, y, width, height, Dropdown=True, LineCount=12, Autocomplete=False)
            self.when_typed(field.name, self.noted)
        elif field.kind == DATE:
            self._put(
                "DateField", field.name, x, y, width, height, Dropdown=True, DateFormat=ISO_DAYS, StrictFormat=False
            )
        else:
            self._put("Edit", field.name, x, y, width, height)
            self.when_typed(field.name, self.noted)

    def _foot(self, top: int, run: Callable[[], None]) -> None:
        wide = WIDE_BUTTON if len(self.form.button) > 14 else BUTTON
        right = WIDTH - EDGE
        self.text("said", "", EDGE, top + 3, WIDTH - 2 * EDGE - wide - BUTTON - 2 * GAP, 11)
        self.button("run", self.form.button, right - wide - GAP - BUTTON, top, wide, FOOT, run, default=True)
        self.button("cancel", "Cancel", right - BUTTON, top, BUTTON, FOOT, self.close)

    def _show(self, field: Field) -> None:
        control, value = self.model.getByName(field.name), self.state.values.get(field.name, "")
        control.Enabled = self.state.applies(field)
        if field.kind != YES_NO:
            self.model.getByName(f"{field.name}_label").Enabled = control.Enabled
        if field.kind in (CHOICE, SEVERAL, PICK, FILE, NEW_FILE, FOLDER):
            lines = self.state.lines(field)
            labels = tuple(one.label for one in lines)
            if tuple(control.StringItemList or ()) != labels:
                control.StringItemList = labels
            self._show_of_list(field, control, lines, value)
        elif field.kind == YES_NO:
            control.State = int(value == YES)
        elif field.kind == DATE:
            _set_day(control, value)
        elif control.Text.strip() != value:
            control.Text = value

    def _show_of_list(self, field: Field, control: Any, lines: Sequence[Choice], value: str) -> None:
        if field.kind in (CHOICE, SEVERAL):
            wanted = value.split(BETWEEN) if field.kind == SEVERAL else [value]
            picked = tuple(place for place, line in enumerate(lines) if line.word in wanted)
            if tuple(control.SelectedItems or ()) != picked:
                control.SelectedItems = uno.Any("[]short", picked)
            return
        shown = next((line.label for line in lines if line.word == value), value)
        if control.Text.strip() != shown:
            control.Text = shown

    def _read(self, field: Field) -> str:
        control = self.model.getByName(field.name)
        if field.kind in (CHOICE, SEVERAL):
            lines = self.state.lines(field)
            return BETWEEN.join(lines[place].word for place in control.SelectedItems or () if place < len(lines))
        if field.kind == YES_NO:
            return YES if control.State else ""
        if field.kind == DATE:
            return _iso(control.Date)
        typed = str(control.Text).strip()
        if field.kind in (PICK, FILE, NEW_FILE, FOLDER):
            return next((one.word for one in self.state.lines(field) if one.label == typed), typed)
        return typed

    def _browse(self, field: Field) -> None:
        from .form_files import browse

        path = browse(self.desk, field, self.state.place.get("folder", ""))
        if path is not None:
            self.state.fill_in({**self.read(), field.name: path})
            self.refresh()


def _hint(field: Field) -> str:
    """What stands behind a field; where several lines can be picked also how."""
    return "\n".join(filter(None, [field.hint, "several: with Ctrl"])) if field.kind == SEVERAL else field.hint


_MIDDLE: Any = uno.Enum("com.sun.star.style.VerticalAlignment", "MIDDLE")


def _set_day(control: Any, text: str) -> None:
    parts: List[str] = text.split("-")
    if len(parts) != 3 or not all(part.isdigit() for part in parts):
        control.setPropertyToDefault("Date")
        return
    day = uno.createUnoStruct("com.sun.star.util.Date")
    day.Year, day.Month, day.Day = (int(part) for part in parts)
    control.Date = day


def _iso(day: Any) -> str:
    return f"{day.Year:04}-{day.Month:02}-{day.Day:02}" if day is not None and day.Year else ""
