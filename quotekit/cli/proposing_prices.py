"""Lists, ledger and jobs read, and everything proposed from them."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.price_lists import ChosenList, chosen_lists
from quotekit.cli.report import say, step

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.proposed_prices import ProposedPrices
    from quotekit.model.shop_book import ShopBook
    from quotekit.pricing.proposals.open_quotes import Waiting
    from quotekit.pricing.proposals.propose import Compared
    from quotekit.pricing.proposals.propose import Ledger as Units
    from quotekit.problems import Problem


def proposals_of(options: argparse.Namespace) -> tuple[ProposedPrices | None, list[Problem]]:
    """Everything that the lists would change, or what is in the way."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.problems import has_errors

    inputs = read_inputs(options.book)
    problems = list(inputs.problems)
    if inputs.book is None or has_errors(problems):
        return None, problems
    book, day = inputs.book, options.on or date.today()
    chosen, found = chosen_lists(options, book)
    problems += found
    if has_errors(problems):
        return None, problems
    compared = []
    for one in chosen:
        with step(f"Reading {one.path.name}"):
            read, found = compare(one, book, day)
        problems += found
        if read is not None:
            compared.append(read)
    if has_errors(problems):
        return None, problems
    units, waiting, found = _of_shop(options, book, day)
    problems += found
    return _propose(options, book, compared, day, units, waiting), problems


def _propose(
    options: argparse.Namespace,
    book: ShopBook,
    compared: list[Compared],
    day: date,
    units: Units | None,
    waiting: list[Waiting],
) -> ProposedPrices:
    from quotekit.pricing.proposals.propose import propose_prices

    with step("Working it out"):
        limit = options.limit / Decimal(100)
        return propose_prices(book, compared, day, limit, ledger=units, waiting=waiting)


def compare(chosen: ChosenList, book: ShopBook, day: date) -> tuple[Compared | None, list[Problem]]:
    """A list as it was read, with what it says of the book's numbers and of those that take their place."""
    from quotekit.model.proposed_prices import ListUsed
    from quotekit.pricing.proposals.book_rows import numbers_of, rows_of
    from quotekit.pricing.proposals.propose import Compared
    from quotekit.pricing.proposals.successors import not_looked_up
    from quotekit.suppliers.read_list import read_list

    prices, problems = read_list(chosen.path, chosen.mapping, book.settings.currency, day)
    if prices is None:
        return None, problems
    rows = rows_of(book, chosen.supplier)
    found = prices.find(numbers_of(rows))
    while following := not_looked_up(found):
        found |= prices.find(following, nearest=False)
    own = {row.terms.number.strip() for row in rows}
    priced = sum(number in own and answer.how == "exact" for number, answer in found.items())
    used = ListUsed(
        report=prices.report,
        supplier=chosen.supplier,
        asked=len(rows),
        not_in_book=prices.report.numbers - priced,
    )
    return Compared(used=used, found=found), problems


def _of_shop(
    options: argparse.Namespace, book: ShopBook, day: date
) -> tuple[Units | None, list[Waiting], list[Problem]]:
    """Units used and open quotes of the ledger, then jobs of the folder that the ledger does not know."""
    from quotekit.cli.open_jobs import waiting_in_folder

    units: Units | None = None
    waiting: list[Waiting] = []
    known = frozenset[str]()
    with ledger_if_any(options) as ledger:
        if ledger is None:
            say("There is no ledger beside the shop book: units used in a year are not known.")
        else:
            units, waiting, known = _of_ledger(ledger, book, day)
    if options.jobs is None:
        return units, waiting, []
    with step(f"Reading the jobs of {options.jobs}"):
        jobs, problems = waiting_in_folder(options.jobs, book, day, known)
    return units, [*waiting, *jobs], problems


def _of_ledger(ledger: Ledger, book: ShopBook, day: date) -> tuple[Units, list[Waiting], frozenset[str]]:
    from quotekit.cli.open_jobs import waiting_in_ledger
    from quotekit.cli.review import span_of
    from quotekit.cli.review_kept import kept_within
    from quotekit.model.story import job_key
    from quotekit.pricing.proposals.propose import Ledger as Units
    from quotekit.pricing.proposals.units_used import units_used

    span = span_of(None, day)
    assert span is not None
    with step("Reading the ledger"):
        stories = kept_within(ledger, span).stories
        waiting = list(waiting_in_ledger(ledger, stories, book, day))
    known = frozenset(map(job_key, ledger.jobs()))
    return Units(used_from=span.first, units=units_used(stories, span)), waiting, known


@contextmanager
def ledger_if_any(options: argparse.Namespace) -> Iterator[Ledger | None]:
    """The ledger named, by the environment, or beside the shop book; None where there is none at all."""
    from quotekit.cli.which_ledger import ENDING, VARIABLE, opened_ledger

    folders: tuple[Path, ...] = (options.book.parent, Path())
    there = any(any(folder.glob(f"*{ENDING}")) for folder in folders)
    if options.ledger is None and not os.environ.get(VARIABLE, "").strip() and not there:
        yield None
        return
    with opened_ledger(options, options.book.parent) as ledger:
        yield ledger
