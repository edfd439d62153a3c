"""Figures and cells of a comparison in plain words."""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.money_text import money_text
from quotekit.documents.quote_json import plain
from quotekit.model.comparison import ChangedCell, FigureName

_NO_MONEY = frozenset({"quantity", "packs", "ready_days", "hours", "horizon"})
_WORDS = {
    "total": "Total to pay",
    "work": "Work, before tax",
    "subtotal": "Subtotal, before tax",
    "tax": "Taxes together",
    "deposit": "Deposit",
    "due": "Still due",
    "horizon_cost": "Cost over the years compared",
    "cash_for_parts": "Cash for parts, whole packs",
    "margin": "Margin",
    "name": "Name of the option",
    "offered": "Offered to the customer",
    "reason": "Why it is not offered",
    "items": "What is done",
    "operations": "Operations",
    "access": "Access steps",
    "dropped": "Work made unnecessary",
    "fixed": "Faults put right",
    "left": "Faults left",
    "safety_left": "Safety faults left",
    "ready_days": "Working days to ready",
    "valid_until": "Valid until",
    "quote_date": "Quote date",
    "measure_next": "To be measured next",
    "look_next": "To be looked at next",
    "amounts.labour": "Labour",
    "amounts.parts": "Parts",
    "amounts.cores": "Core charges",
    "amounts.sublet": "Sublet",
    "amounts.savings": "Savings and discount",
    "amounts.supplies": "Supplies",
    "amounts.fees": "Fees and charges",
    "amounts.freight": "Freight charged",
    "amounts.inspection": "Inspection fee",
    "amounts.inspection_credit": "Inspection fee credited",
    "cost.total": "Cost to the shop",
    "declined.total": "A no costs",
    "rate.break_even": "Rate builder, an hour to break even",
    "rate.for_profit": "Rate builder, an hour with the wanted profit",
}
_FIRST = {
    "parts": "Part",
    "taxes": "Tax",
    "shares": "Share of",
    "extras": "Extra",
    "bundles": "Bundle",
    "labour": "Labour rate",
    "remedies": "Remedy",
    "not_permitted": "Not permitted:",
    "only_with": "Only together with others:",
    "declined": "A no costs:",
    "cost": "Cost of",
    "hours": "Hours,",
    "over_years": "Over the years,",
    "amounts": "Amount of",
}
_BY_REMEDY = frozenset({"not_permitted", "only_with"})
"""Figures that go by the remedy alone."""

_LAST = {
    "alone": "by itself, one side, before tax",
    "unit_price": "price each",
    "rate_per_hour": "per hour",
    "cost_per_hour": "cost per hour",
}


def figure_words(figure: str) -> str:
    """A figure's name in words.

    >>> figure_words("total"), figure_words("parts.SEAL-19.unit_price"), figure_words("cost.parts_used")
    ('Total to pay', 'Part SEAL-19, price each', 'Cost of parts used')
    """
    if figure in _WORDS:
        return _WORDS[figure]
    first, *rest = figure.split(".")
    if not rest:
        return first.replace("_", " ").capitalize()
    start = _FIRST.get(first, f"{first.replace('_', ' ').capitalize()},")
    last = _LAST.get(rest[-1], rest[-1].replace("_", " "))
    middle = ".".join(rest[:-1])
    if first == "sensitivity" and rest[-1] == "words":
        return f"What the order of the options hangs on, {middle}"
    if first in _BY_REMEDY:
        return f"{start} {middle}"
    return f"{start} {middle}, {last}" if middle else f"{start} {last}"


_FOLLOW = frozenset({"shares", "over_years", "cost", "operations", "access", "dropped", "cash_for_parts"})
_FOLLOW_IN = {
    "extras": frozenset({"work", "subtotal", "tax", "total"}),
    "repair_or_replace": frozenset({"keep", "replace", "difference", "horizon"}),
    "parts": frozenset({"packs"}),
    "taxes": frozenset({"base"}),
}


def follows(figure: str) -> bool:
    """True for a figure that moves only as others do, and that nobody asks for first.

    >>> follows("shares.BUSH.labour"), follows("extras.BELT.total"), follows("extras.BELT.at_most")
    (True, True, False)
    >>> follows("cost.total"), follows("cost.labour")
    (False, True)
    >>> follows("sensitivity.interest.words"), follows("sensitivity.interest.changes.0.08.above")
    (False, True)
    """
    first, _, rest = figure.partition(".")
    last = rest.rpartition(".")[2]
    if first == "sensitivity":
        return last != "words"
    return figure != "cost.total" and (first in _FOLLOW or last in _FOLLOW_IN.get(first, ()))


def is_money(name: FigureName) -> bool:
    """True for an amount, False for hours, days and counts."""
    path = name.figure.split(".")
    return path[0] not in ("hours", "sensitivity") and path[-1] not in _NO_MONEY


def value_text(name: FigureName, text: str | None, number: Decimal | None, currency: str, language: str) -> str:
    """A figure for people: money as the shop writes it, `none` for what is not there."""
    if text is None:
        return "none"
    if number is None:
        return text or "nothing"
    return money_text(number, currency, language) if currency and is_money(name) else plain(number)


def difference_text(name: FigureName, difference: Decimal, currency: str, language: str) -> str:
    """A difference with its sign.

    >>> name = FigureName("117", "good", "total")
    >>> difference_text(name, Decimal("2.5"), "USD", "en_US"), difference_text(name, Decimal("-2.5"), "USD", "en_US")
    ('+$2.50', '-$2.50')
    """
    said = value_text(name, "", difference, currency, language)
    return f"+{said}" if difference > 0 else said


def cell_words(cell: ChangedCell) -> str:
    """A change in one line: what, old and new, in the owner's words."""
    if cell.extent == "row":
        return f"{cell.what}: new row: {cell.new}" if cell.old is None else f"{cell.what}: row gone: {cell.old}"
    return f"{cell.what}: {cell.old or 'blank'} -> {cell.new or 'blank'}"
