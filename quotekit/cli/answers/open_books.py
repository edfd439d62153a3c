"""Request `open book`: a document that is open, and a copy of how it stands now; `copy` null: it was closed.

`{"document": PATH, "copy": PATH or null}` gives `{"changed": true}` where the functions of cells may now have other
figures, so that the spreadsheet recalculates them; it does not where a cell changed that no figure depends on.
The copy is read at once and may go.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from quotekit.cli.answers.functions import BOOKS
from quotekit.cli.answers.request import Words


def answer(words: Words) -> dict[str, Any]:
    """Whether what the functions go by has changed."""
    document, copy = words["document"], words["copy"]
    changed = BOOKS.closed(document) if copy is None else BOOKS.opened(document, Path(copy))
    return {"changed": changed}
