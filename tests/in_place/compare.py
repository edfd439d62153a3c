"""What differs between a workbook before and after, found without the code under test: zipfile, ElementTree, re.

Members are compared by the bytes of the file that hold them, heads and descriptors too. Sheets are compared tag by tag
with the changed cells left out, and once more as trees.
"""

from __future__ import annotations

import io
import re
import struct
import zipfile
from collections.abc import Collection, Iterator, Mapping
from typing import NamedTuple
from xml.etree import ElementTree

Where = tuple[str, str]
"""Sheet part and cell."""

_PIECE = re.compile(rb"<!\[CDATA\[.*?\]\]>|<!--.*?-->|<[^>]*>|[^<]+", re.DOTALL)
_LETTERS = re.compile(r"([A-Z]+)([0-9]+)")


class Found(NamedTuple):
    """What a cell says as another reader sees it, and the rest of it."""

    kind: str
    value: str | None
    formula: str | None
    others: str
    """Its other attributes and children, as text."""


def collateral(before: bytes, after: bytes, changed: Collection[Where], calculated: Collection[Where]) -> list[str]:
    """All that differs beside the changed cells and the results of the calculated ones."""
    parts = {part for part, _ in (*changed, *calculated)}
    return [*_members(before, after, parts), *_sheets(before, after, changed, calculated, parts)]


def _members(before: bytes, after: bytes, parts: Collection[str]) -> Iterator[str]:
    """Differences of the zip: order, heads, packed bytes, comments, entries."""
    with zipfile.ZipFile(io.BytesIO(before)) as one, zipfile.ZipFile(io.BytesIO(after)) as other:
        if other.testzip() is not None:
            yield f"damaged: {other.testzip()}"
        names, others = one.namelist(), other.namelist()
        if names != others or one.comment != other.comment:
            yield f"members or comment: {names} {others}"
            return
        firsts, seconds = _stretches(before, one), _stretches(after, other)
        if [*firsts] != [*seconds]:
            yield "order of the members in the file"
        for first, second in zip(one.infolist(), other.infolist(), strict=True):
            name = first.filename
            kept = ("date_time", "compress_type", "comment", "create_system", "create_version", "extract_version")
            kept += ("flag_bits", "internal_attr", "external_attr", "volume")
            if any(getattr(first, field) != getattr(second, field) for field in kept):
                yield f"entry of {name}"
            if len(first.extra) != len(second.extra):
                yield f"extra fields of {name}"
            if firsts[name] == seconds[name]:
                continue
            if name == "xl/workbook.xml" and _only_asks(one.read(name), other.read(name)):
                continue
            if name not in parts:
                yield f"bytes of {name}"


def _only_asks(before: bytes, after: bytes) -> bool:
    """True where the workbook part asks to be worked out and is else the same."""
    asks = rb'\sfullCalcOnLoad="[^"]*"|<(?:\w+:)?calcPr fullCalcOnLoad="1"/>'
    return b'fullCalcOnLoad="1"' in after and re.sub(asks, b"", before) == re.sub(asks, b"", after)


def _stretches(data: bytes, package: zipfile.ZipFile) -> dict[str, bytes]:
    """Each member with its head and descriptor, by name in the order of the file."""
    infos = sorted(package.infolist(), key=lambda info: info.header_offset)
    ends = [*(info.header_offset for info in infos[1:]), package.start_dir]
    return {info.filename: data[info.header_offset : end] for info, end in zip(infos, ends, strict=True)}


def local_extra(data: bytes, info: zipfile.ZipInfo) -> bytes:
    """The extra fields in a member's own head."""
    name, extra = struct.unpack_from("<HH", data, info.header_offset + 26)
    return data[info.header_offset + 30 + name :][:extra]


def _sheets(
    before: bytes, after: bytes, changed: Collection[Where], calculated: Collection[Where], parts: Collection[str]
) -> Iterator[str]:
    for part in sorted(parts):
        with zipfile.ZipFile(io.BytesIO(before)) as one, zipfile.ZipFile(io.BytesIO(after)) as other:
            first, second = one.read(part), other.read(part)
        typed = {cell for of, cell in changed if of == part}
        worked = {cell for of, cell in calculated if of == part}
        if pieces_without(first, typed, worked) != pieces_without(second, typed, worked):
            yield f"pieces of {part}: {_first_difference(first, second, typed, worked)}"
        yield from _cells(part, cells_of(first), cells_of(second), typed, worked)
        if _around(first) != _around(second):
            yield f"what is around the cells of {part}"


def _first_difference(first: bytes, second: bytes, typed: Collection[str], worked: Collection[str]) -> str:
    one, other = pieces_without(first, typed, worked), pieces_without(second, typed, worked)
    for left, right in zip(one, other, strict=False):
        if left != right:
            return f"{left[:90]!r} {right[:90]!r}"
    return f"{len(one)} {len(other)} pieces"


def pieces_without(data: bytes, typed: Collection[str], worked: Collection[str]) -> list[bytes]:
    """A sheet as pieces of markup and text, without the cells that may differ and the places that tell of them."""
    kept: list[bytes] = []
    row = column = 0
    leaving = ""
    for piece in _PIECE.findall(data):
        local = re.match(rb"<(?:[\w.-]+:)?([\w]+)", piece)
        name = local[1].decode() if local else ""
        if leaving:
            leaving = "" if re.match(rb"</(?:[\w.-]+:)?c\s*>", piece) else leaving
            continue
        if name == "row":
            row, column = _number(piece, row + 1), 0
            kept.append(re.sub(rb'\s+spans="[^"]*"', b"", piece).replace(b"/>", b">").replace(b" >", b">"))
            if piece.endswith(b"/>"):
                kept.append(b"</row>")
        elif name == "c":
            cell, column = _cell(piece, row, column)
            if cell in typed or cell in worked:
                leaving = "" if piece.endswith(b"/>") else cell
            else:
                kept.append(piece)
        elif re.match(rb"</(?:[\w.-]+:)?row", piece):
            kept.append(b"</row>")
        elif name == "dimension":
            kept.append(re.sub(rb'ref="[^"]*"', b"", piece))
        elif name == "sheetData" and piece.endswith(b"/>"):
            kept += [piece[:-2].rstrip() + b">", b"</sheetData>"]
        elif re.match(rb"</(?:[\w.-]+:)?sheetData", piece):
            kept.append(b"</sheetData>")
        else:
            kept.append(piece)
    return _without_made_rows(kept)


def _without_made_rows(pieces: list[bytes]) -> list[bytes]:
    """Without rows that hold nothing and say nothing but their number: rows that were made for a cell."""
    kept: list[bytes] = []
    for piece in pieces:
        if piece == b"</row>" and kept and re.fullmatch(rb'<(?:[\w.-]+:)?row(?:\s+r="\d+")?>', kept[-1]):
            kept.pop()
        else:
            kept.append(piece)
    return kept


def _number(tag: bytes, otherwise: int) -> int:
    match = re.search(rb'\sr="(\d+)"', tag)
    return int(match[1]) if match else otherwise


def _cell(tag: bytes, row: int, column: int) -> tuple[str, int]:
    match = re.search(rb'\sr="([A-Z]+)(\d+)"', tag)
    if match:
        number = 0
        for letter in match[1].decode():
            number = number * 26 + ord(letter) - 64
        return f"{match[1].decode()}{match[2].decode()}", number
    return f"{letters(column + 1)}{row}", column + 1


def letters(column: int) -> str:
    """The letters of a column."""
    found = ""
    while column:
        column, rest = divmod(column - 1, 26)
        found = chr(65 + rest) + found
    return found


def cells_of(data: bytes) -> dict[str, Found]:
    """Every cell of a sheet, by address, those that hold nothing and have no style of their own left out."""
    found: dict[str, Found] = {}
    row = 0
    for line in _table(ElementTree.fromstring(data)):
        row, column = int(line.get("r") or row + 1), 0
        for cell in line:
            if _local(cell) != "c":
                continue
            match = _LETTERS.fullmatch(cell.get("r") or f"{letters(column + 1)}{row}")
            assert match is not None
            column = 0
            for letter in match[1]:
                column = column * 26 + ord(letter) - 64
            found[match[0]] = _found(cell)
    return found


def _found(cell: ElementTree.Element) -> Found:
    kind, value, formula = cell.get("t", "n"), None, None
    others = [f"{name}={one}" for name, one in sorted(cell.attrib.items()) if name not in ("t", "vm")]
    for child in cell:
        if _local(child) == "v":
            value = child.text or ""
        elif _local(child) == "f":
            formula = ElementTree.tostring(child, encoding="unicode").strip()
        elif _local(child) == "is":
            value = "".join(one.text or "" for one in child.iter() if _local(one) == "t")
        else:
            others.append(ElementTree.tostring(child, encoding="unicode").strip())
    return Found(kind, value, formula, " ".join(others))


def _cells(
    part: str, first: Mapping[str, Found], second: Mapping[str, Found], typed: Collection[str], worked: Collection[str]
) -> Iterator[str]:
    for cell in sorted({*first, *second}):
        one, other = first.get(cell), second.get(cell)
        if cell in typed:
            if one is not None and (other is None or one.others != other.others):
                yield f"style or rest of {part} {cell}: {one} {other}"
        elif cell in worked:
            if one is None or other is None or (one.formula, one.others) != (other.formula, other.others):
                yield f"formula or style of {part} {cell}: {one} {other}"
        elif one != other:
            yield f"cell {part} {cell}: {one} {other}"


def _around(data: bytes) -> list[str]:
    """Everything of a sheet but its table of cells and its used area."""
    root = ElementTree.fromstring(data)
    return [
        ElementTree.tostring(child, encoding="unicode").strip()
        for child in root
        if _local(child) not in ("sheetData", "dimension")
    ] + [f"{name}={value}" for name, value in sorted(root.attrib.items())]


def _table(root: ElementTree.Element) -> Iterator[ElementTree.Element]:
    for child in root:
        if _local(child) == "sheetData":
            yield from (line for line in child if _local(line) == "row")


def _local(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2]


def part_names(data: bytes) -> dict[str, str]:
    """The part of each sheet by its name."""
    main = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        book = ElementTree.fromstring(package.read("xl/workbook.xml"))
        links = ElementTree.fromstring(package.read("xl/_rels/workbook.xml.rels"))
    targets = {one.get("Id", ""): one.get("Target", "") for one in links}
    found = {}
    for sheet in book.iter():
        if _local(sheet) == "sheet":
            target = targets[sheet.get(f"{{{main}}}id", "")]
            found[sheet.get("name", "")] = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
    return found
