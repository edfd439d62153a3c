"""Why a tier is what it is, as lines of text for the shop's terminal."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.why_words import called, change, goes_by, in_years, missing_lines, reason, together, turns
from quotekit.model.quote import PricedTier
from quotekit.model.why import TierWhy


def lines_of(tier: PricedTier) -> list[str]:
    """The reasons of a tier; none where it was priced by itself."""
    return [] if tier.why is None else list(_lines(tier, tier.why))


def _lines(tier: PricedTier, why: TierWhy) -> Iterator[str]:
    yield f"{tier.name} ({tier.code}). {goes_by(tier)}"
    if not tier.offered:
        yield f"Not offered: {tier.reason or 'no reason is recorded'}."
    if why.missing is not None:
        yield from (f"  {line}" for line in missing_lines(why.missing))
    for entries in together(why):
        yield "; ".join(f"{entry.remedy.name} ({entry.remedy.key})" for entry in entries)
        other = entries[0].alternative
        if other is not None:
            over = f", over {in_years(why.horizon)} {change(other.over_years)}"
            instead = called(other.takes).replace("\n", "; ")
            yield f"  Nearest alternative: {instead}: {change(other.difference)} today{over}."
        yield f"  {reason(entries, why)}"
        yield from (f"  {words}" for words in turns(entries))
    yield from why.notes
