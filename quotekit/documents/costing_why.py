"""Why these options: a sheet of the costing that says why each remedy was taken and what would have to change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quotekit.documents.costing_style import head, note, section, sheet
from quotekit.documents.sheet import Row, Sheet, row, text
from quotekit.documents.why_words import (
    NOT_COMPARED,
    called,
    change,
    goes_by,
    in_years,
    reason,
    sentence,
    together,
    turns,
    would_do,
)
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.why import Missing, RemedyWhy, TierWhy

COLUMNS = 5
WIDTHS = (24.0, 28.0, 11.0, 12.0, 43.0)
INTRODUCTION = (
    "For each option: what was taken, the best it was chosen over with all else as it is, what that would have cost "
    "the customer, and the nearest figure at which the choice would turn, all other figures as they are. "
    "Choices follow what the option goes by, never what the shop earns."
)


def lay_out_why(quote: Quote, name: str) -> Sheet:
    """The sheet, one section an option."""
    rows = [
        row(text("Why these options", "title", COLUMNS)),
        row(text(INTRODUCTION, "note", COLUMNS)),
        *(line for tier in quote.tiers for line in _tier(tier)),
    ]
    return sheet(quote, name, rows, WIDTHS)


def _tier(tier: PricedTier) -> Iterator[Row]:
    yield from section(f"{tier.name} ({tier.code})", COLUMNS)
    why = tier.why
    if why is None:
        yield note("No reasons were worked out.", COLUMNS)
        return
    yield row(text(_opening(tier, why), across=COLUMNS), keep=bool(why.remedies) and tier.offered)
    if not tier.offered:
        yield from _missing(tier, why.missing)
    told = [(entries, reason(entries, why)) for entries in together(why)]
    more = [(entries, words) for entries, words in told if words != NOT_COMPARED]
    if more:
        yield _head(why)
    for entries, words in more:
        yield from _remedies(entries, words)
    rest = [entry.remedy.key for entries, words in told if words == NOT_COMPARED for entry in entries]
    if rest:
        yield row(text(f"{NOT_COMPARED[:-1]}: {', '.join(rest)}.", across=COLUMNS))
    for words in why.notes:
        yield note(words, COLUMNS)


def _head(why: TierWhy) -> Row:
    return row(
        text("Taken", "head"),
        text("Best alternative", "head beside"),
        text("It costs today", "head right"),
        text(f"Over {in_years(why.horizon)}", "head right"),
        text("Why", "head beside"),
        keep=True,
    )


def _opening(tier: PricedTier, why: TierWhy) -> str:
    figures = why.figures
    if figures is None:
        return goes_by(tier)
    return (
        f"{goes_by(tier)} Its work comes to {figures.work:f} today and {figures.over_years:f} over "
        f"{in_years(why.horizon)}; the first repair to wear out lasts {_life(why)}."
    )


def _life(why: TierWhy) -> str:
    assert why.figures is not None
    shortest = why.figures.shortest_life
    return f"{in_years(shortest)} or more" if shortest >= why.horizon else in_years(shortest)


def _missing(tier: PricedTier, missing: Missing | None) -> Iterator[Row]:
    """Why it is not offered, the comparison in figures, and what would have to change."""
    yield row(text(f"Not offered: {sentence(tier.reason or 'no reason is recorded')}", "strong", COLUMNS), keep=True)
    if missing is None:
        return
    if missing.comparisons:
        yield head("", tier.name, (missing.against, 3))
        for line in missing.comparisons:
            yield row(text(line.what), text(line.this), text(line.other, across=3))
    for words in (*map(sentence, missing.details), *would_do(missing)):
        yield row(text(words, across=COLUMNS))


def _remedies(entries: Sequence[RemedyWhy], because: str) -> Iterator[Row]:
    """The remedies that would give way together, then what would have to change for that."""
    other, changes = entries[0].alternative, turns(entries)
    none = "not compared" if entries[0].standing == "not compared" else "none"
    yield row(
        text("\n".join(f"{entry.remedy.name} ({entry.remedy.key})" for entry in entries), "strong"),
        text(called(other.takes) if other else none, "beside"),
        text(change(other.difference) if other else "", "right"),
        text(change(other.over_years) if other else "", "right"),
        text(because, "beside"),
        keep=bool(changes),
    )
    for place, words in enumerate(changes):
        yield row(
            text("" if place else "What would change it:", "cell"),
            text(words, "aside", COLUMNS - 1),
            keep=place < len(changes) - 1,
        )
