"""Changes cells of the owner's own file, and undoes that; the file is the old one or the new one, never half of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Literal

from quotekit.problems import Place, Problem, error, has_errors
from quotekit.record import record
from quotekit.workbook.addresses import address
from quotekit.workbook.in_place.changes import Change, ChangedFile
from quotekit.workbook.in_place.contents import NOTHING, Content, same_content
from quotekit.workbook.in_place.edit_workbook import Edited, edit_workbook
from quotekit.workbook.in_place.office_results import contents_of, office_work_out
from quotekit.workbook.in_place.replace_file import ChangedMeanwhile, cannot_replace, changed_since, replace_file
from quotekit.workbook.in_place.results import WorkOut
from quotekit.workbook.in_place.spans import position_of
from quotekit.workbook.package import BadPackage, open_package

IN_OFFICE: Literal["office"] = "office"
"""Results are worked out in LibreOffice where it is installed."""

Working = WorkOut | Literal["office"] | None
"""What works out results that hang on the changes; None takes them away."""


@record
class Prepared:
    """A change of a workbook that was thought out and not made: the file as it was read, and as it is to be."""

    path: Path
    data: bytes
    edited: Edited

    @property
    def changes(self) -> bool:
        """False where every cell says already what it should."""
        return self.edited.data != self.data

    def told(self, kept: str) -> ChangedFile:
        """What it does, with the name of the copy of the old file; a link is told by the file that it leads to."""
        return ChangedFile(
            file=self.path.resolve().name,
            before=sha256(self.data).hexdigest(),
            after=sha256(self.edited.data).hexdigest(),
            kept=kept,
            cells=self.edited.cells,
            calculated=self.edited.calculated,
            date_1904=self.edited.date_1904,
        )


def put_in_place(
    path: Path, changes: Iterable[Change], *, expected_sha256: str, day: date, work_out: Working = IN_OFFICE
) -> tuple[ChangedFile | None, list[Problem]]:
    """Change cells of a workbook where it stands, all of them or none.

    The record says what each cell held and holds, which results changed or were taken away, and the name of the copy
    of the old file. Where every cell says already what it should, nothing is written and no copy is made.
    Raises OSError where the disk refuses.

    Parameters
    ----------
    expected_sha256
        Of the file as it was when the changes were thought out; another file is refused.
    day
        Today, for the name of the copy.
    work_out
        What works out results that hang on the changes: LibreOffice where it is installed, which is asked for with
        English separators (`office_work_out` gives one for another language); None takes them away.
    """
    prepared, problems = prepare_change(path, changes, expected_sha256=expected_sha256, work_out=work_out)
    return _put(prepared, day, problems)


def undo(
    path: Path, changed: ChangedFile, *, day: date, work_out: Working = IN_OFFICE
) -> tuple[ChangedFile | None, list[Problem]]:
    """Put back what the changed cells held; one that says something else since then is refused, and all with it.

    A file that nobody has saved since becomes the old one again, byte for byte, while its dated copy is still there.
    In one that was worked in since, the cells alone are put back. Raises OSError where the disk refuses.
    """
    prepared, problems = prepare_undo(path, changed, work_out=work_out)
    return _put(prepared, day, problems)


def prepare_change(
    path: Path, changes: Iterable[Change], *, expected_sha256: str, work_out: Working = IN_OFFICE
) -> tuple[Prepared | None, list[Problem]]:
    """Think a change out: nothing is written. Raises OSError where the disk refuses."""
    data, problems = _read(path)
    if data is None:
        return None, problems
    changed = changed_since(path, expected_sha256, data)
    if changed is not None:
        return None, [changed]
    return _edited(path, data, [*changes], work_out)


def prepare_undo(
    path: Path, changed: ChangedFile, *, work_out: Working = IN_OFFICE
) -> tuple[Prepared | None, list[Problem]]:
    """Think out how what was changed is put back: nothing is written. Raises OSError where the disk refuses."""
    data, problems = _read(path)
    if data is None:
        return None, problems
    old = _kept(path, changed) if sha256(data).hexdigest() == changed.after else None
    if old is not None:
        cells = tuple(replace(one, old=one.new, new=one.old) for one in changed.cells)
        calculated = tuple(replace(one, old=one.new, new=one.old) for one in changed.calculated)
        edited = Edited(data=old, cells=cells, calculated=calculated, date_1904=changed.date_1904)
        return Prepared(path=path, data=data, edited=edited), []
    problems = [*_differing(path, data, changed)]
    if problems:
        return None, problems
    back = [Change(one.sheet, one.cell, one.old) for one in changed.cells]
    return _edited(path, data, back, work_out)


def _edited(
    path: Path, data: bytes, changes: Sequence[Change], work_out: Working
) -> tuple[Prepared | None, list[Problem]]:
    program = office_work_out(ending=path.suffix.lower()) if isinstance(work_out, str) else work_out
    edited, problems = edit_workbook(path.name, data, changes, program)
    if edited is None or has_errors(problems):
        return None, problems
    return Prepared(path=path, data=data, edited=edited), problems


def _put(prepared: Prepared | None, day: date, problems: list[Problem]) -> tuple[ChangedFile | None, list[Problem]]:
    """Put what was thought out in place, and tell what was done."""
    if prepared is None:
        return None, problems
    kept = ""
    if prepared.changes:
        try:
            kept = replace_file(prepared.path, prepared.data, prepared.edited.data, day)
        except ChangedMeanwhile as fault:
            return None, [fault.problem]
    return prepared.told(kept), problems


def _read(path: Path) -> tuple[bytes | None, list[Problem]]:
    """The bytes of a workbook that may be written to."""
    package, problems = open_package(path)
    if package is None:
        return None, problems
    problems = [*cannot_replace(path)]
    return (None, problems) if problems else (package.data, [])


def _kept(path: Path, changed: ChangedFile) -> bytes | None:
    """The old file, where its copy is still there and unchanged."""
    copy = path.resolve().with_name(changed.kept) if changed.kept else None
    if copy is None or not copy.is_file():
        return None
    data = copy.read_bytes()
    return data if sha256(data).hexdigest() == changed.before else None


def _differing(path: Path, data: bytes, changed: ChangedFile) -> Iterator[Problem]:
    """A refusal for each cell that no longer says what it was changed to."""
    wanted = {(one.sheet.casefold(), one.cell) for one in changed.cells}
    try:
        now = contents_of(path.name, data, wanted)
    except BadPackage as fault:
        yield error(Place(path.name, "", fault.cell), fault.code, str(fault), fault.remedy)
        return
    for one in changed.cells:
        at = position_of(one.cell)
        found = now.get((one.sheet.casefold(), address(*at) if at else ""), NOTHING)
        if not _still(found, one.new):
            was, now_says = (_kind_told(each, other) for each, other in ((one.new, found), (found, one.new)))
            message = f"the cell says {now_says} now, not {was}: it was changed since"
            remedy = "Change it by hand, or leave it as it is now."
            yield error(Place(path.name, one.sheet, one.cell), "cell-changed-since", message, remedy, str(found))


def _kind_told(one: Content, other: Content) -> str:
    """A content in words; where another one reads the same, with its kind."""
    return f"the {one.kind} {one}" if str(one) == str(other) and one.kind != "none" else str(one)


def _still(found: Content, new: Content) -> bool:
    """True where a cell still says what was put in; a truth value may have become its formula or number."""
    if new.kind == "boolean" and found.kind == "number":
        return found.text == new.text
    return same_content(found, new)
