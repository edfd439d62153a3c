"""From the bytes of a workbook and some changes to new bytes, or to refusals: nothing is opened here.

Only the changed cells differ, the stored results that hang on them, and the zip's own sizes and places. Where a result
had to be taken away, the workbook part asks to be worked out when it is opened: a spreadsheet would else show a blank.
All changes are made or none; what was made is read again before it is given out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from xml.parsers import expat

from quotekit.problems import Place, Problem, error, has_errors
from quotekit.record import record
from quotekit.workbook.addresses import Position, address
from quotekit.workbook.in_place.calculated import Contents, Results, results_after
from quotekit.workbook.in_place.changes import CalculatedCell, Change, ChangedCell
from quotekit.workbook.in_place.contents import NOTHING, Content, same_content
from quotekit.workbook.in_place.dimmed import TAG
from quotekit.workbook.in_place.forbidden import file_refused
from quotekit.workbook.in_place.owners_book import OwnersBook, read_owners_book
from quotekit.workbook.in_place.raw_package import with_members
from quotekit.workbook.in_place.results import WorkOut
from quotekit.workbook.in_place.sheet_cells import find_cells
from quotekit.workbook.in_place.spans import Span
from quotekit.workbook.in_place.splice import with_attribute, with_cells
from quotekit.workbook.in_place.stored import stored_content
from quotekit.workbook.in_place.told import showing_old, to_work_out
from quotekit.workbook.in_place.wanted_changes import WantedChanges, read_wanted
from quotekit.workbook.package import BadPackage, package_of
from quotekit.workbook.xml_parts import parse_xml

_OTHER_KINDS = {
    ".xls": "the old format of workbooks",
    ".ods": "OpenDocument",
    ".xlsb": "the binary format of workbooks",
}
_SAVE_AS = "Save it as .xlsx in the spreadsheet and use that one."
_BEFORE_CALCULATION = ("sheets", "functionGroups", "externalReferences", "definedNames")
"""Elements of the workbook part that stand before `calcPr`, in their order."""


@record
class Edited:
    """A workbook with the changes in it."""

    data: bytes
    cells: tuple[ChangedCell, ...] = ()
    """Those that said something else before."""
    calculated: tuple[CalculatedCell, ...] = ()
    date_1904: bool = False


def edit_workbook(
    file: str, data: bytes, changes: Iterable[Change], work_out: WorkOut | None = None
) -> tuple[Edited | None, list[Problem]]:
    """The workbook with these changes, or what stands in their way; also what is to be known of them.

    `work_out` works out the results that hang on the changes; without it they are taken away, and named.
    """
    other = next((ending for ending in _OTHER_KINDS if file.lower().endswith(ending)), None)
    if other is not None:
        return None, [error(Place(file), "other-format", f"this is {_OTHER_KINDS[other]}", _SAVE_AS)]
    try:
        package = package_of(file, data)
        problems = file_refused(package)
        if problems:
            return None, problems
        book = read_owners_book(package)
        wanted, problems = read_wanted(book, changes)
        if has_errors(problems):
            return None, problems
        edited, found = _edited(book, wanted, work_out)
    except BadPackage as fault:
        return None, [error(Place(file, "", fault.cell), fault.code, str(fault), fault.remedy)]
    return edited, [*problems, *found]


def _edited(book: OwnersBook, wanted: WantedChanges, work_out: WorkOut | None) -> tuple[Edited, list[Problem]]:
    """The changes made. Raises BadPackage."""
    changed = {number: new for number in sorted(wanted.new) if (new := wanted.different(number))}
    if not changed:
        return Edited(data=book.package.data, date_1904=book.parts.date_1904), []
    results = results_after(book, changed, work_out, lambda new: _made(book, changed, new))
    data = _made(book, changed, results.new)
    _check(book, data, changed, results)
    cells = tuple(
        ChangedCell(sheet=book.name_of(number), cell=address(*at), old=wanted.old[number][at], new=content)
        for number, new in changed.items()
        for at, content in sorted(new.items())
    )
    problems = [*showing_old(book, results.reached)]
    emptied = [f"{one.sheet}!{one.cell}" for one in results.cells if one.emptied]
    problems += [to_work_out(book, emptied, results.why)] if emptied else []
    days = book.parts.date_1904
    return Edited(data=data, cells=cells, calculated=results.cells, date_1904=days), problems


def _made(book: OwnersBook, changed: Contents, results: Contents) -> bytes:
    """The workbook with new contents and results."""
    members = {
        book.part_of(number): with_cells(book.cells[number], changed.get(number, {}), results.get(number, {}))
        for number in sorted({*changed, *results})
    }
    if any(content.kind == "none" for new in results.values() for content in new.values()):
        name = book.package.members[book.parts.part.lower()].filename
        members[name] = worked_out_when_opened(book.package.read(name))
    return with_members(book.package.data, members)


def worked_out_when_opened(data: bytes) -> bytes:
    """The workbook part, asking to be worked out when it is opened. Raises BadPackage.

    >>> worked_out_when_opened(b'<workbook><sheets><sheet/></sheets><calcPr calcId="1"/></workbook>')
    b'<workbook><sheets><sheet/></sheets><calcPr calcId="1" fullCalcOnLoad="1"/></workbook>'
    >>> worked_out_when_opened(b'<x:workbook><x:sheets></x:sheets></x:workbook>')
    b'<x:workbook><x:sheets></x:sheets><x:calcPr fullCalcOnLoad="1"/></x:workbook>'
    """
    scan = _Outline(data)
    found = scan.calculation
    if found is not None:
        return (
            data[: found.start]
            + with_attribute(data[found.start : found.end], "fullCalcOnLoad", "1")
            + data[found.end :]
        )
    if not scan.before:
        raise BadPackage("broken-workbook", "the workbook part is written in an unusual way")
    made = f'<{scan.prefix}calcPr fullCalcOnLoad="1"/>'.encode()
    return data[: scan.before] + made + data[scan.before :]


class _Outline:
    """Where the workbook part's own element `calcPr` is, or belongs: not one in a comment or an extension."""

    def __init__(self, data: bytes) -> None:
        self.data, self.depth, self.opened, self.before = data, 0, 0, 0
        self.prefix = ""
        self.calculation: Span | None = None
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler, self.parser.EndElementHandler = self._start, self._end
        parse_xml("the workbook part", data, self.parser)

    def _start(self, tag: str, attributes: object) -> None:
        local = tag.rpartition(":")[2]
        if not self.depth:
            self.prefix = tag[: -len(local)]
        elif self.depth == 1:
            self.opened = self._tag_end()
            if local == "calcPr" and self.calculation is None:
                self.calculation = Span(self.parser.CurrentByteIndex, self.opened)
        self.depth += 1

    def _end(self, tag: str) -> None:
        self.depth -= 1
        if self.depth == 1 and tag.rpartition(":")[2] in _BEFORE_CALCULATION:
            self.before = self.opened if self.data.endswith(b"/>", 0, self.opened) else self._tag_end()

    def _tag_end(self) -> int:
        """Where the tag ends that the parser is at."""
        match = TAG.match(self.data, self.parser.CurrentByteIndex)
        if match is None:
            raise BadPackage("broken-workbook", "the workbook part is written in an unusual way")
        return match.end()


def _check(book: OwnersBook, data: bytes, changed: Contents, results: Results) -> None:
    """Read what was made: each cell must say what was asked for. Raises BadPackage."""
    package = package_of(book.package.file, data)
    everything: dict[int, dict[Position, Content]] = {}
    for new in (changed, results.new):
        for number, contents in new.items():
            everything.setdefault(number, {}).update(contents)
    for number, contents in everything.items():
        _check_sheet(book, number, package.read(book.part_of(number)), contents)


def _check_sheet(book: OwnersBook, number: int, data: bytes, contents: Mapping[Position, Content]) -> None:
    cells = find_cells(book.part_of(number), data, contents.keys(), formulas=False)
    for at, content in contents.items():
        found = stored_content(cells, cells.cells.get(at), {})
        empty = NOTHING if content.kind == "none" else content
        if not same_content(found, empty):
            where = address(*at)
            message = "the new value does not reach this cell; nothing was changed"
            raise BadPackage("change-not-made", message, "Change it by hand in the spreadsheet.", where)
