"""Addresses of files as links of a workbook write them: relative to its folder, what an address can't hold as %20.

A letter outside of ASCII stays as it is, as spreadsheet programs write it; `%`, `#` and the like become their code.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from quotekit.documents.half_letters import HALF


def link_addresses(folder: Path, named: Iterable[tuple[str, Path]]) -> dict[str, str]:
    """The address of each file by its name, from the folder the links will stand in.

    Two files of one name have none: a link could lead to the wrong one. Nor has one whose path is no proper text.
    """
    listed = list(named)
    names = [name for name, _ in listed]
    found = {name: _address(folder, path) for name, path in listed if name and names.count(name) == 1}
    return {name: address for name, address in found.items() if not HALF.search(address)}


def _address(folder: Path, path: Path) -> str:
    try:
        relative = os.path.relpath(path.resolve(), folder.resolve())
    except ValueError:  # another drive
        return _escaped(path.resolve().as_posix())
    return _escaped(Path(relative).as_posix())


def _escaped(path: str) -> str:
    drive, rest = (path[:2], path[2:]) if path[1:2] == ":" and path[:1].isalpha() and path[2:3] == "/" else ("", path)
    return drive + "".join(map(_coded, rest))


def _coded(letter: str) -> str:
    """A letter as it is, or as its code where an address can't hold it.

    >>> _coded("a"), _coded(" "), _coded("#"), _coded("ü")
    ('a', '%20', '%23', 'ü')
    """
    plain = letter.isalnum() or letter in "-._~/" or not letter.isascii()
    return letter if plain else f"%{ord(letter):02X}"
