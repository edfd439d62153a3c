"""Which column of a list is which: from its header and from what its values look like, each with the reason.

A header that names a field counts first; its values must fit (amounts are numbers, days are days). Where two columns
could be meant, or a price is not said to be the cost or the list price, that is a doubt, and it is told.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from decimal import Decimal

from quotekit.record import record
from quotekit.suppliers.date_texts import read_date, read_lead_days, read_quantity_words
from quotekit.suppliers.header_words import AGAINST, header_score, header_words, is_price_header
from quotekit.suppliers.number_texts import NumberStyle, NumberText, read_number
from quotekit.suppliers.price_basis import units_in_unit, units_of_several
from quotekit.workbook.currencies import CURRENCIES

_ENOUGH = 60
"""A header score that names a field by itself."""

_MOST_FIT = 0.6
_FEWEST = 3
_MOST_FILLED = 0.8
"""Of the rows, those that a column of numbers under no header fills: one of replacements has gaps."""

_NEAR = {"number": 20}
"""How much worse the header of another column may name a field and still be meant: a list may have two numbers."""

_NEAR_OTHERS = 10
_STYLES = (
    NumberStyle(decimal_mark=".", grouping_mark=","),
    NumberStyle(decimal_mark=",", grouping_mark="."),
    NumberStyle(decimal_mark=".", grouping_mark=" "),
    NumberStyle(decimal_mark=",", grouping_mark=" "),
    NumberStyle(decimal_mark=".", grouping_mark="'"),
)
_PRICE_QUANTITIES = frozenset(("1", "10", "100", "1000", "C", "M"))
_ORDER = (
    "cost", "list_price", "price_for", "pack", "currency", "dated", "until", "lead_days", "superseded_by", "unit",
    "number", "description",
)  # fmt: skip


@record
class ColumnGuess:
    """Field to column (from 0), with the reason of each and what is doubtful."""

    columns: dict[str, int]
    reasons: dict[str, str]
    doubts: tuple[str, ...] = ()


def is_amount(text: str) -> bool:
    """Whether a text is a number in some style.

    >>> is_amount("1.234,50 €"), is_amount("AB-1")
    (True, False)
    """
    return any(isinstance(read_number(text, style), NumberText) for style in _STYLES)


_FITS: dict[str, Callable[[str], bool]] = {
    "cost": is_amount,
    "list_price": is_amount,
    "pack": lambda text: is_amount(text) or read_quantity_words(text) is not None,
    "price_for": lambda text: is_amount(text) or read_quantity_words(text) is not None,
    "currency": lambda text: text.upper() in CURRENCIES or not any(map(str.isalnum, text)),
    "dated": lambda text: any(read_date(text, order) for order in ("day month year", "month day year")),
    "until": lambda text: any(read_date(text, order) for order in ("day month year", "month day year")),
    "lead_days": lambda text: read_lead_days(text) is not None,
}


def guess_columns(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> ColumnGuess:
    """The columns of a table from its headers (blank where there are none) and some of its rows."""
    values = [[row[at].strip() for row in rows if at < len(row) and row[at].strip()] for at in range(len(headers))]
    ranked = sorted(
        (-score, _ORDER.index(field), at, said)
        for field in _ORDER
        for score, at, said in _ranked(field, headers, values)
    )
    found: dict[str, int] = {}
    reasons: dict[str, str] = {}
    for _, order, at, said in ranked:
        field = _ORDER[order]
        if field not in found and at not in found.values():
            found[field], reasons[field] = at, _reason(said, values[at], field)
    doubts = _rivals(headers, ranked, found) + _misfits(headers, values, found)
    _guess_prices(headers, values, found, reasons, doubts)
    _guess_number(headers, values, found, reasons, doubts)
    _compare_prices(rows, found, doubts)
    _left_over(headers, values, found, doubts)
    return ColumnGuess(columns=found, reasons=reasons, doubts=tuple(doubts))


def _ranked(field: str, headers: Sequence[str], values: Sequence[Sequence[str]]) -> list[tuple[int, int, str]]:
    """Columns whose header names a field and whose values fit it: how well, where, and by which words."""
    found = []
    for at, header in enumerate(headers):
        score, said = header_score(header, field)
        if score >= _ENOUGH and _fits(field, values[at]):
            found.append((score, at, said))
    return found


def _rivals(headers: Sequence[str], ranked: Sequence[tuple[int, int, int, str]], found: dict[str, int]) -> list[str]:
    """Where a column that is no other field's is named nearly as well as the one that was taken."""
    doubts = []
    for field, taken in found.items():
        near = _NEAR.get(field, _NEAR_OTHERS)
        scores = {at: -score for score, order, at, _ in ranked if _ORDER[order] == field}
        rivals = [
            _told(headers, at)
            for at, score in scores.items()
            if at not in found.values() and score >= scores[taken] - near
        ]
        if rivals:
            doubts.append(f"{field}: {_told(headers, taken)} is taken; it could also be {' or '.join(rivals[:3])}.")
    return doubts


def _misfits(headers: Sequence[str], values: Sequence[Sequence[str]], found: dict[str, int]) -> list[str]:
    """Columns whose header names a field that no other has, and whose values are not what it holds."""
    doubts = []
    for at, header in enumerate(headers):
        named = [field for field in _FITS if field not in found and header_score(header, field)[0] >= _ENOUGH]
        odd = [text for text in values[at] if named and not _FITS[named[0]](text)]
        if odd and at not in found.values():
            doubts.append(f"{named[0]}: “{header}” is not used, as values such as “{odd[0][:30]}” are none.")
    return doubts


def _fits(field: str, values: Sequence[str]) -> bool:
    """Whether most values are what the field holds; a column without any fits what may be blank."""
    test = _FITS.get(field)
    if field == "number" and _counts_rows(values):
        return False
    if not values:
        return field not in ("number", "cost", "list_price")
    return test is None or sum(map(test, values)) >= _MOST_FIT * len(values)


def _counts_rows(values: Sequence[str]) -> bool:
    """Whether a column only counts the rows: 1, 2, 3 and on, or 10, 20, 30."""
    told = [int(text) if text.isascii() and text.isdigit() else 0 for text in values]
    return len(told) >= _FEWEST and told[0] in (1, 10) and told == [told[0] * at for at in range(1, len(told) + 1)]


def _reason(said: str, values: Sequence[str], field: str) -> str:
    example = f", as “{values[0][:30]}”" if values else ", all blank in the rows looked at"
    test = _FITS.get(field)
    fitting = f"; {sum(map(test, values))} of {len(values)} values fit" if test and values else ""
    return f"the header says “{said}”{fitting}{example}"


def _guess_prices(
    headers: Sequence[str],
    values: Sequence[Sequence[str]],
    found: dict[str, int],
    reasons: dict[str, str],
    doubts: list[str],
) -> None:
    """A price without a word of which is the cost where no other is."""
    if "cost" in found:
        return
    loose = [
        at
        for at, header in enumerate(headers)
        if at not in found.values()
        and is_price_header(header)
        and not set(header_words(header)) & set(AGAINST["cost"])
        and _fits("cost", values[at])
    ]
    if loose:
        at = loose[0]
        found["cost"], reasons["cost"] = at, _reason(header_words(headers[at])[-1], values[at], "cost")
        doubts.append(
            f"cost: “{headers[at]}” does not say whether it is the cost or the list price; taken as the cost."
        )
        if len(loose) > 1:
            doubts.append(f"cost: it could also be {' or '.join(_told(headers, other) for other in loose[1:4])}.")
    elif not any(headers):
        _guess_prices_by_values(values, found, reasons, doubts)
    elif "list_price" in found:
        doubts.append("cost: no column names the cost; the list price alone says nothing of it.")


def _guess_prices_by_values(
    values: Sequence[Sequence[str]], found: dict[str, int], reasons: dict[str, str], doubts: list[str]
) -> None:
    """Without a header: columns of amounts with decimals are prices, and of two the lower is the cost."""
    prices = [at for at, column in enumerate(values) if column and _fits("cost", column) and _has_decimals(column)]
    if len(prices) not in (1, 2):
        return
    together = {at: sum(_plain(values[at], row) or 0 for row in range(len(values[at]))) for at in prices}
    for field, at in zip(("cost", "list_price"), sorted(prices, key=lambda at: together[at]), strict=False):
        found[field], reasons[field] = at, f"no header says it; amounts with decimals, as “{values[at][0][:30]}”"
        doubts.append(f"{field}: no header says it; {_of([''] * len(values), at)} is taken, as it holds amounts.")


def _has_decimals(column: Sequence[str]) -> bool:
    return 2 * sum(re.search("[0-9][.,][0-9]{2,4}(?![0-9.,])", text) is not None for text in column) > len(column)


def _guess_number(
    headers: Sequence[str],
    values: Sequence[Sequence[str]],
    found: dict[str, int],
    reasons: dict[str, str],
    doubts: list[str],
) -> None:
    """Where no header says it, the first nearly full column of nearly always different, short texts."""
    if "number" in found:
        return
    most = max(map(len, values), default=0)
    for at, column in sorted(enumerate(values), key=lambda each: _counts_rows(each[1])):
        different = len(set(column)) >= 0.9 * len(column) > 0 and len(column) >= _MOST_FILLED * most
        if at not in found.values() and different and max(map(len, column)) <= 40:
            found["number"], reasons["number"] = at, f"nearly all values differ, as “{column[0][:30]}”"
            doubts.append(f"number: no header says it; {_of(headers, at)} is taken, as its values differ.")
            return


def _compare_prices(rows: Sequence[Sequence[str]], found: dict[str, int], doubts: list[str]) -> None:
    """A cost that is mostly above the list price may be the other way round."""
    if not {"cost", "list_price"} <= found.keys():
        return
    pairs = 0
    above = 0
    for row in rows:
        cost, listed = (_plain(row, found[field]) for field in ("cost", "list_price"))
        if cost is not None and listed is not None:
            pairs, above = pairs + 1, above + (cost > listed)
    if pairs and above > pairs / 2:
        doubts.append(
            f"cost: in {above} of {pairs} rows it is above the list price; the two may be the other way round."
        )


def _left_over(
    headers: Sequence[str], values: Sequence[Sequence[str]], found: dict[str, int], doubts: list[str]
) -> None:
    """Columns under no known header that hold days, or 1, 100 and the like: prices may hang on them."""
    several = units_of_several(dict.fromkeys(values[found["unit"]])) if "unit" in found else []
    if several and "price_for" not in found:
        doubts.append(
            f"unit: “{headers[found['unit']]}” holds “{several[0]}”, {units_in_unit(several[0])} units; "
            "if prices of such rows are for as many, name that column as price_for too."
        )
    for at, column in enumerate(values):
        if at in found.values() or not column:
            continue
        if not {"dated", "until"} & found.keys() and _all_days(column):
            doubts.append(
                f"dated: {_of(headers, at)} holds days and is not used; name it as dated or until if prices go by it."
            )
        elif "price_for" not in found and set(column) <= _PRICE_QUANTITIES and set(column) - {"1"}:
            doubts.append(
                f"price_for: {_of(headers, at)} holds 1, 100 and the like and is not used; "
                "name it if it says how many the cost is for."
            )


def _all_days(column: Sequence[str]) -> bool:
    return _fits("dated", column) and all(any(mark in text for mark in "-./ ") for text in column)


def _plain(row: Sequence[str], at: int) -> Decimal | None:
    """An amount in the first style that fits it, for comparing two of one row."""
    read = (read_number(row[at], style) for style in _STYLES) if at < len(row) else ()
    return next((found.value for found in read if isinstance(found, NumberText)), None)


def _of(headers: Sequence[str], at: int) -> str:
    return f"“{headers[at]}”" if headers[at] else f"column {at + 1}"


def _told(headers: Sequence[str], at: int) -> str:
    """A header, with its place where another column has the same."""
    twice = list(headers).count(headers[at]) > 1
    return f"“{headers[at]}” in column {at + 1}" if twice else f"“{headers[at]}”"
