"""A list's file as bytes of text: out of a zip, decoded, with one kind of line end; or as the rows of a workbook.

What a file is, its bytes decide, not its name. A zip may hold one list; where it holds several, the mapping names the
member. What a zip unpacks to is limited, and a member is never unpacked further than its header says.
"""

from __future__ import annotations

import hashlib
import io
import lzma
import re
import zipfile
import zlib
from concurrent.futures import Future, ThreadPoolExecutor
from functools import cached_property
from pathlib import Path
from typing import Literal

from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.suppliers.encodings import ONE_BYTE_OR_UTF_8, marked_encoding
from quotekit.workbook.names import or_list

MOST_BYTES = 2 << 30
_LETTERS = ("readme", "read me", "liesmich", "lisezmoi", "leggimi", "leame", "leesmij", "license", "licence")
_SMALL = 64 << 20
_MOST_RATIO = 200
_ZIP, _OLE, _GZIP = b"PK\x03\x04", bytes.fromhex("d0cf11e0a1b11ae1"), b"\x1f\x8b"
_PIECE = 1 << 20
_LARGE = 1 << 22
_RETURN_ALONE = re.compile(rb"\r(?!\n)")


@record
class ListFile:
    """A list's bytes: text as it is stored, or a workbook."""

    file: str
    kind: Literal["text", "xlsx", "ods"]
    data: bytes
    digest: Future[str]
    """SHA-256 of the file as it lies on the disk, the zip where it is one; it may still be worked out."""

    member: str = ""

    @cached_property
    def plain(self) -> bool:
        """Whether it holds plain characters only, which all encodings but the wide ones write alike."""
        return self.data.isascii()


class _Refused(Exception):
    """What stands in the way, as a problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def _refused(name: str, code: str, why: str, remedy: str) -> _Refused:
    return _Refused(error(Place(name), code, why, remedy))


def open_list(path: Path, member: str = "") -> tuple[ListFile | None, list[Problem]]:
    """The list in a file, or why it can't be read."""
    place = Place(path.name or str(path))
    try:
        if path.is_dir():
            raise _refused(place.file, "not-a-list", f"{place.file} is a folder", "Give the list's file itself.")
        if path.stat().st_size > MOST_BYTES:
            raise _refused(
                place.file, "list-too-large", f"{path.name} is larger than {MOST_BYTES >> 30} GB", "Split the list."
            )
        data = path.read_bytes()
        return _opened(path.name, data, _digest(data), member), []
    except FileNotFoundError:
        return None, [error(place, "missing-file", f"there is no file {path.name}", "Check the name and the folder.")]
    except OSError as fault:
        reason = fault.strerror or "it cannot be read"
        return None, [error(place, "unreadable-file", f"{path.name} cannot be read: {reason}", "Check the file.")]
    except _Refused as fault:
        return None, [fault.problem]


def _digest(data: bytes) -> Future[str]:
    """The SHA-256 of a large file is worked out while the list is read: it leaves the interpreter to others."""
    if len(data) < _LARGE:
        known: Future[str] = Future()
        known.set_result(hashlib.sha256(data).hexdigest())
        return known
    beside = ThreadPoolExecutor(1)
    found = beside.submit(lambda: hashlib.sha256(data).hexdigest())
    beside.shutdown(wait=False)
    return found


def _opened(name: str, data: bytes, digest: Future[str], member: str, *, inside: bool = False) -> ListFile:
    if not data[:_PIECE].strip() and not data.strip():
        raise _refused(name, "not-a-list", f"{name} is empty", "Ask the supplier for the list again.")
    if data.startswith(_OLE):
        raise _refused(
            name, "not-a-list", f"{name} is a workbook in an old format or with a password", "Save it as .xlsx."
        )
    if data.startswith(_GZIP):
        raise _refused(name, "not-a-list", f"{name} is packed with gzip", "Unpack it first.")
    if data.startswith(b"%PDF"):
        raise _refused(name, "not-a-list", f"{name} is a PDF", "Ask the supplier for a list as .csv or .xlsx.")
    if not data.startswith(_ZIP):
        return ListFile(file=name, kind="text", data=data, digest=digest)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            names = package.namelist()
            if any(each.startswith("xl/") for each in names):
                return ListFile(file=name, kind="xlsx", data=data, digest=digest)
            if "content.xml" in names:
                return ListFile(file=name, kind="ods", data=data, digest=digest)
            if inside:
                raise _refused(name, "not-a-list", f"{name[:60]} is a zip within a zip", "Unpack the outer one first.")
            chosen = _member(name, package.infolist(), member)
            inner = _opened(chosen.filename, _unpacked(name, package, chosen), digest, "", inside=True)
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, NotImplementedError, EOFError) as fault:
        raise _refused(name, "not-a-list", f"{name} is a damaged zip", "Fetch it again.") from fault
    return ListFile(file=name, kind=inner.kind, data=inner.data, digest=digest, member=chosen.filename)


def _member(name: str, infos: list[zipfile.ZipInfo], member: str) -> zipfile.ZipInfo:
    lists = [info for info in infos if not info.is_dir() and not info.filename.startswith("__MACOSX/")]
    if member:
        named = [info for info in lists if info.filename == member]
        if not named:
            raise _refused(name, "which-member", f"{name} holds no {member}", _choose(lists))
        return named[0]
    if len(lists) > 1:
        known = [info for info in lists if info.filename.lower().endswith((".csv", ".tsv", ".txt", ".xlsx", ".ods"))]
        known = [info for info in known if not _is_letter(info.filename)] or known
        if len(known) != 1:
            raise _refused(name, "which-member", f"{name} holds {len(lists)} files", _choose(known or lists))
        lists = known
    if not lists:
        raise _refused(name, "not-a-list", f"{name} holds no file", "Fetch it again.")
    return lists[0]


def _is_letter(filename: str) -> bool:
    """Whether a file beside a list is what a supplier writes to go with it, by its name.

    >>> _is_letter("docs/README.txt"), _is_letter("prices.txt"), _is_letter("readme prices.csv")
    (True, False, False)
    """
    name = filename.rpartition("/")[2].casefold()
    return name.endswith(".txt") and name.startswith(_LETTERS)


def _choose(lists: list[zipfile.ZipInfo]) -> str:
    named = or_list(info.filename[:60] for info in lists[:6])
    return f"Name the one that is the list with --member, or as member in the mapping: {named}."


def _unpacked(name: str, package: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    if info.flag_bits & 0x1:
        raise _refused(name, "not-a-list", f"{info.filename[:60]} is protected by a password", "Unpack it first.")
    packed = max(1, info.compress_size)
    if info.file_size > MOST_BYTES or (info.file_size > _SMALL and info.file_size > _MOST_RATIO * packed):
        raise _refused(
            name, "list-too-large", f"{info.filename[:60]} unpacks to {info.file_size:,} bytes", "Split the list."
        )
    pieces, left = [], info.file_size
    with package.open(info) as stream:
        while piece := stream.read(_PIECE):
            left -= len(piece)
            if left < 0:
                raise _refused(
                    name, "list-too-large", f"{info.filename[:60]} unpacks to more than it says", "Split the list."
                )
            pieces.append(piece)
    return b"".join(pieces)


def as_utf8(opened: ListFile, encoding: str) -> tuple[bytes | None, list[Problem]]:
    """Text in UTF-8, without a byte order mark, with one kind of line end; or where it is not of the encoding."""
    file, data = opened.file, opened.data
    marked = marked_encoding(data)
    used = marked or encoding
    if used in ONE_BYTE_OR_UTF_8 and opened.plain:
        return _line_ends(data), []
    if used == "utf-8":
        text = data[3:] if marked else data
        bad = _bad_utf8(text)
        return (None, [_not_of(file, used, text, bad)]) if bad is not None else (_line_ends(text), [])
    try:
        decoded = data.decode(used)
    except UnicodeDecodeError as fault:
        return None, [_not_of(file, used, data, fault.start)]
    return _line_ends(decoded.removeprefix("\ufeff").encode("utf-8")), []


def _bad_utf8(data: bytes) -> int | None:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as fault:
        return fault.start
    return None


def _line_ends(data: bytes) -> bytes:
    """Old lists end their lines with a return alone, and themselves with the mark of DOS for the end of a file.

    A return alone ends a line in a list of other line ends too (one list put behind another), as in a spreadsheet.
    """
    if data.endswith(b"\x1a"):
        data = data.rstrip(b"\x1a")
    if b"\r" in data and _RETURN_ALONE.search(data):
        return data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return data


def _not_of(file: str, encoding: str, data: bytes, at: int) -> Problem:
    line = data.count(b"\n", 0, at) + 1
    shown = data[max(0, at - 20) : at + 20].decode("latin-1").strip()
    message = f"it is not written in {encoding}: a character of line {line} is none"
    remedy = "Make the mapping anew (quotekit prices map), or write the right encoding in it."
    return error(Place(file), "not-the-encoding", message, remedy, shown)
