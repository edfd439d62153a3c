"""Which tier and extras of a quote are meant by the codes that were typed; codes compare without case."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error, warning

if TYPE_CHECKING:
    from quotekit.model.quote import OfferedExtra, PricedTier, Quote

TIER, EXTRA = Place("--tier"), Place("--extra")


def listed(entries: Iterable[str]) -> list[str]:
    """What was typed for extras, one or several in each, without blanks.

    >>> listed(["BELT; SEAL@left", " ", "CAP"])
    ['BELT', 'SEAL@left', 'CAP']
    """
    return [word for entry in entries for part in entry.split(";") if (word := " ".join(part.split()))]


def chosen_tier(quote: Quote, word: str) -> tuple[PricedTier | None, list[Problem]]:
    """The tier of a code; one that could not be worked out or is not offered comes with a problem."""
    word = " ".join(word.split())
    tier = next((tier for tier in quote.tiers if same_words(tier.code, word)), None)
    if tier is None:
        return None, [_unknown_tier(quote, word)]
    if not tier.priced:
        message = f"{tier.name} could not be worked out: {tier.reason}."
        remedy = "Fill in what is missing, or plan the option on the sheet Plan of the job."
        return tier, [error(TIER, "option-not-worked-out", message, remedy, word)]
    if not tier.offered:
        message = f"{tier.name} is priced, but it is not offered to the customer: {tier.reason}."
        return tier, [warning(TIER, "option-not-offered", message, "Agree on one that is offered.", word)]
    return tier, []


def chosen_extras(quote: Quote, tier: PricedTier, words: Sequence[str]) -> tuple[list[str], list[Problem]]:
    """Keys of what is offered beside a tier, each once; anything else is a problem."""
    keys: dict[str, None] = {}
    problems: list[Problem] = []
    for word in dict.fromkeys(words):
        key, problem = _chosen_extra(quote, tier, word)
        keys |= {key: None} if key is not None else {}
        problems += [problem] if problem is not None else []
    return list(keys), problems


def _chosen_extra(quote: Quote, tier: PricedTier, word: str) -> tuple[str | None, Problem | None]:
    meant = [one for one in tier.extras if _means(word, one.code, one.side)]
    if len(meant) == 1:
        return meant[0].extra, None
    if meant:
        return None, _unclear(tier, meant, word)
    included = [item.key for item in tier.items if _means(word, item.code, item.side)]
    if included:
        message = f"{', '.join(included)}: {tier.name} includes it already, so it adds nothing."
        return None, warning(EXTRA, "nothing-to-add", message, "Leave it out, or choose another option.", word)
    return None, _not_offered(quote, tier, word)


def _unclear(tier: PricedTier, meant: Sequence[OfferedExtra], word: str) -> Problem:
    """A code without a side where several are offered, or one that is both an extra's and a remedy's."""
    from quotekit.workbook.names import or_list

    keys = list(dict.fromkeys(one.extra for one in meant))
    if len(keys) == 1:
        message = f"Both an extra and a remedy offered beside {tier.name} have the code {keys[0]}."
        return error(EXTRA, "unclear-extra", message, "Give one of them another code in the shop book.", word)
    sides = " and ".join(str(one.side) for one in meant)
    message = f"{meant[0].code} is offered on several sides: {sides}."
    return error(EXTRA, "unclear-extra", message, f"Type {or_list(keys)}, or each of them.", word)


def _not_offered(quote: Quote, tier: PricedTier, word: str) -> Problem:
    """A known code that this tier does not offer, or not on this side; or no code at all."""
    from quotekit.pricing.choice import why_not_beside

    typed, _, side = (part.strip() for part in word.partition("@"))
    known = next((code for code in (*quote.book.extras, *quote.book.remedies) if same_words(code, typed)), None)
    if known is None:
        return _unknown_extra(quote, tier, word)
    there = [one.extra for one in tier.extras if one.code == known]
    if there:
        message = f"{known} is offered beside {tier.name}, but not as {word}."
        return error(EXTRA, "extra-not-offered", message, f"Type {' or '.join(there)}.", word)
    place = next((each for each in quote.job.positions if same_words(each, side)), None)
    why = why_not_beside(quote, tier, known, place)
    message = f"{known} is not offered beside {tier.name}: {why.reason}."
    return error(EXTRA, "extra-not-offered", message, _beside_others(quote, known) or why.remedy, word)


def _beside_others(quote: Quote, code: str) -> str:
    """Which other tiers offer it, as a sentence; empty for none."""
    from quotekit.workbook.names import or_list

    others = [tier.name for tier in quote.tiers if any(one.code == code for one in tier.extras)]
    return f"It is offered beside {or_list(others)}." if others else ""


def _unknown_tier(quote: Quote, word: str) -> Problem:
    from quotekit.workbook.names import did_you_mean, or_list

    options = ", ".join(f"{tier.code} ({tier.name})" for tier in quote.tiers)
    named = [tier.code for tier in quote.tiers if same_words(tier.name, word)]
    known = [name for tier in quote.tiers for name in (tier.code, tier.name)]
    near = f"Type {or_list(named)}." if named else did_you_mean(word, known).strip()
    message = f"{word or 'A blank'} is none of the options: {options}."
    return error(TIER, "unknown-option", message, near or "Type the code of an option.", word)


def _unknown_extra(quote: Quote, tier: PricedTier, word: str) -> Problem:
    from quotekit.workbook.names import did_you_mean

    known = [*dict.fromkeys((*(one.extra for one in tier.extras), *quote.book.extras, *quote.book.remedies))]
    offered = ", ".join(one.extra for one in tier.extras)
    beside = f"Beside {tier.name} are offered: {offered}." if offered else f"Nothing is offered beside {tier.name}."
    remedy = f"{did_you_mean(word, known)}{beside}"
    if all(any(same_words(part.partition("@")[0], key.partition("@")[0]) for key in known) for part in word.split(",")):
        remedy = "Put a semicolon between extras, not a comma."
    return error(EXTRA, "unknown-extra", f"{word} is no extra or remedy of the shop book.", remedy, word)


def _means(word: str, code: str, side: str | None) -> bool:
    """True for the code alone, and for the code with this side."""
    typed, _, place = word.partition("@")
    return same_words(typed, code) and (not place.strip() or same_words(place, side or ""))


def same_words(one: str, other: str) -> bool:
    """True where two texts differ by case and spaces only."""
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
