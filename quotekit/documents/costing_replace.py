"""Repair or replace on the costing: the values with their cells, every line of both sums, and what is left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from quotekit.documents.costing_sources import short_place
from quotekit.documents.costing_style import amount, head, in_words, label_and_equal, note, quantity, section, sheet
from quotekit.documents.money_text import percent_text
from quotekit.documents.quote_json import plain
from quotekit.documents.sheet import Cell, Row, Sheet, blank, row, text
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.repair_or_replace import (
    COMPARED,
    COULD_LAST,
    NEW_LOSES,
    NEW_PRICE,
    RepairOrReplace,
    Stretch,
    WorthInput,
    WouldDecide,
)
from quotekit.money import minor_digits, round_to

_LABEL, _FEWEST = 37.0, 3
_YEARS = frozenset({COULD_LAST, COMPARED})
_SPREAD = "The limit where a new one keeps its value best, and worst"


class _Weighed(NamedTuple):
    """A tier with its comparison."""

    tier: PricedTier
    found: RepairOrReplace


_Tell = Callable[[_Weighed], Decimal | None]


def lay_out_replace(quote: Quote, name: str) -> Sheet | None:
    """The whole sheet; None where the job gives no value for it."""
    every = [_Weighed(tier, tier.repair_or_replace) for tier in quote.tiers if tier.repair_or_replace is not None]
    if not every:
        return None
    columns = 1 + max(_FEWEST, len(every))
    widths, upright = label_and_equal(_LABEL, columns)
    rows = [
        *_opening(quote, columns),
        *_values(quote, every[0].found, columns),
        *_sums(every, columns),
        *_what_follows(quote, every, columns),
        *_waiting(quote, every, columns),
        *_left_out(quote, every, columns),
    ]
    return sheet(quote, name, rows, widths, upright=upright)


def _opening(quote: Quote, columns: int) -> Iterator[Row]:
    yield row(text(f"Repair or replace, job {quote.job.job_number}, version {quote.job.version}", "title", columns))
    yield note(
        "The customer's own decision: the quote shows it whichever way it comes out. "
        "No interest, and no guarantee of any value years ahead.",
        columns,
    )


def _values(quote: Quote, found: RepairOrReplace, columns: int) -> Iterator[Row]:
    yield from section(f"What it is counted with ({quote.currency}, tax included)", columns)
    yield head("Value", "As given", ("Cell", columns - 2), right=(1,))
    for given in found.inputs:
        place = short_place(given.place, quote)
        yield row(text(given.name), _as_given(given, quote), text(place, "cell", columns - 2))
    if found.contradiction:
        yield note(f"Not worked out: {found.contradiction}, and both can't be right.", columns)
    yield note(
        "A new price holds what a customer pays for it to be ready: tax, delivery and set-up. Upkeep holds further "
        "repairs, also those of this quote that come round again.",
        columns,
    )


def _as_given(given: WorthInput, quote: Quote) -> Cell:
    """A value; what a new one loses is no missing value where it is blank."""
    if given.name == NEW_LOSES:
        said = "the middle" if given.value is None else percent_text(given.value, quote.book.settings.language)
        return text(said, "right")
    if given.value is None:
        return text("missing", "right")
    return quantity(given.value) if given.name in _YEARS else amount(given.value)


def _sums(every: Sequence[_Weighed], columns: int) -> Iterator[Row]:
    found = every[0].found
    years = "the years" if found.horizon is None else _years(found.horizon)
    used, new = found.value(NEW_PRICE), found.value("Value as it stands")
    keep: tuple[tuple[str, _Tell], ...] = (
        ("Total to pay", lambda one: one.tier.total),
        ("Inspection with its credit and tax, left out", lambda one: -one.found.left_out),
        ("Repair total", lambda one: one.found.repair),
        (f"Upkeep over {years}", lambda one: one.found.upkeep_kept),
        ("What it is worth then, in a straight line", lambda one: _less(one.found.used_value_then)),
        ("Cost to keep", lambda one: one.found.keep),
    )
    replace: tuple[tuple[str, _Tell], ...] = (
        ("New price", lambda one: used),
        ("Value as it stands", lambda one: _less(new)),
        (f"Upkeep of a new one over {years}", lambda one: one.found.upkeep_new),
        ("What a new one is worth then", lambda one: _less(one.found.new_value_then)),
        ("Cost to replace", lambda one: one.found.replace),
    )
    yield from _table("To keep it", keep, ("Repair total", "Cost to keep"), every, columns)
    yield from _table("To replace it", replace, ("Cost to replace",), every, columns)


def _table(
    title: str, lines: Sequence[tuple[str, _Tell]], totals: Sequence[str], every: Sequence[_Weighed], columns: int
) -> Iterator[Row]:
    yield from section(title, columns)
    yield _names(every)
    for place, (label, tell) in enumerate(lines, start=1):
        style = "sum" if label in totals else "body"
        money = "sum money" if label in totals else "money"
        yield row(text(label, style), *(amount(tell(one), money) for one in every), keep=place < len(lines))


def _names(every: Sequence[_Weighed]) -> Row:
    names = [one.tier.name if one.tier.offered else f"{one.tier.name} (not offered)" for one in every]
    return head("", *names, right=range(1, len(every) + 1))


def _what_follows(quote: Quote, every: Sequence[_Weighed], columns: int) -> Iterator[Row]:
    found, new = every[0].found, every[0].found.value(NEW_PRICE)
    tenth = None if new is None else round_to(new / 10, minor_digits(quote.currency))
    yield from section("What follows", columns)
    yield _names(every)
    yield row(text("Cost to replace less cost to keep"), *(amount(one.found.difference) for one in every), keep=True)
    yield row(text("A close call up to, a tenth of the new price"), *(amount(tenth) for _ in every), keep=True)
    yield row(text("The word", "sum"), *(_word(one.found) for one in every), keep=True)
    yield row(text("The repair limit: worth up to", "strong"), *(amount(one.found.limit) for one in every), keep=True)
    against = found.limit_against_used
    yield row(text("The same against a sound used one"), *(amount(against) for _ in every))
    if found.limit_between is not None:
        low, high = (in_words(value, quote) for value in found.limit_between)
        yield row(text(_SPREAD), text(f"{low} to {high}", "right"), blank(across=columns - 2), keep=True)
        yield note(
            "A new one is worth then no less than yours would be, and loses no less than yours does: the middle of the "
            "two is taken, as nobody knows. The limit in short: half of the new price and the used value working, less "
            "the value as it stands, less what upkeep costs more.",
            columns,
        )
    elif found.limit is not None:
        yield note(
            f"{NEW_LOSES} is typed on the job, in place of the middle of what it can lose. The limit in short: that "
            "loss and the used value then together, less the value as it stands, less what upkeep costs more.",
            columns,
        )


def _word(found: RepairOrReplace) -> Cell:
    return text(found.word or "open", "sum money")


def _waiting(quote: Quote, every: Sequence[_Weighed], columns: int) -> Iterator[Row]:
    """What a missing value would decide."""
    waiting = [one for one in every if one.found.missing and not one.found.contradiction]
    if not waiting:
        return
    yield from section("What a missing value would decide", columns)
    told = [(one.tier.name, _decides(one.found, quote)) for one in waiting]
    if len(told) > 1 and len({words for _, words in told}) == 1:
        told = [("Every option", told[0][1])]
    for name, words in told:
        yield row(text(name, "strong"), text(words, across=columns - 1))


def _decides(found: RepairOrReplace, quote: Quote) -> str:
    """What the missing values of one option would decide, in words."""
    decides = found.would_decide
    if decides is None:
        return f"{found.word}, whatever {_listed(found.missing)} may be"
    if decides.words:
        return _turns(decides, quote)
    return f"nothing can be said without {_listed(decides.names)}, the one with the most effect first"


def _turns(decides: WouldDecide, quote: Quote) -> str:
    name = decides.names[0]
    parts = "; ".join(_stretch(part, name, quote) for part in decides.words)
    even = "" if decides.even is None else f". Both cost the same at {_shown(decides.even, name, quote)}"
    return f"{name}: {parts}{even}"


def _stretch(part: Stretch, name: str, quote: Quote) -> str:
    first = "" if part.from_ is None else f"from {_shown(part.from_, name, quote)} "
    last = "on" if part.to is None else f"to {_shown(part.to, name, quote)}"
    return f"{first}{last} {part.word}"


def _left_out(quote: Quote, every: Sequence[_Weighed], columns: int) -> Iterator[Row]:
    """What is due whichever way the customer goes, and what neither sum holds."""
    yield from section("Left out of both sums", columns)
    yield _names(every)
    fee: tuple[tuple[str, _Tell], ...] = (
        ("Inspection fee: the look is done, it is sunk", lambda one: one.tier.amounts.inspection),
        ("Its credit", lambda one: one.tier.amounts.inspection_credit),
        ("Tax on both, as far as it is charged", _tax_on_the_fee),
    )
    for label, tell in fee:
        yield row(text(label), *(amount(tell(one)) for one in every), keep=True)
    back = in_words(quote.declined.reassembly, quote)
    yield row(text("Putting it back together after a no"), text(back, "right"), blank(across=columns - 2), keep=True)
    yield note(
        "Where a yes brings the fee back, that speaks for the repair and is not counted. A machine that is traded in "
        "or scrapped goes as it stands. What was paid so far is part of either total. What may be added is not in it.",
        columns,
    )


def _tax_on_the_fee(one: _Weighed) -> Decimal:
    return one.found.left_out - one.tier.amounts.inspection - one.tier.amounts.inspection_credit


def _less(value: Decimal | None) -> Decimal | None:
    return None if value is None else -value


def _shown(value: Decimal, name: str, quote: Quote) -> str:
    return _years(value) if name in _YEARS else in_words(value, quote)


def _years(value: Decimal) -> str:
    return f"{plain(value)} {'year' if value == 1 else 'years'}"


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names)
