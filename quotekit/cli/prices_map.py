"""`quotekit prices map LIST`: a mapping that says how a supplier's lists are read, guessed from one, with reasons."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.prices_mapping import add_list_options, mapping_file, supplier_of
from quotekit.cli.report import DISK, DONE, PROBLEMS, print_json, print_problems, say, step

if TYPE_CHECKING:
    from quotekit.problems import Problem
    from quotekit.suppliers.guess import Guess

EXAMPLE = """\
examples:
  quotekit prices map "acme 2026.csv" --supplier ACME --book "shop book.xlsx"
  quotekit prices map "acme 2026.csv" --supplier ACME --mapping "acme.toml" --replace

It writes a small text file, `ACME price list.toml`, beside the shop book, or beside the list where no book is named:
which column is which, with the reason of each guess, and what to look at. Change what is wrong with any editor.
"""


def add_action(doing: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare `map` and its options."""
    parser = doing.add_parser(
        "map",
        help="guess how a supplier's lists are read, and write it to a file",
        description="Make the mapping of a supplier's lists from one of them: columns, encoding, decimal mark.",
        epilog=EXAMPLE,
    )
    add_list_options(parser)
    parser.add_argument("--replace", action="store_true", help="write over an earlier mapping")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Guess, write, say."""
    from quotekit.suppliers.guess import guess_mapping

    with step("Looking at the price list"):
        guess, problems = guess_mapping(options.list, supplier_of(options), options.member)
    if guess is None:
        print_problems(problems)
        return _json(options, None, problems, []) or PROBLEMS
    target = mapping_file(options)
    in_the_way = _write(options, guess, target)
    print_problems([*problems, *in_the_way])
    written = [] if in_the_way else [target]
    if not options.json:
        _say(guess, written)
    return _json(options, guess, [*problems, *in_the_way], written) or (DISK if in_the_way else DONE)


def _write(options: argparse.Namespace, guess: Guess, target: Path) -> list[Problem]:
    """What stands in the way of writing the mapping."""
    from dataclasses import replace as changed

    from quotekit.cli.output_files import check_targets, these_bytes, write_together
    from quotekit.suppliers.mapping_text import mapping_text

    text = mapping_text(guess.mapping, guess.reasons, guess.doubts)
    found = check_targets((target,), (options.list,), replace=options.replace)
    if not found:
        write_together({target: these_bytes(text.encode("utf-8"))})
    remedy = "Look at it; add --replace to write over it, or name another file with --mapping."
    return [changed(problem, remedy=remedy) if problem.code == "output-exists" else problem for problem in found]


def _say(guess: Guess, written: list[Path]) -> None:
    """The columns with their reasons, and what to look at."""
    named = guess.mapping.columns or {n: str([c.start, c.end]) for n, c in guess.mapping.places.items()}
    for name, header in named.items():
        print(f"{name}: “{header}” - {guess.reasons.get(name, '')}")
    for name in (
        "encoding",
        "separator",
        "sheet",
        "header_row",
        "decimal_mark",
        "currency",
        "cost_is_for",
        "list_is_for",
        "date_order",
    ):
        if guess.reasons.get(name):
            print(f"{name}: {guess.reasons[name]}")
    for doubt in guess.doubts:
        say(f"Look at this: {doubt}")
    for path in written:
        print(path)


def _json(options: argparse.Namespace, guess: Guess | None, problems: list[Problem], files: list[Path]) -> int:
    """Print the answer as JSON where it is asked for; 0, so that the caller's code counts."""
    if options.json:
        from quotekit.documents.quote_json import problem_json

        told = {
            "supplier": supplier_of(options),
            "columns": {} if guess is None else dict(guess.mapping.columns),
            "places": {} if guess is None else {n: [c.start, c.end] for n, c in guess.mapping.places.items()},
            "reasons": {} if guess is None else dict(guess.reasons),
            "doubts": [] if guess is None else list(guess.doubts),
            "files": [str(path) for path in files],
            "problems": [problem_json(problem) for problem in problems],
        }
        print_json(told)
    return 0
