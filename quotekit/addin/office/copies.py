"""A temporary copy of an open workbook for the engine to read: nothing changes in the owner's file.

The copy is always .xlsx, whatever the workbook is, and bears its name, so that problems name the file a person knows.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from typing import Any, Dict, Optional

import uno

from .desk import values

XLSX = "Calc MS Excel 2007 XML"


class Copies:
    """A folder of copies; it goes when they are no longer needed."""

    def __init__(self) -> None:
        self.folder = tempfile.mkdtemp(prefix="quotekit-")

    def of(self, document: Any) -> Dict[str, Optional[str]]:
        """A copy as the engine is told of it: where it lies, and where the real one does."""
        path = path_of(document)
        stem = os.path.splitext(os.path.basename(path))[0] if path else (document.getTitle() or "workbook")
        folder = tempfile.mkdtemp(dir=self.folder)
        copy = os.path.join(folder, f"{_file_name(stem)}.xlsx")
        document.storeToURL(uno.systemPathToFileUrl(copy), values(FilterName=XLSX))
        return {"copy": copy, "path": path}

    def away(self) -> None:
        """Remove them all."""
        shutil.rmtree(self.folder, ignore_errors=True)


def path_of(document: Any) -> Optional[str]:
    """Where a document was saved; None where it never was, or not on a disk."""
    address = document.getURL()
    return uno.fileUrlToSystemPath(address) if address.startswith("file:") else None


def _file_name(text: str) -> str:
    cleaned = "".join("-" if letter in '<>:"/\\|?*' or ord(letter) < 32 else letter for letter in text)
    return cleaned.strip(" .") or "workbook"
