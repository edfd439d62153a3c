"""The benchmark: one command, one run, one table.

    python -m tests.bench [--out FILE] [--readme FILE] [--quick] [--only SECTION ...] [--rounds N]

Everything compared is taken in turn in this run (`paired`), so that a busy machine is busy for both; what is told is
the median of the ratios round by round, and the middle half of them. `--quick` measures little of everything in about a
minute, to see that it runs; its figures mean nothing. The whole takes some twenty minutes on two cores.
"""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from quotekit.cli.main import SELDOM
from tests.bench.machine import machine_described
from tests.bench.paired import CommandFailed
from tests.bench.table import Row, as_json, plain_table, readme_table, skipped


@dataclass(frozen=True)
class Sizes:
    """How much is measured."""

    rounds: int
    seeds: int
    list_rows: int
    unused: tuple[int, ...]
    used: tuple[int, ...]
    findings: tuple[int, ...]
    styles: tuple[str, ...]
    more_parts: int
    jobs: int


WHOLE = Sizes(
    rounds=11,
    seeds=200,
    list_rows=1_000_000,
    unused=(100, 1_000, 10_000, 50_000),
    used=(1, 10, 50, 200),
    findings=(30, 100),
    styles=("wild", "wilder", "nested", "chained", "tangled", "money", "limits", "ties", "mixed"),
    more_parts=20_000,
    jobs=300,
)
QUICK = Sizes(
    rounds=1,
    seeds=6,
    list_rows=2_000,
    unused=(10, 100),
    used=(1, 3),
    findings=(12,),
    styles=("wild",),
    more_parts=100,
    jobs=4,
)


def sections(sizes: Sizes) -> dict[str, Callable[[], list[Row]]]:
    """Each section by the word that chooses it."""
    from tests.bench import many_jobs, memory, price_lists, pricing_speed, reading_and_writing, recalculation, starting

    rounds, few = sizes.rounds, max(1, sizes.rounds // 2)
    return {
        "floor": lambda: reading_and_writing.measure(rounds, sizes.more_parts),
        "formulas": lambda: recalculation.measure(rounds),
        "solver": lambda: pricing_speed.beside_highs(sizes.findings, sizes.styles),
        "lists": lambda: price_lists.measure(rounds, sizes.list_rows),
        "start": lambda: starting.measure(rounds),
        "warm": lambda: pricing_speed.warm(few, sizes.seeds),
        "unused": lambda: pricing_speed.unused_rows(max(1, few // 2), sizes.unused),
        "used": lambda: pricing_speed.used_rows(max(1, few // 2), sizes.used),
        "memory": lambda: memory.measure(sizes.more_parts),
        "many": lambda: many_jobs.measure(few, sizes.jobs),
    }


def measured(
    sizes: Sizes, only: list[str] | None = None, keep: Callable[[list[Row]], None] = lambda rows: None
) -> list[Row]:
    """Every row of the wanted sections; `keep` is given all rows so far after each."""
    from tests.bench.recalculation import Disagrees

    rows: list[Row] = []
    for name, section in sections(sizes).items():
        if only and name not in only:
            continue
        print(f"measuring: {name}", file=sys.stderr, flush=True)
        try:
            rows += section()
        except (CommandFailed, Disagrees) as fault:  # the other sections are measured all the same
            rows.append(skipped(f"Section {name}", "all of it", str(fault)))
        keep(rows)
    return rows


def main(words: list[str] | None = None) -> int:
    """Measure, print, write."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--out", type=Path, metavar="FILE", help="write JSON here")
    parser.add_argument("--readme", type=Path, metavar="FILE", help="write the table for the README here")
    parser.add_argument("--quick", action="store_true", help="little of everything, to see that it runs")
    parser.add_argument("--only", nargs="+", metavar="SECTION", choices=list(sections(QUICK)), help="some sections")
    parser.add_argument("--rounds", type=int, help="rounds of each comparison")
    options = parser.parse_args(words)
    sizes = QUICK if options.quick else WHOLE
    if options.rounds:
        sizes = Sizes(**{**vars(sizes), "rounds": options.rounds})
    machine = machine_described()
    gc.set_threshold(SELDOM)  # as in every command

    def keep(rows: list[Row]) -> None:
        if options.out:
            options.out.write_text(as_json(rows, machine, vars(sizes)), encoding="utf-8")
        if options.readme:
            options.readme.write_text(readme_table(rows, machine), encoding="utf-8")

    print(plain_table(measured(sizes, options.only, keep), machine))
    return 0


if __name__ == "__main__":
    sys.exit(main())
