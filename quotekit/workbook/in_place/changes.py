"""What is to be changed, and what was: records that a ledger can keep, so that a change can be undone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple, get_args

from quotekit.record import record
from quotekit.workbook.in_place.contents import NOTHING, Content, Kind, NewValue


class Change(NamedTuple):
    """A new value for a cell."""

    sheet: str
    cell: str
    value: NewValue | Content
    """A `Content` goes in as it is: how what stood there is put back."""


@record
class ChangedCell:
    """A cell that was changed, what stood there and what stands there now."""

    sheet: str
    cell: str
    old: Content
    new: Content


@record
class CalculatedCell:
    """A stored result that hung on the change; `new` is nothing where it was taken away."""

    sheet: str
    cell: str
    old: Content
    new: Content

    @property
    def emptied(self) -> bool:
        """True where the result was taken away, until the workbook is opened and saved."""
        return self.new.kind == "none"


@record
class ChangedFile:
    """What was done to a workbook: enough to undo it."""

    file: str
    before: str
    """SHA-256 of the file as it was."""
    after: str
    kept: str
    """Name of the copy of the old file, beside it; empty where none was needed."""
    cells: tuple[ChangedCell, ...] = ()
    calculated: tuple[CalculatedCell, ...] = ()


def changed_file_json(changed: ChangedFile) -> dict[str, object]:
    """The record as JSON, every text exact."""
    return {
        "file": changed.file,
        "before": changed.before,
        "after": changed.after,
        "kept": changed.kept,
        "cells": [_cell_json(one) for one in changed.cells],
        "calculated": [_cell_json(one) for one in changed.calculated],
    }


def changed_file_of(told: Mapping[str, object]) -> ChangedFile:
    """The record that was written as JSON. Raises KeyError or TypeError for anything else."""
    texts = {name: str(told[name]) for name in ("file", "before", "after", "kept")}
    cells, calculated = told["cells"], told["calculated"]
    if not isinstance(cells, list) or not isinstance(calculated, list):
        raise TypeError("no record of a changed workbook")
    return ChangedFile(
        **texts,
        cells=tuple(map(_changed_of, cells)),
        calculated=tuple(map(_calculated_of, calculated)),
    )


def _cell_json(one: ChangedCell | CalculatedCell) -> dict[str, object]:
    return {"sheet": one.sheet, "cell": one.cell, "old": _content_json(one.old), "new": _content_json(one.new)}


def _content_json(content: Content) -> list[str]:
    return [] if content == NOTHING else [content.kind, content.text, *([content.rich] if content.rich else [])]


def _texts_of(told: Mapping[str, object]) -> tuple[str, str, Content, Content]:
    return str(told["sheet"]), str(told["cell"]), _content_of(told["old"]), _content_of(told["new"])


def _changed_of(told: Mapping[str, object]) -> ChangedCell:
    sheet, cell, old, new = _texts_of(told)
    return ChangedCell(sheet=sheet, cell=cell, old=old, new=new)


def _calculated_of(told: Mapping[str, object]) -> CalculatedCell:
    sheet, cell, old, new = _texts_of(told)
    return CalculatedCell(sheet=sheet, cell=cell, old=old, new=new)


def _content_of(told: object) -> Content:
    if not isinstance(told, list) or not all(isinstance(one, str) for one in told) or len(told) > 3:
        raise TypeError("no content of a cell")
    kind, text, rich = (*told, "", "", "")[:3]
    if kind and kind not in get_args(Kind):
        raise TypeError(f"no kind of content: {kind}")
    return Content(kind=kind or "none", text=text, rich=rich)
