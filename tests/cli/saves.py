"""Saves as spreadsheet programs make them: LibreOffice and programs like it as seen on a disk, Excel as its maker and
those who traced it tell (not recorded here), and programs that write into the file."""

from __future__ import annotations

import os
import time
import zlib
from collections.abc import Callable
from pathlib import Path

Pause = Callable[[float], None]


def by_libreoffice(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """A lock beside, a temporary file in parts, renamed onto the old one."""
    lock = path.with_name(f".~lock.{path.name}#")
    lock.write_text(",Ida,counter,28.11.2026 10:00;")
    passing = path.with_name(f"lu{_own_letters(path)}.tmp")
    _in_parts(passing, data, pause)
    os.replace(passing, path)
    lock.unlink()


def by_excel(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """An owner file beside, a file of eight hexadecimal letters, the old one renamed away and deleted."""
    owner, passing = path.with_name(f"~${path.name}"), path.with_name(_own_letters(path))
    owner.write_bytes(b"\x03Ida")
    _in_parts(passing, data, pause)
    away = path.with_name(f"{_own_letters(path)[::-1]}.tmp")
    if path.exists():
        os.rename(path, away)
    pause(0.02)
    os.rename(passing, path)
    away.unlink(missing_ok=True)
    owner.unlink()


def in_place(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """The file is emptied and filled again, with a stop in between."""
    _in_parts(path, data, pause)


def over_a_network(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """A copy that stands still for longer than a save does."""
    half = len(data) // 2
    path.write_bytes(data[:half])
    pause(0.7)
    with path.open("ab") as file:
        file.write(data[half:])


def over_the_old_one(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """Grown over the old content, which is cut off last: the old end stands there all the while."""
    if not path.exists():
        path.write_bytes(b"")
    half = len(data) // 2
    with path.open("r+b") as file:
        file.write(data[:half])
        file.flush()
        pause(0.7)
        file.write(data[half:])
        file.truncate()


def deleted_first(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """The old one is deleted, and some time goes by until the new one is there."""
    path.unlink(missing_ok=True)
    pause(0.6)
    _in_parts(path, data, pause)


def by_a_synchronizer(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """Brought from another computer under a name that is nobody's, then renamed; its time is that of the other."""
    passing = path.with_name(f"{path.name}.tmp")
    _in_parts(passing, data, pause)
    os.utime(passing, (1_790_000_000, 1_790_000_000))
    os.replace(passing, path)


def by_excel_on_a_mac(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """As a Mac's programs save safely: the new file in a folder of its own, whose name begins like the file's, then
    both change places and the folder goes with the old one (from the maker's documentation; not recorded here)."""
    owner, room = path.with_name(f"~${path.name}"), path.with_name(f"{path.name}.sb-5d2e7a10-Qk3xYz")
    owner.write_bytes(b"\x03Ida")
    room.mkdir()
    _in_parts(room / path.name, data, pause)
    if path.exists():
        os.rename(path, room / "old")
    os.rename(room / path.name, path)
    (room / "old").unlink(missing_ok=True)
    room.rmdir()
    owner.unlink()


def held_on_windows(path: Path, data: bytes, pause: Pause = time.sleep) -> None:
    """Written in place with nobody let in until it is whole, as one program holds a file there: here without any right
    to read it, which a superuser has all the same (imitated from documentation)."""
    path.touch()
    os.chmod(path, 0)
    _in_parts(path, data, pause)
    pause(0.6)
    os.chmod(path, 0o644)


SAVES = {
    "LibreOffice": by_libreoffice,
    "Excel": by_excel,
    "in place": in_place,
    "over a network": over_a_network,
    "over the old one": over_the_old_one,
    "deleted first": deleted_first,
    "by a synchronizer": by_a_synchronizer,
}
OTHER_SYSTEMS = {"Excel on a Mac": by_excel_on_a_mac, "held on Windows": held_on_windows}
"""Imitated from documentation; they run beside the others where every way of saving is tried."""


def _own_letters(path: Path) -> str:
    """Eight hexadecimal letters that no other file's save takes."""
    return f"{zlib.crc32(path.name.encode()):08X}"


def _in_parts(path: Path, data: bytes, pause: Pause) -> None:
    with path.open("wb") as file:
        for start in range(0, len(data), max(len(data) // 3, 1)):
            file.write(data[start : start + max(len(data) // 3, 1)])
            file.flush()
            pause(0.01)
