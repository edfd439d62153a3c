"""Quotes whose trees are looked at: the worked example's jobs as read from their workbooks."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from quotekit.documents.explanation_words import rule_in_words
from quotekit.documents.quote_json import lay_out_quote_json, tier_json
from quotekit.model.explanation import Explanation
from quotekit.model.figure_names import figures_of
from quotekit.model.quote import PricedTier, Quote
from quotekit.money import minor_digits
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_priced
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book

FOLDER = Path(__file__).parents[3] / "examples"
EXAMPLES = sorted(path.name for path in (FOLDER / "worked example").glob("26*.xlsx"))
NOT_FIGURES = ("tiers", "problems", "files")


@cache
def example_quote(name: str) -> Quote:
    """The quote of a job of the worked example."""
    book, _ = read_shop_book(FOLDER / "worked example" / "shop book.xlsx")
    assert book is not None
    job, _ = read_job(FOLDER / "worked example" / name, book)
    assert job is not None
    return build_quote(book, job)


@cache
def example_trees(name: str) -> dict[str, tuple[Explanation, ...]]:
    """Every figure of each tier of an example, by the tier's code."""
    quote = example_quote(name)
    return {tier.code: explain_priced(quote, tier) for tier in quote.tiers}


def json_figures(quote: Quote, tier: PricedTier) -> dict[str, object]:
    """Every figure of a tier's JSON and of the job's, by name."""
    laid_out = lay_out_quote_json(quote)
    of_job = {name: value for name, value in laid_out.items() if name not in NOT_FIGURES}
    of_tier = tier_json(tier, minor_digits(quote.currency))
    return {name: value for name, _, value in (*figures_of(of_tier), *figures_of(of_job))}


def in_words(name: str) -> bool:
    """True for a figure that is answered in words, with a rule of its own."""
    return rule_in_words(name) is not None


def missing(quote: Quote, tier: PricedTier, trees: Iterable[Explanation]) -> list[str]:
    """Figures of the JSON that no tree answers for, or with another value."""
    told = {tree.figure: tree.value for tree in trees}
    wanted = {name: value for name, value in json_figures(quote, tier).items() if name in told or not in_words(name)}
    return [
        f"{name}: {told.get(name, 'nothing')!r}, not {value!r}"
        for name, value in wanted.items()
        if name not in told or told[name] != value
    ]
