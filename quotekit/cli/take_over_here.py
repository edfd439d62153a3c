"""`quotekit take-over --in-place`: the ticked times into the owner's own shop book."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, print_json, print_problems, refusal_code, say, step

if TYPE_CHECKING:
    from quotekit.cli.taking_over_here import TakingHere
    from quotekit.model.entries import Entry
    from quotekit.problems import Problem


def run_here(options: argparse.Namespace) -> int:
    """Read, change, record, say."""
    from quotekit.cli.changing_book import change_recorded, mended_before
    from quotekit.cli.taking_over_here import prepare_here

    problems = mended_before(options)
    with step("Looking for the cells, and working out what hangs on them"):
        taking, found = prepare_here(options.book, options.proposals)
    problems += found
    if taking is None:
        return _refuse(options, problems)
    if taking.prepared is None:
        say("Every ticked cell says its new value already: nothing was changed.")
        return _tell(options, taking, None, problems)
    entry, told = change_recorded(options, taking.prepared, taking.body)
    problems += told
    return _refuse(options, problems) if entry is None else _tell(options, taking, entry, problems)


def _refuse(options: argparse.Namespace, problems: Sequence[Problem]) -> int:
    print_problems(problems)
    say("Nothing was taken over.")
    if options.json:
        print_json(_as_json(options, None, None, problems))
    return refusal_code(problems)


def _tell(options: argparse.Namespace, taking: TakingHere, entry: Entry | None, problems: Sequence[Problem]) -> int:
    from quotekit.documents.changed_book import lay_out_change
    from quotekit.model.entries import Changed

    print_problems(problems)
    if options.json:
        print_json(_as_json(options, taking, entry, problems))
    elif entry is not None:
        print("\n".join(lay_out_change(entry.told(Changed).file)))
    if entry is not None:
        say(f"This is change {entry.number}; `quotekit take-over --undo BOOK` takes it back.")
    return DONE


def _as_json(
    options: argparse.Namespace, taking: TakingHere | None, entry: Entry | None, problems: Sequence[Problem]
) -> dict[str, object]:
    from quotekit.documents.changed_book import changed_json
    from quotekit.documents.quote_json import problem_json

    told = changed_json(entry)
    taken = [{key: one[key] for key in ("sheet", "code", "column", "was", "is")} for one in told["changed"]]
    already = () if taking is None else taking.already
    return {
        "taken": taken,
        **told,
        "already": [f"{one.sheet} {one.code}, {one.column}" for one in already],
        "problems": [problem_json(one) for one in problems],
        "files": [str(options.book)] if entry is not None else [],
    }
