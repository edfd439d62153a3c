"""The file as a package: opened once, checked with the standard library before any library sees it.

The bytes are read once, so what is checked is what is read. Every member is unpacked with a running limit:
a header that lies about its size is found out.
"""

from __future__ import annotations

import hashlib
import io
import stat
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.record import record

MOST_FILE_BYTES = 200 << 20
MOST_MEMBERS = 2_000
MOST_UNPACKED = 400 << 20
MOST_MEMBER = 200 << 20
MOST_RATIO = 400
SMALL_MEMBER = 4 << 20
_CHUNK = 1 << 16
_OLE = bytes.fromhex("d0cf11e0a1b11ae1")


class BadPackage(Exception):
    """Something in the package that cannot be read safely: code, message, what to do and, where known, the cell."""

    def __init__(
        self, code: str, message: str, remedy: str = "Open it in the spreadsheet and save it again.", cell: str = ""
    ) -> None:
        super().__init__(message)
        self.code, self.remedy, self.cell = code, remedy, cell


@record
class Package:
    """A workbook's bytes and its members, by name in small letters: case does not tell two parts apart."""

    file: str
    data: bytes
    sha256: str
    members: dict[str, zipfile.ZipInfo]

    def holds(self, name: str) -> bool:
        """True when there is such a part."""
        return name.lower() in self.members

    def size(self, name: str) -> int:
        """A part's size as its header says it; it is never unpacked further."""
        return self.members[name.lower()].file_size if self.holds(name) else 0

    def read(self, name: str) -> bytes:
        """A whole part, unpacked piece by piece, never more than its header says.

        Raises BadPackage.
        """
        info = self.members.get(name.lower())
        if info is None:
            raise BadPackage("broken-workbook", f"the package lacks its part {name[:60]}")
        start = _data_start(self.data, info)
        packed = self.data[start : start + info.compress_size]
        if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise BadPackage("broken-workbook", f"{name[:60]} is packed in a way that workbooks do not use")
        whole = packed if info.compress_type == zipfile.ZIP_STORED else b"".join(_inflate(packed, info))
        if len(whole) != info.file_size or zlib.crc32(whole) != info.CRC:
            raise BadPackage("broken-workbook", f"{name[:60]} is damaged")
        return whole


def packed_again(parts: dict[str, bytes]) -> bytes:
    """A package that holds these parts and no other."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        for name, data in parts.items():
            package.writestr(zipfile.ZipInfo(name), data)
    return held.getvalue()


def open_package(path: Path | Package) -> tuple[Package | None, list[Problem]]:
    """The package of a workbook file, or why it is refused; one that is open already as it is."""
    if isinstance(path, Package):
        return path, []
    data, problems = read_file(path)
    return (None, problems) if data is None else held_package(path.name, data)


def read_file(path: Path) -> tuple[bytes | None, list[Problem]]:
    """The bytes of a file that may be a workbook, or why they can't be had."""
    place = Place(path.name or str(path))
    try:
        return _bytes_of(path), []
    except FileNotFoundError:
        return None, [error(place, "missing-file", f"there is no file {path.name}", "Check the name and the folder.")]
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "it cannot be read"
        return None, [error(place, "unreadable-file", f"{path.name} cannot be read: {reason}", "Check the file.")]
    except BadPackage as fault:
        return None, [error(place, fault.code, str(fault), fault.remedy)]


def held_package(file: str, data: bytes) -> tuple[Package | None, list[Problem]]:
    """The package in a file's bytes, or why it is refused."""
    try:
        return package_of(file, data), []
    except BadPackage as fault:
        return None, [error(Place(file), fault.code, str(fault), fault.remedy)]


def _bytes_of(path: Path) -> bytes:
    if path.is_dir():
        raise BadPackage("not-a-workbook", f"{path.name or path} is a folder", "Give the .xlsx file itself.")
    about = path.stat()
    if not stat.S_ISREG(about.st_mode):
        raise BadPackage("not-a-workbook", f"{path.name} is no file", "Give the .xlsx file itself.")
    if about.st_size > MOST_FILE_BYTES:
        raise BadPackage(
            "too-large", f"{path.name} is larger than {MOST_FILE_BYTES >> 20} MB", "Save only what is used."
        )
    return path.read_bytes()


def package_of(file: str, data: bytes) -> Package:
    """The package in a file's bytes. Raises BadPackage."""
    return Package(file=file, data=data, sha256=hashlib.sha256(data).hexdigest(), members=_members(file, data))


def _members(name: str, data: bytes) -> dict[str, zipfile.ZipInfo]:
    if data[:8] == _OLE:
        if "EncryptedPackage".encode("utf-16-le") in data:
            raise BadPackage("encrypted", f"{name} is protected by a password", "Save it without a password to open.")
        raise BadPackage("not-a-workbook", f"{name} is in an old format", "Save it as .xlsx.")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            infos = package.infolist()
    except Exception as fault:
        raise BadPackage("not-a-workbook", f"{name} is not an .xlsx workbook", "Save it as .xlsx.") from fault
    _check_members(infos)
    members = {info.filename.lower(): info for info in infos}
    if "[content_types].xml" not in members or not any(name.startswith("xl/") for name in members):
        raise BadPackage("not-a-workbook", f"{name} is not an .xlsx workbook", "Save it as .xlsx.")
    return members


def _check_members(infos: list[zipfile.ZipInfo]) -> None:
    if len(infos) > MOST_MEMBERS:
        raise BadPackage("too-large", f"the package has {len(infos)} parts, more than {MOST_MEMBERS}")
    if sum(info.file_size for info in infos) > MOST_UNPACKED:
        raise BadPackage("too-large", f"it unpacks to more than {MOST_UNPACKED >> 20} MB", "Save only what is used.")
    seen: set[str] = set()
    for info in infos:
        name = info.orig_filename
        if name.startswith("/") or "\\" in name or "\0" in name or ".." in name.split("/"):
            raise BadPackage("bad-part-name", f"the package has a part with an unsafe name: {name[:60]!r}")
        if info.filename.lower() in seen:
            raise BadPackage("bad-part-name", f"the package has two parts of one name: {name[:60]}")
        seen.add(info.filename.lower())
        if info.flag_bits & 0x1:
            raise BadPackage("encrypted", "the package is encrypted", "Save it without a password to open.")
        packed = max(1, info.compress_size)
        if info.file_size > MOST_MEMBER or (info.file_size > SMALL_MEMBER and info.file_size > MOST_RATIO * packed):
            raise BadPackage("too-large", f"{name[:60]} unpacks to {info.file_size:,} bytes", "Save only what is used.")


def _data_start(data: bytes, info: zipfile.ZipInfo) -> int:
    head = data[info.header_offset : info.header_offset + 30]
    if len(head) < 30 or head[:4] != b"PK\x03\x04":
        raise BadPackage("broken-workbook", f"{info.filename[:60]} is damaged")
    return info.header_offset + 30 + int.from_bytes(head[26:28], "little") + int.from_bytes(head[28:30], "little")


def _inflate(packed: bytes, info: zipfile.ZipInfo) -> Iterator[bytes]:
    stream, size = zlib.decompressobj(-15), 0
    try:
        waiting = packed
        while not stream.eof:
            piece = stream.decompress(waiting, _CHUNK)
            waiting = stream.unconsumed_tail
            size += len(piece)
            if size > info.file_size:
                raise BadPackage("too-large", f"{info.filename[:60]} unpacks to more than it says")
            if not piece and not waiting:
                break
            yield piece
    except zlib.error as fault:
        raise BadPackage("broken-workbook", f"{info.filename[:60]} is damaged") from fault
