"""The page of the shop's own papers that lie on their side: one page wide, what it is and for whom in the footer."""

from __future__ import annotations

from quotekit.documents.footer_text import footer_name, footer_text
from quotekit.documents.money_text import paper_of
from quotekit.documents.sheet import Page


def shop_page(name: str, what: str, *, shop_name: str, language: str) -> Page:
    """The page of the sheet of this name, of a paper that is `what`.

    >>> shop_page("Jobs", "review", shop_name="Alder & Co", language="en_US").footer
    '&L&8Alder && Co, review, for the shop only&C&8Jobs&R&8&P of &N'
    """
    shop = f"{footer_name(shop_name)}, " if shop_name else ""
    return Page(
        paper=paper_of(language),
        landscape=True,
        fit_wide=1,
        footer=f"&L&8{shop}{what}, for the shop only&C&8{footer_text(name)}&R&8&P of &N",
        left=0.45,
        right=0.45,
        top=0.5,
        bottom=0.6,
    )
