"""The customer's words: whole sentences in plain English, built from records and nothing the shop keeps to itself."""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.money_text import money_text, number_text, territory_of
from quotekit.model.job import ONE_OFF, FoundFinding
from quotekit.model.quote import PartLine, Quote, TierItem
from quotekit.model.shop_book import FindingSeverity
from quotekit.money import round_to

SEVERITIES_EXPLAINED: dict[FindingSeverity, str] = {
    "safety": "Safety: someone may be hurt.",
    "needed": "Needed: it does not do its work, or soon will not.",
    "advised": "Advised: doing it saves trouble later.",
    "watch": "Watch: nothing to do now, look again.",
}
DECLINE = "If you decline"
NONE = "\u2013"
BOX = "\u2610"
_AMERICAN = (("abour", "abor"), ("icence", "icense"), ("udgement", "udgment"))
CONFIRMED_LATER = "To be confirmed"
FIGURE_LABELS = (
    ("labour", "Labour"),
    ("parts", "Parts"),
    ("sublet", "Outside work"),
    ("savings", "Savings"),
    ("supplies", "Shop supplies"),
    ("fees", "Fees and charges"),
    ("freight", "Freight for parts"),
    ("cores", "Core charges"),
    ("inspection", "Inspection"),
    ("inspection_credit", "Inspection credited"),
)
"""Figures of a choice before tax, in the order of money, by their names in a quote's JSON."""


def spelled(label: str, language: str) -> str:
    """Our own labels as the shop's country spells them; never a text of a workbook.

    >>> spelled("Labour together", "en_US"), spelled("Labour together", "en_GB")
    ('Labor together', 'Labour together')
    """
    if territory_of(language) != "US":
        return label
    for british, american in _AMERICAN:
        label = label.replace(british, american)
    return label


def at_side_words(name: str, side: str | None) -> str:
    """A name with its side.

    >>> at_side_words("Bushing worn", "left"), at_side_words("Belt worn", None)
    ('Bushing worn, left', 'Belt worn')
    """
    return f"{name}, {side}" if side else name


def finding_name(found: FoundFinding) -> str:
    """What was found, and on which side."""
    return at_side_words(found.name, found.side)


def in_words(found: FoundFinding, language: str) -> str:
    """The measurement with its limit and source, or that it is a judgement."""
    measured = measured_words(found, language)
    if not measured:
        return spelled("A judgement, not measured.", language)
    sentences = [f"{_measure(found)} measured: {measured}{_limit(found, language)}."]
    if not found.fault:
        sentences.append("Within the limit: nothing is charged for it in any option.")
    elif found.judged:
        sentences.append(spelled("No limit decides here: what to do is a judgement.", language))
    if found.limit_source and found.limit is None:
        sentences.append(f"Source of the limit: {found.limit_source}.")
    return " ".join(sentences)


def _measure(found: FoundFinding) -> str:
    return found.measure[:1].upper() + found.measure[1:] if found.measure else "As"


def measured_words(found: FoundFinding, language: str) -> str:
    """As typed, and in the limit's unit where another was typed."""
    worked_out = _with_unit(_readable(found), found.unit, language)
    typed = found.measured_text
    if not typed or found.measured is None or not found.unit:
        return typed or worked_out
    same = typed.casefold().replace(" ", "").endswith(found.unit.casefold().replace(" ", ""))
    return typed if same or typed == number_text(found.measured, language) else f"{typed} ({worked_out})"


def _readable(found: FoundFinding) -> Decimal | None:
    """A converted measurement to one digit more than its limit, all digits where that would read as the limit."""
    if found.measured is None or found.limit is None:
        return found.measured
    digits = max(3, 1 - int(found.limit.normalize().as_tuple().exponent))
    rounded = round_to(found.measured, digits)
    return found.measured if rounded == found.limit else rounded


def _limit(found: FoundFinding, language: str) -> str:
    if found.limit is None:
        return ""
    way = {"above": "at most ", "below": "at least "}.get(found.fails_when or "", "")
    new = f"; as new: {_with_unit(found.as_new, found.unit, language)}" if found.as_new is not None else ""
    source = f" ({found.limit_source})" if found.limit_source else ""
    return f"; limit: {way}{_with_unit(found.limit, found.unit, language)}{source}{new}"


def _with_unit(value: Decimal | None, unit: str, language: str) -> str:
    return f"{number_text(value, language)} {unit}".strip() if value is not None else ""


def item_words(name: str, promise: str) -> str:
    """A repair with what is promised of it.

    >>> item_words("New belt", "life 3 years, warranty 90 days"), item_words("New belt", "")
    ('New belt: life 3 years, warranty 90 days', 'New belt')
    """
    return f"{name}: {promise}" if promise else name


def promise_words(item: TierItem, language: str) -> str:
    """Expected years and warranty of a repair; nothing where an extra states none."""
    life, warranty = item.life_years, item.warranty_days
    if life is None and warranty is None:
        return "life and warranty not stated" if item.kind == "remedy" else ""
    said = []
    if life is not None:
        said.append(f"life {number_text(life, language)} {'year' if life == 1 else 'years'}")
    elif item.kind == "remedy":
        said.append("life not stated")
    if warranty is not None:
        said.append(f"warranty {counted(warranty, 'day')}" if warranty else "no warranty")
    elif item.kind == "remedy":
        said.append("warranty not stated")
    return ", ".join(said)


def part_words(part: PartLine, quote: Quote) -> str:
    """A part by quantity, name, our own code, condition, sides and, of several, the price of one."""
    about = [] if part.part.startswith(ONE_OFF) else [part.part]
    about += [part.new_or_used] if part.new_or_used else []
    about += [joined(part.sides)] if part.sides else []
    described = f" ({', '.join(about)})" if about else ""
    return f"{_quantity(part, quote)} {part.name}{described}{_each(part, quote)}"


def _quantity(part: PartLine, quote: Quote) -> str:
    quantity = number_text(part.quantity, quote.book.settings.language)
    return f"{quantity} {_loose(part)}" if _loose(part) else f"{quantity} \u00d7"


def _loose(part: PartLine) -> str:
    return "" if part.unit.casefold() in ("", "each", "piece") else part.unit


def _each(part: PartLine, quote: Quote) -> str:
    """The price of one, or that the part is the customer's own."""
    if part.own:
        return ", your own, not charged, no warranty"
    price = money_text(part.unit_price, quote.currency, quote.book.settings.language)
    if _loose(part):
        return f", {price} per {_loose(part)}"
    return "" if part.quantity == 1 else f", {price} each"


def counted(number: int, unit: str) -> str:
    """A count with its unit.

    >>> counted(1, "day"), counted(90, "day")
    ('1 day', '90 days')
    """
    return f"{number} {unit}" if number == 1 else f"{number} {unit}s"


def joined(words: tuple[str, ...] | list[str]) -> str:
    """Words in a sentence.

    >>> joined(["a", "b", "c"]), joined(["a"])
    ('a, b and c', 'a')
    """
    return ", ".join(words[:-1]) + " and " + words[-1] if len(words) > 1 else "".join(words)


def ready_words(days: int | None) -> str:
    """Working days from the yes to ready.

    >>> ready_words(3), ready_words(0), ready_words(None)
    ('3 days', 'The same day', 'To be confirmed')
    """
    if days is None:
        return CONFIRMED_LATER
    return counted(days, "day") if days else "The same day"


def key_words(key: str, quote: Quote) -> str:
    """A finding's key (`CODE` or `CODE@side`) in words."""
    for found in quote.job.findings:
        if found.key == key:
            return finding_name(found)
    code, _, side = key.partition("@")
    known = quote.book.findings.get(code)
    return at_side_words(known.finding if known else code, side or None)


def sentence(text: str) -> str:
    """A text that ends with a stop.

    >>> sentence("may slip"), sentence("May slip."), sentence("")
    ('may slip.', 'May slip.', '')
    """
    return text if not text or text.rstrip()[-1:] in ".!?:" else f"{text.rstrip()}."
