"""What a bill says in sentences: how it was agreed, that it keeps within that, and what is due or given back."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quotekit.documents.money_text import date_text, money_text
from quotekit.documents.wording import counted
from quotekit.model.entries import Accepted, Billed, Declined
from quotekit.model.shop_book import Settings

DUE, PAID, REFUND, NOTHING = "To pay", "Paid in full", "To give back", "Nothing to pay"

OLD_PARTS = {
    "keep": "You asked to have the old parts back.",
    "show": "You asked to see the old parts before they go.",
    "dispose": "You asked us to dispose of the old parts.",
}
_MEANS = {
    "returned quote": "by the quote sent back",
    "phone": "by phone",
    "in-person": "in person",
    "message": "by message",
}


def agreed_words(accepted: Accepted | None, day: date | None, language: str) -> str:
    """Which option was agreed, when, how and with whom; empty for a no."""
    if accepted is None:
        return ""
    when = f" on {date_text(day, language)}" if day else ""
    return f"{accepted.agreed.option}, agreed{when} {_MEANS[accepted.by]} with {accepted.customer}"


def declined_words(declined: Declined, day: date | None, language: str) -> str:
    """That the work was declined, when and by whom: what then is billed is what a no costs."""
    when = f" on {date_text(day, language)}" if day else ""
    who = f" by {declined.customer}" if declined.customer else ""
    return f"The machine was looked at. The work was declined{when}{who}; none of it was done."


def within_words(bill: Billed, accepted: Accepted | None, language: str) -> str:
    """What was authorised, on the basis it was agreed on; empty for a no."""
    if accepted is None:
        return ""
    amount = money_text(bill.authorised, bill.currency, language)
    return f"{amount} {accepted.rule.compares}; this bill keeps within what you agreed to."


def warranty_words(days: int | None) -> str:
    """How long the work is under warranty.

    >>> warranty_words(90), warranty_words(0), warranty_words(None)
    ('90 days', 'none', 'not stated')
    """
    if days is None:
        return "not stated"
    return counted(days, "day") if days else "none"


def tax_words(bill: Billed, base: Decimal, settings: Settings) -> str:
    """What a tax is charged on, where that is not the subtotal."""
    return "" if base == bill.subtotal else f"on {money_text(base, bill.currency, settings.language)}"
