"""What the exact choice of tiers costs. Not a test: a clock on a busy machine proves nothing.

    python tests/bench/bench_choice.py [--findings 10,30,100,400] [--styles nested,chained] [--seed 1] [--rounds 1]

All times of choosing are processor seconds of one thread: the clock also counts what else runs on the machine, and so
do the limits of solving (20 s a tier, 60 s for HiGHS alone), which are by the clock.

For each size and style, in one run: looking up, choosing each tier with its proof, and the whole quote; and the same
integer model handed to HiGHS alone, with what HiGHS takes by itself, as a ratio to the choice it stands in. Then what
importing HiGHS costs, and what a small job imports.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from decimal import localcontext
from pathlib import Path
from statistics import median
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from quotekit.money import EXACT  # noqa: E402
from quotekit.pricing import build_quote  # noqa: E402
from quotekit.pricing.covers import TooManyChoices  # noqa: E402
from quotekit.pricing.setup import set_up  # noqa: E402
from quotekit.pricing.tiers import Unworked, WorkedTier, work_out  # noqa: E402
from tests.solver.big_jobs import STYLES  # noqa: E402
from tests.solver.wild_jobs import a_large_case  # noqa: E402

ALONE_SECONDS = 60.0


@dataclass
class Model:
    """An integer model as the engine first handed it over: the program, and what is made least."""

    program: Any
    objective: Any


@contextmanager
def models_noted(noted: list[Model]) -> Iterator[None]:
    """Keep the model of each search as it stands when the search begins."""
    from quotekit.pricing.exact.settle import WholeSearch

    best_choice = WholeSearch.best_choice

    def noting(search: WholeSearch) -> Any:
        noted.append(Model(search.program.copy(), search.steps[0]))
        return best_choice(search)

    WholeSearch.best_choice = noting  # type: ignore[method-assign]
    try:
        yield
    finally:
        WholeSearch.best_choice = best_choice  # type: ignore[method-assign]


def highs_alone(model: Model) -> dict[str, Any]:
    """Seconds HiGHS takes for a model by itself to proven optimality, one thread, no gap, all else as it comes."""
    import highspy

    from quotekit.pricing.exact.rows_passed import model_of

    start = time.process_time()
    lp = model_of(highspy, model.program)
    costs = [0.0] * lp.num_col_
    scale = model.objective.denominator()
    for unknown, factor in model.objective.terms.items():
        costs[unknown] = float(factor * scale)
    lp.col_cost_ = costs
    highs = highspy.Highs.__base__()
    for name, value in {"output_flag": False, "threads": 1, "mip_rel_gap": 0.0, "time_limit": ALONE_SECONDS}.items():
        highs.setOptionValue(name, value)
    built = time.process_time()
    highs.passModel(lp)
    highs.run()
    status = highs.modelStatusToString(highs.getModelStatus())
    return {
        "columns": lp.num_col_,
        "rows": lp.num_row_,
        "handing over": built - start,
        "seconds": time.process_time() - built,
        "ended": status,
    }


@dataclass
class Measured:
    """Times of one job in seconds."""

    name: str
    set_up: float = 0.0
    tiers: list[dict[str, Any]] = field(default_factory=list)
    quote: float = 0.0


def measure(count: int, style: str, seed: int) -> Measured:
    """One job: each tier chosen and its model solved alone, one after the other, then the whole quote."""
    book, job = a_large_case(count, style, seed)
    found = Measured(f"{count} {style}")
    with localcontext(EXACT):
        start = time.process_time()
        setup = set_up(book, job)
        found.set_up = time.process_time() - start
        before: WorkedTier | None = None
        for tier in book.tiers:
            noted: list[Model] = []
            start = time.process_time()
            with models_noted(noted):
                worked = _worked(setup, tier, before)
            row = {"tier": tier.code, "aim": tier.aim, "seconds": time.process_time() - start}
            found.tiers.append(row | _proof(worked) | _alone(noted, row["seconds"]))
            before = worked if isinstance(worked, WorkedTier) else before
    start = time.process_time()
    build_quote(book, job)
    found.quote = time.process_time() - start
    return found


def _worked(setup: Any, tier: Any, before: WorkedTier | None) -> Any:
    """The tier, or the reason there is none, in words."""
    try:
        return work_out(setup, tier, before)
    except TooManyChoices as refused:
        return type(refused).__name__


def _proof(worked: Any) -> dict[str, Any]:
    if isinstance(worked, Unworked):
        return {"method": worked.reason}
    if not isinstance(worked, WorkedTier):
        return {"method": str(worked)}
    proof = worked.proof
    return {
        "method": proof.method,
        "choices": proof.choices,
        "priced": proof.priced,
        "bound": str(proof.bound),
        "gap": str(proof.gap),
        "settled": proof.settled,
        "work": str(worked.charges.total),
    }


def _alone(noted: list[Model], seconds: float) -> dict[str, Any]:
    if not noted:
        return {}
    alone = highs_alone(noted[0])
    return {"alone": alone, "ratio": seconds / (alone["handing over"] + alone["seconds"])}


def shown(found: Measured) -> str:
    """Three lines of a table."""
    lines = [f"{found.name:14} set up {found.set_up:6.3f}  whole quote {found.quote:7.2f}"]
    for tier in found.tiers:
        alone = tier.get("alone")
        beside = ""
        if alone:
            beside = (
                f"  HiGHS alone {alone['handing over'] + alone['seconds']:6.2f} ({alone['ended']}, {alone['columns']} x"
                f" {alone['rows']})  ratio {tier['ratio']:.2f}"
            )
        choices = str(tier.get("choices", ""))
        lines.append(
            f"  {tier['aim']:14} {tier['seconds']:7.3f} s  {tier['method']:14} choices {_short(choices):12}"
            f" priced {tier.get('priced', '')!s:6} gap {tier.get('gap', '')}"
            f"{'' if tier.get('settled', True) else ' open'}{beside}"
        )
    return "\n".join(lines)


def _short(choices: str) -> str:
    return choices if len(choices) < 12 or not choices.isdigit() else f"{choices[0]}.{choices[1]}e{len(choices) - 1}"


def import_cost(rounds: int = 7) -> dict[str, Any]:
    """Milliseconds over bare Python, paired, and what a small job has loaded when its quote is built."""
    statements = {
        "bare": "pass",
        "numpy": "import numpy",
        "highspy": "import highspy",
        "engine": "import quotekit.pricing",
    }
    times: dict[str, list[float]] = {name: [] for name in statements}
    for _ in range(rounds):
        for name, statement in statements.items():
            start = time.perf_counter()
            subprocess.run([sys.executable, "-c", statement], cwd=ROOT, check=True)
            times[name].append(1000 * (time.perf_counter() - start))
    over = {
        f"{name} over bare, ms": round(median(a - b for a, b in zip(times[name], times["bare"], strict=True)), 1)
        for name in statements
        if name != "bare"
    }
    script = (
        "import sys\nfrom tests.solver.big_jobs import a_big_case\nfrom quotekit.pricing import build_quote\n"
        "build_quote(*a_big_case(3, 'nested', 1))\nprint(sorted({'highspy', 'numpy'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", script], cwd=ROOT, check=True, capture_output=True, text=True)
    return over | {"a small job loads": run.stdout.strip()}


def main() -> None:
    """Measure, print the table, write the JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--findings", default="10,30,100,400")
    parser.add_argument("--styles", default=",".join(["wild", "wilder", *STYLES]))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rounds", type=int, default=1)
    parser.add_argument("--json", type=Path)
    options = parser.parse_args()
    found = []
    print("import cost", import_cost(), flush=True)
    for count in options.findings.split(","):
        for style in options.styles.split(","):
            for again in range(options.rounds):
                found.append(measure(int(count), style, options.seed + again))
                print(shown(found[-1]), flush=True)
    if options.json:
        options.json.write_text(json.dumps([vars(one) for one in found], indent=1, default=str), encoding="utf-8")


if __name__ == "__main__":
    main()
