"""Which figures of a quote hang on one cell, with their amounts by option."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quotekit.cli.answers.figure_words import figure_words
from quotekit.cli.answers.told_cell import bullets

if TYPE_CHECKING:
    from quotekit.model.quote import PricedTier, Quote
    from quotekit.problems import Place

_FIRST = (
    "total", "due", "tax", "subtotal", "work", "amounts.", "hours.", "parts.", "taxes.", "bundles.", "deposit",
    "cost.", "margin", "cash_for_parts", "ready_days", "horizon_cost", "declined.", "valid_until", "shares.", "extras.",
)  # fmt: skip
"""Figures in the order in which they are told; others are counted."""

_LESS = ("shares.", "extras.")
_NOT_TOLD = (".part", ".bundle", ".tax", ".item", ".extra", ".kind", ".why")


def hanging_on(quote: Quote, place: Place, most: int) -> list[str]:
    """Paragraphs: the figures that a cell goes into, and where it only decides which work an option does."""
    into: dict[str, dict[str, str]] = {}
    decides: list[str] = []
    for tier in quote.tiers:
        if tier.priced:
            names, decided = _of_tier(quote, tier, place)
            for name, value in names.items():
                into.setdefault(name, {})[tier.code] = value
            if decided:
                decides.append(f"{tier.name} ({tier.code})")
    return [*_told(quote, into, most), *_decided(quote, decides, bool(into))]


def _of_tier(quote: Quote, tier: PricedTier, place: Place) -> tuple[dict[str, str], bool]:
    """Figures that the cell goes into, with their values; whether it helps decide what the tier takes."""
    from quotekit.documents.explanation_figures import named_figures
    from quotekit.pricing.explain.cells import CONDITIONS, cells_behind
    from quotekit.pricing.explain.cells_choice import CHOICE

    cells = cells_behind(quote.book, quote.job, tier.code)
    found = {
        one.name: str(one.value)
        for one in named_figures(quote, tier)
        if one.name in cells
        and isinstance(one.value, str | int)
        and not isinstance(one.value, bool)
        and not one.name.endswith(_NOT_TOLD)
        and any(place in places for stage, places in cells[one.name].items() if stage not in CONDITIONS)
    }
    return found, "total" in cells and place in cells["total"].get(CHOICE, frozenset())


def _told(quote: Quote, into: dict[str, dict[str, str]], most: int) -> list[str]:
    if not into:
        return [f"No figure of job {quote.job.job_number} is worked out from this cell."]
    ranked = sorted((name for name in into if _rank(name) < len(_FIRST)), key=lambda name: (_rank(name), name))
    main = [name for name in ranked if not name.startswith(_LESS)]
    lines = [
        f"{figure_words(name)}: {', '.join(f'{value} ({code})' for code, value in into[name].items())}"
        for name in main or ranked
    ]
    less = len(into) - len(main) if main else 0
    more = f"\n  and {less} figures of fair shares, of what is offered beside it, and others" if less else ""
    return [f"Of job {quote.job.job_number}, in {quote.currency}, this goes into:\n{bullets(lines, most)}{more}"]


def _rank(name: str) -> int:
    return next((place for place, start in enumerate(_FIRST) if name == start or name.startswith(start)), len(_FIRST))


def _decided(quote: Quote, decides: list[str], goes_into: bool) -> list[str]:
    if not decides:
        return []
    named = " and ".join(one for one in (", ".join(decides[:-1]), decides[-1]) if one)
    return [f"It {'also ' if goes_into else ''}helps decide which work is taken in {named}."]
