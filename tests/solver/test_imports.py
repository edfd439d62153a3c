"""The solver is paid for only where it is needed, held by what is loaded and not by a clock."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPT = """
import sys
from tests.solver.big_jobs import a_big_case
from quotekit.pricing import build_quote
quote = build_quote(*a_big_case({count}, "nested", 1))
print(*sorted({{"highspy", "numpy"}} & set(sys.modules)))
print(*sorted({{tier.proof.method for tier in quote.tiers}}))
"""


@pytest.mark.parametrize(
    ("count", "loaded", "methods"),
    [(3, "", "enumeration"), (12, "highspy numpy", "enumeration integer model")],
    ids=["a small job", "a large one"],
)
def test_only_a_large_job_loads_the_solver(count: int, loaded: str, methods: str) -> None:
    run = subprocess.run(
        [sys.executable, "-c", SCRIPT.format(count=count)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert run.stdout.splitlines() == [loaded, methods]
