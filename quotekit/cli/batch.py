"""`quotekit batch BOOK FOLDER`: every job of a folder priced at once, and what open quotes would be now."""

from __future__ import annotations

import argparse
import os
from contextlib import ExitStack, closing
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DISK, DONE, PROBLEMS, STOPPED, print_problems, refusal_code, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quotekit.batch.price_job import BookRead
    from quotekit.cli.batch_given import GivenByVersion
    from quotekit.cli.batch_kept import Kept
    from quotekit.cli.batch_places import Places
    from quotekit.problems import Problem

MOST_WORKERS = 1024

EXAMPLE = """\
examples:
  quotekit batch "shop book 2027.xlsx" jobs
  quotekit batch "shop book.xlsx" jobs --json > quotes.jsonl
  quotekit batch "shop book.xlsx" jobs --cluster tcp://192.0.2.10:8786

prices every job workbook of the folder, each by itself: a job with an error is told and the others go on. It writes
`jobs batch summary.xlsx` (what would lose money first, open quotes as given and as they would be now, every job) and
`jobs batch results.jsonl`: a line a job, the object of `quotekit quote --json`, in the order of file names. With --json
the lines go to stdout, and files are written only where --out says. What was priced is kept: a run that was stopped
goes on where it was, and only jobs that changed are priced again; after a change of the shop book all of them are.
Open quotes are those of the ledger beside the shop book, or costings that lie beside the jobs.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "batch",
        help="price every job of a folder at once",
        description="Price every job of a folder at once, and see what open quotes would be under these prices.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book")
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="where the jobs are")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: FOLDER itself)")
    parser.add_argument("--json", action="store_true", help="print a line of JSON a job, in the order of file names")
    parser.add_argument("--before", metavar="RESULTS", type=Path, help="results of an earlier run to compare with")
    parser.add_argument("--ledger", metavar="PATH_OR_URL", help="the ledger (default: the one beside the shop book)")
    parser.add_argument(
        "--workers", metavar="N", type=_workers, help="price in so many processes (default: one a core)"
    )
    cluster = (
        "price on a running Dask scheduler, as tcp://host:8786; with --workers, in at most N threads of its workers"
    )
    parser.add_argument("--cluster", metavar="ADDRESS", help=cluster)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the shop book once, price every job, tell each in order, write what it came to."""
    from quotekit.cli.report import stopped_problem

    try:
        return _run(options)
    except KeyboardInterrupt:
        say("\nStopped. What was priced is kept: run it again and it goes on from there.")
        return STOPPED
    except BrokenPipeError:
        raise
    except Exception as fault:  # told here, as stdout is for the lines of jobs alone
        if os.environ.get("QUOTEKIT_DEBUG") == "1":
            raise
        print_problems([stopped_problem(fault)])
        return DISK


def _run(options: argparse.Namespace) -> int:
    from quotekit.cli.batch_files import read_book
    from quotekit.cli.batch_given import check_ledger, earlier_results
    from quotekit.cli.batch_places import Places
    from quotekit.problems import Place, Problem, error, has_errors

    if not options.folder.is_dir():
        place = Place(str(options.folder))
        return _refuse([error(place, "missing-folder", "There is no such folder.", "Check the name.")])
    places = Places(options.folder, options.out or options.folder, writes=not options.json or options.out is not None)
    before, problems = earlier_results(options.before)
    problems += places.problems((options.book,), options.before)
    if problems:
        return _refuse(problems)
    read = read_book(options.book, costings=places.writes)
    if has_errors(read.problems) and not options.json:
        return _refuse(read.problems)
    print_problems(read.problems)
    if places.writes:
        check_ledger(options)
    with places.opened() as kept:
        if isinstance(kept, Problem):
            return _refuse([kept], DISK)
        return _price(options, places, read, kept, before)


def _price(options: argparse.Namespace, places: Places, read: BookRead, kept: Kept, before: GivenByVersion) -> int:
    from quotekit.cli.batch_files import workbook_names
    from quotekit.cli.batch_run import Run, engine_of
    from quotekit.cli.batch_told import Told, progress
    from quotekit.cli.batch_written import write_all

    names = [name for name in workbook_names(options.folder) if not places.is_own_output(name)]
    run = Run(options.folder, names, read, kept)
    with ExitStack() as held:
        told = Told(options.folder, read, lines=held.enter_context(places.lines()), printed=options.json)
        done = held.enter_context(progress(len(run.names), printed=options.json))
        for outcome in held.enter_context(closing(run.outcomes(engine_of(options, read), done))):
            told.take(outcome)
    if told.count and places.writes:
        written, problems = write_all(options, places, told, read, before)
        if problems:
            return _refuse(problems, DISK)
        if not options.json:
            print("\n".join(str(path) for path in written))
    places.keep_only(kept, run.used)
    say(told.in_words(run.known))
    return PROBLEMS if told.refused else DONE


def _refuse(problems: Sequence[Problem], code: int | None = None) -> int:
    print_problems(problems)
    say("Nothing was written.")
    return refusal_code(problems) if code is None else code


def _workers(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_WORKERS:
        raise argparse.ArgumentTypeError(f"{text} is not a number of workers from 1 to {MOST_WORKERS}")
    return int(text)
