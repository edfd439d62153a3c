"""What is said beside a change: protection, rules for typing, pivot tables and charts that show old figures.

None of it stops the change, for the owner asked for it. Pivot tables and the pictures of charts that are stored with a
workbook are left as they are: a spreadsheet draws charts anew when it opens the file, and a pivot table when told to.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from quotekit.problems import Place, Problem, warning
from quotekit.workbook.addresses import Position, address
from quotekit.workbook.in_place.contents import Content
from quotekit.workbook.in_place.dependents import Spot
from quotekit.workbook.in_place.owners_book import OwnersBook
from quotekit.workbook.in_place.references import ordered, reads_of
from quotekit.workbook.in_place.spans import SheetCells, rectangle_of
from quotekit.workbook.in_place.typing_rules import allowed
from quotekit.workbook.xml_parts import Attributes, parse_small_part


def protected(book: OwnersBook, number: int) -> Iterator[Problem]:
    """A word where the sheet is protected."""
    on = [one for name, one, _ in book.cells[number].around if name == "sheetProtection"]
    if any(one.get("sheet") in ("1", "true") for one in on):
        place = Place(book.package.file, book.name_of(number))
        message = "the sheet is protected; the ticked cells were changed all the same"
        yield warning(place, "sheet-protected", message, "See that this is what you meant.")


def against_rules(book: OwnersBook, number: int, new: dict[Position, Content]) -> Iterator[Problem]:
    """A word for each new value that the cell's own rule for typing would not let through."""
    cells = book.cells[number]
    rules = list(_rules(cells))
    for at, content in new.items():
        for about, formulas in rules:
            areas = (rectangle_of(one) for one in about.get("sqref", "").split())
            if content.kind == "none" or not any(area is not None and area.holds(at) for area in areas):
                continue
            if allowed(about, formulas, content) is False:
                place = Place(book.package.file, book.name_of(number), address(*at))
                message = f"the cell's own rule for typing does not allow {content}"
                yield warning(place, "against-typing-rule", message, "Look at the cell's validation.", str(content))


def _rules(cells: SheetCells) -> Iterator[tuple[Attributes, list[str]]]:
    """Rules for typing with their one or two formulas; those of later versions of the format are not looked at."""
    about: Attributes | None = None
    formulas: list[str] = []
    for place, (name, attributes, _) in enumerate(cells.around):
        if name == "dataValidation":
            if about is not None:
                yield about, formulas
            about, formulas = attributes, []
        elif name in ("formula1", "formula2") and about is not None:
            formulas.append(cells.texts.get(place, ""))
    if about is not None:
        yield about, formulas


def showing_old(book: OwnersBook, changed: Collection[Spot]) -> Iterator[Problem]:
    """A word for pivot tables and charts made from what changed."""
    charts = pivots = 0
    for name in sorted(book.package.members):
        if name.startswith("xl/charts/") and name.endswith(".xml"):
            charts += any(_reads(book, text, changed) for text in _chart_sources(book, name))
        elif name.startswith("xl/pivotcache/pivotcachedefinition") and name.endswith(".xml"):
            pivots += _pivot_reads(book, name, changed)
    place = Place(book.package.file)
    if charts:
        message = f"{charts} of its charts keep a picture with the figures of before"
        remedy = "Open the workbook in the spreadsheet, which draws them anew, and save it."
        yield warning(place, "chart-as-before", message, remedy)
    if pivots:
        message = f"{pivots} of its pivot tables are made from what changed and show the figures of before"
        yield warning(place, "pivot-as-before", message, "Open the workbook in the spreadsheet and refresh them.")


def _chart_sources(book: OwnersBook, part: str) -> list[str]:
    found: list[str] = []
    held: list[str] = []

    def start(tag: str, attributes: Attributes) -> None:
        held.clear()

    def end(tag: str) -> None:
        if tag == "f":
            found.append("".join(held))

    parse_small_part(book.package, part, start, end, held.append)
    return found


def _reads(book: OwnersBook, text: str, changed: Collection[Spot]) -> bool:
    """True where a reference takes in a changed cell; names are followed one step."""
    first = min(book.worksheets, default=0)
    found = reads_of(text, first, book.sheets)
    for used in found.names:
        meant = book.names.get((used.sheet, used.name.casefold()), book.names.get((None, used.name.casefold()), ""))
        found.areas += reads_of(meant, first, book.sheets).areas
    return any(
        one.first_sheet <= sheet <= one.last_sheet and ordered(one).area.holds((row, column))
        for one in found.areas
        for sheet, row, column in changed
    )


def _pivot_reads(book: OwnersBook, part: str, changed: Collection[Spot]) -> bool:
    source: Attributes = {}

    def start(tag: str, attributes: Attributes) -> None:
        if tag == "worksheetSource":
            source.update(attributes)

    parse_small_part(book.package, part, start)
    sheet = book.sheets.get(source.get("sheet", "").casefold())
    area = rectangle_of(source.get("ref", ""))
    table = book.tables.get(source.get("name", "").casefold())
    if table is not None:
        sheet, area = table.sheet, table.area
    if area is None or sheet is None:
        return bool(source) and _reads(book, source.get("name", ""), changed)
    return any(number == sheet and area.holds((row, column)) for number, row, column in changed)


def to_work_out(book: OwnersBook, cells: Sequence[str], why: str) -> Problem:
    """The word that some results are gone until the workbook is opened and saved; the first few are named."""
    named = ", ".join(cells[:_NAMED]) + (f" and {len(cells) - _NAMED} more" if len(cells) > _NAMED else "")
    message = f"results that hang on what changed were taken away, because {why}: {named}"
    when_told = book.calculation.get("calcMode") == "manual"
    worked = ", have it worked out (it is set to do so only when told)," if when_told else ""
    remedy = f"Open the workbook in the spreadsheet{worked} and save it once before it is used."
    return warning(Place(book.package.file), "formulas-to-work-out", message, remedy)


_NAMED = 12
