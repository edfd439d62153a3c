"""Notes on the cells that have problems: they come and go without an undo step and without a change of the workbook.

A note bears our mark. An owner's own note is never touched, and a cell that has one gets none of ours. Notes are taken
out while the workbook is saved, copied, exported or printed with its notes, and put back afterwards, unless the owner
said that they are to be kept in the file.
"""

from __future__ import annotations

from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, Dict, Iterator, List, Mapping, NamedTuple, Set, Tuple

import unohelper
from com.sun.star.document import XDocumentEventListener
from com.sun.star.table import CellAddress, CellRangeAddress

from . import copies
from .problem_words import Problem, Spot, is_ours, note_text
from .timer import after

if TYPE_CHECKING:
    from .desk import Desk

MOST = 200
"""Cells of a workbook that get a note: more would take seconds, and nobody reads them."""

ANNOTATION = 8
"""What `clearContents` calls a note."""

AFTER_PRINTING = 4.0
"""Seconds after which notes that were taken out for a print come back."""

_LEAVES = ("OnSave", "OnSaveAs", "OnCopyTo")
_BACK = tuple(f"{event}{end}" for event in _LEAVES for end in ("Done", "Failed"))


class Shown(NamedTuple):
    """What became of the notes: how many are on cells, of how many cells with problems; sheets that take none."""

    notes: int
    cells: int
    protected: Tuple[str, ...] = ()
    owners: int = 0
    read_only: bool = False


class CellNotes:
    """The notes of one open workbook, whoever asked for them."""

    def __init__(self, desk: Desk, document: Any) -> None:
        self.desk, self.document = desk, document
        self.on, self.ours = True, False
        self.kept = bool(found_in(document))
        self.shown = Shown(0, 0)
        self._wanted: Dict[str, Dict[Spot, List[Problem]]] = {}
        self._out = False
        self._listener = _Events(self)
        document.addDocumentEventListener(self._listener)

    def show(self, asked_by: str, cells: Mapping[Spot, List[Problem]]) -> None:
        """The problems that one check found: notes of others stay, those of its own that are mended go."""
        self._wanted[asked_by] = dict(cells)
        if not self._out:
            self.shown = self._bring_up_to_date()

    def switch(self, on: bool) -> None:
        """On the cells, or off them."""
        self.on = on
        self.shown = self._bring_up_to_date()

    def keep(self, kept: bool) -> None:
        """The owner's word that they may be saved in the file, or that they may not any more."""
        if self.kept != kept:
            self.kept = kept
            self.document.setModified(True)

    @property
    def any(self) -> bool:
        """Whether there are notes of ours, on cells or out for a save."""
        return self.on and self.shown.notes > 0

    def end(self) -> None:
        """The workbook is being closed."""
        with suppress(Exception):
            self.document.removeDocumentEventListener(self._listener)

    def happened(self, event: str) -> None:
        """A save, a copy, an export or a print begins or is over."""
        if self.kept or copies.is_ours(self.document):
            return
        if event in _LEAVES:
            self._take_out()
        elif event in _BACK:
            self._put_back()
        elif event == "OnPrint" and not self._out and _prints_notes(self.document):
            self._take_out()
            after(self.desk, AFTER_PRINTING, self._put_back)

    def _take_out(self) -> None:
        self._out = True
        with self._unnoticed():
            _remove(self.document, found_in(self.document))

    def _put_back(self) -> None:
        if self._out:
            self._out = False
            self.shown = self._bring_up_to_date()

    def _bring_up_to_date(self) -> Shown:
        """Notes on the cells as they are wanted now; only what differs is touched."""
        together = self._together() if self.on else {}
        wanted = {spot: note_text(problems) for spot, problems in together.items()}
        there = found_in(self.document)
        stays = {spot for spot, text in there.items() if wanted.get(spot) == text}
        gone = {spot: text for spot, text in there.items() if spot not in stays}
        if self.document.isReadonly():
            return Shown(len(there), len(wanted), read_only=True)
        if not gone and len(stays) == len(wanted):
            return Shown(len(stays), len(wanted))
        with self._unnoticed(changes=bool(gone)):
            left = _remove(self.document, gone)
            new = {spot: text for spot, text in wanted.items() if spot not in stays}
            return self._put_on(new, len(stays) + left)._replace(cells=len(wanted))

    def _put_on(self, new: Mapping[Spot, str], there: int) -> Shown:
        """Notes on cells that have none, as many as there may be; `there` are on cells already."""
        own = _owners(self.document, new)
        protected = {sheet.Name for sheet in _sheets(self.document) if sheet.isProtected()}
        free = [spot for spot in new if spot not in own and spot.sheet not in protected]
        for spot in free[: max(0, MOST - there)]:
            sheet = self.document.Sheets.getByName(spot.sheet)
            at = CellAddress(sheet.RangeAddress.Sheet, spot.column, spot.row)
            with _no_undo_step(self.document):
                sheet.Annotations.insertNew(at, new[spot])
            there += 1
        none_on = sorted({spot.sheet for spot in new} & protected)
        return Shown(there, 0, tuple(none_on), len(own))

    def _together(self) -> Dict[Spot, List[Problem]]:
        """Problems of each cell from all checks; a cell within a merge counts as the one that shows."""
        names = set(self.document.Sheets.getElementNames())
        found: Dict[Spot, List[Problem]] = {}
        for cells in self._wanted.values():
            for spot, problems in cells.items():
                if spot.sheet in names:
                    shows = _that_shows(self.document, spot)
                    listed = found.setdefault(shows, [])
                    listed += [one for one in problems if one not in listed]
        return found

    @contextmanager
    def _unnoticed(self, changes: bool = False) -> Iterator[None]:
        """The modified state as it was, and one repaint; that notes which are kept in the file go is a change of it."""
        before = self.document.isModified()
        self.ours = True
        self.document.addActionLock()
        try:
            yield
        finally:
            self.document.removeActionLock()
            after_it = before or (self.kept and changes)
            if self.document.isModified() != after_it:
                self.document.setModified(after_it)
            self.ours = False


def found_in(document: Any) -> Dict[Spot, str]:
    """Notes of ours that are on the cells of a workbook."""
    return {spot: text for spot, text in _notes(document) if is_ours(text)}


def _notes(document: Any) -> Iterator[Tuple[Spot, str]]:
    for sheet in _sheets(document):
        notes = sheet.Annotations
        for number in range(notes.getCount()):
            note = notes.getByIndex(number)
            yield Spot(sheet.Name, note.Position.Column, note.Position.Row), note.getString()


def _owners(document: Any, wanted: Mapping[Spot, str]) -> Set[Spot]:
    """Cells with a note of the owner's."""
    return {spot for spot, text in _notes(document) if spot in wanted and not is_ours(text)}


def _sheets(document: Any) -> Iterator[Any]:
    for number in range(document.Sheets.getCount()):
        yield document.Sheets.getByIndex(number)


def _remove(document: Any, spots: Mapping[Spot, str]) -> int:
    """Take these notes off, a sheet at a time; how many stay because their sheet was protected meanwhile."""
    left = 0
    for sheet in _sheets(document):
        here = [spot for spot in spots if spot.sheet == sheet.Name]
        if not here:
            continue
        with _open_to_us(document, sheet) as can:
            if not can:
                left += len(here)
                continue
            at = sheet.RangeAddress.Sheet
            ranges = document.createInstance("com.sun.star.sheet.SheetCellRanges")
            addresses = [CellRangeAddress(at, spot.column, spot.row, spot.column, spot.row) for spot in here]
            ranges.addRangeAddresses(tuple(addresses), False)
            with _no_undo_step(document):
                ranges.clearContents(ANNOTATION)
    return left


@contextmanager
def _no_undo_step(document: Any) -> Iterator[None]:
    """For one step only: the office itself records undo steps again after each note that is put on or taken off."""
    undo = document.getUndoManager()
    undo.lock()
    try:
        yield
    finally:
        undo.unlock()


@contextmanager
def _open_to_us(document: Any, sheet: Any) -> Iterator[bool]:
    """A sheet that was protected after the note was put on; without a password it is opened for a moment."""
    if not sheet.isProtected():
        yield True
        return
    with suppress(Exception), _no_undo_step(document):
        sheet.unprotect("")
    if sheet.isProtected():
        yield False
        return
    try:
        yield True
    finally:
        with _no_undo_step(document):
            sheet.protect("")


def _that_shows(document: Any, spot: Spot) -> Spot:
    sheet = document.Sheets.getByName(spot.sheet)
    cursor = sheet.createCursorByRange(sheet.getCellByPosition(spot.column, spot.row))
    cursor.collapseToMergedArea()
    return Spot(spot.sheet, cursor.RangeAddress.StartColumn, cursor.RangeAddress.StartRow)


def _prints_notes(document: Any) -> bool:
    styles = document.StyleFamilies.getByName("PageStyles")
    return any(styles.getByIndex(number).PrintAnnotations for number in range(styles.getCount()))


class _Events(unohelper.Base, XDocumentEventListener):
    def __init__(self, notes: CellNotes) -> None:
        self.notes = notes

    def documentEventOccured(self, event: Any) -> None:
        """Called by the office; a fault here must not stop a save."""
        try:
            self.notes.happened(event.EventName)
        except Exception:
            self.notes.desk.fault()

    def disposing(self, _: Any) -> None:
        """The workbook is closed."""
