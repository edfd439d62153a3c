"""How the sheets of a batch summary print: on their side, one page wide, for the shop only."""

from __future__ import annotations

from quotekit.documents.footer_text import footer_name, footer_text
from quotekit.documents.money_text import paper_of
from quotekit.documents.sheet import Page
from quotekit.model.batch import BatchSummary


def batch_page(summary: BatchSummary, name: str, *, head: int | None = None) -> Page:
    """The page of a sheet; `head` is the row that every page repeats."""
    shop = f"{footer_name(summary.shop_name)}, " if summary.shop_name else ""
    return Page(
        paper=paper_of(summary.language),
        landscape=True,
        fit_wide=1,
        footer=f"&L&8{shop}batch summary, for the shop only&C&8{footer_text(name)}&R&8&P of &N",
        left=0.45,
        right=0.45,
        top=0.5,
        bottom=0.6,
        repeat_rows=0 if head is None else 1,
        repeat_from=head or 0,
    )
