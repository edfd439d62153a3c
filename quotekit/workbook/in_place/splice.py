"""A sheet's bytes with some cells changed: pieces of bytes put in place of others, everything between left alone.

A cell keeps its tag, its style and all that it holds beside its value; only `t` follows the new kind. A cell that is
not there yet is made where it belongs, with the style of its row or column, and its row too; `spans` of the row and
`dimension` of the sheet are widened where they would no longer be true.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Mapping

from quotekit.documents.column_letters import column_letters
from quotekit.workbook.addresses import Position, address
from quotekit.workbook.in_place.contents import Content, stored_text, text_xml
from quotekit.workbook.in_place.spans import CellSpan, Rectangle, RowSpan, SheetCells, Span, rectangle_of

Pieces = list[tuple[Span, bytes]]
"""What goes in place of which bytes."""

_ATTRIBUTE = re.compile(rb"\s+([^\s=]+)\s*=\s*(?:\"[^\"]*\"|'[^']*')")
_CELL = re.compile(rb"<([^\s/>]*?)c[\s/>]")
_TYPES = {"number": "", "text": "inlineStr", "boolean": "b", "error": "e", "day": "d", "none": ""}


def with_cells(cells: SheetCells, new: Mapping[Position, Content], results: Mapping[Position, Content]) -> bytes:
    """The sheet with the content of some cells and the stored results of others as given."""
    pieces: Pieces = []
    for at, content in sorted(results.items()):
        pieces += _with_result(cells, cells.cells[at], content)
    missing: dict[int, dict[int, Content]] = {}
    for at, content in sorted(new.items()):
        if at in cells.cells:
            pieces += _with_content(cells, cells.cells[at], content)
        elif content.kind != "none":
            missing.setdefault(at[0], {})[at[1]] = content
    pieces += _with_rows(cells, missing)
    pieces += _with_dimension(cells, missing)
    return put_in(cells.data, pieces)


def put_in(data: bytes, pieces: Pieces) -> bytes:
    """The bytes with the pieces in place; two at one spot stay in their order.

    >>> put_in(b"abcd", [(Span(3, 3), b"-"), (Span(1, 2), b"B"), (Span(3, 3), b"+")])
    b'aBc-+d'
    """
    made, position = [], 0
    for span, piece in sorted(pieces, key=lambda one: one[0]):
        if span.start < position:
            raise ValueError("two changes of the same bytes")
        made += [data[position : span.start], piece]
        position = span.end
    return b"".join([*made, data[position:]])


def with_attribute(tag: bytes, name: str, value: str) -> bytes:
    """A tag with an attribute as given, where it stood or at the end; no value takes it away.

    >>> with_attribute(b'<c r="A1" t="s"/>', "t", ""), with_attribute(b'<c r="A1"  t = "s">', "t", "b")
    (b'<c r="A1"/>', b'<c r="A1" t="b">')
    >>> with_attribute(b'<c r="A1"/>', "t", "e")
    b'<c r="A1" t="e"/>'
    """
    made = f' {name}="{value}"'.encode() if value else b""
    for match in _ATTRIBUTE.finditer(tag):
        if match[1] == name.encode():
            return tag[: match.start()] + made + tag[match.end() :]
    end = len(tag) - (2 if tag.endswith(b"/>") else 1)
    end = len(tag[:end].rstrip())
    return tag[:end] + made + tag[end:]


def written(prefix: str, content: Content) -> str:
    """The elements that hold a content.

    >>> written("", Content(kind="number", text="21.5")), written("x:", Content(kind="text", text="a"))
    ('<v>21.5</v>', '<x:is><x:t xml:space="preserve">a</x:t></x:is>')
    """
    if content.kind == "none":
        return ""
    if content.kind == "text":
        return f"<{prefix}is>{content.rich or text_xml(content.text, prefix)}</{prefix}is>"
    return f"<{prefix}v>{stored_text(content.text)}</{prefix}v>"


def _with_content(cells: SheetCells, cell: CellSpan, content: Content) -> Pieces:
    """A cell that is there, with another content; what it holds beside its value stays."""
    tag = cells.data[cell.start : cell.opened]
    prefix = _prefix(tag)
    made = written(prefix, content).encode()
    changed = with_attribute(tag, "t", _TYPES[content.kind])
    if cell.end == cell.opened:
        return [(Span(cell.start, cell.end), _closed(changed, prefix, made))]
    pieces: Pieces = [(Span(cell.start, cell.opened), changed)] if changed != tag else []
    if not cell.inside:
        return [*pieces, (Span(cell.opened, cell.opened), made)]
    first, *others = cell.inside
    return [*pieces, (first, made), *((one, b"") for one in others)]


def _prefix(tag: bytes) -> str:
    """The prefix of a cell's own tag, with its colon."""
    return (_CELL.match(tag) or [b"", b""])[1].decode()


def _closed(tag: bytes, prefix: str, inside: bytes) -> bytes:
    """An empty cell's tag, with something in the cell."""
    return tag if not inside else tag[:-2].rstrip() + b">" + inside + f"</{prefix}c>".encode()


def _with_result(cells: SheetCells, cell: CellSpan, content: Content) -> Pieces:
    """A calculated cell with another stored result, or none; its formula stays."""
    kind = {"text": "str", "none": ""}.get(content.kind, _TYPES[content.kind])
    tag = cells.data[cell.start : cell.opened]
    changed = with_attribute(with_attribute(tag, "t", kind), "vm", "")
    prefix = _prefix(tag)
    made = b""
    if content.kind != "none":
        made = f"<{prefix}v>{stored_text(content.text)}</{prefix}v>".encode()
    if cell.end == cell.opened:
        return [(Span(cell.start, cell.end), _closed(changed, prefix, made))]
    pieces: Pieces = [(Span(cell.start, cell.opened), changed)] if changed != tag else []
    values = [one for one in cell.inside if one != cell.formula_span]
    if values:
        return [*pieces, (values[0], made), *((one, b"") for one in values[1:])]
    after = cell.formula_span.end if cell.formula_span else cell.opened
    return [*pieces, (Span(after, after), made)] if made else pieces


def _with_rows(cells: SheetCells, missing: Mapping[int, Mapping[int, Content]]) -> Pieces:
    """Cells that are not there yet, in rows that are or are not."""
    pieces: Pieces = []
    opens = cells.data[cells.table_tag.start : cells.table_tag.end].endswith(b"/>")
    for number, contents in sorted(missing.items()):
        row = cells.rows.get(number)
        if row is not None:
            pieces += _in_row(cells, row, contents)
            continue
        inside = "".join(_new_cell(cells, number, column, one) for column, one in sorted(contents.items()))
        made = f'<{cells.prefix}row r="{number}">{inside}</{cells.prefix}row>'.encode()
        place = bisect_left(cells.row_starts, (number, 0))
        at = cells.row_starts[place][1] if place < len(cells.row_starts) else cells.table.end
        pieces.append((Span(at, at), made))
    if opens and pieces:
        tag = cells.data[cells.table_tag.start : cells.table_tag.end - 2].rstrip() + b">"
        made_all = b"".join(piece for _, piece in pieces) + f"</{cells.prefix}sheetData>".encode()
        return [(cells.table_tag, tag + made_all)]
    return pieces


def _in_row(cells: SheetCells, row: RowSpan, contents: Mapping[int, Content]) -> Pieces:
    """New cells of a row that is there."""
    tag = cells.data[row.start : row.opened]
    changed = _spanned(tag, row.attributes.get("spans", ""), min(contents), max(contents))
    made = {column: _new_cell(cells, row.number, column, one, row) for column, one in sorted(contents.items())}
    if tag.endswith(b"/>"):
        inside = "".join(made.values()).encode()
        whole = changed[:-2].rstrip() + b">" + inside + f"</{cells.prefix}row>".encode()
        return [(Span(row.start, row.opened), whole)]
    pieces: Pieces = [(Span(row.start, row.opened), changed)] if changed != tag else []
    for column, text in made.items():
        place = bisect_left(row.cells, (column, 0))
        at = row.cells[place][1] if place < len(row.cells) else row.closing
        pieces.append((Span(at, at), text.encode()))
    return pieces


def _new_cell(cells: SheetCells, number: int, column: int, content: Content, row: RowSpan | None = None) -> str:
    style = _style_of_row(row) or _style_of_column(cells, column)
    kind = _TYPES[content.kind]
    attributes = (f' s="{style}"' if style else "") + (f' t="{kind}"' if kind else "")
    inside = written(cells.prefix, content)
    return f'<{cells.prefix}c r="{address(number, column)}"{attributes}>{inside}</{cells.prefix}c>'


def style_of_new(cells: SheetCells, at: Position) -> str:
    """The style a cell would have that is not there yet; empty for the plain one."""
    return _style_of_row(cells.rows.get(at[0])) or _style_of_column(cells, at[1])


def _style_of_row(row: RowSpan | None) -> str:
    """A row's own style, which counts where it says that it has one."""
    attributes = row.attributes if row is not None else {}
    style = attributes.get("s", "")
    return style if attributes.get("customFormat") in ("1", "true") and style.isdecimal() else ""


def _style_of_column(cells: SheetCells, column: int) -> str:
    for name, attributes, _ in cells.around:
        low, high, style = (attributes.get(one, "") for one in ("min", "max", "style"))
        if name == "col" and low.isdecimal() and high.isdecimal() and int(low) <= column <= int(high):
            return style if style.isdecimal() and style != "0" else ""
    return ""


def _spanned(tag: bytes, spans: str, low: int, high: int) -> bytes:
    """A row's tag whose `spans`, where it has any, reach over the new cells."""
    ends = [end for one in spans.split() for end in one.split(":")]
    if not ends or not all(end.isdecimal() for end in ends):
        return tag
    known = [tuple(map(int, one.split(":"))) for one in spans.split()]
    if all(any(one[0] <= column <= one[-1] for one in known) for column in (low, high)):
        return tag
    numbers = [*map(int, ends), low, high]
    return with_attribute(tag, "spans", f"{min(numbers)}:{max(numbers)}")


def _with_dimension(cells: SheetCells, missing: Mapping[int, Mapping[int, Content]]) -> Pieces:
    """The sheet's used area, widened over the new cells."""
    places = [(row, column) for row, columns in missing.items() for column in columns]
    found = next((one for one in cells.around if one[0] == "dimension"), None)
    area = rectangle_of(found[1].get("ref", "")) if found else None
    if found is None or area is None or all(area.holds(at) for at in places):
        return []
    rows, columns = zip(*places, strict=True)
    wide = Rectangle(min(area.top, *rows), min(area.left, *columns), max(area.bottom, *rows), max(area.right, *columns))
    if not cells.row_starts:
        wide = Rectangle(min(rows), min(columns), max(rows), max(columns))
    text = f"{column_letters(wide.left)}{wide.top}:{column_letters(wide.right)}{wide.bottom}"
    return [(found[2], with_attribute(cells.data[found[2].start : found[2].end], "ref", text))]
