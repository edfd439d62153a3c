"""`quotekit new FOLDER`: a shop book and a blank job, ready to fill in; never over anything."""

from __future__ import annotations

import argparse
from pathlib import Path

from quotekit.cli.report import DISK, DONE, PROBLEMS, print_problems, say, step

EXAMPLE = """\
examples:
  quotekit new myshop                              a shop book and a blank job
  quotekit new myshop --demo                       the worked example: a filled shop book and six jobs
  quotekit new jobs --book "myshop/shop book.xlsx" the next blank job, its lists taken from that shop book

Nothing that exists is written over, and the shop book given with --book is only read.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "new",
        help="a shop book and a blank job, ready to fill in",
        description="Write a shop book and a blank job to fill in, or the next blank job of a shop book.",
        epilog=EXAMPLE,
    )
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="where to write; made if it is not there")
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--demo", action="store_true", help="write the worked example")
    which.add_argument("--book", metavar="BOOK", type=Path, help="write only a blank job for this shop book")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write what was asked for and print the names."""
    if options.book is not None:
        return _next_job(options.folder, options.book)
    from quotekit.workbook.new_books import write_demo_folder, write_new_folder

    with step("Writing the workbooks"):
        written = (write_demo_folder if options.demo else write_new_folder)(options.folder)
    return _tell(written)


def _next_job(folder: Path, book_path: Path) -> int:
    """A blank job for an existing shop book, which is only read."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.problems import has_errors
    from quotekit.workbook.new_books import write_blank_job

    inputs = read_inputs(book_path)
    print_problems(inputs.problems)
    if inputs.book is None or has_errors(inputs.problems):
        say("Nothing was written.")
        return PROBLEMS
    folder.mkdir(parents=True, exist_ok=True)
    path = _free_name(folder)
    with step("Writing the job"):
        write_blank_job(path, inputs.book)
    return _tell([path])


def _free_name(folder: Path) -> Path:
    """`job.xlsx`, else `job 2.xlsx` and on: the next job of a folder never replaces one."""
    path, count = folder / "job.xlsx", 1
    while path.exists():
        count += 1
        path = folder / f"job {count}.xlsx"
    return path


def _tell(written: list[Path]) -> int:
    print("\n".join(str(path) for path in written))
    return DONE if written else DISK
