"""What was picked in a returned quote: the option and the extras, in every form a spreadsheet or a person writes it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from quotekit.documents.content_changes import CellChange
from quotekit.documents.fingerprint import CHOSEN_TIER
from quotekit.documents.option_mentions import OfferedOption, option_meant, options_mentioned
from quotekit.documents.tick_words import counted, ticked
from quotekit.problems import Place, Problem, error, has_errors, warning
from quotekit.workbook.addresses import address
from quotekit.workbook.returned_cells import RawCell
from quotekit.workbook.returned_facts import ReturnedExtra, ReturnedQuote

Said = str | bool | Decimal | None

_ASK = "Ask the customer which one is meant."
_NOT_FOLLOWED = "What the customer saw as the total did not follow it: tell the customer the right one."
_NUMBERED = re.compile(r"(option [1-9])\s*[:.]", re.IGNORECASE)
_REFUSAL = "i decline"
_TRUTHS = {"b1": True, "=1": True, "=1=1": True, "b0": False, "=0": False}


@dataclass(frozen=True, kw_only=True)
class PaperBox:
    """A box of the decision in which a person typed; `option` is the one it stands before, None for the refusal."""

    change: CellChange
    place: Place
    option: OfferedOption | None
    ticked: bool
    text: str


def said_in(cell: RawCell) -> Said:
    """What a cell of the choice says: of a formula what it gives, and TRUE() where nothing is stored."""
    return _TRUTHS.get(cell.canonical, cell.value)


def _unreadable(cell: RawCell) -> bool:
    """True for an error, and for a formula whose result was not stored."""
    return cell.kind == "e" or cell.formula is not None


def paper_boxes(quote: ReturnedQuote, changes: Iterable[CellChange]) -> list[PaperBox]:
    """Boxes in column A that hold a mark now where something else was sent, each before one option or the refusal."""
    return [box for change in changes if (box := _paper_box(quote, change)) is not None]


def _paper_box(quote: ReturnedQuote, change: CellChange) -> PaperBox | None:
    cells = quote.raw.sheets.get(change.sheet, {})
    cell = cells.get((change.row, change.column))
    if change.column != 1 or change.sheet != quote.choice_sheet or cell is None or cell.formula is not None:
        return None
    beside = (cells[change.row, column] for column in range(2, 12) if (change.row, column) in cells)
    words = " ".join(str(next(beside, cell).value).split())
    numbered = _NUMBERED.match(words)
    option = option_meant(numbered[1], quote.options) if numbered else None
    tick = ticked(cell.value)
    if tick is None or (option is None and not words.casefold().startswith(_REFUSAL)):
        return None
    place = Place(quote.raw.file, change.sheet, address(change.row, change.column))
    return PaperBox(change=change, place=place, option=option, ticked=tick, text=cell.shown)


def read_option(quote: ReturnedQuote, boxes: Iterable[PaperBox]) -> tuple[OfferedOption | None, list[Problem]]:
    """The option chosen in the drop-down or by a box."""
    chosen, problems = _read_drop_down(quote)
    if has_errors(problems):
        return None, problems
    for box in boxes:
        if not box.ticked or (chosen is not None and box.option == chosen):
            continue
        if chosen is not None or box.option is None:
            return None, [_against(chosen, box)]
        chosen = box.option
        message = f"{chosen.label} is ticked here, not in the drop-down."
        problems.append(warning(box.place, "tick-not-counted", message, _NOT_FOLLOWED, box.text))
    if chosen is None:
        return None, [error(quote.place(CHOSEN_TIER), "no-option-chosen", "No option is chosen.", _ASK)]
    return chosen, problems


def _against(chosen: OfferedOption | None, box: PaperBox) -> Problem:
    """A box that cannot stand beside what is chosen already, or that refuses the work."""
    if chosen is None:
        remedy = "Nothing is to be priced: what is then to pay, the quote says."
        return error(box.place, "work-declined", "The customer declines the work.", remedy, box.text)
    other = f"{box.option.label} in this box" if box.option else "in this box, that the work is declined"
    message = f"Two things are chosen: {chosen.label}, and {other}."
    return error(box.place, "two-options-ticked", message, _ASK, box.text)


def _read_drop_down(quote: ReturnedQuote) -> tuple[OfferedOption | None, list[Problem]]:
    cell, place = quote.cell(CHOSEN_TIER), quote.place(CHOSEN_TIER)
    said = said_in(cell)
    text = f"{said:f}" if isinstance(said, Decimal) else said if isinstance(said, str) else ""
    if (said is None and not _unreadable(cell)) or (isinstance(said, str) and not said.strip()):
        return None, []
    chosen = option_meant(text, quote.options)
    if chosen is not None:
        exact = {chosen.code, chosen.label, f"Option {quote.options.index(chosen) + 1}"}
        message = f"{chosen.label} is meant, but it is not spelled as in the list."
        followed = [] if text in exact else [warning(place, "tick-not-counted", message, _NOT_FOLLOWED, cell.shown)]
        return chosen, followed
    mentioned = options_mentioned(text, quote.options)
    if len(mentioned) > 1:
        message = f"Two options are chosen: {' and '.join(option.label for option in mentioned)}."
        return None, [error(place, "two-options-ticked", message, _ASK, cell.shown)]
    offered = ", ".join(option.label for option in quote.options)
    message = f"This is none of the options: {offered}."
    near = f"Did the customer mean {mentioned[0].label}?" if mentioned else _ASK
    return None, [error(place, "unknown-option", message, near, cell.shown)]


def read_extras(quote: ReturnedQuote, chosen: OfferedOption | None) -> tuple[list[str], list[Problem]]:
    """Keys of the extras ticked that the chosen option offers, in the order of the quote."""
    keys: list[str] = []
    problems: list[Problem] = []
    for extra in quote.extras:
        said = said_in(quote.cell(extra.name))
        tick = None if said is None and _unreadable(quote.cell(extra.name)) else ticked(said)
        problems += _box_problems(quote, extra, said, tick)
        nothing = nothing_to_add(quote, extra, chosen, quote.place(extra.name)) if tick else None
        if nothing is not None:
            problems.append(nothing)
        elif tick:
            keys.append(extra.key)
    return keys, problems


def _box_problems(quote: ReturnedQuote, extra: ReturnedExtra, said: Said, tick: bool | None) -> Iterator[Problem]:
    cell, place = quote.cell(extra.name), quote.place(extra.name)
    if tick is None:
        message = f"It is not clear whether {extra.key} is wanted."
        yield error(place, "unknown-tick", message, "Ask the customer: yes or no?", cell.shown)
    elif tick and not counted(said):
        message = f"{extra.key} is ticked in a way that the quote's formulas do not count."
        yield warning(place, "tick-not-counted", message, _NOT_FOLLOWED, cell.shown)


def nothing_to_add(
    quote: ReturnedQuote, extra: ReturnedExtra, chosen: OfferedOption | None, place: Place
) -> Problem | None:
    """That an extra adds nothing to the option chosen, None where it does."""
    letter = extra.places[quote.options.index(chosen) :][:1].casefold() if chosen is not None else ""
    why = {"i": "includes it already", "n": "does not offer it"}.get(letter)
    if chosen is None or why is None:
        return None
    message = f"{extra.key} is ticked, but {chosen.label} {why}."
    return warning(place, "nothing-to-add", message, "Tell the customer, or ask whether another option was meant.")
