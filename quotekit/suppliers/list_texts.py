"""A supplier's list as columns of text, one for each field its mapping names, with the row of each.

The header is looked for where the mapping says; where it stands elsewhere because a line was added above, it is found
by its words, and that is told. A column that is gone is a problem with the nearest header, never a column of blanks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from concurrent.futures import Future
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error, has_errors, warning
from quotekit.record import record
from quotekit.suppliers.delimited import Layout, TextColumns, read_delimited
from quotekit.suppliers.encodings import SHOWN_NAMES, decide_encoding, marked_encoding
from quotekit.suppliers.find_header import SEPARATORS, first_lines, split_lines
from quotekit.suppliers.fixed_width import read_fixed_width
from quotekit.suppliers.mapping import PriceMapping
from quotekit.suppliers.open_list import ListFile, as_utf8, open_list
from quotekit.suppliers.sheet_columns import first_rows, open_sheet, sheet_columns
from quotekit.workbook.addresses import MOST_COLUMNS
from quotekit.workbook.list_rows import ListSheet
from quotekit.workbook.names import nearest

if TYPE_CHECKING:
    import polars

AMOUNTS = ("cost", "list_price", "pack", "price_for")
_HEAD = 1 << 18
_LOOKED_AT = 60


@record
class ListTexts:
    """Columns named like the mapping's fields, `row` and `shape`; `headers` as they stand there."""

    file: str
    digest: Future[str]
    """The SHA-256 of the file, which may still be worked out."""

    frame: polars.DataFrame
    rows: int
    above: int
    headers: dict[str, str]
    read_as: tuple[str, ...]
    quotes_sound: bool = True
    several_lines: int = 0
    stored_numbers: int = 0
    """Supplier's numbers that a workbook holds as numbers, so that zeros before them are lost."""

    other_sheets: tuple[str, ...] = ()
    """Sheets with the same columns, which are not read."""


def read_list_texts(path: Path, mapping: PriceMapping) -> tuple[ListTexts | None, list[Problem]]:
    """The texts of a list, or what stands in the way."""
    opened, problems = open_list(path, mapping.member)
    if opened is None:
        return None, problems
    is_text = mapping.kind in ("delimited", "fixed width")
    if (opened.kind == "text") != is_text or (not is_text and opened.kind != mapping.kind):
        kind = "text" if opened.kind == "text" else f"a workbook ({opened.kind})"
        message = f"the mapping is for a list of kind {mapping.kind}, and this is {kind}"
        return None, [error(Place(path.name), "other-kind-of-list", message, "Make the mapping anew with --replace.")]
    if is_text:
        return _read_text(opened, mapping)
    return _read_workbook(opened, mapping)


def _read_text(opened: ListFile, mapping: PriceMapping) -> tuple[ListTexts | None, list[Problem]]:
    data, problems = as_utf8(opened, mapping.encoding)
    if data is None:
        return None, problems
    used = marked_encoding(opened.data) or mapping.encoding
    problems = _doubtful_encoding(opened, used)
    said = f"written in {SHOWN_NAMES.get(used, used)}"
    if mapping.kind == "fixed width":
        cuts = list(mapping.places.values())
        columns = read_fixed_width(data, cuts, mapping.header_row)
        line = "".join(first_lines(data, _HEAD)[mapping.header_row - 1 : mapping.header_row])
        headers = {name: cut.of(line) for name, cut in mapping.places.items()}
        fields = {name: at for at, name in enumerate(mapping.places)}
        texts = _named(opened, columns, fields, mapping.header_row, headers)
        return _told(texts, said, "columns of fixed width"), problems
    records = split_lines(first_lines(data, _HEAD), mapping.separator)
    above, places, found = locate_columns(Place(opened.file), records, mapping)
    problems += found
    if places is None:
        return None, problems
    width = max(_width(records, above), max(places.values()) + 1, 2)
    layout = Layout(separator=mapping.separator, quoted=mapping.quotes, fields=width, above=above)
    columns = read_delimited(data, layout, list(places.values()))
    headers = _headers(records, above, places)
    shown = {"\t": "tabs", ",": "commas", ";": "semicolons", "|": "bars"}.get(mapping.separator, mapping.separator)
    return _told(_named(opened, columns, places, above, headers), said, f"parted by {shown}"), problems


def _read_workbook(opened: ListFile, mapping: PriceMapping) -> tuple[ListTexts | None, list[Problem]]:
    sheet, others, problems = open_sheet(opened.file, opened.data, opened.kind, mapping.sheet)
    if sheet is None:
        return None, problems
    records, problems = first_rows(sheet, _LOOKED_AT)
    above, places, found = locate_columns(Place(opened.file, sheet.name), records, mapping)
    problems += found
    if places is None or has_errors(problems):
        return None, problems
    amounts = {places[name] for name in AMOUNTS if name in places}
    read = sheet_columns(opened.file, sheet, above, list(places.values()), amounts, mapping.style.decimal_mark)
    texts = _named(opened, read.columns, places, above, _headers(records, above, places))
    problems += read.problems
    told = _told(texts, f"sheet {sheet.name} of an {opened.kind} workbook")
    alike = tuple(other.name for other in others if above and _has_columns(other, mapping))
    return replace(told, stored_numbers=read.stored_numbers, other_sheets=alike), problems


def _has_columns(sheet: ListSheet, mapping: PriceMapping) -> bool:
    """Whether one of a sheet's first rows has the headers of the mapping."""
    return any(not _missing(_trimmed(each), mapping) for each in first_rows(sheet, _LOOKED_AT)[0])


def _headers(records: Sequence[Sequence[str]], above: int, places: dict[str, int]) -> dict[str, str]:
    header = records[above - 1] if 0 < above <= len(records) else []
    return {name: header[at] if at < len(header) else "" for name, at in places.items()}


def _width(records: Sequence[Sequence[str]], above: int) -> int:
    """Fields of the table: as many as most rows have; where no number is that of most, as the header has."""
    widths = Counter(len(each) for each in records[above:] if any(each))
    fields, rows = widths.most_common(1)[0] if widths else (0, 0)
    return fields if 2 * rows > widths.total() or not 0 < above <= len(records) else len(records[above - 1])


def _told(texts: ListTexts, *said: str) -> ListTexts:
    return replace(texts, read_as=said)


def _named(
    opened: ListFile, columns: TextColumns, places: dict[str, int], above: int, headers: dict[str, str]
) -> ListTexts:
    """Columns under the names of their fields."""
    import polars as pl

    frame = columns.frame.select(
        *(pl.col(f"column_{at}").alias(name) for name, at in places.items()),
        *(name for name in columns.frame.columns if not name.startswith("column_")),
    )
    return ListTexts(
        file=opened.file,
        digest=opened.digest,
        frame=frame,
        rows=columns.rows,
        above=min(above, columns.rows),
        headers=headers,
        read_as=(),
        quotes_sound=columns.quotes_sound,
        several_lines=columns.several_lines,
    )


def _doubtful_encoding(opened: ListFile, used: str) -> list[Problem]:
    """A list that was in one encoding last year may be in another today."""
    if opened.plain or marked_encoding(opened.data):
        return []
    found = decide_encoding(opened.data)
    if found is None or not found.sure or found.name == used or _reads_alike(opened.data, found.name, used):
        return []
    message = f"the mapping says {SHOWN_NAMES.get(used, used)}, but it looks like {found.shown}: {found.reason}"
    remedy = "Write the right encoding in the mapping; numbers and amounts read the same in both."
    return [warning(Place(opened.file), "encoding-changed", message, remedy)]


def _reads_alike(data: bytes, one: str, other: str) -> bool:
    """Whether two encodings give the same text, as far as the other characters of the first part tell."""
    some = data[: 1 << 20]
    return some.decode(one, errors="replace") == some.decode(other, errors="replace")


def locate_columns(
    place: Place, records: Sequence[Sequence[str]], mapping: PriceMapping
) -> tuple[int, dict[str, int] | None, list[Problem]]:
    """The header's row and the place of each mapped column, or what is missing."""
    problems: list[Problem] = []
    row = mapping.header_row
    header = _trimmed(records[row - 1]) if 0 < row <= len(records) else []
    missing = _missing(header, mapping)
    if missing and row:
        moved = next(
            (at for at, each in enumerate(records[:_LOOKED_AT], 1) if not _missing(_trimmed(each), mapping)), 0
        )
        if moved:
            message = f"the header stands in row {moved}, not in row {row} as the mapping says"
            problems.append(warning(place, "header-moved", message, f"Write header_row = {moved} in the mapping."))
            row, header, missing = moved, _trimmed(records[moved - 1]), []
    parted = not _unparted(records[row - 1 : row], mapping)
    problems += [_column_missing(place, row, name, header, parted=parted) for name in missing]
    problems += _beyond(place, records, mapping)
    places: dict[str, int] = {}
    for field, name in mapping.columns.items():
        at = named_place(name)
        if at is None and header.count(header_key(name)) > 1:
            message = f"two columns are headed “{name}”"
            remedy = f'Name the right one by its place: {field} = "column {header.index(header_key(name)) + 1}".'
            problems.append(error(place, "list-column-twice", message, remedy))
        places[field] = at if at is not None else header.index(header_key(name)) if header_key(name) in header else 0
    failed = any(problem.severity == "error" for problem in problems)
    return row, None if failed else places, problems


def _trimmed(record_: Sequence[str]) -> list[str]:
    return [header_key(text) for text in record_]


def header_key(text: str) -> str:
    """The form in which headers are compared.

    >>> header_key(" Net\\nPrice")
    'net price'
    """
    return " ".join(text.split()).casefold()


def named_place(name: str) -> int | None:
    """The column that `column 3` names, from 0; None where a text names a header.

    >>> named_place("column 3"), named_place("Column price")
    (2, None)
    """
    word, _, number = name.partition(" ")
    sound = word.casefold() == "column" and number.isascii() and number.isdigit() and len(number) <= 5
    return int(number) - 1 if sound and 1 <= int(number) <= MOST_COLUMNS else None


def _missing(header: Sequence[str], mapping: PriceMapping) -> list[str]:
    return [name for name in mapping.columns.values() if named_place(name) is None and header_key(name) not in header]


def _beyond(place: Place, records: Sequence[Sequence[str]], mapping: PriceMapping) -> list[Problem]:
    """Columns named by a place that none of the first rows reaches: without them nothing counts, or all is blank."""
    widest = max(map(len, records), default=0)
    found = []
    for field, name in mapping.columns.items():
        if (named_place(name) or 0) >= widest > 0:
            told = error if field in ("number", "cost") else warning
            message = f"{field} is in {name}, and the first rows have {widest} columns"
            found.append(told(place, "list-column-missing", message, "Write its header or its place in the mapping."))
    return found


def _unparted(rows: Sequence[Sequence[str]], mapping: PriceMapping) -> bool:
    """Whether the header is one field that another separator would part."""
    alone = mapping.kind == "delimited" and len(rows) == 1 and len(rows[0]) == 1
    return alone and any(mark in rows[0][0] for mark in SEPARATORS)


def _column_missing(place: Place, row: int, name: str, header: Sequence[str], *, parted: bool) -> Problem:
    near = nearest(name, [text for text in header if text])
    there = f"Did you mean “{near}”? " if near else ""
    where = f"row {row}" if row else "the list, whose header_row is 0"
    message = f"no column of {where} is headed “{name}”"
    if not parted:
        remedy = "The separator in the mapping does not part that row: write the right one."
        return error(place, "list-column-missing", message, remedy)
    return error(place, "list-column-missing", message, f"{there}Write its header of today in the mapping.")
