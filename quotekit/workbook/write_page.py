"""Writes the customer's page: UTF-8, with the fingerprint of the workbook that says the same."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.fingerprint import fingerprint_of
from quotekit.documents.page_layout import lay_out_page
from quotekit.documents.sheet import Picture
from quotekit.model.quote import Quote


def write_page(quote: Quote, path: Path, photos: Mapping[str, Picture] | None = None) -> None:
    """The whole page; the same quote gives the same bytes."""
    check = fingerprint_of(lay_out_customer_quote(quote, photos))
    path.write_bytes(lay_out_page(quote, check, photos).encode("utf-8"))
