"""`quotekit answer`: the long-lived process that a spreadsheet asks over a pipe; requests and answers are JSON lines.

It greets with its version; each request has an `id`, `do` and words; answers carry the id: any number of `step`, then
`done`, or `problems` where it is refused. It ends when its input ends. No network port is opened.
"""

from __future__ import annotations

import argparse
import os
import sys
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, USAGE, say

if TYPE_CHECKING:
    from typing import BinaryIO

EXAMPLE = """\
example:
  quotekit answer
started by the extension of LibreOffice (`quotekit addin install`), not by hand; a line such as
  {"id": 1, "do": "check", "document": {"copy": "/tmp/copy/job.xlsx", "path": "/home/me/job.xlsx"}}
on standard input is answered by one line or more on standard output.
"""

OF_EXTENSION = "QUOTEKIT_EXTENSION"
"""Variable by which the extension says its version."""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb."""
    parser = verbs.add_parser(
        "answer",
        help="answers a spreadsheet over a pipe (the extension starts it)",
        description="Answer requests, a JSON line each, until standard input ends.",
        epilog=EXAMPLE,
    )
    parser.set_defaults(run=run)


def run(_: argparse.Namespace) -> int:
    """Answer until the input ends."""
    if sys.stdin is None:  # whoever started it closed it: nothing is asked
        return DONE
    if sys.stdin.isatty():
        say("This is started by a spreadsheet, not by hand. `quotekit addin install` puts it into LibreOffice.")
        return USAGE
    from quotekit.cli.answers.serve import serve

    with _only_for_requests() as requests, _only_for_answers() as answers:
        serve(requests, answers, os.environ.get(OF_EXTENSION))
    return DONE


def _only_for_requests() -> BinaryIO:
    """The standard input, kept for requests: whatever else reads, this program or one it starts, finds it empty."""
    requests = os.fdopen(os.dup(0), "rb")
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    os.close(nothing)
    return requests


def _only_for_answers() -> BinaryIO:
    """The standard output, kept for answers: whatever else prints goes to the standard error."""
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    return answers
