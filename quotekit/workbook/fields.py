"""A two-column sheet of names and values: the shop's settings, and the fields of a job (DESIGN.md 3.1 and 4)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from quotekit.model.source import Source
from quotekit.problems import Place, Problem, error, warning
from quotekit.record import record
from quotekit.workbook.cell_kinds import read_kind
from quotekit.workbook.cells import is_blank
from quotekit.workbook.column import Field
from quotekit.workbook.grid import Cell
from quotekit.workbook.names import did_you_mean, label_key, name_key
from quotekit.workbook.rows import blank_required
from quotekit.workbook.tables import Table


@record
class FieldValues:
    """Values by declared name, blanks left out, and the row of each name that is on the sheet."""

    values: Mapping[str, Any]
    sources: Mapping[str, Source]
    texts: Mapping[str, str]

    def place(self, name: str, file: str, sheet: str) -> Place:
        """The value's cell, or the sheet where the name is absent."""
        source = self.sources.get(name)
        return source.place("Value") if source else Place(file, sheet)


def read_fields(table: Table, fields: Sequence[Field]) -> tuple[FieldValues, list[Problem]]:
    """Every declared field of the sheet; unknown, repeated, missing and blank ones are problems."""
    word = table.declared.columns[0].header
    if "Value" not in table.at:
        return FieldValues(values={}, sources={}, texts={}), [_no_values(table)]
    by_key = {name_key(field.name): field for field in fields}
    values: dict[str, Any] = {}
    sources: dict[str, Source] = {}
    texts: dict[str, str] = {}
    problems: list[Problem] = []
    for row in table.rows:
        name = table.cell(row, word)
        if name is None or is_blank(name):
            problems += _nameless(table, row, word)
            continue
        field = by_key.get(label_key(name.text))
        if field is None:
            problems.append(_unknown(table.place(row, word), name.text, word, [each.name for each in fields]))
            continue
        if field.name in sources:
            problems.append(_twice(table.place(row, word), field.name, word, sources[field.name].row))
            continue
        sources[field.name] = _source(table, row)
        value, found = _read_value(table, row, field)
        problems += found
        if value is not None:
            values[field.name] = value
            texts[field.name] = _text(table.cell(row, "Value"))
    missing = [field for field in fields if field.required and field.name not in sources]
    problems += [_missing(table, field, word) for field in missing]
    return FieldValues(values=values, sources=sources, texts=texts), problems


def _no_values(table: Table) -> Problem:
    return error(
        table.place(table.header_row, table.declared.columns[0].header),
        "missing-column",
        "there is no column Value",
        "Put the header Value over the values, beside the names.",
    )


def _text(cell: Cell | None) -> str:
    return cell.text if cell is not None else ""


def _source(table: Table, row: int) -> Source:
    word = table.declared.columns[0].header
    columns = {"Value": table.letters.get("Value", ""), word: table.letters[word]}
    return Source(file=table.file, sheet=table.name, row=row, columns=columns)


def _read_value(table: Table, row: int, field: Field) -> tuple[Any, list[Problem]]:
    if table.is_faulty(row, "Value"):
        return None, []
    cell = table.cell(row, "Value")
    place = table.place(row, "Value")
    if cell is None or is_blank(cell):
        return None, [blank_required(place, field.name, field.kind)] if field.required else []
    value, problem = read_kind(cell, place, field)
    if value is None or value == "" or value == ():
        blank = [blank_required(place, field.name, field.kind)] if field.required and problem is None else []
        return None, [problem] if problem else blank
    return value, [problem] if problem else []


def _nameless(table: Table, row: int, word: str) -> list[Problem]:
    if table.is_faulty(row, word) or table.cell(row, "Value") is None:
        return []
    return [blank_required(table.place(row, word), word, "text")]


def _unknown(place: Place, name: str, word: str, known: Sequence[str]) -> Problem:
    return warning(
        place,
        "unknown-field",
        f"{name} is not a known {word.lower()}, so it is not read",
        f"{did_you_mean(name, known)}Rename the row, or leave it as your own.",
        name,
    )


def _twice(place: Place, name: str, word: str, first: int) -> Problem:
    return error(
        place,
        "duplicate-field",
        f"{name} is already given in row {first}",
        "Keep one of the two rows.",
        name,
    )


def _missing(table: Table, field: Field, word: str) -> Problem:
    return error(
        Place(table.file, table.name),
        "missing-field",
        f"{field.name} is missing",
        f"Add a row {field.name}: {field.help}",
    )
