"""Which module answers which kind of request; each is imported when it is first asked for.

`QUICK` ones are answered at once and in order, while an action is still running: a spreadsheet waits for them.
"""

from __future__ import annotations

from importlib import import_module
from typing import cast

from quotekit.cli.answers.request import Answer

QUICK = {
    "function": "functions",
    "functions": "many_functions",
    "measurement": "measurement",
    "open book": "open_books",
}
ACTIONS = {
    "check": "check",
    "choice": "choice",
    "costing": "costing",
    "explain cell": "explain_cell",
    "findings": "findings",
    "price": "price",
    "returned": "returned",
    "lists": "shop_lists",
    "run": "run_command",
}
"""Kind to module of this folder; the module's function `answer` answers it."""

ONLY_READS = {"check", "choice", "costing", "explain cell", "findings", "lists", "returned"}
"""Actions that record and write nothing: they need not end after the office has."""


def answer_of(kind: str) -> Answer | None:
    """What answers a kind of request; None for one that is not known."""
    module = (QUICK | ACTIONS).get(kind)
    return None if module is None else cast(Answer, import_module(f"quotekit.cli.answers.{module}").answer)
