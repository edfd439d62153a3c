"""`quotekit watch FOLDER`: prices each job again as it is saved, in whatever program."""

from __future__ import annotations

import argparse
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DISK, DONE, PROBLEMS, heard_steps, print_problems, say

if TYPE_CHECKING:
    from quotekit.cli.watching import Told, Watching

LOOK = 0.2
"""Seconds between looks while a file is being saved."""
IDLE = 1000
"""Milliseconds without any news of the folder after which it is looked at all the same."""

EXAMPLE = """\
example:
  quotekit watch jobs --book "shop book.xlsx"

prices every job of the folder, and each again when it is saved, all of them when the shop book is: the quote and the
costing are written beside the job, over those of the same version unless it was issued or holds a choice. What is wrong
with `job 117.xlsx` stands in `job 117 problems.txt` until it is mended; a job saved as .ods is not read, and told in
the same way. Ctrl+C ends it.
With --once it prices what is due and ends.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "watch",
        help="price each job of a folder again as it is saved",
        description="Watch a folder: price each job as it is saved, with any spreadsheet program.",
        epilog=EXAMPLE,
    )
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="where the jobs are saved")
    parser.add_argument("--book", metavar="BOOK", type=Path, help="the shop book (default: the only one in FOLDER)")
    parser.add_argument("--once", action="store_true", help="price what is due, and end")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the jobs)")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Look, price, say so, until it is stopped."""
    from quotekit.cli.watch_lock import watch_lock
    from quotekit.cli.watch_screen import print_told, show_step
    from quotekit.cli.watching import Watching
    from quotekit.problems import Place, error, has_errors

    if not options.folder.is_dir():
        print_problems(
            [error(Place(str(options.folder)), "missing-folder", "There is no such folder.", "Check the name.")]
        )
        return PROBLEMS
    watching = Watching(options.folder, book=options.book, out=options.out)
    worst = DONE
    with _ended_like_by_hand(), heard_steps(show_step), watch_lock(options.folder) as refused:
        if refused is not None:
            print_problems([refused])
            return DISK
        try:
            for told in _told_over_time(watching, once=options.once):
                print_told(told)
                if has_errors(told.priced.problems):
                    worst = PROBLEMS
        except KeyboardInterrupt:
            say("\nStopped watching.")
            return DONE
    idle = watching.why_idle()
    if options.once and idle:
        say(idle)
        return PROBLEMS
    return worst


@contextmanager
def _ended_like_by_hand() -> Iterator[None]:
    """Whoever ends it, the system or a terminal that is closed: nothing is left half written or half said.

    What is ignored stays so: it may have been started to outlive its terminal.
    """
    ways = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name)]
    before = {way: signal.getsignal(way) for way in ways if signal.getsignal(way) == signal.SIG_DFL}
    for way in before:
        signal.signal(way, signal.default_int_handler)
    try:
        yield
    finally:
        for way, handler in before.items():
            signal.signal(way, handler)


def _told_over_time(watching: Watching, *, once: bool) -> Iterator[Told]:
    """What is priced, look after look; it ends where nothing is due and it is to be done once."""
    from quotekit.cli.folder_news import folder_news
    from quotekit.cli.watch_screen import show_status

    said = ""
    for _ in folder_news(watching.folder, idle=IDLE):
        while True:
            told = list(watching.step(time.monotonic()))
            yield from told
            if not once:
                said = show_status(watching, said)
            if told:
                continue  # others may be due
            if not watching.restless:
                break
            time.sleep(LOOK)
        if once:
            return
