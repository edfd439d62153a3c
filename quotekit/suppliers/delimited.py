"""A delimited list as columns of text, with the number and the shape of every record.

Records with the table's number of fields are split by polars, all others one by one, as a spreadsheet would split them.
Where quotes are not as they should be (an inch mark at the start of a field), the whole list is split record by record:
with quotes, or without, whichever gives more records their number of fields.
A record's number is the row in which a spreadsheet would show it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from quotekit.record import record
from quotekit.suppliers.record_scan import Scanned, records_at, scan_records

if TYPE_CHECKING:
    import polars

REGULAR, SHORT, LONG, BLANK = 0, 1, 2, 3
"""Shapes: as many fields as the table, fewer, more, none that holds anything."""

ROW, SHAPE = "row", "shape"
_CHUNK = 50_000
_MOST_ODD = 0.2
_LARGE = 1 << 22
_LONGEST_FIELD = (1 << 31) - 1


@record
class Layout:
    """How a text is split: separator, whether quotes count, fields of a record, rows above the first one wanted."""

    separator: str
    quoted: bool
    fields: int
    above: int = 0


@record
class TextColumns:
    """Columns of text by place (`column_0` on) with `row` and `shape`; `several_lines` rows hold line ends."""

    frame: polars.DataFrame
    rows: int
    quotes_sound: bool = True
    several_lines: int = 0


def read_delimited(data: bytes, layout: Layout, places: Sequence[int]) -> TextColumns:
    """The columns at some places (from 0) of UTF-8 bytes whose line ends are `\\n` or `\\r\\n`."""
    scanned, split = _scanned_and_split(data, layout, places)
    if not scanned.sound and not _opens_any(data, layout.separator):
        plain = read_delimited(data, replace(layout, quoted=False), places)
        return replace(plain, quotes_sound=False)
    if scanned.sound:
        found = _split_quickly(data, scanned, layout, places, split)
        if found is not None:
            return TextColumns(frame=found, rows=scanned.count, several_lines=scanned.lines_within)
    return _split_slowly(data, layout, places, sound=scanned.sound)


def _scanned_and_split(data: bytes, layout: Layout, places: Sequence[int]) -> tuple[Scanned, polars.DataFrame | None]:
    """The scan and, of a large list, what the library makes of it meanwhile; that counts only if nothing is odd."""
    if len(data) < _LARGE:
        return scan_records(data, layout.separator, quoted=layout.quoted), None
    with ThreadPoolExecutor(1) as beside:  # both let the other run for most of their time
        scanning = beside.submit(scan_records, data, layout.separator, quoted=layout.quoted)
        split = _parse(data, layout, places, above=layout.above)
        return scanning.result(), split


def _opens_any(data: bytes, separator: str) -> bool:
    """Whether a quote stands where a field begins; where none does, all are inches and the like."""
    return data.startswith(b'"') or f'{separator}"'.encode() in data or b'\n"' in data


def _split_quickly(
    data: bytes, scanned: Scanned, layout: Layout, places: Sequence[int], split: polars.DataFrame | None
) -> polars.DataFrame | None:
    """None where too much is odd, or the library counts otherwise; `split` is what it made of all the bytes."""
    import numpy as np

    if scanned.count <= layout.above:
        return framed([], places)
    odd = np.flatnonzero(scanned.separators != layout.fields - 1)
    odd = odd[odd >= layout.above]
    regular = scanned.count - layout.above - odd.size
    if odd.size > _MOST_ODD * scanned.count + 100:
        return None
    rows = np.arange(layout.above, scanned.count, dtype=np.uint32)
    rows = np.delete(rows, odd - layout.above) if odd.size else rows
    plain_above = not odd.size and b'"' not in data[: int(scanned.ends[layout.above - 1]) if layout.above else 0]
    if plain_above:
        frame = split if split is not None else _parse(data, layout, places, above=layout.above)
    else:
        frame = _parse(_joined(data, scanned, odd, layout.above), layout, places)
    if frame is None or frame.height != regular:
        return None
    frame = with_rows(frame, rows + 1, REGULAR)
    records = (fields_of(piece.decode(), layout) for piece in records_at(data, scanned, odd))
    rest = [framed(chunk, places) for chunk in shaped(zip((odd + 1).tolist(), records, strict=True), layout, places)]
    import polars as pl

    return pl.concat([frame, *rest]).sort(ROW) if rest else frame


def _joined(data: bytes, scanned: Scanned, odd: Any, above: int) -> bytes:
    """The bytes of all records from `above` on but the odd ones."""
    start = int(scanned.ends[above - 1]) if above else 0
    if not odd.size:
        return data[start:] if start else data
    pieces = []
    for place in odd.tolist():
        begin = int(scanned.ends[place - 1]) if place else 0
        pieces.append(data[start:begin])
        start = int(scanned.ends[place])
    return b"".join([*pieces, data[start:]])


def _parse(data: bytes, layout: Layout, places: Sequence[int], *, above: int = 0) -> polars.DataFrame | None:
    import polars as pl

    wanted = sorted(set(places))
    names = {f"column_{place}": pl.String for place in range(layout.fields)}
    if not data:
        return pl.DataFrame(schema={f"column_{place}": pl.String for place in wanted})
    try:
        found: polars.DataFrame = pl.read_csv(
            data,
            has_header=False,
            skip_lines=above,
            separator=layout.separator,
            quote_char='"' if layout.quoted else None,
            schema=names,
            columns=wanted,
            infer_schema=False,
            empty_string_is_null=False,
            missing_columns="insert",
        )
    except pl.exceptions.PolarsError:
        return None
    return found


def with_rows(frame: polars.DataFrame, rows: Any, shape: int) -> polars.DataFrame:
    """Columns with the number of each row and their one shape."""
    import polars as pl

    return frame.with_columns(pl.Series(ROW, rows, dtype=pl.UInt32), pl.lit(shape, dtype=pl.UInt8).alias(SHAPE))


def fields_of(text: str, layout: Layout) -> list[str]:
    """The fields of one record; one that is too long to be a row of a list stays whole."""
    try:
        return next(_reader(io.StringIO(text, newline=""), layout), [])
    except csv.Error:
        return [text]


def _reader(lines: Iterable[str], layout: Layout) -> Iterator[list[str]]:
    csv.field_size_limit(_LONGEST_FIELD)  # of the whole program; the usual 131,072 would leave out what is longer
    if layout.quoted:
        return csv.reader(lines, delimiter=layout.separator)
    return csv.reader(lines, delimiter=layout.separator, quoting=csv.QUOTE_NONE)


def shaped(
    records: Iterable[tuple[int, list[str]]], layout: Layout, places: Sequence[int]
) -> Iterator[list[tuple[int, int, list[str]]]]:
    """Records in chunks: row, shape, and the wanted fields, blank where a record is too short."""
    wanted = sorted(set(places))
    chunk: list[tuple[int, int, list[str]]] = []
    for row, fields in records:
        chunk.append((row, _shape(fields, layout.fields), [fields[at] if at < len(fields) else "" for at in wanted]))
        if len(chunk) >= _CHUNK:
            yield chunk
            chunk = []
    if chunk:
        yield chunk


def _shape(fields: list[str], expected: int) -> int:
    if not any(field and not field.isspace() for field in fields):
        return BLANK
    if len(fields) < expected:
        return SHORT
    return LONG if len(fields) > expected else REGULAR


def framed(chunk: list[tuple[int, int, list[str]]], places: Sequence[int]) -> polars.DataFrame:
    """A chunk of shaped records as columns."""
    import polars as pl

    wanted = sorted(set(places))
    columns = {
        f"column_{place}": pl.Series([fields[at] for _, _, fields in chunk], dtype=pl.String)
        for at, place in enumerate(wanted)
    }
    return pl.DataFrame(
        {
            **columns,
            ROW: pl.Series([row for row, _, _ in chunk], dtype=pl.UInt32),
            SHAPE: pl.Series([shape for _, shape, _ in chunk], dtype=pl.UInt8),
        }
    )


def _split_slowly(data: bytes, layout: Layout, places: Sequence[int], *, sound: bool) -> TextColumns:
    """Record by record: with quotes and, where these are wrong, without, whichever fits the table better."""
    best = _read_each(data, layout, places)
    if not sound and layout.quoted:
        plain = _read_each(data, replace(layout, quoted=False), places)
        if best is None or (plain is not None and _regular(plain) > _regular(best)):
            best = plain
    if best is None:
        best = TextColumns(frame=framed([], places), rows=0)
    return replace(best, quotes_sound=sound)


def _regular(columns: TextColumns) -> int:
    return int((columns.frame[SHAPE] == REGULAR).sum())


def _read_each(data: bytes, layout: Layout, places: Sequence[int]) -> TextColumns | None:
    lines = io.TextIOWrapper(io.BytesIO(data), encoding="utf-8", newline="")
    reader = _reader(lines, layout)
    rows = several = 0

    def records() -> Iterator[tuple[int, list[str]]]:
        nonlocal rows, several
        for rows, fields in enumerate(reader, start=1):
            if rows > layout.above:
                several += any("\n" in field for field in fields)
                yield rows, fields

    try:
        frames = [framed(chunk, places) for chunk in shaped(records(), layout, places)]
    except csv.Error:
        return None
    import polars as pl

    whole = pl.concat(frames) if frames else framed([], places)
    return TextColumns(frame=whole, rows=rows, several_lines=several)
