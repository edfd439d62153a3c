"""A first mapping for a supplier's list, from the list itself, with the reason of each guess and what is doubtful."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.suppliers.date_texts import decide_order
from quotekit.suppliers.guess_columns import ColumnGuess, guess_columns
from quotekit.suppliers.header_words import header_words
from quotekit.suppliers.list_sample import ListSample, samples_of
from quotekit.suppliers.list_texts import header_key, named_place
from quotekit.suppliers.mapping import PriceMapping
from quotekit.suppliers.number_texts import SIGNS, NumberStyle, decide_style, read_number
from quotekit.suppliers.open_list import open_list
from quotekit.suppliers.price_basis import units_in_header
from quotekit.suppliers.two_row_header import find_header_rows
from quotekit.workbook.currencies import CURRENCIES
from quotekit.workbook.list_rows import StoredNumber

_FEWEST = 3
_PACK_WORDS = ("pack", "package", "pkg", "box", "carton", "vpe", "verpackung", "paquet", "conf", "opak")
_EACH_WORDS = ("each", "ea", "unit", "piece", "stk", "stuck", "pro", "pce")


@record
class Guess:
    """A mapping, why each of its lines says what it says, and what a person should look at."""

    mapping: PriceMapping
    reasons: dict[str, str]
    doubts: tuple[str, ...]


def guess_mapping(path: Path, supplier: str, member: str = "") -> tuple[Guess | None, list[Problem]]:
    """A mapping for the list, or why none can be made.

    The file within a zip is named in it only where it had to be: next year's will have another name.
    """
    opened, problems = open_list(path, member)
    if opened is None:
        return None, problems
    samples, problems = samples_of(opened)
    guesses = (_guess_of(sample, supplier, member and opened.member) for sample in samples)
    guess = next((found for found in guesses if found is not None), None)
    if guess is None and samples:
        message = "no columns with a part number and a price were found in it"
        return None, [error(Place(path.name), "list-not-understood", message, _BY_HAND)]
    return guess, problems


_BY_HAND = "Write a mapping by hand: the README shows one."


def _guess_of(sample: ListSample, supplier: str, member: str) -> Guess | None:
    """The mapping that a sample speaks for, where it has a part number and a price."""
    header, headers, why = find_header_rows(sample.records)
    body = [row for row in sample.records[header:] if any(text.strip() for text in row)]
    width = max((len(row) for row in body), default=0)
    headers += [""] * (width - len(headers))
    found = guess_columns(headers, body)
    if "number" not in found.columns or not {"cost", "list_price"} & found.columns.keys():
        return None
    given = {"header_row": header, "member": member, **sample.given}
    reasons = {"header_row": why, **sample.reasons, **found.reasons}
    return _guessed(supplier, sample, found, headers, body, given, reasons)


def _guessed(
    supplier: str,
    sample: ListSample,
    found: ColumnGuess,
    headers: Sequence[str],
    body: Sequence[Sequence[str]],
    given: dict[str, object],
    reasons: dict[str, str],
) -> Guess:
    doubts = [*sample.doubts, *found.doubts]
    amounts = [text for field in ("cost", "list_price") for text in _values(body, found.columns.get(field))]
    texts = [text for text in amounts if not isinstance(text, StoredNumber)]
    style = decide_style(texts)
    reasons["decimal_mark"] = style.reason if texts or not amounts else "the workbook holds its amounts as numbers"
    if not style.sure:
        doubts.append(f"decimal_mark: {style.reason}.")
    if len(amounts) >= _FEWEST and not any(re.search("[.,]", text) for text in amounts):
        doubts.append(
            f"decimal_mark: no amount has decimals, as “{amounts[0]}”; if they are in cents, "
            'write cost_is_for = "100" and list_is_for = "100".'
        )
    days = [text for field in ("dated", "until") for text in _values(body, found.columns.get(field))]
    order, reasons["date_order"] = decide_order(days)
    if "two days" in reasons["date_order"] or "has the other order" in reasons["date_order"]:
        doubts.append(f"date_order: {reasons['date_order']}.")
    currency, reasons["currency"] = _currency(headers, found, amounts, style.style)
    cost_is_for, reasons["cost_is_for"] = _cost_is_for(headers, found)
    list_is_for = _units_said(headers, found, "list_price")
    if list_is_for != "each":
        reasons["list_is_for"] = f"the header “{headers[found.columns['list_price']]}” says so"
    doubts += _doubts_of_units(headers, found, cost_is_for, list_is_for)
    if "pack" in found.columns and "says" not in reasons["cost_is_for"]:
        doubts.append("cost_is_for: the list does not say whether the cost is for one or for a pack; taken for one.")
    if sample.kind == "fixed width":
        columns: dict[str, str] = {}
        places = {field: sample.cuts[at] for field, at in found.columns.items()}
    else:
        row = sample.records[header_row - 1] if (header_row := int(str(given["header_row"]))) else []
        names = [text.strip() for text in row] + [""] * (len(headers) - len(row))
        columns = {field: _named(names, at) for field, at in found.columns.items()}
        places = {}
    mapping = PriceMapping(
        supplier=supplier,
        kind=sample.kind,
        columns=columns,
        places=places,
        style=style.style,
        currency=currency,
        cost_is_for=cost_is_for,
        list_is_for=list_is_for,
        date_order=order,
        **given,  # type: ignore[arg-type]
    )
    return Guess(mapping=mapping, reasons=reasons, doubts=tuple(doubts))


def _named(headers: Sequence[str], at: int) -> str:
    """How the mapping names a column: by its header where that is the only one of its name, and no place's name."""
    alone = [header_key(header) for header in headers].count(header_key(headers[at])) == 1
    return headers[at] if headers[at] and alone and named_place(headers[at]) is None else f"column {at + 1}"


def _values(body: Sequence[Sequence[str]], at: int | None) -> list[str]:
    """What stands in a column; numbers of a workbook stay what they are, as they have no marks of the list."""
    found = [] if at is None else [row[at] for row in body if at < len(row)]
    return [text if isinstance(text, StoredNumber) else text.strip() for text in found if text.strip()]


def _currency(
    headers: Sequence[str], found: ColumnGuess, amounts: Sequence[str], style: NumberStyle
) -> tuple[str, str]:
    """The list's currency where a header says it, or a sign of most amounts; else the shop's is meant."""
    if "currency" in found.columns:
        return "", "each row names its own"
    for field in ("cost", "list_price"):
        at = found.columns.get(field)
        words = {word.upper() for word in header_words(headers[at])} if at is not None else set()
        for code in sorted(words & CURRENCIES):
            return code, f"the header “{headers[at or 0]}” says so"
        sign = next((sign for sign in SIGNS if at is not None and sign in headers[at]), "")
        if sign and len(SIGNS[sign]) == 1:
            return SIGNS[sign][0], f"the header “{headers[at or 0]}” says so"
    named = [(_currency_of(text, style), text) for text in amounts if any(map(str.isdigit, text))]
    sign, count = Counter(sign for sign, _ in named).most_common(1)[0] if named else ("", 0)
    codes = SIGNS.get(sign, (sign,))
    if sign and len(codes) == 1 and 2 * count > len(named):
        example = next(text for each, text in named if each == sign)
        return codes[0], f"as in “{example}”, {count} of {len(named)} amounts"
    return "", "the list names none: the shop's is meant"


def _currency_of(amount: str, style: NumberStyle) -> str:
    """The one currency that the sign or code beside an amount stands for, in a workbook by the cell's format."""
    read = read_number(amount, style)
    sign = amount.currency if isinstance(amount, StoredNumber) else "" if isinstance(read, str) else read.currency
    codes = SIGNS.get(sign, (sign,))
    return codes[0] if len(codes) == 1 else ""


def _units_said(headers: Sequence[str], found: ColumnGuess, field: str) -> str:
    """How many the header of a price says it is for."""
    at = found.columns.get(field)
    units = 1 if at is None or "price_for" in found.columns else units_in_header(headers[at])
    return str(units) if units > 1 else "each"


def _doubts_of_units(headers: Sequence[str], found: ColumnGuess, cost: str, listed: str) -> list[str]:
    """What is divided by a number of the header's is to be looked at; so is a price beside it that says none."""
    told = (("cost", "cost_is_for", cost, listed), ("list_price", "list_is_for", listed, cost))
    doubts = []
    for field, name, units, others in told:
        if field in found.columns and units.isdigit():
            doubts.append(f"{name}: “{headers[found.columns[field]]}” says {units}; what stands there is for as many.")
        elif field in found.columns and others.isdigit():
            doubts.append(f"{name}: “{headers[found.columns[field]]}” does not say how many it is for; taken for one.")
    return doubts


def _cost_is_for(headers: Sequence[str], found: ColumnGuess) -> tuple[str, str]:
    at = found.columns.get("cost")
    if (units := _units_said(headers, found, "cost")) != "each":
        return units, f"the header “{headers[at or 0]}” says so"
    words = set(header_words(headers[at])) if at is not None else set()
    if words & set(_PACK_WORDS) and "pack" in found.columns:
        return "pack", f"the header “{headers[at or 0]}” says so"
    if words & set(_EACH_WORDS):
        return "each", f"the header “{headers[at or 0]}” says so"
    if "price_for" in found.columns:
        return "each", "the list says for each row how many it is for, and says so in its own column"
    return "each", "nothing speaks of a pack"
