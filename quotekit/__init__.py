"""Honest, exact, comparable repair quotes for a small shop.

From Python, as from the command line: read a book and a job, build the quote, write its documents.
Each name is loaded when it is first asked for, so that importing the package costs nothing.

>>> import quotekit
>>> quotekit.build_quote.__module__
'quotekit.pricing.build_quote'
"""

from importlib import import_module
from typing import Any

_PUBLIC = {
    "read_shop_book": "quotekit.workbook.read_shop_book",
    "read_job": "quotekit.workbook.read_job",
    "build_quote": "quotekit.pricing",
    "write_customer_quote": "quotekit.workbook.write_sheet",
    "write_costing": "quotekit.workbook.write_sheet",
}


def __getattr__(name: str) -> Any:
    """A public function, from the module that holds it."""
    if name in _PUBLIC:
        return getattr(import_module(_PUBLIC[name]), name)
    raise AttributeError(f"module 'quotekit' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_PUBLIC])
