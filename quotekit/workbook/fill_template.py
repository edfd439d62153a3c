"""Templates of the shop are filled: values into marked cells, one row for each line, all else as the owner made it.

openpyxl opens and saves the template; what it does not keep (pictures with their cut and alt text, drawings, charts,
headers and footers with their fonts) is carried over as it stands in the file (`keep_drawings`). Text is text, never a
formula. Equal inputs give equal bytes. Where a mark is missing or unknown nothing is written.
"""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import replace
from io import BytesIO
from typing import Any, NamedTuple

from openpyxl.workbook.defined_name import DefinedName

from quotekit.documents.filling import CellValue, SheetFilling, Shown
from quotekit.problems import Place, Problem, error, has_errors, warning
from quotekit.record import record
from quotekit.workbook.cannot_write import CannotWrite
from quotekit.workbook.carried_parts import check_parts
from quotekit.workbook.copy_template_sheet import copy_template_sheet
from quotekit.workbook.fill_cells import fill_sheet, rows_of, sheet_title
from quotekit.workbook.keep_drawings import KeptSheet, Saved, header_marks, kept_sheets, save_filled
from quotekit.workbook.move_rows import InOrder, move_rows
from quotekit.workbook.moved_formula import SheetMove, moved_formula
from quotekit.workbook.needed_rows import needed_rows
from quotekit.workbook.package import BadPackage, Package, package_of
from quotekit.workbook.row_map import RowMap
from quotekit.workbook.template_check import check_filling
from quotekit.workbook.template_faults import mark_faults
from quotekit.workbook.template_marks import PREFIX, SheetMarks, find_marks, mark_names


@record
class Template:
    """A template as a checked package; `package.file` is its name for people."""

    package: Package


class _Part(NamedTuple):
    """A sheet of the document: the sheet itself, its name in the template, and what goes into it, if anything."""

    sheet: Any
    was: str
    marks: SheetMarks | None = None
    filling: SheetFilling | None = None
    rows: RowMap = RowMap()


def template_of(file: str, data: bytes) -> Template:
    """A template from its bytes. Raises BadPackage where they are no workbook."""
    return Template(package=package_of(file, data))


def fill_template(template: Template, fillings: Sequence[SheetFilling]) -> tuple[bytes | None, list[Problem]]:
    """The filled workbook: a sheet for each filling, and the owner's own sheets; or all that is in the way."""
    package = template.package
    try:
        check_parts(package)
        kept = kept_sheets(package)
    except BadPackage as fault:
        return None, [error(Place(package.file), fault.code, str(fault), fault.remedy)]
    book = _opened(package)
    if book is None:
        return None, [_unreadable(package.file)]
    marks, problems = find_marks(package.file, book)
    marks = [_with_header(one, kept[one.sheet.casefold()]) for one in marks]
    problems = problems or [*mark_faults(package.file, book, marks), *check_filling(package.file, marks, fillings)]
    if has_errors(problems):
        return None, problems
    lost = [*problems, *_lost(package.file, _sheets_of(book, marks, fillings), kept)]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return save_filled(book, package, _fill(book, _laid_out(book, marks, fillings))), lost
    except CannotWrite as refused:
        return None, [error(Place(package.file), "too-large", str(refused), "Shorten it where it is typed.")]


def _opened(package: Package) -> Any:
    """The workbook as openpyxl reads it, None where it can't."""
    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = load_workbook(BytesIO(package.data), rich_text=True)
    except Exception:  # a library's own faults are of many kinds
        return None
    book.template = False
    for sheet in book.worksheets:
        in_order = InOrder()
        in_order.ranges.update(sheet.merged_cells.ranges)
        sheet.merged_cells = in_order
    return book


def _lost(file: str, titles: Sequence[str], kept: Mapping[str, KeptSheet]) -> list[Problem]:
    """What sheets of the template hold that the document will not."""
    remedy = "Do without it in the template, or add it to the document by hand."
    return [
        warning(Place(file, title), "template-loses", f"the document will not have the template's {words}", remedy)
        for title in titles
        for words in kept[title.casefold()].lost
    ]


def _sheets_of(book: Any, marks: Sequence[SheetMarks], fillings: Sequence[SheetFilling]) -> list[str]:
    """Sheets of the template that come into the document, the owner's own too."""
    wanted = {filling.role for filling in fillings}
    left_out = {one.sheet for one in marks if one.role not in wanted}
    return [sheet.title for sheet in book.worksheets if sheet.title not in left_out]


def _unreadable(file: str) -> Problem:
    remedy = "Open it in the spreadsheet and save it again, or write a fresh one with `quotekit new`."
    return error(Place(file), "broken-workbook", "the template cannot be opened", remedy)


def _with_header(marks: SheetMarks, kept: KeptSheet) -> SheetMarks:
    """Marks of headers and footers are marks without a cell."""
    return replace(marks, values={**dict.fromkeys(sorted(header_marks(kept)), ()), **marks.values})


def _laid_out(book: Any, marks: Sequence[SheetMarks], fillings: Sequence[SheetFilling]) -> list[_Part]:
    """The sheets of the document; a marked sheet nothing goes into is taken out."""
    by_sheet = {one.sheet: one for one in marks}
    found = []
    for sheet in list(book.worksheets):
        of_sheet = by_sheet.get(sheet.title)
        wanted = [one for one in fillings if of_sheet and one.role == of_sheet.role]
        if of_sheet is None:
            found.append(_Part(sheet, sheet.title))
        elif not wanted:
            book.remove(sheet)
        else:
            found += _copies(book, sheet, of_sheet, wanted)
    book.active = 0
    book.calculation.fullCalcOnLoad = True
    return found


def _copies(book: Any, sheet: Any, marks: SheetMarks, fillings: Sequence[SheetFilling]) -> list[_Part]:
    was = sheet.title
    sheets = [sheet]
    for _ in fillings[1:]:
        taken = [other.title for other in book.worksheets]
        sheets.append(copy_template_sheet(book, sheets[0], sheet_title(was, taken)))
    places = sorted(book.index(one) for one in sheets)
    for one, place in zip(sheets, places, strict=True):
        book.move_sheet(one, offset=place - book.index(one))
    rows = [rows_of(marks, filling) for filling in fillings]
    return [
        _Part(one, was, marks, filling, of_sheet.keeping(needed_rows(book, was, of_sheet.going)))
        for one, filling, of_sheet in zip(sheets, fillings, rows, strict=True)
    ]


def _fill(book: Any, parts: Sequence[_Part]) -> list[Saved]:
    titles = _titles(parts)
    marked = {name for part in parts if part.marks for name in part.marks.values}
    shared = [key for key in book.defined_names if key.casefold().removeprefix(PREFIX) in marked]
    base = {part.was.casefold(): SheetMove(rows=part.rows, title=title) for part, title in reversed(titles)}
    _clear_names(book)
    for defined in book.defined_names.values():
        defined.attr_text = moved_formula(f"={defined.attr_text}", "", base)[1:]
    saved = []
    for number, (part, _) in enumerate(titles):
        part.sheet.title = f"~{number}~"
    for part, title in titles:
        moves = {**base, part.was.casefold(): SheetMove(rows=part.rows, title=title)}
        move_rows(part.sheet, part.was, moves)
        for defined in part.sheet.defined_names.values():
            defined.attr_text = moved_formula(f"={defined.attr_text}", part.was, moves)[1:]
        part.sheet.title = title
        if part.marks is not None and part.filling is not None:
            fill_sheet(part.sheet, part.marks, part.filling, part.rows)
        saved.append(Saved(of=part.was, moves=moves, texts=_texts(part.filling)))
    _share_names(book, shared, [part.sheet for part, _ in titles])
    return saved


def _share_names(book: Any, names: Sequence[str], sheets: Sequence[Any]) -> None:
    """Marks that were names of the whole workbook are that again: a formula on any sheet may speak of them."""
    for name in names:
        known = (sheet.defined_names for sheet in sheets)
        found = next((of[key] for of in known for key in of if key.casefold() == name.casefold()), None)
        if found is not None:
            book.defined_names[name] = DefinedName(name, attr_text=found.attr_text)


def _titles(parts: Sequence[_Part]) -> list[tuple[_Part, str]]:
    """Each sheet's name in the document: the owner's own sheets keep theirs."""
    taken = {part.was for part in parts if part.filling is None}
    found = []
    for part in parts:
        title = part.was
        if part.filling is not None:
            title = sheet_title(part.filling.title or part.was, taken)
            taken.add(title)
        found.append((part, title))
    return found


def _clear_names(book: Any) -> None:
    for sheet in book.worksheets:
        for names, key in list(mark_names(sheet, book)):
            names.pop(key, None)


def _texts(filling: SheetFilling | None) -> Mapping[str, str]:
    return {name: _text(value) for name, value in filling.values.items()} if filling else {}


def _text(value: CellValue) -> str:
    plain = value.value if isinstance(value, Shown) else value
    return "" if plain is None else str(plain)
