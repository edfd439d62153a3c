"""`quotekit demo [FOLDER]`: the worked example end to end, and where to look."""

from __future__ import annotations

import argparse
from pathlib import Path

from quotekit.cli.report import DONE, say, step

DEFAULT_FOLDER = "quotekit demo"

EXAMPLE = """\
example:
  quotekit demo

writes an invented shop's book and six jobs into a new folder, quotes each job, and says where to look.
Nothing that exists is written over: without FOLDER the next free name is taken.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "demo",
        help="the worked example, end to end",
        description="Run the worked example end to end.",
        epilog=EXAMPLE,
    )
    parser.add_argument("folder", metavar="FOLDER", type=Path, nargs="?", help=f"where to (default: {DEFAULT_FOLDER})")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the example, quote each of its jobs, say where to look."""
    from quotekit.workbook.new_books import write_demo_folder

    folder = options.folder if options.folder is not None else _free_folder(Path(DEFAULT_FOLDER))
    with step("Writing the example"):
        book, *jobs = write_demo_folder(folder)
    worst = DONE
    for job in jobs:
        worst = max(worst, _quote(book, job))
    say(f"Look in {folder}: each job has a quote for the customer and a costing for the shop.")
    return worst


def _quote(book: Path, job: Path) -> int:
    """Quote one job as `quotekit quote` does."""
    from quotekit.cli import quote

    say(f"\n{job.name}")
    return quote.run(argparse.Namespace(book=book, job=job, out=None, json=False, page=False, pdf=False, replace=False))


def _free_folder(folder: Path) -> Path:
    path, count = folder, 1
    while path.exists():
        count += 1
        path = folder.with_name(f"{folder.name} {count}")
    return path
