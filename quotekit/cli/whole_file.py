"""Whether a workbook is whole on the disk, or a program or a network is still at it."""

from __future__ import annotations

import zipfile
import zlib
from pathlib import Path

LARGEST = 400 << 20
"""Unpacked bytes above which only its end is looked for: the reader refuses such a file, whole or not."""


def is_whole(path: Path) -> bool:
    """Whether every member of the package is there as it was packed.

    Its end alone proves nothing: where a new file is written over an old one without emptying it first, the old one's
    end stands there until the new one has grown over it. Never raises.
    """
    try:
        with zipfile.ZipFile(path) as package:
            if sum(member.file_size for member in package.infolist()) > LARGEST:
                return True
            return package.testzip() is None
    except (RuntimeError, NotImplementedError):  # a password, or packed in another way: whole, and refused when read
        return True
    except (OSError, ValueError, EOFError, zipfile.BadZipFile, zlib.error):
        return False
