"""Measures of the main job. Not a test: a clock on a busy machine proves nothing, so nothing here passes or fails.

    python tests/bench/bench_quote.py [--pairs 11] [--json FILE]

prints a table, and one JSON object with --json. Every comparison is of paired runs, by the median.
It takes about two minutes on two cores.
"""

from __future__ import annotations

import argparse
import json
import marshal
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from decimal import localcontext
from functools import partial
from pathlib import Path
from statistics import median
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

READ_AND_WRITE = """
import sys
from python_calamine import CalamineWorkbook
import xlsxwriter
sheets = []
for path in sys.argv[1:3]:
    book = CalamineWorkbook.from_path(path)
    sheets += [book.get_sheet_by_name(name).to_python(skip_empty_area=False) for name in book.sheet_names]
if len(sys.argv) > 4:
    import marshal
    sheets = marshal.load(open(sys.argv[4], "rb"))
out = xlsxwriter.Workbook(sys.argv[3], {"default_date_format": "yyyy-mm-dd"})
for rows in sheets:
    sheet = out.add_worksheet()
    for r, row in enumerate(rows):
        for c, value in enumerate(row):
            if value != "":
                sheet.write(r, c, value)
out.close()
"""
"""The bare script: it starts Python, reads the same two books and writes a workbook of cells, and knows no rule."""

PEAK = """
import sys
from quotekit.cli.main import main
code = main(sys.argv[1:])
(line,) = [line for line in open("/proc/self/status") if line.startswith("VmHWM")]
print(line.split()[1], file=sys.stderr)
sys.exit(code)
"""
"""Peak memory in kB as Linux keeps it for this program alone; getrusage would hand down the peak of its parent."""


COMPILED = tempfile.TemporaryDirectory(prefix="compiled ")
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
ENVIRONMENT["PYTHONPYCACHEPREFIX"] = COMPILED.name
"""Compiled once, in the round that is not counted, as an installed program is."""


def run(*command: str) -> subprocess.CompletedProcess[str]:
    """A command of this interpreter, from the project's folder; it must succeed."""
    done = subprocess.run(
        [sys.executable, *command], cwd=ROOT, env=ENVIRONMENT, capture_output=True, text=True, check=False
    )
    if done.returncode:
        sys.exit(f"{command} ended with {done.returncode}\n{done.stdout}\n{done.stderr}")
    return done


def seconds(job: Callable[[], object]) -> float:
    """Wall-clock time of one call."""
    start = time.perf_counter()
    job()
    return time.perf_counter() - start


def paired(count: int, **jobs: Callable[[], object]) -> dict[str, list[float]]:
    """Each job once a round, in turn, so that a slow moment hits all of them; the first round is not counted."""
    rounds = [{name: seconds(job) for name, job in jobs.items()} for _ in range(count + 1)][1:]
    return {name: [times[name] for times in rounds] for name in jobs}


def example(folder: Path) -> tuple[Path, list[Path]]:
    """The worked example, written to a folder: the shop book and its jobs."""
    names = run("-m", "quotekit", "new", str(folder), "--demo").stdout.splitlines()
    book, *jobs = [Path(name) for name in names if name.endswith(".xlsx")]
    return book, jobs


def cells_of(paths: list[Path]) -> list[list[list[Any]]]:
    """Every sheet of these workbooks, dates as text."""
    from python_calamine import CalamineWorkbook

    sheets = []
    for path in paths:
        book = CalamineWorkbook.from_path(str(path))
        for name in book.sheet_names:
            rows = book.get_sheet_by_name(name).to_python(skip_empty_area=False)
            plain = (int, float, str, bool)
            sheets.append([[value if isinstance(value, plain) else str(value) for value in row] for row in rows])
    return sheets


def cold_quote(book: Path, job: Path, work: Path, pairs: int) -> dict[str, Any]:
    """A whole `quotekit quote`, cold, beside a bare script that reads the same books and writes cells."""
    out, bare, script = work / "out", work / "bare.xlsx", work / "bare.py"
    out.mkdir()
    script.write_text(READ_AND_WRITE, encoding="utf-8")
    quote = ("-m", "quotekit", "quote", str(book), str(job), "--out", str(out), "--replace")
    run(*quote)
    written = work / "written.bin"
    written.write_bytes(marshal.dumps(cells_of(sorted(out.glob("*.xlsx")))))
    times = paired(
        pairs,
        quote=lambda: run(*quote),
        as_read=lambda: run(str(script), str(book), str(job), str(bare)),
        as_written=lambda: run(str(script), str(book), str(job), str(bare), str(written)),
    )
    return {
        "quote_ms": milliseconds(times["quote"]),
        "bare_writing_the_cells_it_read_ms": milliseconds(times["as_read"]),
        "bare_writing_the_cells_we_write_ms": milliseconds(times["as_written"]),
        "ratio_to_cells_read": ratio(times["quote"], times["as_read"]),
        "ratio_to_cells_written": ratio(times["quote"], times["as_written"]),
    }


def milliseconds(times: list[float]) -> float:
    """The median, in ms."""
    return round(1000 * median(times), 1)


def ratio(times: list[float], others: list[float]) -> float:
    """The median of the paired ratios."""
    return round(median(a / b for a, b in zip(times, others, strict=True)), 2)


def over_bare(pairs: int) -> dict[str, Any]:
    """What `--help` and the import of the engine cost over starting the interpreter."""
    times = paired(
        pairs,
        bare=lambda: run("-c", "pass"),
        help=lambda: run("-m", "quotekit", "--help"),
        engine=lambda: run("-c", "import quotekit.pricing"),
    )
    over = {
        name: [value - bare for value, bare in zip(times[name], times["bare"], strict=True)]
        for name in ("help", "engine")
    }
    listing = (
        "import sys; before = set(sys.modules); import quotekit.pricing; print(*sorted(set(sys.modules) - before))"
    )
    loaded = run("-c", listing).stdout.split()
    outside = sorted({name.split(".")[0] for name in loaded} - set(sys.stdlib_module_names) - {"quotekit"})
    return {
        "bare_python_ms": milliseconds(times["bare"]),
        "help_over_bare_ms": milliseconds(over["help"]),
        "import_pricing_over_bare_ms": milliseconds(over["engine"]),
        "import_pricing_loads_modules": len(loaded),
        "import_pricing_loads_from_outside": outside,
    }


def read(book_path: Path, job_path: Path) -> tuple[Any, Any]:
    """Both workbooks as records."""
    from quotekit.workbook.read_job import read_job
    from quotekit.workbook.read_shop_book import read_shop_book

    book, _ = read_shop_book(book_path)
    job, _ = read_job(job_path, book)
    return book, job


def set_speed(book: Any, job: Any, for_seconds: float = 3.0) -> dict[str, Any]:
    """Tiers priced per second once their items are known: work, parts, hours, charges and total, nothing kept."""
    from quotekit.money import EXACT
    from quotekit.pricing.setup import set_up
    from quotekit.pricing.tiers import WorkedTier, work_out_tiers

    with localcontext(EXACT):
        setup = set_up(book, job)
        chosen = [tier.items for tier in work_out_tiers(setup) if isinstance(tier, WorkedTier)]
        tiers, start = 0, time.perf_counter()
        while time.perf_counter() - start < for_seconds:
            for items in chosen:
                setup.price(items)
                tiers += 1
    return {"tiers_priced_per_second": round(tiers / (time.perf_counter() - start))}


def quote_speed(book: Any, jobs: list[Any], for_seconds: float = 3.0) -> dict[str, Any]:
    """Tiers of whole quotes per second: with choosing, extras, shares and what is offered beside them."""
    from quotekit.pricing import build_quote

    tiers, start = 0, time.perf_counter()
    while time.perf_counter() - start < for_seconds:
        for job in jobs:
            tiers += len(build_quote(book, job).tiers)
    took = time.perf_counter() - start
    compared = sum(tier.compared for job in jobs for tier in build_quote(book, job).tiers)
    return {"tiers_of_whole_quotes_per_second": round(tiers / took), "choices_compared_in_one_round": compared}


def growth(book: Any, job: Any) -> dict[str, float]:
    """Time of pricing when the shop book grows by parts and operations that the job does not use, in ms."""
    from quotekit.pricing import build_quote

    found = {}
    for count in (10, 100, 1_000, 10_000):
        larger = with_unused(book, count)
        price = partial(build_quote, larger, job)
        price()
        found[str(count)] = milliseconds([seconds(price) for _ in range(15)])
    return found


def with_unused(book: Any, count: int) -> Any:
    """The shop book with more parts and operations, copies of its first ones under new codes."""
    part, operation = next(iter(book.parts.values())), next(iter(book.operations.values()))
    parts = {f"UNUSED-PART-{n}": replace(part, code=f"UNUSED-PART-{n}") for n in range(count)}
    operations = {f"UNUSED-WORK-{n}": replace(operation, code=f"UNUSED-WORK-{n}") for n in range(count)}
    return replace(book, parts={**book.parts, **parts}, operations={**book.operations, **operations})


def large_book(book_path: Path, target: Path, parts: int) -> None:
    """The shop book with more rows on its Parts sheet."""
    from openpyxl import load_workbook

    workbook = load_workbook(book_path)
    sheet = workbook["Parts"]
    rows = list(sheet.iter_rows(values_only=True))
    header = next(n for n, row in enumerate(rows) if "Code" in row and "Pack cost" in row)
    model = list(next(row for row in rows[header + 1 :] if row[rows[header].index("Code")]))
    for name in ("Replaced by", "Also needs", "Contains"):
        if name in rows[header]:
            model[rows[header].index(name)] = None
    code = rows[header].index("Code")
    last = max(n for n, row in enumerate(rows, start=1) if any(value is not None for value in row))
    for n in range(parts):
        model[code] = f"SPARE-{n:05d}"
        for column, value in enumerate(model, start=1):
            sheet.cell(last + 1 + n, column).value = value
    workbook.save(target)


def memory(book_path: Path, job_path: Path, work: Path, parts: int = 20_000) -> dict[str, Any]:
    """Peak memory and time of a whole quote over a shop book with this many more parts."""
    large = work / "large.xlsx"
    large_book(book_path, large, parts)
    found: dict[str, Any] = {}
    for name, path in (("example", book_path), (f"{parts}_parts", large)):
        out = work / f"memory {name}"
        out.mkdir()
        start = time.perf_counter()
        done = run("-c", PEAK, "quote", str(path), str(job_path), "--out", str(out))
        found[f"{name}_seconds"] = round(time.perf_counter() - start, 2)
        found[f"{name}_peak_mb"] = round(int(done.stderr.split()[-1]) / 1024)
    return found


def measure(pairs: int) -> dict[str, Any]:
    """Everything, in the order of the table."""
    with tempfile.TemporaryDirectory() as place:
        work = Path(place)
        book_path, job_paths = example(work / "example")
        found: dict[str, Any] = {"cold quote": cold_quote(book_path, job_paths[0], work, pairs)}
        found["start"] = over_bare(pairs)
        book, job = read(book_path, job_paths[0])
        jobs = [read(book_path, path)[1] for path in job_paths]
        found["pricing, first job"] = set_speed(book, job) | quote_speed(book, [job])
        found["pricing, all jobs"] = quote_speed(book, [one for one in jobs if one is not None])
        found["growth, ms by unused rows"] = growth(book, job)
        found["memory"] = memory(book_path, job_paths[0], work)
    return found


def main() -> None:
    """Measure, print the table, write the JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--pairs", type=int, default=11, help="rounds of each paired comparison")
    parser.add_argument("--json", type=Path, help="also write one JSON object here")
    options = parser.parse_args()
    found = measure(options.pairs)
    for group, values in found.items():
        print(group)
        for name, value in values.items():
            print(
                f"  {name.replace('_', ' '):40} {', '.join(value) or 'nothing' if isinstance(value, list) else value}"
            )
    if options.json:
        options.json.write_text(json.dumps(found, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
