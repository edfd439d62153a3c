"""The command line: parses, hands over to one command, exits (DESIGN.md 7).

Exit codes: 0 done, 1 problems in the input, 2 wrong usage, 3 the disk or a missing program.
Every command imports what it needs when it runs, so that `--help` stays quick.
"""

from __future__ import annotations

import argparse
import atexit
import gc
import io
import os
import re
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any, NoReturn

from quotekit.cli.report import DISK, STOPPED, USAGE, say, say_stopped

DESCRIPTION = "Honest, exact, comparable repair quotes for a small shop."

_COMMANDS = (
    "new", "demo", "check", "quote", "choice", "read-choice", "compare", "rate", "life", "explain", "watch", "batch",
    "addin", "answer",
    "issue", "accept", "decline", "revise", "pay", "work-order", "clock", "close",
    "order", "receive", "cancel-order", "shelf", "bill", "comeback",
    "review", "take-over", "prices", "jobs", "ledger",
)  # fmt: skip
"""In the order of `--help`; each is declared by the module of its name."""

SELDOM = 100_000
"""Objects made between two searches for cycles: a command leaves few and ends soon, and searching took a sixteenth."""

EXAMPLES = """\
start here:
  quotekit demo                                 a worked example, end to end
  quotekit new myshop                           a shop book and a blank job to fill in
  quotekit check "myshop/shop book.xlsx"        every problem of a shop book, in one pass
  quotekit quote "myshop/shop book.xlsx" myshop/job.xlsx

when the customer has chosen:
  quotekit read-choice "117-1 quote.xlsx"       the option and the extras, from the quote sent back
  quotekit choice "shop book.xlsx" "job 117.xlsx" --tier good --extra BELT

what an hour must sell for:
  quotekit rate "shop book.xlsx"                from the costs and hours of its sheet Rate builder

how long a part lasts, by a formula:
  quotekit life bearing --rating 19.5 --load 2.1 --speed 900 --hours-a-year 60

what changed:
  quotekit compare "shop book 2026.xlsx" "shop book 2027.xlsx" --job "job 117.xlsx"

each job priced again as it is saved, with any program:
  quotekit watch jobs --book "shop book.xlsx"

every job of a folder at once, and what open quotes would be under these prices:
  quotekit batch "shop book.xlsx" jobs

in LibreOffice: a menu, a toolbar and functions for cells:
  quotekit addin install
  quotekit answer                               what the extension asks; it starts this itself

where a figure comes from:
  quotekit explain "shop book.xlsx" "job 117.xlsx" --tier good --figure total

after the quote, with the ledger beside the shop book:
  quotekit issue "shop book.xlsx" "job 117.xlsx"     a numbered version, frozen with all it was made from
  quotekit accept "117-1 quote.xlsx"                 the customer's yes
  quotekit decline 117 --reason price                or no
  quotekit pay 117 60                                money taken
  quotekit order                                     parts of all accepted jobs, at least landed cost
  quotekit receive 1 --all                           what came in of order 1
  quotekit cancel-order 1 --because "none left"      what will not come of it
  quotekit shelf                                     what is on the shelf
  quotekit work-order 117                            the work for the bench
  quotekit revise "shop book.xlsx" "job 117.xlsx"    something more was found
  quotekit clock 117 --hours 1.5                     hours spent
  quotekit close 117 --from "117-1 work order.xlsx"  what the work took
  quotekit bill 117                                  what was agreed and done, less what was paid
  quotekit comeback 131 --of 117 --cause part        a job that comes back
  quotekit jobs                                      where each job stands
  quotekit ledger check                              whether the ledger is as it was written

what the season taught:
  quotekit review --to 2026-10-31               profit, times against standards, quotes won and lost
  quotekit take-over "proposed times 2026-10-31.xlsx" "shop book.xlsx"

what a supplier asks now:
  quotekit prices map "acme 2026.csv" --supplier ACME --book "shop book.xlsx"    how its lists are read, guessed
  quotekit prices read "acme 2026.csv" --supplier ACME --book "shop book.xlsx"   what it says, every row accounted for
  quotekit prices propose "shop book.xlsx"      what it would change, as a workbook to tick
  quotekit prices apply "shop book.xlsx" "shop book price proposals 2026-12-01.xlsx"   the ticked prices into the book
  quotekit prices undo "shop book.xlsx"         and back again

exit codes: 0 done, 1 problems in the input (nothing written), 2 wrong usage, 3 the disk or a missing program
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no exception leaves here."""
    gc.set_threshold(SELDOM)
    atexit.register(gc.freeze)  # the last search for cycles, as the program ends, took a seventh of a quote
    _print_any_name()
    words = sys.argv[1:] if arguments is None else arguments
    try:
        options = _parser(*words[:1]).parse_args(words)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else USAGE
    try:
        code: int = options.run(options)
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        say("Stopped. Nothing was left half written.")
        return STOPPED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DISK
    except Exception as fault:  # the last guard: a person never sees a traceback
        if os.environ.get("QUOTEKIT_DEBUG") == "1":
            raise
        of_quote = hasattr(options, "page") or not hasattr(options, "ledger")
        say_stopped(fault, as_json=getattr(options, "json", False), of_quote=of_quote)
        return DISK


def _print_any_name() -> None:
    """A file name that the screen can't show is printed with escapes, it never stops a command."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _parser(first: str = "") -> argparse.ArgumentParser:
    """All commands; where the first word is the name of one, that one alone."""
    parser = _Parser(
        prog="quotekit",
        description=DESCRIPTION,
        epilog=EXAMPLES,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and stop")
    verbs = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for name in (first,) if first in _COMMANDS else _COMMANDS:
        import_module(f"quotekit.cli.{name.replace('-', '_')}").add_command(verbs)
    return parser


class _Help(argparse.RawDescriptionHelpFormatter):
    """Prose as wide as the screen; titles and the examples under them stay as they are written."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        from textwrap import fill

        blocks = text.strip("\n").split("\n\n")
        return "\n\n".join(block if "\n  " in block else fill(block, width) for block in blocks)


class _Parser(argparse.ArgumentParser):
    """Says with every wrong use where the right one is explained; the parsers of the commands are made of it too."""

    def __init__(self, *words: Any, **named: Any) -> None:
        super().__init__(*words, **{**named, "formatter_class": _Help})

    def error(self, message: str) -> NoReturn:
        self.print_usage(sys.stderr)
        hint = "A name with spaces is typed between quotes. " if message.startswith("unrecognized") else ""
        message = re.sub(r"(\w://)\S*@", r"\1***@", message)  # an address may hold a password
        self.exit(USAGE, f"{self.prog}: {message}\n    {hint}{self.prog} --help explains with examples.\n")


class _Version(argparse.Action):
    """Looks the version up only when asked: the look-up is slow."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import PackageNotFoundError, version

        try:
            print(f"quotekit {version('quotekit')}")
        except PackageNotFoundError:
            print("quotekit, not installed: running from its folder")
        parser.exit()
