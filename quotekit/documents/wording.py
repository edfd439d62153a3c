"""The customer's words: whole sentences in plain English, built from records and nothing the shop keeps to itself."""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.money_text import money_text, number_text, territory_of
from quotekit.model.job import FoundFinding
from quotekit.model.quote import PartLine, Quote, TierItem
from quotekit.model.shop_book import FindingSeverity

SEVERITY_WORDS: dict[FindingSeverity, str] = {
    "safety": "Safety",
    "needed": "Needed",
    "advised": "Advised",
    "watch": "Watch",
}
SEVERITIES_EXPLAINED = (
    "Safety: someone may be hurt. Needed: the machine does not do its work, or soon will not. "
    "Advised: it works, and doing it saves trouble later. Watch: nothing to do now, look again."
)
DECLINE = "If you decline"
NONE = "\u2013"
BOX = "\u2610"
_AMERICAN = (("abour", "abor"), ("icence", "icense"), ("udgement", "udgment"))
CONFIRMED_LATER = "To be confirmed"


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
    measured = _measured(found, language)
    if not measured:
        return spelled("A judgement, not measured.", language)
    sentences = [f"{_measure(found)} measured: {measured}{_limit(found, language)}."]
    if not found.fault:
        sentences.append("Within the limit: watch it. Nothing is charged for it in any option.")
    elif found.judged:
        sentences.append(spelled("No limit decides here: what to do is a judgement.", language))
    if found.limit_source:
        sentences.append(f"Source of the limit: {found.limit_source}.")
    return " ".join(sentences)


def _measure(found: FoundFinding) -> str:
    return found.measure[:1].upper() + found.measure[1:] if found.measure else "As"


def _measured(found: FoundFinding, language: str) -> str:
    """As typed, and in the limit's unit where another was typed."""
    worked_out = _with_unit(found.measured, found.unit, language)
    typed = found.measured_text
    if not typed or found.measured is None or not found.unit:
        return typed or worked_out
    same = typed.casefold().replace(" ", "").endswith(found.unit.casefold().replace(" ", ""))
    return typed if same or typed == number_text(found.measured, language) else f"{typed} ({worked_out})"


def _limit(found: FoundFinding, language: str) -> str:
    if found.limit is None:
        return ""
    way = {"above": "at most ", "below": "at least "}.get(found.fails_when or "", "")
    new = f"; as new: {_with_unit(found.as_new, found.unit, language)}" if found.as_new is not None else ""
    return f"; limit: {way}{_with_unit(found.limit, found.unit, language)}{new}"


def _with_unit(value: Decimal | None, unit: str, language: str) -> str:
    return f"{number_text(value, language)} {unit}".strip() if value is not None else ""


def item_words(item: TierItem, language: str) -> str:
    """A repair with its side, expected years and warranty."""
    name = at_side_words(item.wording or item.name, item.side)
    more = [text for text in (_life(item, language), _warranty(item)) if text]
    return f"{name}. {' '.join(more)}" if more else name


def _life(item: TierItem, language: str) -> str:
    if item.life_years is None:
        return "Life: not stated." if item.kind == "remedy" else ""
    years = "year" if item.life_years == 1 else "years"
    return f"Life: {number_text(item.life_years, language)} {years}."


def _warranty(item: TierItem) -> str:
    if item.warranty_days is None:
        return "Warranty: not stated." if item.kind == "remedy" else ""
    if item.warranty_days == 0:
        return "Warranty: none."
    return f"Warranty: {counted(item.warranty_days, 'day')}."


def part_words(part: PartLine, quote: Quote) -> str:
    """A part by name, condition, sides, quantity and price of one."""
    about = [part.new_or_used] if part.new_or_used else []
    if part.sides:
        about.append(joined(part.sides))
    if not part.part.startswith("ONEOFF-"):
        about.append(f"no. {part.part}")
    described = f" ({'; '.join(about)})" if about else ""
    return f"{part.name}{described}: {_quantity_words(part, quote)}"


def _quantity_words(part: PartLine, quote: Quote) -> str:
    """`2 at $8.95 each`, `4 ounce at $1.32 per ounce`, or that it is the customer's own."""
    language = quote.book.settings.language
    loose = "" if part.unit.casefold() in ("", "each", "piece") else part.unit
    quantity = f"{number_text(part.quantity, language)} {loose}".strip()
    if part.own:
        return f"{quantity}, your own, not charged, no warranty"
    price = money_text(part.unit_price, quote.currency, language)
    if loose:
        return f"{quantity} at {price} per {loose}"
    return f"{quantity} at {price}" if part.quantity == 1 else f"{quantity} at {price} each"


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
    ('3 working days', 'The same day', 'To be confirmed')
    """
    if days is None:
        return CONFIRMED_LATER
    return counted(days, "working day") if days else "The same day"


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
