"""What a form is: its fields, and how what is filled in becomes the words of a command. No window, no office.

A word of a form or a field may hold `{}`, the field's own value, and `{name}`, that of another field, of a fact beside
a picked line (`{part.supplier}`) or of the place (`{book}`, the shop book). A word whose value is not filled in is left
out; a field that does not apply gives none.
"""

from __future__ import annotations

import re
from typing import Dict, List, Mapping, NamedTuple, Sequence, Tuple

TEXT, NUMBER, MONEY, DATE, TIME = "text", "number", "money", "date", "time"
CHOICE, PICK, SEVERAL, YES_NO = "choice", "pick", "several", "yes or no"
"""CHOICE: one line of a list. PICK: typed, or taken from a list. SEVERAL: any lines of a list."""

FILE, NEW_FILE, FOLDER = "file", "new file", "folder"

ANY = "*"
"""Whatever is filled in, for `when`."""

YES = "yes"
BETWEEN = "\n"
"""Stands between the values of SEVERAL."""

Values = Dict[str, str]


class Choice(NamedTuple):
    """A line of a list: what a person reads, what it stands for, and facts that come with it."""

    word: str
    label: str
    facts: Tuple[Tuple[str, str], ...] = ()


class Field(NamedTuple):
    """One thing to fill in."""

    name: str
    label: str
    kind: str = TEXT
    words: Tuple[str, ...] = ()
    needed: bool = False
    """Without it nothing is run; of a list that has no lines nothing is needed where `lists` hangs on another field."""
    default: str = ""
    """`today`, `now`, `yes`, or words with `{}` names in them. A day that is left at today is not said."""
    choices: Tuple[Choice, ...] = ()
    lists: str = ""
    """Where else its lines come from (see `form_lists`)."""
    hint: str = ""
    when: Tuple[str, ...] = ()
    """The name of another field, then the values with which this one applies; ANY for whatever is filled in."""


class Form(NamedTuple):
    """A command as a window."""

    name: str
    menu: str
    """The entry of the menu."""
    help: str
    """A line above the fields."""
    words: Tuple[str, ...]
    fields: Tuple[Field, ...] = ()
    button: str = "Record"
    wants: str = "shop"
    """`shop`: the shop book is found first. `nothing`: it works without one."""
    group: str = ""
    rule: bool = False
    """A line stands above it in the menu."""
    over: bool = False
    """It can write over what is there, with `--replace`: it is asked whether it should."""
    loses: str = ""
    """What is lost besides where it writes over what is there, as a sentence."""
    look: str = ""
    """Done again it counts again: the entry of the menu that tells, after a stop, whether it was recorded."""
    here: Tuple[str, ...] = ()
    """With one of these words it changes the shop book itself, which must not be open then."""
    opens: bool = False
    """What it writes is to be worked with: the workbook is opened, also where something was told to be wrong."""

    @property
    def title(self) -> str:
        """The entry of the menu without the mark of its key.

        >>> Form("pay", "Money ~taken", "", ()).title
        'Money taken'
        """
        return self.menu.replace("~", "")

    def field(self, name: str) -> Field:
        """The field of a name."""
        return next(one for one in self.fields if one.name == name)


def words_of(form: Form, values: Mapping[str, str], place: Mapping[str, str]) -> List[str]:
    """The command that a filled form stands for.

    >>> day = Field("on", "Day", DATE, ("--on={}",), default="today")
    >>> job, how = Field("job", "Job", words=("{}",)), Field("how", "How", words=("--h={}",))
    >>> form = Form("pay", "", "", ("pay",), (job, day, how))
    >>> words_of(form, {"job": "117", "on": "2026-11-27"}, {"today": "2026-11-28"})
    ['pay', '117', '--on=2026-11-27']
    >>> words_of(form, {"job": "117", "on": "2026-11-28", "how": "by card"}, {"today": "2026-11-28"})
    ['pay', '117', '--h=by card']
    """
    known = {**values, **place}
    words = _filled(form.words, known, "")
    for field in form.fields:
        if applies(form, field, values):
            for value in said(field, values, place):
                words += _filled(field.words, known, value)
    return words


def changes_book(form: Form, words: Sequence[str]) -> bool:
    """Whether a command changes the shop book itself.

    >>> times = Form("take-over", "", "", ("take-over",), here=("--in-place",))
    >>> changes_book(times, ["take-over", "times.xlsx", "--in-place"]), changes_book(times, ["take-over", "times.xlsx"])
    (True, False)
    """
    return any(word in words for word in form.here)


def said(field: Field, values: Mapping[str, str], place: Mapping[str, str]) -> List[str]:
    """What a field says: nothing, one value, or of several each."""
    value = values.get(field.name, "").strip()
    if field.kind == SEVERAL:
        return [one for one in value.split(BETWEEN) if one]
    if field.default == "today" and value == place.get("today"):
        return []
    return [value] if value else []


def applies(form: Form, field: Field, values: Mapping[str, str]) -> bool:
    """Whether a field counts, by what another one says, where that one counts."""
    if not field.when:
        return True
    value = values.get(field.when[0], "")
    fits = value in field.when[1:] or (bool(value) and field.when[1] == ANY)
    return fits and applies(form, form.field(field.when[0]), values)


_NAMED = re.compile(r"\{([a-z_.]*)\}")


def _filled(words: Tuple[str, ...], known: Mapping[str, str], value: str) -> List[str]:
    """The words with their values; a word that would hold nothing is left out."""
    filled = []
    for word in words:
        names = _NAMED.findall(word)
        if all((known.get(name, "") if name else value).strip() for name in names):
            filled.append(_NAMED.sub(lambda found: known.get(found[1], "") if found[1] else value, word))
    return filled


def filled_in(text: str, known: Mapping[str, str]) -> str:
    """Words with names in them; empty where one of them is not known.

    >>> filled_in("{job.customer}", {"job.customer": "R. Alder"}), filled_in("{job.customer}", {})
    ('R. Alder', '')
    """
    values = [known.get(name, "") for name in _NAMED.findall(text)]
    return _NAMED.sub(lambda found: known.get(found[1], ""), text) if all(values) else ""


_SHAPES = {
    NUMBER: (re.compile(r"-?([0-9]+(\.[0-9]*)?|\.[0-9]+)"), "a number, as 1.5"),
    MONEY: (re.compile(r"-?([0-9]+(\.[0-9]*)?|\.[0-9]+)"), "an amount, as 60.50"),
    DATE: (re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}"), "a day, as 2026-11-25"),
    TIME: (re.compile(r"[0-2]?[0-9]:[0-5][0-9]"), "a time, as 14:05"),
}


def wrong_in(form: Form, values: Mapping[str, str], empty: Tuple[str, ...] = ()) -> Dict[str, str]:
    """What is still needed or can't be read, by field; `empty` are fields whose list has no line to take.

    >>> form = Form("pay", "", "", ("pay",), (Field("job", "Job", needed=True), Field("amount", "Amount", MONEY)))
    >>> wrong_in(form, {"amount": "60,50"})
    {'job': 'needed', 'amount': 'an amount, as 60.50'}
    """
    found = {}
    for field in form.fields:
        value = values.get(field.name, "").strip()
        if not applies(form, field, values):
            continue
        if not value:
            if field.needed and not (field.name in empty and hangs_on(field)):
                found[field.name] = "needed"
            continue
        shape, words = _SHAPES.get(field.kind, (None, ""))
        if shape is not None and not shape.fullmatch(value):
            found[field.name] = words
    return found


def hangs_on(field: Field) -> str:
    """The field that the lines of this one come from; empty for none.

    >>> hangs_on(Field("tier", "Option", CHOICE, lists="options of job"))
    'job'
    """
    return field.lists.rpartition(" of ")[2] if " of " in field.lists else ""
