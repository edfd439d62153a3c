"""What the order of the tiers over the years hangs on, in plain sentences for the shop."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from quotekit.documents.money_text import number_text, percent_text
from quotekit.documents.wording import joined
from quotekit.model.quote import Quote
from quotekit.model.years import (
    MOST_REPEATS,
    MOST_TRIED,
    OrderChange,
    OrderRange,
    OtherChoice,
    Sensitivity,
    Setting,
)
from quotekit.money import round_to

ESTIMATES = "Lives, interest and later prices are estimates, not guarantees; later work is at today's prices."


def range_sentence(one: OrderRange, quote: Quote) -> str:
    """Whether the order changes as one setting moves, and which tier is least to own where."""
    start = f"{_span(one, quote)}: "
    if not one.changes:
        least = _name(quote, quote_order(quote)[0])
        return f"{start}the order stays as it is; {least} is the least to own throughout."
    if not one.least_changes:
        least = _name(quote, one.changes[0].before[0])
        return f"{start}{least} stays the least to own; the order behind it changes {_places(one, quote)}."
    parts = list(_least_by_stretch(one, quote))
    behind = [change for change in one.changes if change.before[:1] == change.after[:1]]
    more = f" Behind it the order also changes {_places(one, quote, behind)}." if behind else ""
    return f"{start}the least to own is {', then '.join(parts)}.{more}"


def choice_sentences(told: Sensitivity, quote: Quote) -> list[str]:
    """What each tier would itself take under other settings."""
    if told.too_many:
        return [f"The choices were not made again under other settings: there are more than {MOST_TRIED}."]
    if not told.tried:
        return ["No tier has a choice that hangs on interest, horizon or lives."]
    groups: dict[tuple[str, tuple[str, ...], tuple[str, ...]], list[OtherChoice]] = {}
    for choice in told.choices:
        groups.setdefault((choice.tier, choice.takes, choice.in_place_of), []).append(choice)
    settings = joined([_if(setting, value, quote) for setting, value in told.tried])
    if not groups:
        return [f"No tier would take anything else {settings}."]
    sentences = [
        f"Chosen again {_either(found, quote)}, {_whether_offered(quote, tier)} would {_swap(takes, instead)}."
        for (tier, takes, instead), found in groups.items()
    ]
    changed = {choice.tier for choice in told.choices}
    kept = [tier.name for tier in quote.offered if tier.code not in changed]
    if kept:
        sentences.append(f"{joined(kept)} would take the same {settings}.")
    return sentences


def _whether_offered(quote: Quote, code: str) -> str:
    """A tier that is not offered may be one under other settings."""
    offered = any(tier.code == code for tier in quote.offered)
    return _name(quote, code) if offered else f"{_name(quote, code)} (not offered now)"


def no_ranges_sentence(told: Sensitivity, quote: Quote) -> str:
    """Why nothing is said of the order."""
    if len(quote.offered) < 2:
        return "One tier is offered, so there is no order to compare."
    if len(told.order) < 2:
        return "Fewer than two offered tiers have all their lives stated, so there is no order to compare."
    if any(tier.years is not None and not tier.years.horizon for tier in quote.offered):
        return "Over no years there is nothing to compare."
    return f"More than {MOST_REPEATS} repeats would have to be worked through, so the order was not looked at."


def quote_order(quote: Quote) -> tuple[str, ...]:
    """Codes of the tiers compared, the least to own first."""
    return quote.sensitivity.order if quote.sensitivity else ()


def setting_words(setting: Setting, value: Decimal | Fraction, quote: Quote, *, exact: bool = True) -> str:
    """A value of a setting: `3%`, `2.5 years`, `62.5% of the lives stated`."""
    language = quote.book.settings.language
    if setting == "horizon":
        shown = round_to(value, 4)
        return f"{number_text(shown, language)} {'year' if shown == 1 else 'years'}"
    shown = round_to(value, 4)
    about = "" if exact and Fraction(shown) == Fraction(value) else "about "
    return f"{about}{percent_text(shown, language)}"


def _span(one: OrderRange, quote: Quote) -> str:
    low, high, now = (setting_words(one.setting, value, quote) for value in (one.low, one.high, one.current))
    if one.setting == "lives":
        return f"All lives from {low} to {high} of those stated"
    if one.setting == "interest":
        return f"Interest a year from {low} to {high} (now {now})"
    low, high, now = (number_text(value, quote.book.settings.language) for value in (one.low, one.high, one.current))
    return f"Years compared from {low} to {high} (now {now})"


def _least_by_stretch(one: OrderRange, quote: Quote) -> Iterator[str]:
    turns = [change for change in one.changes if change.before[:1] != change.after[:1]]
    up_to = "up to" if one.setting == "horizon" else "below"
    for change in turns:
        yield f"{_name(quote, change.before[0])} {up_to} {_place(one, change, quote)}"
    yield f"{_name(quote, turns[-1].after[0])} beyond"


def _places(one: OrderRange, quote: Quote, changes: list[OrderChange] | None = None) -> str:
    listed = one.changes if changes is None else changes
    return "at " + joined([_place(one, change, quote) for change in listed])


def _place(one: OrderRange, change: OrderChange, quote: Quote) -> str:
    if change.exactly is not None:
        return setting_words(one.setting, change.exactly, quote)
    return setting_words(one.setting, (change.below + change.above) / 2, quote, exact=False)


def _swap(takes: tuple[str, ...], instead: tuple[str, ...]) -> str:
    if not takes:
        return f"leave out {joined(instead)}"
    if not instead:
        return f"also take {joined(takes)}"
    return f"take {joined(takes)} in place of {joined(instead)}"


def _either(found: list[OtherChoice], quote: Quote) -> str:
    cases = [_if(choice.setting, choice.value, quote) for choice in found]
    return ", or ".join(cases)


def _if(setting: Setting, value: Decimal, quote: Quote) -> str:
    if setting == "horizon":
        return f"over {setting_words(setting, value, quote)}"
    if setting == "lives":
        return "if all lives were half as long" if value < 1 else "if all lives were twice as long"
    return f"at {setting_words(setting, value, quote)} interest" if value else "without interest"


def _name(quote: Quote, code: str) -> str:
    return next(tier.name for tier in quote.tiers if tier.code == code)
