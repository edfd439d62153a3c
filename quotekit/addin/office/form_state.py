"""What is filled in in a form, and what follows: lines of lists, fields that don't apply, defaults. No office."""

from __future__ import annotations

import os
from typing import Any, Dict, List, Mapping, Tuple

from .form_fields import (
    CHOICE,
    FILE,
    FOLDER,
    NEW_FILE,
    Choice,
    Field,
    Form,
    Values,
    applies,
    filled_in,
    hangs_on,
    words_of,
    wrong_in,
)
from .form_lists import job_of_file, lines_of, picked_facts, the_only


class FormState:
    """One form being filled in. `place` tells the shop book, its folder, today and now; `lists` what can be picked."""

    def __init__(self, form: Form, lists: Mapping[str, Any], place: Mapping[str, str]) -> None:
        self.form, self.lists, self.place = form, lists, dict(place)
        self.values: Values = {}
        self._given: Dict[str, str] = {}
        """Defaults as they were filled in; one that a person changed is left alone."""

    def begin(self, prefilled: Mapping[str, str], file: str = "", kind: str = "", job: str = "") -> None:
        """Fill in what is known: what was given, what the workbook in front is, what alone comes into question."""
        self.values = dict(prefilled)
        jobs = [str(one["job"]) for one in self.lists.get("jobs", ())]
        known = next((one for one in jobs if one.casefold() == job.casefold()), "") or job_of_file(file, jobs)
        for field in self.form.fields:
            if not self.values.get(field.name):
                self.values[field.name] = self._first(field, file, kind, known or job)
        self.fill_in(self.values)

    def fill_in(self, values: Mapping[str, str]) -> None:
        """What a person filled in, and the defaults that follow from it."""
        self.values = dict(values)
        for field in self.form.fields:
            if hangs_on(field):
                words = [line.word for line in self.lines(field)]
                if field.kind == CHOICE and self.values.get(field.name, "") not in words:
                    only = the_only(field, self.lists, self.lines(field)) if field.needed else ""
                    self.values[field.name] = only
        for field in self.form.fields:
            self._default(field)

    def lines(self, field: Field) -> List[Choice]:
        """What can be picked in a field; an empty line where nothing need be picked."""
        lines = lines_of(field, self.lists, self.values)
        if field.kind == CHOICE and not (field.needed or field.default) and all(one.word for one in lines):
            return [Choice("", " "), *lines]
        return lines

    def applies(self, field: Field) -> bool:
        """Whether a field counts."""
        return applies(self.form, field, self.values) and not (field.lists and hangs_on(field) and self._empty(field))

    def wrong(self) -> Dict[str, str]:
        """What is still needed or can't be read, by field."""
        return wrong_in(self.form, self.values, tuple(one.name for one in self.form.fields if self._empty(one)))

    def words(self) -> List[str]:
        """The command."""
        full = {**self.facts(), **self.values}
        for field in self.form.fields:
            value = full.get(field.name, "")
            if field.kind in (FILE, NEW_FILE, FOLDER) and value:
                full[field.name] = os.path.join(self.place.get("folder", ""), os.path.expanduser(value))
        return words_of(self.form, full, self.place)

    def facts(self) -> Values:
        """What is known beside the picked lines."""
        known: Values = {}
        for field in self.form.fields:
            if field.kind == CHOICE:
                known.update(picked_facts(field, self.lines(field), self.values.get(field.name, "")))
        return known

    def _empty(self, field: Field) -> bool:
        return bool(field.lists) and not any(one.word for one in self.lines(field))

    def _first(self, field: Field, file: str, kind: str, job: str) -> str:
        name, _, wanted = field.lists.partition(":")
        if field.kind == FILE and wanted and wanted == kind and "{book}" not in field.default:
            return file
        if field.kind != CHOICE or not field.needed:
            return ""
        if name == "jobs" and field.name != "job":
            return ""
        if name == "jobs" and job:
            return job if job in [line.word for line in self.lines(field)] else ""
        return the_only(field, self.lists, self.lines(field))

    def _default(self, field: Field) -> None:
        known = {**self.place, **self.facts()}
        default = known.get(field.default, "") if field.default in ("today", "now") else filled_in(field.default, known)
        now = self.values.get(field.name, "")
        if default and (not now or now == self._given.get(field.name)) and self._may_fill(field, now):
            self.values[field.name] = default
            self._given[field.name] = default

    def _may_fill(self, field: Field, now: str) -> bool:
        """A default that was taken away is not put back, unless it is another one."""
        return field.name not in self._given or bool(now)


def kind_by_file_name(kind: str, name: str) -> str:
    """What a workbook is that its sheets don't tell apart from others.

    >>> kind_by_file_name("other", "117-1 work order.xlsx"), kind_by_file_name("job", "117 work order.xlsx")
    ('work order', 'job')
    """
    if kind != "other":
        return kind
    return next((known for known in _BY_NAME if known in name.casefold()), kind)


_BY_NAME: Tuple[str, ...] = ("work order", "proposed times", "price proposals")
