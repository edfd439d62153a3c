"""The customer's documents of a quote: the workbook and the page as written to disk, and the PDF with its text."""

from __future__ import annotations

import subprocess
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from quotekit.documents.sheet import Picture
from quotekit.model.quote import Quote
from quotekit.workbook.pdf import write_pdf
from quotekit.workbook.write_page import write_page
from quotekit.workbook.write_sheet import write_customer_quote


def customer_documents(quote: Quote, photos: Mapping[str, Picture] | None = None) -> dict[str, bytes]:
    """By the ending of their file."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "quote"
        write_customer_quote(quote, path.with_suffix(".xlsx"), photos)
        write_page(quote, path.with_suffix(".html"), photos)
        return {kind: path.with_suffix(f".{kind}").read_bytes() for kind in ("xlsx", "html")}


def pdf_and_its_text(quote: Quote, pdftotext: str, photos: Mapping[str, Picture] | None = None) -> tuple[bytes, str]:
    """The PDF, and every text in it as a reader of PDF gives it, with what the file says of itself."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "quote.pdf"
        write_pdf(quote, path, photos)
        asked = ([pdftotext, "-layout", str(path), "-"], [pdftotext, "-raw", str(path), "-"], ["pdfinfo", str(path)])
        said = [subprocess.run(one, capture_output=True, text=True, check=True).stdout for one in asked]
        return path.read_bytes(), "\n".join(said)
