"""Every surface of a file on which something could be read: raw bytes, parts, decoded texts, media, streams."""

from __future__ import annotations

import base64
import binascii
import gzip
import html
import io
import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from functools import cache
from typing import NamedTuple
from urllib.parse import unquote
from xml.etree import ElementTree

import xlsxwriter

XML_NAMES = (".xml", ".rels", ".vml")
PNG = b"\x89PNG\r\n\x1a\n"
BASE64 = re.compile(r"[A-Za-z0-9+/_-]{12,}={0,2}")
ESCAPED = re.compile(r"\\u\{?([0-9a-fA-F]{4,6})\}?|\\x([0-9a-fA-F]{2})|_x([0-9a-fA-F]{4})_")
STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
DEEPEST = 4


class Surface(NamedTuple):
    """A text with its place; `exact` where only whole spellings are looked for, as in packed bytes."""

    place: str
    text: str
    exact: bool = False


def surfaces(data: bytes, name: str = "file", depth: int = 0) -> Iterator[Surface]:
    """All surfaces of a workbook, a page, a PDF, a picture, or anything packed into one of them."""
    yield Surface(f"{name} raw", data.decode("latin1"), exact=True)
    if depth > DEEPEST:
        return
    if data[:2] == b"PK":
        yield from _package(data, name, depth)
    elif data[:4] == b"%PDF":
        yield from _pdf(data, name)
    elif data[:8] == PNG:
        yield from _png(data, name, depth)
    elif data[:2] == b"\xff\xd8":
        yield from _wide(data, name)
    elif data[:2] == b"\x1f\x8b":
        yield from surfaces(gzip.decompress(data), f"{name} unpacked", depth + 1)
    else:
        yield from _text(data.decode("utf-8", "replace"), name, depth)
        yield from _wide(data, name)


def _package(data: bytes, name: str, depth: int) -> Iterator[Surface]:
    package = zipfile.ZipFile(io.BytesIO(data))
    yield Surface(f"{name} comment", package.comment.decode("latin1"))
    for entry in package.infolist():
        place = f"{name}!{entry.filename}"
        if package.read(entry) == _theme():
            continue
        yield Surface(f"{place} name", entry.filename)
        yield from _wide(entry.extra + b" " + entry.comment, f"{place} extra")
        yield from surfaces(package.read(entry), place, depth + 1)


@cache
def _theme() -> bytes:
    """The theme of colours, the same to the byte in every workbook, so that its numbers say nothing."""
    stream = io.BytesIO()
    xlsxwriter.Workbook(stream, {"in_memory": True}).close()
    return zipfile.ZipFile(stream).read("xl/theme/theme1.xml")


def _text(text: str, name: str, depth: int) -> Iterator[Surface]:
    """Markup or plain text: as it stands, with its references resolved, with its marks taken out."""
    yield Surface(name, text)
    resolved = ESCAPED.sub(_character, html.unescape(text))
    if resolved != text:
        yield Surface(f"{name} resolved", resolved)
    if "%" in text:
        yield Surface(f"{name} unquoted", unquote(text))
    if "<" in text:
        yield Surface(f"{name} without marks", re.sub(r"<[^<>]*>", "", resolved))
    if name.endswith(XML_NAMES):
        yield from _xml(text, name)
    for found in BASE64.finditer(text):
        yield from _encoded(found.group(), f"{name} encoded", depth)


def _character(found: re.Match[str]) -> str:
    return chr(min(int(found[1] or found[2] or found[3], 16), 0x10FFFF))


def _xml(text: str, name: str) -> Iterator[Surface]:
    """Values of attributes, and texts of elements with their runs joined."""
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError:
        return
    yield Surface(f"{name} attributes", "\n".join(value for one in root.iter() for value in one.attrib.values()))
    yield Surface(f"{name} texts", "\n".join("".join(one.itertext()) for one in root.iter() if one is not root))


def _encoded(text: str, place: str, depth: int) -> Iterator[Surface]:
    """What a run of base64 or hexadecimal letters stands for."""
    padded = text.rstrip("=").translate(str.maketrans("-_", "+/"))
    for start in (0, 1, 2, 3):
        piece = padded[start : start + (len(padded) - start) // 4 * 4 + 4]
        data = base64.b64decode(piece[: len(piece) // 4 * 4] or b"")
        if len(data) > 5 and start == 0 and data[:2] in (b"PK", b"\xff\xd8", PNG[:2], b"\x1f\x8b"):
            whole = base64.b64decode(padded + "=" * (-len(padded) % 4))
            yield from surfaces(whole, place, depth + 1)
            return
        yield from _wide(data, place)
        if start == 0 and len(padded) % 4:
            yield from _wide(_lenient(padded), place)
    if re.fullmatch(r"(?:[0-9a-fA-F]{2})+", text):
        yield from _wide(bytes.fromhex(text), f"{place} hex")


def _lenient(text: str) -> bytes:
    try:
        return base64.b64decode(text + "=" * (-len(text) % 4))
    except binascii.Error:
        return b""


def _wide(data: bytes, name: str) -> Iterator[Surface]:
    """Bytes read with one byte a letter and with two."""
    yield Surface(f"{name} bytes", data.decode("latin1"), exact=True)
    for start in (0, 1):
        for order in ("utf-16-le", "utf-16-be"):
            even = data[start : start + (len(data) - start) // 2 * 2]
            yield Surface(f"{name} {order}", even.decode(order, "replace"), exact=True)


def _png(data: bytes, name: str, depth: int) -> Iterator[Surface]:
    """The chunks of a picture; those with packed text unpacked, the pixels left alone."""
    at = 8
    while at + 8 <= len(data):
        (size,), kind = struct.unpack(">I", data[at : at + 4]), data[at + 4 : at + 8]
        body, at = data[at + 8 : at + 8 + size], at + size + 12
        place = f"{name} {kind.decode('latin1')}"
        if kind == b"zTXt":
            body = zlib.decompress(body[body.index(b"\0") + 2 :])
        if kind == b"iTXt" and body[body.index(b"\0") + 1 : body.index(b"\0") + 2] == b"\1":
            body = zlib.decompress(body.split(b"\0", 4)[4])
        if kind != b"IDAT":
            yield from _wide(body, place)
    if at < len(data):
        yield from surfaces(data[at:], f"{name} after the picture", depth + 1)


def _pdf(data: bytes, name: str) -> Iterator[Surface]:
    """The streams of a PDF unpacked; texts drawn with a font's own numbers need a reader of PDF as well."""
    for number, found in enumerate(STREAM.finditer(data)):
        try:
            body = zlib.decompressobj().decompress(found[1])
        except zlib.error:
            body = found[1]
        text = body.decode("latin1")
        yield Surface(f"{name} stream {number}", text, exact=True)
        yield Surface(
            f"{name} stream {number} joined", "".join(re.findall(r"\(((?:[^()\\]|\\.)*)\)", text)), exact=True
        )
    for found in re.finditer(rb"<((?:[0-9A-Fa-f]{2}\s*){4,})>", data):
        yield from _wide(bytes.fromhex(found[1].decode()), f"{name} hex text")
