"""The customer's documents of a quote, as bytes: the workbook as written to disk, and the page where there is one."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from quotekit.documents.sheet import Picture
from quotekit.model.quote import Quote
from quotekit.workbook.write_sheet import write_customer_quote


def customer_documents(quote: Quote, photos: Mapping[str, Picture] | None = None) -> dict[str, bytes]:
    """By the ending of their file."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "quote.xlsx"
        write_customer_quote(quote, path, photos)
        return {"xlsx": path.read_bytes()}
