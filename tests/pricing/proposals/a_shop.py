"""A small shop with two suppliers' lists, a ledger and open quotes: everything that is proposed for it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from quotekit.model.proposed_prices import ProposedPrices
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.proposals.open_quotes import OfferedTier, Waiting
from quotekit.pricing.proposals.propose import Ledger, propose_prices
from tests.build import a_finding, a_finding_on, a_job, a_rate, a_remedy, a_tier, an_operation
from tests.pricing.proposals.rows import DAY, book_of, compared, exact, found, listed, offer, part, unpriced

YEAR_AGO = date(2025, 12, 2)


def shop() -> ShopBook:
    """Four parts of NORTH, one of LAKE, and an offer of LAKE; one repair with two seals."""
    return book_of(
        part("SEAL", "10.00", row=2), part("PIN", "1.00", row=3), part("CAP", "20.00", row=4),
        part("NUT", "2.00", row=5),
        part("BELT", "9.00", row=6, supplier="LAKE", suppliers_number="L-BELT"),
        offers=(offer("SEAL", "9.50"),),
        findings=[a_finding("WORN")],
        operations=[an_operation("FIT", parts="SEAL x 2")],
        remedies=[a_remedy("REPAIR", ["WORN"], ["FIT"], life_years=5)],
        tiers=(a_tier("good"),),
        labour_rates=(a_rate("MAIN", 100, 40),),
    )  # fmt: skip


NORTH = found(exact("N-SEAL", "11.00"), exact("N-PIN", "1.30"), exact("N-CAP", "22.00"), unpriced("N-NUT", "not found"))
LAKE = found(exact("L-BELT", "8.10"), exact("L-SEAL", "9.90"))


def open_quote() -> Waiting:
    """A quote of the repair, offered at 70.00, that waits for an answer."""
    offered = OfferedTier(total=Decimal("70.00"), subtotal=Decimal("70.00"), items=("REPAIR",))
    return Waiting(
        number="117", version=2, customer="R. Alder", valid_until=date(2026, 12, 9),
        job=a_job(a_finding_on("WORN"), job_number="117"), offered={"good": offered},
    )  # fmt: skip


def everything(used: dict[str, int] | None = None) -> ProposedPrices:
    """All proposals; units used as given, else there is no ledger."""
    units = {code: Fraction(many) for code, many in (used or {}).items()}
    ledger = None if used is None else Ledger(used_from=YEAR_AGO, units=units)
    lists = [compared(NORTH), compared(LAKE, "LAKE", "lake.csv")]
    nothing = a_job(a_finding_on("WORN", severity="watch"))
    waiting = [
        open_quote(),
        Waiting(number="90", version=1, customer="B", valid_until=date(2026, 12, 3), job=None, trouble="no sheet Job"),
        Waiting(number="91", version=1, customer="C", valid_until=date(2026, 12, 3), job=nothing),
    ]  # fmt: skip
    return propose_prices(shop(), lists, DAY, Decimal("0.2"), ledger=ledger, waiting=waiting)


def gives_way(used: dict[str, int] | None = None) -> ProposedPrices:
    """The belt, 20.00, gives way to LONG, which rises from 22.00 to 23.00; a pin of 1.00 rises to 1.10."""
    book = book_of(part("PIN", "1.00"), part("BELT", "20.00"), part("LONG", "22.00"))
    row = listed("N-BELT", fate="no cost", superseded_by="N-LONG")
    lists = [compared(found(exact("N-PIN", "1.10"), unpriced("N-BELT", "no price", row), exact("N-LONG", "23.00")))]
    units = None if used is None else {code: Fraction(many) for code, many in used.items()}
    ledger = None if units is None else Ledger(used_from=DAY, units=units)
    return propose_prices(book, lists, DAY, Decimal("0.2"), ledger=ledger)
