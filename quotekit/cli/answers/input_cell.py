"""A cell of a shop book or a job, told: what belongs in it, how it is read, what is wrong, what hangs on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from quotekit.cli.answers.told_cell import Spot, ToldCell, bullets
from quotekit.problems import Place
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.cli.inputs import Inputs
    from quotekit.problems import Problem
    from quotekit.workbook.typed_cell import Tables, TypedCell

MOST_FIGURES = 14


@record
class Workbooks:
    """The tables of a shop book and of a job, whichever there are, and what is known of both."""

    tables: Mapping[str, Tables]
    """By the name of the file."""
    inputs: Inputs
    problems: tuple[Problem, ...]


def tell_input_cell(place: Place, known: Workbooks) -> ToldCell:
    """What a cell of a shop book or a job is."""
    from quotekit.workbook.typed_cell import typed_cell

    found = typed_cell(known.tables[place.file], place)
    paragraphs = [_belongs(found), *_read(found), *_wrong(place, known)]
    spots: list[Spot] = []
    if found.where in ("cell", "name"):
        at = _value_place(found, known)
        words = _used(found, known, spots)
        paragraphs += [*_figures(at, known), *words]
    return ToldCell(title=_title(found), paragraphs=tuple(paragraphs), spots=tuple(spots))


def short_words(place: Place, known: Workbooks) -> str:
    """A cell in a few words, for a list: `Pack cost of SEAL-19: 7.9`."""
    from quotekit.workbook.kind_words import read_words
    from quotekit.workbook.typed_cell import typed_cell

    tables = known.tables.get(place.file)
    found = typed_cell(tables, place) if tables is not None and place.cell else None
    if found is None or found.declared is None:
        return ""
    value = "" if found.value is None else read_words(found.value, found.declared.kind, percent=found.percent)
    shown = value if len(value) <= 60 else f"{value[:59]}…"
    return f"{_what(found)}: {shown}" if shown else f"{_what(found)}, blank"


def _title(found: TypedCell) -> str:
    at = "!".join(word for word in (found.place.sheet, found.place.cell) if word)
    return f"{at}: {_what(found)}" if found.declared is not None else at


def _what(found: TypedCell) -> str:
    from quotekit.workbook.column import Field

    if found.declared is None:
        return ""
    name = found.declared.name if isinstance(found.declared, Field) else found.declared.header
    return f"{name} of {found.code or found.name}" if (found.code or found.name) and found.where == "cell" else name


def _belongs(found: TypedCell) -> str:
    from quotekit.workbook.kind_words import what_belongs

    sheet = found.sheet.name if found.sheet is not None else found.place.sheet
    if found.where == "own sheet":
        return "quotekit does not read this sheet: it is your own."
    if found.where == "above":
        return f"This stands above the table of the sheet {sheet}, where quotekit does not read: it is your own."
    if found.where == "own column":
        return f"quotekit does not know this column of the sheet {sheet}, so it is not read: it is your own."
    if found.where == "own name":
        named = f"{found.text} is no name that quotekit knows here" if found.text else "There is no name in this row"
        return f"{named}, so the row is not read."
    assert found.declared is not None
    row = f"This row is {found.code}, {found.name}." if found.code and found.name and found.where == "cell" else ""
    start = "A column of the sheet" if found.where == "header" else "What belongs here"
    said = f"{start} {sheet}: {found.declared.help}" if found.where == "header" else f"{start}: {found.declared.help}"
    return "\n".join(line for line in (row, said, what_belongs(found.declared)) if line)


def _read(found: TypedCell) -> Iterator[str]:
    from quotekit.workbook.kind_words import read_words

    if found.where not in ("cell", "name") or found.declared is None:
        return
    if found.value is None:
        yield "It is blank." if not found.text else f"The cell holds {found.text}, which can't be read."
        return
    value = read_words(found.value, found.declared.kind, percent=found.percent)
    by = " It is the result of a formula." if found.calculated else ""
    yield f"quotekit reads: {value}.{by}"


def _wrong(place: Place, known: Workbooks) -> Iterator[str]:
    """The problems of this cell."""
    mine = [one for one in known.problems if _is_at(one.place, place)]
    for one in mine:
        kind = "To mend" if one.severity == "error" else "To look at"
        yield f"{kind}: {_sentence(one.message)} {one.remedy}".strip()


def _is_at(wrong: Place, place: Place) -> bool:
    first = wrong.cell.partition(":")[0]
    return (wrong.file, wrong.sheet.casefold(), first) == (place.file, place.sheet.casefold(), place.cell)


def _value_place(found: TypedCell, known: Workbooks) -> Place:
    """The cell that figures hang on: of the name of a setting it is the value beside it."""
    if found.where != "name":
        return found.place
    from quotekit.workbook.reading_order import cell_parts
    from quotekit.workbook.typed_cell import typed_cell

    table = next(one for one in known.tables[found.place.file].values() if one.declared is found.sheet)
    row = cell_parts(found.place.cell)[1]
    return typed_cell(known.tables[found.place.file], table.place(row, "Value")).place


def _used(found: TypedCell, known: Workbooks, spots: list[Spot]) -> list[str]:
    """Who refers to the code of this row, in both workbooks, and the codes that this cell names itself."""
    from quotekit.workbook.typed_cell import references

    if not found.code or found.sheet is None:
        return []
    named = [
        one
        for file, tables in known.tables.items()
        if file == found.place.file or found.sheet.name not in tables
        for one in references(tables, found.sheet.name, found.code)
        if one.place != found.place
    ]
    if not named:
        return [f"Nothing else refers to {found.code}."]
    spots += [Spot(place=one.place, words=_reference(one.header, one.of)) for one in named]
    lines = [f"{_at(one.place)}: {_reference(one.header, one.of)}" for one in named]
    return [f"{found.code} is named in:\n{bullets(lines)}"]


def _reference(header: str, of: str) -> str:
    return f"{header} of {of}" if of else header


def _at(place: Place) -> str:
    return f"{place.sheet}!{place.cell}"


def _figures(place: Place, known: Workbooks) -> list[str]:
    """What of the job hangs on the cell, with amounts by tier; nothing where no job is there or it can't be priced."""
    from quotekit.problems import has_errors

    inputs = known.inputs
    if inputs.job is None:
        return ["Open a job, and do this again, to see which of its figures hang on this cell."]
    if inputs.book is None:
        return []
    if has_errors(known.problems):
        return ["What hangs on this cell is told when nothing is left to mend in the shop book and the job."]
    from quotekit.pricing import build_quote

    quote = build_quote(inputs.book, inputs.job)
    from quotekit.cli.answers.hangs_on import hanging_on

    return hanging_on(quote, place, MOST_FIGURES)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text[-1:] in '.?!' else '.'}"
