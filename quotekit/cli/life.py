"""`quotekit life bearing` and `quotekit life replace`: a life from a formula, to type into `Life years`."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, USAGE, print_json, say

if TYPE_CHECKING:
    from decimal import Decimal

    from quotekit.cli.life_text import Told

EXAMPLE = """\
examples:
  quotekit life bearing --rating 19.5 --load 4.2 --speed 900 --hours-a-year 60
  quotekit life bearing --rating 25 --load 4 --speed 540 --hours-a-year 200 --roller --json
  quotekit life replace --planned-cost 95 --failure-cost 310 --scale 6 --shape 2.5

bearing: the basic rating life of ISO 281, from the maker's load rating and the load on the bearing, both in the same
unit of force (kN or lb), the speed in turns a minute and the hours the machine runs a year.
replace: the age in years at which planned replacement is cheapest, for a part whose life scatters by a Weibull law:
by the age of the scale 63 in 100 have failed, and the shape is above 1 for wear.
Prints the life in years for the column Life years, the formula and where it is from. Nothing is read or written.
"""

NEEDED = {
    "bearing": ("rating", "load", "speed", "hours_a_year"),
    "replace": ("planned_cost", "failure_cost", "scale", "shape"),
}
EXPLAINED = {
    "rating": "basic dynamic load rating of the bearing, from the maker's list",
    "load": "equivalent load on the bearing, in the unit of the rating",
    "speed": "turns a minute",
    "hours_a_year": "hours the machine runs a year",
    "planned_cost": "what planned replacement costs, in money",
    "failure_cost": "what a failure costs, with what it breaks and the lost time",
    "scale": "years by which 63 in 100 have failed",
    "shape": "Weibull shape, from 0.1 to 100; above 1 for wear",
}

_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "life",
        help="a life in years from a formula: a bearing, or planned replacement",
        description="Work out a life in years, to type into the column Life years of the shop book.",
        epilog=EXAMPLE,
    )
    parser.add_argument("kind", choices=tuple(NEEDED), help="which formula")
    for name, words in EXPLAINED.items():
        parser.add_argument(option(name), metavar="NUMBER", type=number, help=words)
    parser.add_argument("--roller", action="store_true", help="a roller bearing (a ball bearing without it)")
    parser.add_argument("--json", action="store_true", help="print the answer as one JSON object")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Check the options, work out, print."""
    wrong = wrong_options(options)
    if wrong:
        return _refuse(wrong)
    try:
        told = _told(options)
    except ValueError as fault:
        return _refuse(f"{fault}.")
    if options.json:
        print_json(told.as_json)
    else:
        print("\n".join(told.lines))
    return DONE


def wrong_options(options: argparse.Namespace) -> str:
    """What is missing or does not belong, in a sentence; nothing where all is well."""
    given = {name for name in EXPLAINED if getattr(options, name) is not None} | ({"roller"} & _flags(options))
    missing = [option(name) for name in NEEDED[options.kind] if name not in given]
    if missing:
        return f"life {options.kind} needs {', '.join(missing)}."
    allowed = {*NEEDED[options.kind], *(["roller"] if options.kind == "bearing" else [])}
    other = sorted(given - allowed)
    return f"life {options.kind} takes no {', '.join(map(option, other))}." if other else ""


def number(text: str) -> Decimal:
    """A plain number above zero, as typed."""
    from decimal import Decimal

    if not _NUMBER.fullmatch(text) or not Decimal(text):
        raise argparse.ArgumentTypeError(f"{text!r} is no number above zero, typed like 2.1")
    return Decimal(text)


def option(name: str) -> str:
    """The option of a name.

    >>> option("hours_a_year")
    '--hours-a-year'
    """
    return f"--{name.replace('_', '-')}"


def _flags(options: argparse.Namespace) -> set[str]:
    return {"roller"} if options.roller else set()


def _refuse(sentence: str) -> int:
    say(f"quotekit life: {sentence}\n    quotekit life --help explains with examples.")
    return USAGE


def _told(options: argparse.Namespace) -> Told:
    from quotekit.cli.life_text import tell_bearing, tell_replacement

    if options.kind == "bearing":
        return tell_bearing(
            options.rating,
            options.load,
            options.speed,
            options.hours_a_year,
            "roller" if options.roller else "ball",
        )
    return tell_replacement(options.planned_cost, options.failure_cost, options.scale, options.shape)
