"""What a command says, for a person at a menu, not at a terminal: its words become those of the menu and the form."""

from __future__ import annotations

import os
import re
from typing import Dict, Iterable, List, Sequence, Set

from .form_fields import Form
from .form_table import FORMS

_COMMAND = re.compile(r"`?quotekit ([a-z-]+)((?: [^`\n]*)?)`|quotekit ([a-z-]+)((?: [^\n]*)?)")
_OPTION = re.compile(r"--([a-z][a-z-]*)(?: [A-Z][A-Z_]+\b)?")
_USAGE = re.compile(r"^usage: .*?(?=^quotekit[^\n]*: )", re.DOTALL | re.MULTILINE)

ELSEWHERE = {
    "check": "Check this workbook",
    "quote": "Price this job",
    "explain": "Explain the selected cell",
    "read-choice": "Read a returned quote",
}
"""Commands that other entries of the menu carry out."""


def said_plainly(text: str, form: Form, files: Iterable[str] = ()) -> str:
    """What was said, with entries of the menu for commands and fields of the form for options.

    >>> from .form_table import form_named
    >>> said_plainly("Record it with `quotekit accept`.", form_named("order"))
    "Record it with “The customer's yes, from what was sent back” of the menu."
    >>> said_plainly("--at: This is no time like 14:05.", form_named("accept-told"))
    '“Time”: This is no time like 14:05.'
    """
    text = _USAGE.sub("", text)
    text = re.sub(r"^quotekit[ a-z-]*: ", "", text, flags=re.MULTILINE)
    text = re.sub(r"\n? *quotekit[ a-z-]* --help explains with examples\.", "", text)
    text = _COMMAND.sub(lambda found: _entry(found[1] or found[3], (found[2] or found[4] or "").split()), text)
    text = _OPTION.sub(lambda found: _label(form, f"--{found[1]}") or found[0], text)
    return _without_files(text, list(files))


def in_the_way(problems: Sequence[Dict[str, str]]) -> List[str]:
    """The files that stand in the way, where nothing else is wrong.

    >>> there = {"severity": "error", "code": "output-exists", "file": "/shop/117-1 quote.xlsx"}
    >>> in_the_way([there, {"severity": "warning", "code": "old-price", "file": "b"}])
    ['/shop/117-1 quote.xlsx']
    >>> in_the_way([there, {"severity": "error", "code": "blank", "file": "b"}])
    []
    """
    errors = [one for one in problems if one["severity"] == "error"]
    if any(one["code"] not in ("output-exists", "output-open") for one in errors):
        return []
    return [one["file"] for one in errors]


def open_elsewhere(problems: Sequence[Dict[str, str]]) -> List[str]:
    """The files that are open, in this office or in another program."""
    return [one["file"] for one in problems if one["code"] == "output-open"]


def in_columns(said: str) -> bool:
    """Whether what was said stands in columns, which want letters of one width.

    >>> in_columns("Sold hours    Rate\\n1,300       $76.65\\n1,400       $71.17"), in_columns("Job 117:  done.")
    (True, False)
    """
    return sum(bool(_COLUMNS.search(line)) for line in said.splitlines()) > 2


_COLUMNS = re.compile(r"\S {3,}\S")


def short_name(name: str, longest: int = 40) -> str:
    """A file's name that fits on a button: its middle is left out.

    >>> short_name("review 2025-11-29 to 2026-11-28.xlsx", 24)
    'review 202 ... -28.xlsx'
    """
    return name if len(name) <= longest else f"{name[: longest - 14].rstrip()} ... {name[-8:]}"


def _entry(verb: str, words: Sequence[str]) -> str:
    if verb in ELSEWHERE:
        return f"“{ELSEWHERE[verb]}” of the menu"
    fit = [form for form in FORMS if form.words[0] == verb and _told(form) <= set(words)]
    fit.sort(key=lambda form: -len(_told(form)))
    if verb == "accept" and "--job" in words:
        fit = fit[::-1]
    if verb == "jobs" and words:
        fit = [form for form in fit if form.fields] or fit
    return f"“{fit[0].title.rstrip('. ')}” of the menu" if fit else f"quotekit {verb}"


def _told(form: Form) -> Set[str]:
    """The words that tell a form from others of its verb, as `apply` of `prices`."""
    return {word for word in form.words[1:] if "{" not in word}


def _label(form: Form, option: str) -> str:
    """The field that becomes an option, in quotation marks; nothing where there is none."""
    for field in form.fields:
        words: List[str] = [word.partition("=")[0] for word in field.words]
        if option in words or any(option == choice.word for choice in field.choices):
            return f"“{field.label}”"
    return ""


def _without_files(text: str, files: Sequence[str]) -> str:
    """Lines that name a file that was written bear its name alone: a button opens it."""
    names: Dict[str, str] = {path: os.path.basename(path) for path in files}
    lines = [f"Written: {names[line]}" if line in names else line for line in text.splitlines()]
    return "\n".join(lines).strip()
