"""Every form says words that its command takes; every command is on a form, or it is said why not."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import Any

import pytest

from quotekit.addin.office.form_fields import (
    BETWEEN,
    CHOICE,
    DATE,
    FILE,
    FOLDER,
    MONEY,
    NEW_FILE,
    NUMBER,
    PICK,
    SEVERAL,
    TEXT,
    TIME,
    YES,
    YES_NO,
    Field,
    Form,
    Values,
    applies,
    hangs_on,
    words_of,
)
from quotekit.addin.office.form_lists import FROM_LEDGER
from quotekit.addin.office.form_table import FORMS, NOT_A_FORM, form_named
from quotekit.addin.office.menu_words import MENU
from quotekit.cli.answers.run_command import RUNS, WITH_LEDGER, WITHOUT_LEDGER
from quotekit.cli.main import _COMMANDS, _parser

PLACE = {"book": "/shop/shop book.xlsx", "folder": "/shop", "today": "2026-11-28", "now": "14:05"}
SAMPLES = {
    TEXT: "as it was said", NUMBER: "2", MONEY: "60.50", DATE: "2026-11-25", TIME: "14:05", PICK: "SEAL-GB",
    SEVERAL: f"117{BETWEEN}118", YES_NO: YES, FILE: "/shop/a file.xlsx", NEW_FILE: "/shop/new.db", FOLDER: "/shop/new",
}  # fmt: skip

OF_FIELDS = {"charged": "50%", "last": "5f0c1be2a4", "sold": "1400; 1600"}
"""Values of fields whose text has a form of its own."""

LEFT_OUT = {
    "ledger": "the one of the shop book is taken",
    "json": "a window shows it",
    "recorded_by": "what only looks records nothing",
    "because": "a reason is asked for where one is needed",
    "out": "documents lie where they are looked for",
    "templates": "those beside the ledger",
    "help": "the form explains itself",
    "text": "a reply is known by its name",
    "supplier": "it goes with the part",
    "old_job": "two shop books are compared", "new_job": "two shop books are compared",
    "old_book": "two shop books are compared", "new_book": "two shop books are compared",
    "book": "the shop book that is known",
    "on": "rates of today",
    "mapping": "the one beside the shop book", "currency": "that of the shop book",
    "workers": "one a core", "cluster": "who sets up several computers for it has a terminal",
}  # fmt: skip
"""Options that forms may leave out, and why."""


@pytest.fixture(scope="module")
def parser() -> argparse.ArgumentParser:
    """The parser of all commands."""
    return _parser()


def parsed(parser: argparse.ArgumentParser, words: list[str]) -> dict[str, Any]:
    """What the command's own parser makes of words; wrong usage is a failure."""
    try:
        return vars(parser.parse_args(words))
    except SystemExit as stop:
        raise AssertionError(f"{words}: wrong usage") from stop


def sample(field: Field) -> str:
    """A value of the field's kind."""
    if field.kind != CHOICE:
        return OF_FIELDS.get(field.name, SAMPLES[field.kind])
    return field.choices[-1].word if field.choices else "3"


def filled(form: Form, *, all_of_it: bool, **values: str) -> Values:
    """Every field filled in, or only what is needed; fields on which others hang as given."""
    known = {
        field.name: sample(field) for field in form.fields if (all_of_it or field.needed) and field.name not in values
    }
    return {**known, **values, "part.supplier": "NORTH"}


def each_case() -> Iterator[Any]:
    """Each form with each line of each of its own lists, full and with nothing but what is needed."""
    for form in FORMS:
        choices = [(field.name, one.word) for field in form.fields for one in field.choices]
        for name, word in choices or [("", "")]:
            for all_of_it in (True, False):
                values = filled(form, all_of_it=all_of_it, **({name: word} if name else {}))
                yield pytest.param(form, values, id=f"{form.name} {name}={word} {'full' if all_of_it else 'needed'}")


@pytest.mark.parametrize(("form", "values"), list(each_case()))
def test_the_command_takes_the_words(parser: argparse.ArgumentParser, form: Form, values: Values) -> None:
    """Whatever a form can say is right usage, and each value arrives as it was typed."""
    words = words_of(form, values, PLACE)
    told = parsed(parser, words)
    arrived = str({name: value for name, value in told.items() if name != "run"})
    assert words[: len(form.words)] == [word.format(**PLACE) for word in form.words]
    for field in form.fields:
        kept = field.kind in (TEXT, FILE, NEW_FILE, FOLDER) and field.name not in ("charged", "sold")
        if kept and field.words and applies(form, field, values):
            assert values.get(field.name, "") in arrived, field.name


@pytest.mark.parametrize(("form", "field"), [(form, field) for form in FORMS for field in form.fields if field.words])
def test_each_field_changes_what_is_said(form: Form, field: Field) -> None:
    """A field that says nothing would be filled in for nothing: with it the words are others than without."""
    values = filled(form, all_of_it=True)
    for name, *wanted in _conditions(form, field):
        values[name] = values[name] if wanted == ["*"] else wanted[0]
    if field.kind == CHOICE and field.choices:
        values[field.name] = next(one.word for one in field.choices if one.word)
    assert applies(form, field, values)
    assert words_of(form, values, PLACE) != words_of(form, {**values, field.name: ""}, PLACE)


def _conditions(form: Form, field: Field) -> Iterator[tuple[str, ...]]:
    while field.when:
        yield field.when
        field = form.field(field.when[0])


def test_every_command_is_on_a_form_or_it_is_said_why_not() -> None:
    """A new command is not forgotten: neither may one be on both."""
    on_forms = {form.words[0] for form in FORMS}
    assert on_forms | NOT_A_FORM.keys() == set(_COMMANDS)
    assert not on_forms & NOT_A_FORM.keys()
    assert all(why.endswith(".") for why in NOT_A_FORM.values())


def test_what_forms_run_is_what_may_be_run() -> None:
    """The engine runs the commands of the forms and no other; those with --ledger are known to it."""
    assert {form.words[0] for form in FORMS} == RUNS
    parser = _parser()
    takes_ledger = {words for verb in RUNS for words, one in _leaves(parser, verb) if "--ledger" in _help_of(one)}
    assert takes_ledger == {
        words for verb in WITH_LEDGER for words, _ in _leaves(parser, verb) if words not in WITHOUT_LEDGER
    }
    assert {words[0] for words in WITHOUT_LEDGER} <= WITH_LEDGER


def _help_of(parser: argparse.ArgumentParser) -> str:
    return " ".join(action.dest and f"--{action.dest}" for action in parser._actions)


def _leaves(parser: argparse.ArgumentParser, verb: str) -> list[tuple[tuple[str, ...], argparse.ArgumentParser]]:
    """Each thing a verb can do, by its words; the verb itself where it can do one alone."""
    found = _subparsers(parser)[verb]
    below = _subparsers(found)
    return [((verb, name), one) for name, one in below.items()] or [((verb,), found)]


def _subparsers(parser: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            return dict(action.choices)
    return {}


@pytest.mark.parametrize("verb", sorted(RUNS))
def test_no_option_of_a_day_is_missing(verb: str, parser: argparse.ArgumentParser) -> None:
    """Each option of a command is said by some form of it, or left out for a known reason."""
    for words_before, one in _leaves(parser, verb):
        of_it = [form for form in FORMS if form.words[: len(words_before)] == words_before]
        words = {word.partition("=")[0] for form in of_it for word in _all_words(form)}
        for action in one._actions:
            if action.option_strings and action.dest not in LEFT_OUT:
                assert words & set(action.option_strings), (verb, action.option_strings)


def _all_words(form: Form) -> Iterator[str]:
    yield from form.words
    if form.over:
        yield "--replace"
    for field in form.fields:
        yield from field.words
        yield from (one.word for one in field.choices)


@pytest.mark.parametrize("form", FORMS)
def test_a_form_is_well_made(form: Form) -> None:
    """Names are its own, lists come from somewhere, conditions name fields before, defaults are of the lists."""
    names = [field.name for field in form.fields]
    assert len(set(names)) == len(names)
    assert form_named(form.name) is form
    for place, field in enumerate(form.fields):
        before = names[:place]
        kind = field.lists.partition(":")[0].partition(" of ")[0]
        assert not kind or kind in {*FROM_LEDGER, "files"}
        assert not hangs_on(field) or hangs_on(field) in before
        assert not field.when or field.when[0] in names
        assert field.kind in {*SAMPLES, CHOICE} and field.label == field.label.strip()
        assert field.kind not in (CHOICE, SEVERAL) or field.choices or field.lists


@pytest.mark.parametrize("form", FORMS)
def test_what_changes_the_shop_book_is_known(form: Form) -> None:
    """Such a form names the shop book, and one of the words that make it change it; no other form says them."""
    own = {"prices-apply", "prices-undo", "take-over", "take-over-undo"}
    words = set(_all_words(form))
    assert bool(form.here) == (form.name in own) and set(form.here) <= words
    assert not form.here or "{book}" in words
    assert not form.loses or form.over


def test_the_menu_has_each_form_in_its_group() -> None:
    """A word of the menu calls one thing; mnemonics within a group are not looked for twice."""
    words = [entry.word for entry in MENU]
    assert len(set(words)) == len(words)
    assert [entry.form for entry in MENU if entry.form] == [form.name for form in FORMS]
    assert all(entry.group.count("~") == 1 and entry.title.count("~") <= 1 for entry in MENU if entry.form)
    by_group: dict[str, list[str]] = {}
    for form in FORMS:
        key = form.menu.partition("~")[2][:1].casefold()
        by_group.setdefault(form.group, []).extend([key] if key else [])
    assert all(len(set(keys)) == len(keys) for keys in by_group.values()), by_group
