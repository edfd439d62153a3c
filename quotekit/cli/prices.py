"""`quotekit prices WHAT ...`: suppliers' price lists. Each thing it can do has a module of its own."""

from __future__ import annotations

import argparse
from importlib import import_module

ACTIONS = ("map", "read", "propose", "apply", "undo")
"""In the order of `--help`; each is declared by `add_action` of the module `prices_<name>`."""

EXAMPLE = """\
examples:
  quotekit prices map "acme 2026.csv" --supplier ACME --book "shop book.xlsx"
  quotekit prices read "acme 2026.csv" --supplier ACME --book "shop book.xlsx"
  quotekit prices propose "shop book.xlsx"
  quotekit prices apply "shop book.xlsx" "shop book price proposals 2026-12-01.xlsx"
  quotekit prices undo "shop book.xlsx"
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and what it can do."""
    parser = verbs.add_parser(
        "prices",
        help="suppliers' price lists, and new prices into the shop book",
        description="Suppliers' price lists: how they are read, what they would change, and the ticked changes made.",
        epilog=EXAMPLE,
    )
    doing = parser.add_subparsers(title="what to do", metavar="WHAT", required=True)
    for name in ACTIONS:
        import_module(f"quotekit.cli.prices_{name}").add_action(doing)
