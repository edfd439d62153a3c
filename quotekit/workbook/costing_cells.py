"""Which figure stands in a cell of a costing: by the words at the start of its row and what stands over its column.

The sheets are read as they are, so rows an owner put between do no harm. What a line alone does not tell, such as
whether a name is a fee or a saving, is looked up in `lines`: the figure of a line by its name.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from quotekit.documents.costing import EXPLAINED, INPUTS, SUMMARY
from quotekit.record import record
from quotekit.workbook.addresses import Position
from quotekit.workbook.cell_texts import cells_in
from quotekit.workbook.read_costing import LABELS
from quotekit.workbook.returned_cells import RawCell, RawWorkbook

Lines = Mapping[str, str]

PART_OF = " > "
"""Between a figure and the line of it that a cell shows, which may be left out: `amounts.labour > labour at MAIN`."""

_TIER = re.compile(r"(.*)\s\(([^()]+)\)", re.DOTALL)
_CODED = re.compile(r".*\(([^()]+)\)(?:, [^()]*)?", re.DOTALL)
_SECTIONS = (
    ("Price, cost and margin", "money"),
    ("Hours, built up", "hours"),
    ("Parts and packs", "parts"),
    ("Fair share of each item", "shares"),
    ("Offered beside it", "extras"),
    ("What is done", ""),
    ("What was found", ""),
)
_MORE_OF_SUMMARY = {
    "Choices compared": "compared",
    "Hours billed": "hours.billed",
    "Hours worked, before hours off": "hours",
    "Margin of the subtotal": "margin > ",
    "Margin for each hour worked": "margin > ",
}
_WHOLE_LINES = {
    "Work": {5: "work"},
    "Subtotal": {5: "subtotal", 6: "cost.total", 7: "margin"},
    "Total to pay": {5: "total"},
    "Due": {5: "due"},
    "Deposit when work is agreed": {5: "deposit"},
    "Cash to spend on parts, whole packs": {5: "cash_for_parts"},
    "Inspection fee": {5: "amounts.inspection"},
    "Inspection fee credited": {5: "amounts.inspection_credit"},
    "Labour, up to the minimum": {3: "hours.minimum_added", 5: "amounts.labour > "},
    "Freight of these packs, not charged": {6: "cost.freight > "},
}
_HOURS_LINES = {"Hours off by bundles": "hours.off", "Added by the minimum": "hours.minimum_added"}
_SHARES = {3: "hours", 4: "labour", 5: "parts", 6: "sublet", 7: "amount"}
_EXTRAS = {3: "why", 5: "price", 6: "at_most", 7: "work", 8: "tax", 9: "total"}
_PART = {3: "quantity", 4: "packs"}
_PRICED_PART = {3: "quantity", 4: "unit_price", 5: "amount"}


@record
class CostingCell:
    """What a cell holds: a figure of a tier, or the cells of the workbooks that it names; neither where it has none."""

    tier: str | None = None
    figure: str = ""
    words: str = ""
    places: tuple[str, ...] = ()
    cell: RawCell | None = None


def costing_cell(raw: RawWorkbook, sheet: str, at: Position, lines: Lines) -> CostingCell:
    """What stands in a cell of a costing."""
    cells = raw.sheets.get(sheet, {})
    cell = cells.get(at)
    found = CostingCell(words=_text(cells.get((at[0], 1))), cell=cell)
    named = tuple(sorted(cells_in(_text(cell))))
    if named and sheet != SUMMARY and (sheet != INPUTS or at[1] == 4):
        return _with(found, places=named)
    if sheet == SUMMARY:
        return _of_summary(cells, at, found)
    if sheet == EXPLAINED:
        return _of_every_number(raw, cells, at, found)
    if sheet == INPUTS:
        return _with(found, places=tuple(sorted(cells_in(_text(cells.get((at[0], 4)))))))
    title = _TIER.fullmatch(_text(cells.get((1, 1))))
    return _with(found, tier=title[2], figure=_of_tier(cells, at, found.words, lines)) if title else found


def _of_summary(cells: Mapping[Position, RawCell], at: Position, found: CostingCell) -> CostingCell:
    row, column = at
    if found.words == "A no costs":
        return _with(found, tier=None, figure="declined.total")
    for above in range(row - 1, 0, -1):
        head = _TIER.fullmatch(_text(cells.get((above, column))))
        if head and not _text(cells.get((above, 1))):
            figure = LABELS.get(found.words) or _MORE_OF_SUMMARY.get(found.words, "")
            return _with(found, tier=head[2], figure=figure if column > 1 else "")
    return found


def _of_every_number(
    raw: RawWorkbook, cells: Mapping[Position, RawCell], at: Position, found: CostingCell
) -> CostingCell:
    """A figure by its own name, in the section of its tier."""
    codes = dict(_tiers(raw))
    row = next((row for row in range(at[0], 0, -1) if _text(cells.get((row, 2)))), 0)
    figure = _text(cells.get((row, 1)))
    title = next((name for above in range(row, 0, -1) if (name := _text(cells.get((above, 1)))) in codes), "")
    return _with(found, tier=codes[title], figure=figure, words=figure) if title and figure else found


def _tiers(raw: RawWorkbook) -> list[tuple[str, str]]:
    """Name and code of each tier, as the summary heads its columns."""
    return [
        (match[1], match[2])
        for (_, column), cell in sorted(raw.sheets.get(SUMMARY, {}).items())
        if column > 1 and (match := _TIER.fullmatch(_text(cell)))
    ]


def _of_tier(cells: Mapping[Position, RawCell], at: Position, words: str, lines: Lines) -> str:
    """The figure of a cell on a tier's own sheet; empty where it has none of its own."""
    section = _section(cells, at[0])
    column, code = at[1], _CODED.fullmatch(words)
    if section == "money":
        return _of_money(column, words, lines)
    if section == "hours":
        return _of_hours(cells, at, words, code[1] if code else words)
    key = code[1] if code else words
    if section == "parts" and code:
        return f"parts.{key}.{_PART[column]}" if column in _PART else "cash_for_parts > " if column == 7 else ""
    if section == "shares" and column in _SHARES and words != "Item":
        return f"shares.{key}.{_SHARES[column]}"
    return f"extras.{key}.{_EXTRAS[column]}" if section == "extras" and code and column in _EXTRAS else ""


def _section(cells: Mapping[Position, RawCell], row: int) -> str:
    for above in range(row, 0, -1):
        words = _text(cells.get((above, 1)))
        for title, section in _SECTIONS:
            if words.startswith(title):
                return section
    return ""


def _of_money(column: int, words: str, lines: Lines) -> str:
    if words in _WHOLE_LINES:
        return _WHOLE_LINES[words].get(column, "")
    if words.startswith("Over ") and " years at " in words and column == 5:
        return "horizon_cost"
    figure = lines.get(words, "")
    if figure.startswith("parts.") and column == 6:
        return f"cost.parts_used > cost of {figure[len('parts.') :]}"
    if figure.startswith("parts."):
        return (
            f"{figure}.{_PRICED_PART[column]}"
            if column in _PRICED_PART
            else "cost.parts_used > "
            if column == 6
            else ""
        )
    if figure.startswith("hours.billed."):
        labour = f"amounts.labour > labour at {figure[len('hours.billed.') :]}"
        return {3: figure, 5: labour, 6: "cost.labour > "}.get(column, "")
    for start, of in (("Core charge, ", "cores"), ("Supplies, ", "supplies"), ("Freight, ", "freight")):
        if words.startswith(start):
            figure = f"amounts.{of}{' > ' if of != 'supplies' else ''}"
    if column == 6:
        of = figure.partition(PART_OF)[0].partition(".")[2]
        return f"cost.{of} > " if of in ("sublet", "cores", "freight") else ""
    tax = lines.get(words.rpartition(", on ")[0], "")
    return (figure or tax) if column == 5 else ""


def _of_hours(cells: Mapping[Position, RawCell], at: Position, words: str, code: str) -> str:
    row, column = at
    if words.startswith("Allowance"):
        return "hours.allowance" if column == 3 else ""
    if words in _HOURS_LINES:
        return _HOURS_LINES[words] if column == 3 else ""
    heads = {_text(cells.get((above, 1))) for above in range(row - 1, max(0, row - 200), -1)}
    if words == "Together" and column == 3:
        return "hours.net" if "Net hours of the work itself" in heads else "hours.access"
    if "Labour rate" in heads:
        return {7: f"hours.billed.{code}", 9: f"amounts.labour > labour at {code}"}.get(column, "")
    return ""


def _with(found: CostingCell, **more: object) -> CostingCell:
    from dataclasses import replace

    return replace(found, **more)  # type: ignore[arg-type]


def _text(cell: RawCell | None) -> str:
    value = None if cell is None else cell.value
    return value if isinstance(value, str) else "" if value is None or isinstance(value, bool) else f"{value:f}"
