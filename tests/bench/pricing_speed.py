"""Warm pricing, how it grows, and HiGHS alone. In this process, by processor time.

Growth is told as an exponent: 0 does not grow, 1 grows as the number of rows does, 2 as its square; the slope between
the largest two sizes, and of the whole span, on logarithmic scales.
"""

from __future__ import annotations

import math
import tempfile
from collections.abc import Callable, Mapping, Sequence
from decimal import localcontext
from pathlib import Path
from statistics import median
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing import build_quote
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import WorkedTier, work_out_tiers
from tests.bench.bench_quote import large_book
from tests.bench.paired import Spread, here, in_turn, middle, spread
from tests.bench.table import Row
from tests.random_jobs import a_random_case
from tests.recalculation.examples import EXAMPLES, an_example
from tests.solver.big_jobs import a_big_case

WARM = "Warm pricing"
UNUSED = "Growth with parts of the shop book that the job does not use"
USED = "Growth with findings of the job, four remedies each"
SOLVER = "Choosing remedies, beside HiGHS alone on the same model"


def warm(rounds: int, seeds: int) -> list[Row]:
    """Tiers a second: priced from their items, and as whole quotes with choosing and everything beside."""
    examples = [an_example(path) for path in EXAMPLES]
    drawn = [a_random_case(seed) for seed in range(seeds)]
    rows = []
    for what, cases in (("the examples", examples), (f"{seeds} random jobs", drawn)):
        with localcontext(EXACT):
            setups = [set_up(*case) for case in cases]
            chosen = [(setup, _items(setup)) for setup in setups]
        tiers = sum(len(items) for _, items in chosen)
        taken = in_turn(rounds, {"known": here(_pricing(chosen)), "whole": here(_quotes(cases))})
        for name, told in (("known", "a tier, its items known"), ("whole", "a tier of a whole quote")):
            seconds = [took.processor / tiers for took in taken[name]]
            per_second = f"{1 / median(seconds):,.0f} a second"
            rows.append(Row(WARM, f"{told}, {what}", median(seconds), rounds=rounds, by="processor", note=per_second))
    return rows


def _items(setup: Any) -> list[Any]:
    return [tier.items for tier in work_out_tiers(setup) if isinstance(tier, WorkedTier)]


def _pricing(chosen: Sequence[tuple[Any, list[Any]]]) -> Callable[[], None]:
    def work() -> None:
        with localcontext(EXACT):
            for setup, tiers in chosen:
                for items in tiers:
                    setup.price(items)

    return work


def _quotes(cases: Sequence[tuple[ShopBook, Job]]) -> Callable[[], None]:
    def work() -> None:
        for case in cases:
            build_quote(*case)

    return work


def exponent(sizes: Sequence[int], seconds: Sequence[float]) -> float:
    """The slope of time over size, both on logarithmic scales, by least squares.

    >>> round(exponent([10, 100, 1000], [1.0, 10.0, 100.0]), 6)
    1.0
    """
    x, y = [math.log(size) for size in sizes], [math.log(second) for second in seconds]
    mean_x, mean_y = sum(x) / len(x), sum(y) / len(y)
    above = sum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True))
    return above / sum((a - mean_x) ** 2 for a in x)


def growth_rows(section: str, what: str, sizes: Sequence[int], taken: Mapping[str, Sequence[Any]]) -> list[Row]:
    """A row for each size, and one for the exponent with its spread over the rounds."""
    seconds = [middle(taken, str(size)) for size in sizes]
    rows = [
        Row(section, f"{what}, {size:,}", value, by="processor", rounds=len(taken[str(size)]))
        for size, value in zip(sizes, seconds, strict=True)
    ]
    by_round = [
        exponent(sizes, [took.processor for took in turn])
        for turn in zip(*(taken[str(size)] for size in sizes), strict=True)
    ]
    found: Spread = spread(by_round)
    told = f"last step {exponent(sizes[-2:], seconds[-2:]):.2f}"
    return [*rows, Row(section, f"{what}, exponent", ratio=found, rounds=len(by_round), reads="", note=told)]


def unused_rows(rounds: int, sizes: Sequence[int]) -> list[Row]:
    """Reading and pricing while the shop book's Parts sheet grows."""
    from quotekit.workbook.read_job import read_job
    from quotekit.workbook.read_shop_book import read_shop_book

    job_path = EXAMPLES[1]
    with tempfile.TemporaryDirectory() as name:
        paths = {size: Path(name) / f"{size}.xlsx" for size in sizes}
        for size, path in paths.items():
            large_book(job_path.parent / "shop book.xlsx", path, size)
        books = {size: read_shop_book(path)[0] for size, path in paths.items()}
        job = read_job(job_path, books[sizes[0]])[0]  # type: ignore[arg-type]
        reading = in_turn(
            rounds, {str(size): here(lambda path=path: read_shop_book(path)) for size, path in paths.items()}
        )  # type: ignore[misc]
        pricing = in_turn(
            rounds,
            {str(size): here(lambda book=book: build_quote(book, job)) for size, book in books.items()},  # type: ignore[misc, arg-type]
        )
    return [
        *growth_rows(UNUSED, "parts read", sizes, reading),
        *growth_rows(UNUSED, "a quote priced, parts", sizes, pricing),
    ]


def used_rows(rounds: int, sizes: Sequence[int], style: str = "nested") -> list[Row]:
    """Whole quotes while the job's findings grow."""
    cases = {size: a_big_case(size, style, 1) for size in sizes}
    taken = in_turn(rounds, {str(size): here(lambda case=case: build_quote(*case)) for size, case in cases.items()})  # type: ignore[misc]
    return growth_rows(USED, f"a quote priced ({style}), findings", sizes, taken)


def beside_highs(sizes: Sequence[int], styles: Sequence[str], seed: int = 1) -> list[Row]:
    """Choosing each tier with its proof, and HiGHS alone to proven optimality on the model as first handed over."""
    from tests.bench.bench_choice import measure

    rows = []
    for size in sizes:
        for style in styles:
            found = [tier for tier in measure(size, style, seed).tiers if "alone" in tier]
            if not found:
                rows.append(Row(SOLVER, f"{size} findings, {style}", note="listed one by one, no program"))
                continue
            alone = [tier["alone"]["seconds"] + tier["alone"]["handing over"] for tier in found]
            ended = ", ".join(sorted({tier["alone"]["ended"] for tier in found}))
            rows.append(
                Row(
                    SOLVER,
                    f"{size} findings, {style}",
                    ours=median(tier["seconds"] for tier in found),
                    beside=median(alone),
                    against=f"HiGHS alone, {found[0]['alone']['columns']} x {found[0]['alone']['rows']}",
                    ratio=spread([tier["ratio"] for tier in found]),
                    by="processor",
                    rounds=len(found),
                    note=f"{len(found)} tiers; alone ended: {ended}",
                )
            )
    return rows
