"""Ways to spoil a workbook file that no spreadsheet would write: what the guard must refuse."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path

_SHEET = "xl/worksheets/sheet1.xml"


def _repack(path: Path, change: Callable[[str, bytes], bytes], extra: dict[str, bytes] | None = None) -> None:
    with zipfile.ZipFile(path) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in parts.items():
            package.writestr(name, change(name, data))
        for name, data in (extra or {}).items():
            package.writestr(name, data)


def in_first_sheet(path: Path, old: bytes, new: bytes) -> None:
    """Replace bytes of the first sheet; they must be there."""

    def change(name: str, data: bytes) -> bytes:
        assert name != _SHEET or old in data, data[:800]
        return data.replace(old, new, 1) if name == _SHEET else data

    _repack(path, change)


def _encrypt(path: Path) -> None:
    path.write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"))


def _unlink_text(path: Path) -> None:
    in_first_sheet(path, b'<c r="A2" t="s"><v>', b'<c r="A2" t="s"><v>99999')


def _make_unreadable(path: Path) -> None:
    path.unlink()
    path.symlink_to(path.name)


BROKEN: dict[str, Callable[[Path], None]] = {
    "missing-file": lambda path: None,
    "not-a-workbook": lambda path: (path.write_bytes(b"Part;Cost\nBELT;21.40\n"), None)[1],
    "unreadable-file": _make_unreadable,
    "encrypted": _encrypt,
    "bad-part-name": lambda path: _repack(path, lambda name, data: data, {"xl/../../evil.xml": b"<a/>"}),
    "too-large": lambda path: _repack(path, lambda name, data: data, {"xl/media/blank.bin": bytes(5 << 20)}),
    "dtd": lambda path: in_first_sheet(path, b"<worksheet", b'<!DOCTYPE a [<!ENTITY b "c">]><worksheet'),
    "broken-workbook": _unlink_text,
    "error-cell": lambda path: in_first_sheet(path, b'<c r="B6"><v>40</v>', b'<c r="B6" t="e"><v>#N/A</v>'),
    "no-stored-result": lambda path: in_first_sheet(path, b"<v>40</v>", b"<f>20*2</f><v></v>"),
    "long-calculated": lambda path: in_first_sheet(path, b"<v>40</v>", b"<f>100.1-100</f><v>0.09999999999999432</v>"),
    "too-many-digits": lambda path: in_first_sheet(path, b"<v>40</v>", b"<v>40.1234567890123456</v>"),
    "far-cell": lambda path: in_first_sheet(
        path, b"</sheetData>", b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    ),
    "bad-address": lambda path: in_first_sheet(path, b'r="B6"', b'r="XFE6"'),
}
