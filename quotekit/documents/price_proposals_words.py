"""What is said of price proposals in words: why a second tick, what else to know, why nothing is proposed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.documents.money_text import money_text, number_text, percent_text
from quotekit.documents.price_list_text import terms_text
from quotekit.model.proposed_prices import (
    CellValue,
    ChangedField,
    Left,
    Noted,
    NotProposed,
    Over,
    PriceProposal,
    ProposedPrices,
    Said,
)
from quotekit.money import minor_digits, round_to, shown_hours

FIGURE_DECIMALS = 6
MOST_DIGITS = 15
LONGEST = 60
"""Letters of a name or a number where it is only to be read."""

MOST_NEAR = 8
"""Nearest numbers that are named."""

OVER_WORDS: Mapping[Over, str] = {
    "cost change": "the cost of one changes by more than {limit}",
    "price change": "the selling price changes by more than {limit}",
    "list change": "the list price changes by more than {limit}",
    "zero cost": "a cost of zero",
    "below cost": "the selling price would be below the cost",
    "margin turns": "what one leaves changes its sign",
    "above list": "the cost would be above the list price",
    "other number": "number {about} takes the place of the old one",
    "replaced": "{about} takes the place of this part",
    "older": "the list's price is from an earlier day than the one in the book",
}
NOTE_WORDS: Mapping[Noted, str] = {
    "rounded": "{about} rounded to six decimals",
    "no column": "the sheet has no column {about}",
    "in a circle": "the list replaces {about} in a circle: nothing was followed",
    "kit in a kit": "the list replaces it by {about}, a kit, and a kit of the book contains it: list single parts",
    "in no price list": "the list replaces the number by {about}, which it gives no price for",
    "list without cost": "the list gives no cost, only other terms",
    "confirmed": "the list says the same price: its date alone is renewed",
}
LEFT_WORDS: Mapping[Left, str] = {
    "not found": "not in the list",
    "near": "only a number that is written otherwise",
    "several": "several numbers of the list are alike",
    "contradicted": "the list says two things of it",
    "no price": "in the list, but no row of it counts",
    "no number": "the shop book has no supplier's number for it",
    "too exact": "the new amount has more digits than a cell holds",
    "no band": "no band of the sheet Markup holds the new cost, so the part could not be sold",
}
LEFT_TODO: Mapping[Left, str] = {
    "not found": "Ask the supplier, or correct Supplier's number in the shop book.",
    "near": "Where it is the same part, type the list's number in the shop book, and propose again.",
    "several": "Find out which one it is, and type it in the shop book.",
    "contradicted": "Ask the supplier which row is right.",
    "no price": "Ask the supplier what it costs now.",
    "no number": "Type it in the column Supplier's number of the shop book, and propose again.",
    "too exact": "Type a shorter amount in the shop book by hand.",
    "no band": "Add a band or a fixed price in the shop book, and propose again.",
}
FIELD_WORDS: Mapping[ChangedField, str] = {
    "pack quantity": "pack",
    "pack cost": "pack cost",
    "list price each": "list price",
    "lead days": "lead days",
    "supplier's number": "number",
    "replaced by": "replaced by",
    "cost date": "cost date",
}


def over_words(said: Said[Over], found: ProposedPrices) -> str:
    """One reason for the second tick."""
    return OVER_WORDS[said.what].format(limit=in_percent(Fraction(found.limit), found), about=short(said.about))


def why_second(one: PriceProposal, found: ProposedPrices) -> str:
    """All reasons for the second tick; empty where none is needed."""
    return "; ".join(over_words(said, found) for said in one.over)


def note_words(said: Said[Noted]) -> str:
    """Something else to know."""
    return NOTE_WORDS[said.what].format(about=short(said.about))


def also_changes(one: PriceProposal, found: ProposedPrices) -> str:
    """What a tick takes over beside the cost of one, old and new; the pack with its cost first.

    A cost date is told only where it is all that changes: any other change brings one with it.
    """
    pieces = [_pack(one, found)]
    fields = {change.field: change for change in one.changes}
    for field, change in fields.items():
        if field in ("pack cost", "pack quantity") or (field == "cost date" and len(fields) > 1):
            continue
        old, new = (value_words(field, value, found) for value in (change.old, change.new))
        pieces.append(f"{FIELD_WORDS[field]} {old} → {new}")
    return "; ".join(filter(None, pieces))


def instead_words(one: PriceProposal, found: ProposedPrices) -> str:
    """What a quote holds in the place of a part that gives way to another; empty where it gives way to none."""
    if one.instead is None:
        return ""
    terms = one.instead.terms
    cost, price = (shown_each(value, found) for value in (terms.cost_each, Fraction(terms.price or 0)))
    return f"quotes then hold {short(one.instead.code)}, cost of one {cost}, price {price}: a year is counted so"


def gone_words(one: PriceProposal) -> str:
    """The part that the shop book has in the place of this one already; empty where it has none."""
    place = one.row.terms.replaced_by
    return f"quotes hold {short(place)} in its place already: what was used counts there" if place else ""


def quote_names(one: PriceProposal) -> list[str]:
    """Open quotes that a proposal touches; those that hold the part with an extra alone are marked."""
    return [*one.quotes, *(f"{name} (extra)" for name in one.extra_quotes)]


def shown_each(value: Fraction, found: ProposedPrices) -> str:
    """An amount of one in a sentence: the currency's digits at least, six decimals at most."""
    return exact_words(figure(value), found)


def _pack(one: PriceProposal, found: ProposedPrices) -> str:
    """The pack: both packs where they differ, the cost of a pack where it is more than one, else nothing."""
    old, new = one.row.terms, one.new
    before, after = (number_text(terms.pack_quantity, found.language) for terms in (old, new))
    costs = [exact_words(terms.pack_cost, found) for terms in (old, new)]
    if old.pack_quantity != new.pack_quantity:
        return f"pack of {before} at {costs[0]} → pack of {after} at {costs[1]}"
    return f"pack of {before}: {costs[0]} → {costs[1]}" if old.pack_quantity != 1 and costs[0] != costs[1] else ""


def value_words(field: ChangedField, value: CellValue, found: ProposedPrices) -> str:
    """What a cell says, in a sentence."""
    if value is None:
        return "blank"
    if isinstance(value, Decimal):
        priced = field in ("pack cost", "list price each")
        return exact_words(value, found) if priced else number_text(value, found.language)
    return short(value) if isinstance(value, str) else value.isoformat()


def exact_words(value: Decimal, found: ProposedPrices) -> str:
    """An amount with the currency's digits at least, and with all it has.

    A pack cost of 0.0125 must not read as 0.01.
    """
    digits = minor_digits(found.currency)
    if round_to(value, digits) == value:
        return f"{round_to(value, digits):f}"
    return f"{value.normalize():f}"


def left_words(one: NotProposed) -> Iterator[str]:
    """What the list says near a row for which nothing is proposed."""
    if one.why in ("too exact", "no band"):
        yield f"a cost of one of {one.about}" if one.why == "no band" else one.about
    elif one.about:
        yield f"the list replaces it by {short(one.about)}"
    if one.nearest:
        yield f"look at {some(one.nearest, MOST_NEAR)}"
    for row in one.listed[:4]:
        yield short(f"{short(row.number)}: {row.fate}, {terms_text(row)}", 3 * LONGEST)


def in_money(amount: Decimal | Fraction | None, found: ProposedPrices) -> str:
    """An amount in the shop's currency, rounded once."""
    if amount is None:
        return "not known"
    return money_text(round_to(amount, minor_digits(found.currency)), found.currency, found.language)


def more_words(amount: Fraction, found: ProposedPrices) -> str:
    """How much more, or less, in a sentence."""
    return f"{in_money(abs(amount), found)} {'less' if amount < 0 else 'more'}"


def in_percent(share: Fraction | None, found: ProposedPrices) -> str:
    """A share as percent, one decimal."""
    return "-" if share is None else percent_text(round_to(share, 3), found.language)


def figure(value: Fraction) -> Decimal:
    """An exact figure to be read: whole where it ends within six decimals, else rounded to them.

    Of a very large one fewer decimals are shown, as a cell holds fifteen digits.

    >>> figure(Fraction(1, 8)), figure(Fraction(10, 3)), figure(Fraction(10**11, 3))
    (Decimal('0.125'), Decimal('3.333333'), Decimal('33333333333.3333'))
    """
    whole = shown_hours(value)
    room = max(0, min(FIGURE_DECIMALS, MOST_DIGITS - len(str(abs(int(value))))))
    if Fraction(whole) == value and round_to(value, room) == whole:
        return whole
    return round_to(value, room)


def short(words: str, most: int = LONGEST) -> str:
    """A text to be read in one place; of a very long one its beginning.

    >>> short("Belt"), short("a long name", 7)
    ('Belt', 'a long…')
    """
    line = " ".join(words.split())
    return line if len(line) <= most else f"{line[: most - 1]}…"


def some(names: Sequence[str], most: int) -> str:
    """Names with commas between; of many the first ones, the others counted.

    >>> some(["A", "B", "C"], 2), some(["A"], 2)
    ('A, B and 1 more', 'A')
    """
    listed = ", ".join(map(short, names[:most]))
    return f"{listed} and {len(names) - most} more" if len(names) > most else listed
