"""`quotekit choice BOOK JOB --tier CODE`: what a customer's choice comes to."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems, step

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quotekit.model.quote import PricedTier, Quote
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit choice "shop book.xlsx" "job 117.xlsx" --tier good
  quotekit choice "shop book.xlsx" "job 117.xlsx" --tier good --extra BELT --extra "SEAL@left; CAP"

prints the amounts of the option with the extras taken, to the cent as the customer's quote works them out. An extra
is CODE, or CODE@side where it is offered on several sides; upper and lower case do not matter. Nothing is written.
"""

AMOUNTS = {
    "labour": "Labour",
    "parts": "Parts",
    "cores": "Core charges",
    "sublet": "Work sent out",
    "savings": "Savings",
    "supplies": "Supplies",
    "fees": "Fees",
    "freight": "Freight",
    "inspection": "Inspection",
    "inspection_credit": "Inspection credited",
}


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "choice",
        help="what an option comes to with extras taken",
        description="Price one option of a job with any of the extras offered beside it.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book")
    parser.add_argument("job", metavar="JOB", type=Path, help="the job workbook")
    parser.add_argument("--tier", metavar="CODE", required=True, help="the code of the option, from the sheet Tiers")
    parser.add_argument(
        "--extra",
        metavar="CODE",
        action="append",
        default=[],
        help="an extra or found item taken, CODE or CODE@side; may be repeated, or hold several with ; between them",
    )
    parser.add_argument("--json", action="store_true", help="print the tier, with costs, as one JSON object")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, price, print."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.cli.quote import price
    from quotekit.problems import has_errors

    inputs = read_inputs(options.book, options.job)
    quote, problems = price(inputs)
    if quote is None or has_errors(problems):
        return _refuse(options, None, problems)
    tier, keys, found = choose(quote, options.tier, options.extra)
    if tier is None or has_errors(found):
        return _refuse(options, tier, [*found, *problems])
    _tell(options, quote, priced_choice(quote, tier, keys), keys, [*found, *problems])
    return DONE


def choose(
    quote: Quote, tier_word: str, extra_words: Sequence[str]
) -> tuple[PricedTier | None, list[str], list[Problem]]:
    """The tier and the keys of the extras that are meant, with everything that is wrong with them."""
    from quotekit.cli.chosen import chosen_extras, chosen_tier, listed

    tier, problems = chosen_tier(quote, tier_word)
    if tier is None or not tier.priced:
        return tier, [], problems
    keys, more = chosen_extras(quote, tier, listed(extra_words))
    return tier, keys, [*problems, *more]


def priced_choice(quote: Quote, tier: PricedTier, keys: list[str]) -> PricedTier:
    """The option with the extras taken."""
    if not keys:
        return tier
    from quotekit.pricing.choice import price_choice

    with step("Pricing the choice"):
        return price_choice(quote.book, quote.job, tier.code, keys)


def _refuse(options: argparse.Namespace, tier: PricedTier | None, problems: list[Problem]) -> int:
    print_problems(problems)
    if options.json:
        from quotekit.documents.choice_json import lay_out_refused_choice_json

        print_json(lay_out_refused_choice_json(tier, problems))
    return PROBLEMS


def _tell(
    options: argparse.Namespace, quote: Quote, tier: PricedTier, keys: list[str], problems: list[Problem]
) -> None:
    print_problems(problems)
    if options.json:
        from quotekit.documents.choice_json import lay_out_choice_json

        print_json(lay_out_choice_json(tier, quote.currency, problems))
        return
    print(f"{tier.name} [{tier.code}], with {', '.join(keys) or 'nothing'} added, in {quote.currency}")
    rows = list(amount_rows(tier, quote.currency))
    label_width, amount_width = (max(len(row[column]) for row in rows) for column in (0, 1))
    for label, amount in rows:
        print(f"{label:<{label_width}}  {amount:>{amount_width}}")


def amount_rows(tier: PricedTier, currency: str) -> Iterator[tuple[str, str]]:
    """Labels and amounts in the order of money; an amount of zero that is no sum is left out."""
    from quotekit.documents.quote_json import money
    from quotekit.money import minor_digits

    digits = minor_digits(currency)
    for name, label in AMOUNTS.items():
        if amount := getattr(tier.amounts, name):
            yield label, money(amount, digits)
    yield "Subtotal", money(tier.subtotal, digits)
    yield from ((line.tax, money(line.amount, digits)) for line in tier.taxes)
    yield "Total", money(tier.total, digits)
    yield "Deposit", money(tier.deposit, digits)
    yield "Due", money(tier.due, digits)
