"""Cells behind each figure: the engine's own figures again, and no more cells than they need."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from functools import cached_property
from itertools import pairwise
from pathlib import Path

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.basis import Basis
from quotekit.pricing.explain.cells import CONDITIONS, EVERYTHING, FigureCells, cells_behind
from quotekit.pricing.explain.cells_basis import LateBasis
from quotekit.pricing.explain.cells_choice import CHOICE
from quotekit.problems import has_errors
from tests.completeness.cases import random_workbooks
from tests.random_jobs import a_random_case
from tests.workbook.books import good_book, good_job

KNOWN = {
    "code", "name", "offered", "reason", "items", "operations", "access", "dropped", "fixed", "left", "safety_left",
    "hours", "parts", "amounts", "bundles", "work", "subtotal", "taxes", "tax", "total", "deposit", "due",
    "ready_days", "horizon_cost", "shares", "cost", "cash_for_parts", "margin", "compared", "extras",
}  # fmt: skip
"""Parts of a tier's JSON whose figures are worked out one by one."""

OF_JOB = {
    "job", "version", "quote_date", "currency", "valid_until", "not_permitted", "only_with", "measure_next",
    "look_next", "declined",
}  # fmt: skip


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> tuple[ShopBook, Job]:
    folder: Path = tmp_path_factory.mktemp("cells")
    book = good_book(folder)
    return book, good_job(folder, book=book)


@pytest.fixture(scope="module")
def cells(pair: tuple[ShopBook, Job]) -> FigureCells:
    return cells_behind(*pair, "good")


def quoted_cases(count: int) -> Iterator[tuple[int, ShopBook, Job]]:
    for seed in range(count):
        book, job = a_random_case(seed)
        if not has_errors(build_quote(book, job).problems):
            yield seed, book, job


def test_every_figure_worked_out_again_is_the_quotes() -> None:
    """A figure that is not worked out as the engine does hangs on everything: complete, and of no use.

    So this holds the rules of the explanation to the engine's, on random jobs.
    """
    checked = 0
    for seed, book, job in quoted_cases(12):
        quote = build_quote(book, job)
        for tier in quote.tiers:
            found = cells_behind(book, job, tier.code)
            assert {name.split(".")[0] for name in found} <= KNOWN | OF_JOB
            assert {name.split(".")[0] for name in found} >= OF_JOB
            if tier.priced:
                missing = [name for name in names_of(tier) if name not in found]
                assert missing == [], f"seed {seed}, {tier.code}"
                checked += len(found)
    assert checked > 1000


def names_of(tier: object) -> Iterator[str]:
    """Figures that every priced tier has, and those of its own lists."""
    yield from sorted(KNOWN - {"hours", "parts", "amounts", "bundles", "taxes", "shares", "cost", "extras"})
    for group in ("hours", "amounts", "cost"):
        names = (each.name for each in fields(getattr(tier, group)))
        yield from (f"{group}.{name}" for name in names if name != "billed")
    yield from (f"hours.billed.{rate}" for rate in tier.hours.billed)  # type: ignore[attr-defined]
    for group, key, last in (
        ("part_lines", "part", ("parts", "quantity", "packs", "unit_price", "amount")),
        ("taxes", "tax", ("taxes", "base", "amount")),
        ("shares", "item", ("shares", "hours", "labour", "parts", "sublet", "amount")),
        ("extras", "extra", ("extras", "kind", "why", "price", "at_most", "work", "subtotal", "tax", "total")),
    ):
        for line in getattr(tier, group):
            yield from (f"{last[0]}.{getattr(line, key)}.{name}" for name in last[1:])
    yield from (f"bundles.{code}.amount" for code, _ in tier.bundles)  # type: ignore[attr-defined]


def sheets(cells: FigureCells, figure: str) -> set[str]:
    return {place.sheet for place in cells.all_of(figure)}


def test_until_when_it_holds_hangs_on_the_date_and_the_days_only(
    cells: FigureCells, pair: tuple[ShopBook, Job]
) -> None:
    book, job = pair
    date = job.sources["Quote date"]
    places = cells.all_of("valid_until")
    assert date.place("Value") in places and sheets(cells, "valid_until") == {"Job", "Shop"}
    typed = book.settings.sources.get("Quote valid days")
    assert typed is None or typed.place("Value") in places


def test_a_unit_price_hangs_on_no_other_parts_cost_but_by_the_choice(pair: tuple[ShopBook, Job]) -> None:
    book, job = pair
    seen = 0
    for tier in build_quote(book, job).tiers:
        cells = cells_behind(book, job, tier.code)
        for line in tier.part_lines:
            own = {
                place
                for stage, places in cells[f"parts.{line.part}.unit_price"].items()
                if stage != CHOICE
                for place in places
            }
            for other in book.parts.values():
                if other.code not in (line.part, *job.parts):
                    assert other.source.place("Pack cost") not in own
                    seen += 1
    assert seen


def test_hours_hang_on_no_price_but_by_the_choice(cells: FigureCells, pair: tuple[ShopBook, Job]) -> None:
    stages = cells["hours.access"]
    own = {place for stage, places in stages.items() if stage != CHOICE for place in places}
    costs = {part.source.place("Pack cost") for part in pair[0].parts.values()}
    rates = {row.source.place("Rate per hour") for row in pair[0].labour_rates}
    assert own and own.isdisjoint(costs | rates)


def test_the_labour_hangs_on_its_rate_and_the_parts_on_their_costs(
    cells: FigureCells, pair: tuple[ShopBook, Job]
) -> None:
    book, job = pair
    tier = next(tier for tier in build_quote(book, job).tiers if tier.code == "good")
    rates = {line.rate for line in tier.labour_lines}
    used = {line.part for line in tier.part_lines if line.part in book.parts and line.part not in job.parts}
    assert rates
    for rate in (row for row in book.labour_rates if row.code in rates):
        assert rate.source.place("Rate per hour") in cells.all_of("amounts.labour")
    for code in used:
        assert book.parts[code].source.place("Pack quantity") in cells.all_of(f"parts.{code}.packs")


def test_a_figure_that_is_not_known_hangs_on_everything(cells: FigureCells) -> None:
    """A figure that someone adds to the quote is named too much of, and never too little."""
    assert cells["a new figure"] == {EVERYTHING: cells.everything[EVERYTHING]}
    assert "a new figure" not in cells, "asking does not make it known"
    union = frozenset().union(*(cells.all_of(name) for name in cells))
    assert len(union - cells.all_of("a new figure")) < 40, "what only the names of rows add"


def test_a_tier_there_is_none_of_has_the_jobs_figures_only(pair: tuple[ShopBook, Job]) -> None:
    found = cells_behind(*pair, "no such tier")
    assert {name.split(".")[0] for name in found} == OF_JOB
    assert found["total"] == found.everything


def test_the_later_tier_hangs_on_what_the_earlier_one_takes(pair: tuple[ShopBook, Job]) -> None:
    """It must put right what the earlier one does."""
    codes = [tier.code for tier in pair[0].tiers]
    conditions = [cells_behind(*pair, code)["total"][CHOICE] for code in codes]
    assert all(earlier <= later for earlier, later in pairwise(conditions))


def test_amounts_are_written_in_the_shops_currency(cells: FigureCells, pair: tuple[ShopBook, Job]) -> None:
    currency = pair[0].settings.sources["Currency"].place("Value")
    for figure in ("total", "amounts.freight", "amounts.savings", "cost.cores", "declined.total", "due"):
        assert currency in cells.all_of(figure), figure
    own = {place for stage, places in cells["hours.net"].items() if stage != CHOICE for place in places}
    assert currency not in own


def test_the_stages_are_said_in_words(cells: FigureCells) -> None:
    stages = {stage for name in cells for stage in cells[name]}
    assert CHOICE in stages and "hours" in stages and "" not in stages
    assert set(CONDITIONS) >= {CHOICE, EVERYTHING}


def test_nothing_is_kept_by_the_basis_without_what_was_read_for_it() -> None:
    """A look-up that the engine's basis keeps must be looked up again here, or its second reader is not seen."""
    kept = {name for name, held in vars(Basis).items() if isinstance(held, cached_property)}
    assert kept and kept <= set(vars(LateBasis))
    known = {"book", "job", "_ops", "_steps", "_prices", "replaced"}
    assert {each.name for each in fields(Basis)} == known, "a new store must be looked up again in LateBasis"


def test_a_plan_hangs_on_its_rows(tmp_path: Path) -> None:
    """A planned tier takes what the Plan sheet says: its rows decide, and no price does."""
    planned = 0
    for seed in (seed for seed in range(120) if a_random_case(seed)[1].plan):
        records = random_workbooks(seed, tmp_path).records()
        if records is None:
            continue
        quote = build_quote(*records)
        for tier in quote.tiers if not has_errors(quote.problems) else ():
            if tier.planned:
                condition = cells_behind(*records, tier.code)["total"][CHOICE]
                rows = [row for row in records[1].plan if row.tier == tier.code]
                assert all(row.source.place("Item") in condition for row in rows)
                planned += 1
        if planned:
            break
    assert planned
