"""The first rows of a list, split into columns: by a separator, by places of fixed width, or from a sheet."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.suppliers.encodings import decide_encoding
from quotekit.suppliers.find_header import find_header, find_separator, first_lines, split_lines
from quotekit.suppliers.fixed_width import Cut, guess_cuts
from quotekit.suppliers.mapping import Kind
from quotekit.suppliers.open_list import ListFile, as_utf8
from quotekit.suppliers.sheet_columns import first_rows
from quotekit.workbook.list_rows import ListSheet, list_sheets

_HEAD, _ROWS, _SHEET_ROWS = 1 << 19, 400, 400
_FEWEST = 3


@record
class ListSample:
    """The first rows of a list, split, and what is known of the file."""

    kind: Kind
    records: Sequence[Sequence[str]]
    given: dict[str, object]
    reasons: dict[str, str]
    doubts: tuple[str, ...] = ()
    cuts: tuple[Cut, ...] = ()


def samples_of(opened: ListFile) -> tuple[list[ListSample], list[Problem]]:
    """The first rows of a list, in each way they may be meant, the likeliest first; or why there are none."""
    return _text_samples(opened) if opened.kind == "text" else _sheet_sample(opened)


def _text_samples(opened: ListFile) -> tuple[list[ListSample], list[Problem]]:
    """Parted by a separator, else of fixed width: commas in descriptions may part half of its lines."""
    encoding = decide_encoding(opened.data)
    if encoding is None:
        message = "it is neither text nor a workbook"
        return [], [error(Place(opened.file), "not-a-list", message, "Ask the supplier for a .csv or .xlsx.")]
    data, problems = as_utf8(opened, encoding.name)
    if data is None:  # a few bytes are spoiled: its columns can be guessed, reading it will name the line
        data = opened.data
    lines = first_lines(data, _HEAD)[:_ROWS]
    separated = find_separator(lines)
    given: dict[str, object] = {"encoding": encoding.name}
    reasons = {"encoding": encoding.reason}
    doubts = () if encoding.sure else (f"encoding: {encoding.reason}.",)
    fixed = _fixed_sample(lines, given, reasons, doubts)
    if separated is None:
        return [fixed], []
    sample = ListSample(
        kind="delimited",
        records=split_lines(lines, separated.separator),
        given=given | {"separator": separated.separator},
        reasons=reasons | {"separator": separated.reason},
        doubts=doubts,
    )
    return [sample, fixed], [replace(problem, severity="warning") for problem in problems]


def _fixed_sample(
    lines: Sequence[str],
    given: dict[str, object],
    reasons: dict[str, str],
    doubts: tuple[str, ...],
) -> ListSample:
    """Columns by blanks that go through nearly all lines below the header; titles have no digits, or stand above it."""
    lines = [line.lstrip("\f") for line in lines]
    header, why = find_header([re.split(r"\s{2,}", line.strip()) for line in lines])
    below = lines[header:] if why.startswith("it names") else lines
    body = _rows_of_table(lines, below)
    first = lines.index(body[0], len(lines) - len(below)) if body else 0
    above = next((line for line in reversed(lines[:first]) if line.strip()), "")
    cuts = guess_cuts(body, lines[header - 1] if len(below) < len(lines) else above)
    told = f"blanks go through nearly all of {len(body)} lines at the same places"
    return ListSample(
        kind="fixed width",
        records=[[cut.of(line) for cut in cuts] for line in lines],
        given=given,
        reasons=reasons | {"kind": told},
        doubts=(*doubts, "places: look at them in the list itself; a longer text may reach beyond its column."),
        cuts=cuts,
    )


def _rows_of_table(lines: Sequence[str], below: Sequence[str]) -> list[str]:
    """Lines with digits, without the headings of further pages; only those with decimals, where half of them have."""
    titles = {_without_digits(line) for line in lines[: len(lines) - len(below)]}
    digits = [line for line in below if any(map(str.isdigit, line)) and _without_digits(line) not in titles]
    decimals = [line for line in digits if re.search("[0-9][.,][0-9]{2}(?![0-9])", line)]
    return decimals if len(decimals) >= max(_FEWEST, len(digits) / 2) else digits


def _without_digits(line: str) -> str:
    return " ".join(re.sub("[0-9]", "", line).split())


def _sheet_sample(opened: ListFile) -> tuple[list[ListSample], list[Problem]]:
    """The sheet that says most of prices; where others hold rows too, that is a doubt."""
    sheets, problems = list_sheets(opened.file, opened.data, opened.kind)
    if not sheets:
        empty = error(Place(opened.file), "not-a-list", "the workbook has no sheet with cells", "Check the file.")
        return [], problems or [empty]
    best: tuple[tuple[int, ...], ListSheet, list[list[str]]] | None = None
    filled = []
    for sheet in sheets:
        records, found = first_rows(sheet, _SHEET_ROWS)
        problems += found
        rows = sum(any(row) for row in records)
        if rows < _FEWEST:
            continue
        filled.append(sheet.name)
        worth = _worth(sheet, records, rows)
        if best is None or worth > best[0]:
            best = (worth, sheet, records)
    if best is None or problems:
        empty = error(Place(opened.file), "not-a-list", "no sheet holds a table", "Check the file.")
        return [], problems or [empty]
    others = [name for name in filled if name != best[1].name]
    hold = "hold" if len(others) > 1 else "holds"
    doubts = (
        f"sheet: “{best[1].name}” is read; {', '.join(others)} {hold} rows too, and no list is read from several.",
    )
    told = "of those that are shown and name prices it has the most rows" if best[0][0] else "its header names the most"
    reasons = {"sheet": told if others else "it is the only one that holds rows"}
    kind: Kind = "ods" if opened.kind == "ods" else "xlsx"
    sample = ListSample(
        kind=kind, records=best[2], given={"sheet": best[1].name}, reasons=reasons, doubts=doubts if others else ()
    )
    return [sample], []


def _worth(sheet: ListSheet, records: Sequence[Sequence[str]], rows: int) -> tuple[int, ...]:
    """What speaks for a sheet, in this order: a number and a price in its header, being shown, rows, columns named.

    A sheet of accessories may name more columns than the list itself.
    """
    _, why = find_header(records)
    names = why.removeprefix("it names ").split(", ") if why.startswith("it names ") else []
    priced = "number" in names and not {"cost", "list_price", "a price"}.isdisjoint(names)
    return (1, int(not sheet.hidden), rows, len(names)) if priced else (0, len(names), int(not sheet.hidden), rows)
