"""A changed job in the customer's words: what is new, part by part, and why the customer is asked."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from quotekit.documents.money_text import money_text, number_text, percent_text
from quotekit.documents.wording import at_side_words, joined, spelled
from quotekit.model.agreed import AgreedItem, AgreedPart, ConsentRule
from quotekit.model.consent import ChangedJob, Changes, PartChange
from quotekit.model.job import ONE_OFF

_PIECES = ("", "each", "piece")


def new_words(changes: Changes, language: str) -> tuple[str, ...]:
    """All that is new, each in a short text; the hours or prices of the same work where nothing else is."""
    said = [
        *(f"Added: {item_name(item)}" for item in changes.new),
        *(f"No longer done: {item_name(item)}" for item in changes.gone),
        *(part_change_words(change, language) for change in changes.parts),
    ]
    if not said and any(change.difference for change in changes.amounts):
        return (spelled("The same repairs at another amount of labour or charges", language),)
    return tuple(said) or ("The same repairs at the same price",)


def item_name(item: AgreedItem) -> str:
    """A repair as the customer knows it, with its side."""
    return at_side_words(item.wording or item.name, item.side)


def part_change_words(change: PartChange, language: str) -> str:
    """A part that is new, gone, more, fewer or another; its amounts stand beside."""
    before, now = change.before, change.after
    if before is None or now is None:
        part = before or now
        assert part is not None
        return f"{'New part' if before is None else 'No longer fitted'}: {_counted(part, language)}{_about(part)}"
    if before.quantity != now.quantity:
        return f"{now.name}: {_counted(now, language, bare=True)} in place of {number_text(before.quantity, language)}"
    if (before.new_or_used, before.name) != (now.new_or_used, now.name):
        return f"{now.name}{_about(now)} in place of {before.name}{_about(before)}"
    if before.own != now.own:
        return f"{now.name}: {'your own part now' if now.own else 'no longer your own part'}"
    return f"{now.name}: the price changed"


def why_words(changed: ChangedJob) -> Iterator[str]:
    """Why the customer is asked, or only told."""
    quote, revision, rule = changed.quote, changed.revision, changed.rule
    language = quote.book.settings.language

    def money(amount: Decimal) -> str:
        return money_text(amount, quote.currency, language)

    agreed, basis, rise = money(revision.before), rule.compares, revision.after - revision.before
    if rise > 0:
        yield f"You agreed to {agreed} ({basis}); it is now {money(revision.after)}, {money(rise)} more."
    elif rise < 0:
        yield f"You agreed to {agreed} ({basis}); it is now {money(revision.after)}, {money(-rise)} less."
    else:
        yield f"It stays at the {agreed} ({basis}) you agreed to."
    if changed.spending_limit is not None:
        yield f"It passes the {money(changed.spending_limit)} you want to spend at most: it is done only if you agree."
    elif revision.needs_consent:
        yield f"{rule_words(rule, revision.threshold, quote.currency, language)} It is done only if you agree."
    else:
        yield "That is within what we agreed to do without asking again. You need not sign anything; we tell you why."


def rule_words(rule: ConsentRule, threshold: Decimal, currency: str, language: str) -> str:
    """How far the shop may go without asking, as a sentence."""
    if not threshold:
        return "We do not go over what you agreed to by any amount without asking."
    allowed = money_text(threshold, currency, language)
    parts = [percent_text(rule.over_percent, language)] if rule.over_percent else []
    parts += [money_text(rule.over_amount, currency, language)] if rule.over_amount else []
    of = f"{rule.over} of {joined(parts)}" if len(parts) > 1 else "".join(parts)
    of += f", {money_text(rule.at_most, currency, language)} at most" if rule.at_most is not None else ""
    return f"Without asking we may go over it by {allowed} at most ({of})."


def _counted(part: AgreedPart, language: str, *, bare: bool = False) -> str:
    quantity = number_text(part.quantity, language)
    loose = "" if part.unit.casefold() in _PIECES else f" {part.unit}"
    if bare:
        return f"{quantity}{loose}"
    return f"{quantity}{loose} {part.name}" if loose else f"{quantity} \u00d7 {part.name}"


def _about(part: AgreedPart) -> str:
    about = [] if part.part.startswith(ONE_OFF) else [part.part]
    about += [part.new_or_used] if part.new_or_used else []
    about += [joined(part.sides)] if part.sides else []
    about += ["your own"] if part.own else []
    return f" ({', '.join(about)})" if about else ""
