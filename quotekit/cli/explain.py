"""`quotekit explain BOOK JOB --tier T`: where each figure comes from, down to the cells."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems, step

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quotekit.documents.explanation_figures import NamedFigure
    from quotekit.model.explanation import Explanation
    from quotekit.model.quote import PricedTier, Quote
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit explain "shop book.xlsx" "job 117.xlsx" --tier good
  quotekit explain "shop book.xlsx" "job 117.xlsx" --tier good --figure total
  quotekit explain "shop book.xlsx" "job 117.xlsx" --tier "Put right" --figure parts.SEAL-19.unit_price --json

A figure is named by its path in the JSON of `quotekit quote --json`: total, amounts.labour, hours.billed.MAIN,
parts.SEAL-19.amount or parts[0].amount, taxes.State.base, shares.BUSH@left.labour, declined.total. A group, such as
amounts, means all in it. Without --figure the main figures are told in short; with --json all of them, each tree once
under its own name, but for the groups why and sensitivity: --figure why tells those.
Cells that are not named do not move the figure. Nothing is written.
"""

IN_WORDS = ("why.", "sensitivity.")
"""Groups that explain themselves: told when they are asked for, not among all figures."""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "explain",
        help="where each figure of an option comes from, down to the cells",
        description="Explain the figures of one option: value, rule, what went into it, rounding, and the cells.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book")
    parser.add_argument("job", metavar="JOB", type=Path, help="the job workbook")
    parser.add_argument("--tier", metavar="TIER", required=True, help="the code or the name of the option")
    parser.add_argument("--figure", metavar="NAME", help="a figure or a group of figures")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, price, explain, print."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.cli.quote import price
    from quotekit.problems import has_errors

    inputs = read_inputs(options.book, options.job)
    quote, problems = price(inputs)
    if quote is None or has_errors(problems):
        return _refuse(options, quote, problems)
    tier, found = _tier(quote, options.tier)
    if tier is None:
        return _refuse(options, quote, [*found, *problems])
    from quotekit.documents.explanation_figures import named_figures

    known = named_figures(quote, tier)
    names, found = _names(options, quote, tier, known)
    if not names:
        return _refuse(options, quote, [*found, *problems])
    _tell(options, quote, tier, _explain(quote, tier, known, names), problems)
    return DONE


def _tier(quote: Quote, word: str) -> tuple[PricedTier | None, list[Problem]]:
    """The tier of a code, or of a name that no other has, offered or not."""
    from quotekit.cli.chosen import chosen_tier, same_words

    by_name = [tier.code for tier in quote.tiers if same_words(tier.name, word)]
    by_code = any(same_words(tier.code, word) for tier in quote.tiers)
    return chosen_tier(quote, by_name[0] if len(by_name) == 1 and not by_code else word)


def _names(
    options: argparse.Namespace, quote: Quote, tier: PricedTier, known: Sequence[NamedFigure]
) -> tuple[list[str], list[Problem]]:
    """Names of the figures to explain."""
    from quotekit.documents.explanation_figures import main_figures, within_tier

    if options.figure is not None:
        return names_meant(within_tier(options.figure, quote, tier), known)
    figures = [one.name for one in known if not one.name.startswith(IN_WORDS)]
    return (figures if options.json else main_figures(known)), []


def names_meant(word: str, known: Sequence[NamedFigure]) -> tuple[list[str], list[Problem]]:
    """Names of the figures that a word means; one that means none is a problem."""
    from quotekit.documents.explanation_figures import group_names, meant_by

    names = meant_by(word, known)
    if names:
        return names, []
    from quotekit.problems import Place, error
    from quotekit.workbook.names import nearest_by_parts

    found = nearest_by_parts(word, [*group_names(known), *(one.name for one in known)])
    near = f"Did you mean {found}? " if found else ""
    message = f"{word or 'A blank'} is no figure of this option."
    remedy = f"{near}Figures and groups: {', '.join(group_names(known))}."
    return [], [error(Place("--figure"), "unknown-figure", message, remedy, word)]


def explained_figures(quote: Quote, tier: PricedTier, names: Sequence[str]) -> tuple[Explanation, ...]:
    """Figures of a tier by their names, with all cells they hang on."""
    from quotekit.documents.explanation_figures import named_figures

    return _explain(quote, tier, named_figures(quote, tier), names)


def _explain(
    quote: Quote, tier: PricedTier, known: Sequence[NamedFigure], names: Sequence[str]
) -> tuple[Explanation, ...]:
    """The figures with all cells they hang on."""
    from quotekit.documents.explanation_figures import with_all
    from quotekit.pricing.explain import explain_priced
    from quotekit.pricing.explain.cells import cells_behind
    from quotekit.pricing.explain.conditions import with_conditions

    with step("Tracing the figures"):
        trees = with_all(explain_priced(quote, tier, frozenset(names).__contains__), known, names)
        return with_conditions(trees, cells_behind(quote.book, quote.job, tier.code))


def _refuse(options: argparse.Namespace, quote: Quote | None, problems: list[Problem]) -> int:
    print_problems(problems)
    if options.json:
        from quotekit.documents.explanation_json import lay_out_refused_explanation_json

        print_json(lay_out_refused_explanation_json(quote, problems))
    return PROBLEMS


def _tell(
    options: argparse.Namespace,
    quote: Quote,
    tier: PricedTier,
    figures: Sequence[Explanation],
    problems: list[Problem],
) -> None:
    print_problems(problems)
    if options.json:
        from quotekit.documents.explanation_figures import why_of
        from quotekit.documents.explanation_json import lay_out_explanation_json

        in_short, why = options.figure is None, why_of(quote, tier)
        laid_out = lay_out_explanation_json(quote, tier, figures, why, problems, in_short=in_short)
        print_json(laid_out, in_lines=not in_short)
        return
    from quotekit.documents.explanation_text import explained_tier_lines

    lines = [*explained_tier_lines(quote, tier, figures, in_short=options.figure is None)]
    if options.figure is None:
        from quotekit.documents.why_text import lines_of

        lines += ["", *lines_of(tier)]
    print("\n".join(lines).rstrip())
