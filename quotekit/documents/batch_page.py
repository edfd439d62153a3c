"""How the sheets of a batch summary print: on their side, one page wide, for the shop only."""

from __future__ import annotations

from dataclasses import replace

from quotekit.documents.sheet import Page
from quotekit.documents.shop_page import shop_page
from quotekit.model.batch import BatchSummary


def batch_page(summary: BatchSummary, name: str, *, head: int | None = None) -> Page:
    """The page of a sheet; `head` is the row that every page repeats."""
    page = shop_page(name, "batch summary", shop_name=summary.shop_name, language=summary.language)
    return page if head is None else replace(page, repeat_rows=1, repeat_from=head)
