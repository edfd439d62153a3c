"""Large lists from two public generators of benchmark data, the same bytes every time: made-up data, never shipped."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path


def program(name: str) -> str | None:
    """A generator of this environment, or nothing where it is not installed."""
    beside = Path(sys.executable).with_name(name)
    return str(beside) if beside.exists() else shutil.which(name)


def make_items(folder: Path) -> Path:
    """The item table of TPC-DS at scale 100: 204,000 rows with holes, repeats by date, costs above prices."""
    return _made(
        "tpcgen-cli", folder, "item.csv", "tpcds", "csv", "-s", "100", "--tables=item", "-o", str(folder), "--overwrite"
    )


def make_parts(folder: Path, scale: int = 1) -> Path:
    """The part table of TPC-H: 200,000 rows for each step of the scale."""
    return _made("tpchgen-cli", folder, "part.csv", "csv", "-s", str(scale), "--tables", "part", "-o", str(folder))


def make_part_costs(folder: Path) -> Path:
    """The partsupp table of TPC-H at scale 1: four suppliers' costs for each of 200,000 parts."""
    return _made("tpchgen-cli", folder, "partsupp.csv", "csv", "-s", "1", "--tables", "partsupp", "-o", str(folder))


def _made(name: str, folder: Path, file: str, *words: str) -> Path:
    found = program(name)
    assert found is not None, name
    subprocess.run([found, *words], check=True, capture_output=True)
    return folder / file
