"""Workbooks that a form may be about: those of the shop's folder and those that are open; and looking for another."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Dict, List, Optional

import uno

from .copies import path_of, same_path
from .form_fields import FOLDER, NEW_FILE, Field
from .form_state import kind_by_file_name
from .kind_of import JOB, kind_of, kind_of_file, sheet_key, sheet_of
from .shop_book_for import choose_file, in_sight, workbooks_in

if TYPE_CHECKING:
    from .desk import Desk

MOST = 400
"""Files of a folder that are looked at."""

KINDS = {
    "returned": "*.xlsx;*.xlsm;*.txt",
    "against": "*.db",
    "before": "*.jsonl",
    "list": "*.csv;*.tsv;*.txt;*.xlsx;*.ods;*.zip",
}
"""What is looked for by the name of a field; else workbooks."""

SAVE = 1
"""The office's number of a picker that asks for a new name."""


def files_of(desk: Desk, folder: str) -> List[Dict[str, str]]:
    """Path, name as shown, and kind of each workbook: the open ones first."""
    opened = [path for path in map(path_of, filter(in_sight, desk.documents())) if path]
    found = {same_path(path): path for path in opened}
    for place in dict.fromkeys([folder, *(os.path.dirname(path) for path in opened)]):
        for path in workbooks_in(place)[:MOST]:
            found.setdefault(same_path(path), path)
    return [
        {
            "path": path,
            "shown": shown_in(path, folder),
            "kind": kind_by_file_name(kind_of_file(path), os.path.basename(path)),
        }
        for path in found.values()
    ]


def shown_in(path: str, folder: str) -> str:
    """A path as short as it is clear: what lies in the shop's folder by its name."""
    inside = os.path.relpath(path, folder) if folder and path.startswith(folder + os.sep) else ""
    return inside or path


def of_document(document: Any) -> Dict[str, str]:
    """What the workbook in front is: its file, its kind, and of a job its number."""
    path = path_of(document) or ""
    kind = kind_by_file_name(kind_of(document), os.path.basename(path))
    return {"file": path, "kind": kind, "job": _job_number(document) if kind == JOB else ""}


def browse(desk: Desk, field: Field, folder: str) -> Optional[str]:
    """A file or folder chosen in the office's own window; None where the person thought better of it."""
    if field.kind == FOLDER:
        return _choose_folder(desk, field.label, folder)
    if field.kind == NEW_FILE:
        return _choose_new(desk, field.label, folder)
    return choose_file(desk, field.label, folder, KINDS.get(field.name, "*.xlsx;*.xlsm"))


def _job_number(document: Any) -> str:
    """What stands beside `Job number` on the sheet Job."""
    sheet = sheet_of(document, "Job")
    if sheet is None:
        return ""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    for row in range(min(cursor.RangeAddress.EndRow + 1, 60)):
        if sheet_key(sheet.getCellByPosition(0, row).String) == "jobnumber":
            return str(sheet.getCellByPosition(1, row).String).strip()
    return ""


def _choose_folder(desk: Desk, title: str, folder: str) -> Optional[str]:
    picker = desk.make("com.sun.star.ui.dialogs.FolderPicker")
    picker.setTitle(title)
    if os.path.isdir(folder):
        picker.setDisplayDirectory(uno.systemPathToFileUrl(folder))
    return str(uno.fileUrlToSystemPath(picker.getDirectory())) if picker.execute() == 1 else None


def _choose_new(desk: Desk, title: str, folder: str) -> Optional[str]:
    picker = desk.make("com.sun.star.ui.dialogs.FilePicker")
    picker.initialize((SAVE,))
    picker.setTitle(title)
    if os.path.isdir(folder):
        picker.setDisplayDirectory(uno.systemPathToFileUrl(folder))
    files = picker.getFiles() if picker.execute() == 1 else ()
    return str(uno.fileUrlToSystemPath(files[0])) if files else None
