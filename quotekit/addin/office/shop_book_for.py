"""The shop book of a job: one that is open, or the one in the job's folder or in the folder above.

Where there are several the person is asked once for each folder, until the office ends; where there is none, what to do
is said and a file can be chosen. Nothing is guessed: another shop book would mean other prices.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Callable, Dict, List, Optional

import uno

from .copies import READ_AS_THEY_ARE, Copies, path_of, same_path
from .desk import values
from .kind_of import BOOK, WORKBOOKS, is_kept_copy, kind_of, kind_of_file
from .windows import Window, tell

if TYPE_CHECKING:
    from .desk import Desk


class ShopBook:
    """A shop book: an open document, else a file."""

    def __init__(self, path: Optional[str], document: Optional[Any] = None) -> None:
        self.path, self.document = path, document

    @property
    def key(self) -> str:
        """Tells it from others for as long as the office runs."""
        return same_path(self.path) if self.path else f"unsaved {self.document.RuntimeUID}"  # type: ignore[union-attr]

    @property
    def name(self) -> str:
        """What a person calls it."""
        return os.path.basename(self.path) if self.path else str(self.document.getTitle())  # type: ignore[union-attr]

    def copy(self, desk: Desk, copies: Copies) -> Dict[str, Any]:
        """As the engine is told of it: what is on the screen where it is open, else the file itself.

        A closed one of the office's own kind is opened out of sight and copied; its macros don't run. Raises OSError
        where it can't be opened.
        """
        if self.document is not None:
            return copies.as_it_stands(self.document)
        assert self.path is not None
        if self.path.lower().endswith(READ_AS_THEY_ARE):
            return {"copy": self.path, "path": self.path}
        how = values(Hidden=True, ReadOnly=True, MacroExecutionMode=0, UpdateDocMode=0)
        hidden = desk.desktop.loadComponentFromURL(uno.systemPathToFileUrl(self.path), "_blank", 0, how)
        if hidden is None:
            raise OSError(f"{self.name} could not be opened")
        try:
            return {**copies.of(hidden), "path": self.path}
        finally:
            hidden.close(True)


def with_shop_book(desk: Desk, job: Any, found: Callable[[ShopBook], None]) -> None:
    """Go on with the shop book of an open job: at once where it is clear, else when the person has chosen it."""
    book = shop_book_remembered(desk, job)
    folder = _folder(job)
    if book is not None:
        found(book)
    elif listed := books_for(desk, folder):
        _ask_which(desk, folder, listed, found)
    else:
        _tell_none(desk, folder, found)


def shop_book_remembered(desk: Desk, job: Any) -> Optional[ShopBook]:
    """The shop book of an open job where it is clear, or was chosen before; never asks."""
    folder = _folder(job)
    listed = books_for(desk, folder)
    wanted = _chosen.get(folder)
    for one in listed:
        if one.key == wanted:
            return one
    if wanted is not None and os.path.isfile(wanted):
        return ShopBook(wanted)
    return listed[0] if len(listed) == 1 else None


def open_books(desk: Desk) -> List[ShopBook]:
    """The shop books that are open and in sight."""
    return [ShopBook(path_of(one), one) for one in desk.documents() if in_sight(one) and kind_of(one) == BOOK]


def in_sight(document: Any) -> bool:
    """Whether a document was opened for a person to see, not by a program for itself."""
    return not any(one.Name == "Hidden" and one.Value for one in document.getArgs())


def books_for(desk: Desk, folder: str) -> List[ShopBook]:
    """Open shop books and those of the folder, or of the folder above where it has none, each once."""
    opened = {one.key: one for one in open_books(desk)}
    for place in (folder, os.path.dirname(folder)) if folder else ():
        there = {same_path(path): path for path in books_in(place)}
        if there:
            closed = [ShopBook(path) for key, path in there.items() if key not in opened]
            return [*opened.values(), *closed]
    return list(opened.values())


def books_in(folder: str) -> List[str]:
    """Shop books among the workbooks of a folder, by name; no copies that were kept when one was changed."""
    there = (path for path in workbooks_in(folder) if not is_kept_copy(os.path.basename(path)))
    return [path for path in there if kind_of_file(path) == BOOK]


def workbooks_in(folder: str) -> List[str]:
    """The workbooks of a folder, by name; one that is left over from an open program is none."""
    try:
        names = sorted(os.listdir(folder)) if folder else []
    except OSError:
        return []
    books = [name for name in names if name.lower().endswith(WORKBOOKS) and not name.startswith((".", "~$"))]
    return [os.path.join(folder, name) for name in books]


_chosen: Dict[str, str] = {}
"""Folder of jobs to the key of its shop book, as the person chose it."""


def _folder(job: Any) -> str:
    return os.path.dirname(path_of(job) or "")


def _ask_which(desk: Desk, folder: str, listed: List[ShopBook], found: Callable[[ShopBook], None]) -> None:
    window = Window(desk, "Which shop book?", 260, 118)
    words = "There are several shop books. Which one prices the jobs of this folder?"
    window.text("what", words, 8, 8, 244, 10)
    window.list("books", [_line(one) for one in listed], 8, 22, 244, 66, lambda _: None)

    def use() -> None:
        picked = window.picked("books")
        if picked >= 0:
            window.close()
            _go_on(folder, listed[picked], found)

    def choose() -> None:
        _choose_file(desk, folder, found, window)

    window.button("choose", "Another file ...", 8, 96, 62, 15, choose)
    window.button("use", "Use this one", 140, 96, 58, 15, use, default=True)
    window.button("cancel", "Cancel", 202, 96, 50, 15, window.close)
    window.pick("books", 0)
    window.show()
    window.focus("books")


def _tell_none(desk: Desk, folder: str, found: Callable[[ShopBook], None]) -> None:
    window = Window(desk, "No shop book", 250, 74)
    where = "in this job's folder or the one above" if folder else "beside this job, as it was never saved"
    words = f"No shop book is open, and there is none {where}.\n\nOpen it and do this again, or choose it here."
    window.text("what", words, 8, 8, 234, 36)
    window.button(
        "choose", "Choose the shop book ...", 102, 52, 86, 15, lambda: _choose_file(desk, folder, found, window)
    )
    window.button("cancel", "Cancel", 192, 52, 50, 15, window.close)
    window.show()
    window.focus("choose")


def _choose_file(desk: Desk, folder: str, found: Callable[[ShopBook], None], window: Window) -> None:
    path = choose_file(desk, "Choose the shop book", folder)
    if path is None:
        return
    if kind_of_file(path) != BOOK:
        tell(desk, f"{os.path.basename(path)} is no shop book.", "A shop book has a sheet named Shop.")
        return
    window.close()
    _go_on(folder, ShopBook(path), found)


def choose_file(desk: Desk, title: str, folder: str, kinds: str = "*.xlsx;*.xlsm;*.ods") -> Optional[str]:
    """A workbook chosen in the office's own window; None where the person thought better of it."""
    picker = desk.make("com.sun.star.ui.dialogs.FilePicker")
    picker.setTitle(title)
    picker.appendFilter("Workbooks", kinds)
    if folder:
        picker.setDisplayDirectory(uno.systemPathToFileUrl(folder))
    if picker.execute() != 1:
        return None
    files = picker.getFiles()
    return str(uno.fileUrlToSystemPath(files[0])) if files else None


def _go_on(folder: str, book: ShopBook, found: Callable[[ShopBook], None]) -> None:
    _chosen[folder] = book.key
    found(book)


def _line(book: ShopBook) -> str:
    where = os.path.dirname(book.path) if book.path else "never saved"
    return f"{book.name}{', open' if book.document is not None else ''}  ({where})"
