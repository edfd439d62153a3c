"""A temporary copy of an open workbook for the engine to read: nothing changes in the owner's file.

The copy is always .xlsx, whatever the workbook is, and bears its name, so that problems name the file a person knows.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import weakref
from contextlib import contextmanager
from typing import Any, Dict, Iterator, Optional, Set

import uno
from com.sun.star.io import IOException

from .desk import values
from .left_folders import new_folder
from .trouble import Trouble

XLSX = "Calc MS Excel 2007 XML"

READ_AS_THEY_ARE = (".xlsx", ".xlsm")
"""Files that the engine reads without a copy."""


class Copies:
    """A folder of copies; it goes when they are no longer needed, at the latest when nobody knows of it any more."""

    def __init__(self) -> None:
        self.folder = new_folder()
        self._away = weakref.finalize(self, shutil.rmtree, self.folder, True)

    def of(self, document: Any) -> Dict[str, Optional[str]]:
        """A copy as the engine is told of it: where it lies, and where the real one does."""
        path = path_of(document)
        stem = os.path.splitext(os.path.basename(path))[0] if path else (document.getTitle() or "workbook")
        folder = tempfile.mkdtemp(dir=self.folder)
        copy = os.path.join(folder, f"{_file_name(stem)}.xlsx")
        _being_copied.add(document.RuntimeUID)
        try:
            with _without_macros(document):
                document.storeToURL(uno.systemPathToFileUrl(copy), values(FilterName=XLSX))
        except IOException:
            message = "The office could not make a copy of the workbook to work on."
            raise Trouble(message, f"Is there room on the disk of {tempfile.gettempdir()}?") from None
        finally:
            _being_copied.discard(document.RuntimeUID)
        return {"copy": copy, "path": path}

    def as_it_stands(self, document: Any) -> Dict[str, Any]:
        """What is on the screen: a copy where it has unsaved changes or the engine can't read its kind, else the file.

        `unsaved` says whether the file on the disk is another.
        """
        path, unsaved = path_of(document), bool(document.isModified())
        if path and not unsaved and path.lower().endswith(READ_AS_THEY_ARE) and _can_be_read(path):
            return {"copy": path, "path": path, "unsaved": False}
        return {**self.of(document), "unsaved": unsaved}

    def away(self) -> None:
        """Remove them all."""
        self._away()


_being_copied: Set[str] = set()


def is_ours(document: Any) -> bool:
    """Whether the copy that the office is just storing is for the engine, and nobody's file."""
    return document.RuntimeUID in _being_copied


@contextmanager
def _without_macros(document: Any) -> Iterator[None]:
    """A macro that the owner bound to the storing of a copy is not for ours: it could change the workbook."""
    events, modified = document.Events, document.isModified()
    bound = {name: events.getByName(name) for name in _OF_COPIES if events.hasByName(name)}
    bound = {name: macro for name, macro in bound.items() if macro}
    try:
        for name in bound:
            _bind(events, name, ())
        yield
    finally:
        for name, macro in bound.items():
            _bind(events, name, macro)
        if bound and document.isModified() != modified:
            document.setModified(modified)


_OF_COPIES = ("OnCopyTo", "OnCopyToDone", "OnCopyToFailed")


def _bind(events: Any, name: str, macro: Any) -> None:
    uno.invoke(events, "replaceByName", (name, uno.Any("[]com.sun.star.beans.PropertyValue", macro)))


def _can_be_read(path: str) -> bool:
    """Whether the engine can read a file as it lies there: one with a password is no zip."""
    try:
        with open(path, "rb") as file:
            return file.read(2) == b"PK"
    except OSError:
        return False


def path_of(document: Any) -> Optional[str]:
    """Where a document was saved; None where it never was, or not on a disk."""
    address = document.getURL()
    return uno.fileUrlToSystemPath(address) if address.startswith("file:") else None


def same_path(path: str) -> str:
    """A path as it compares with others."""
    return os.path.normcase(os.path.realpath(path))


def _file_name(text: str) -> str:
    cleaned = "".join("-" if letter in '<>:"/\\|?*' or ord(letter) < 32 else letter for letter in text)
    return cleaned.strip(" .") or "workbook"
