"""What a parts order is chosen from, and the choice: needs, offers, units that are there already, packs to buy.

Money is in the shop's currency, quantities are in the part's own unit. A `part` is a key: the code of the shop book, or
`CODE of JOB` where the job workbook gives its own row or line for it, which is bought for that job alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from quotekit.model.entries import OrderLine
from quotekit.model.shop_book import Supplier
from quotekit.record import record

NEVER = date.max
"""Later than any day: when a supplier without lead days sends, and when a part without a day is needed."""


@record
class Need:
    """Units of a part that a job needs and has not got yet."""

    part: str
    job: str
    quantity: Decimal
    by: date = NEVER


@record
class PartFacts:
    """What an order says of a part besides its price."""

    part: str
    code: str
    name: str
    unit: str = ""
    returnable: bool = True
    shelf: bool = False
    """Kept in the shop's own stock: taken from the shelf, counted or not."""
    new_or_used: str = ""


@record
class PackOffer:
    """What one supplier asks for a pack of a part."""

    part: str
    supplier: str
    pack_quantity: Decimal
    pack_cost: Decimal
    suppliers_number: str = ""
    lead_days: int | None = None
    extra_freight: Decimal = Decimal(0)
    """For each pack."""
    usual: bool = False
    """The supplier on the part's own row."""
    dated: date | None = None
    """When the price was asked."""
    cost_known: bool = True
    called_off: bool = False
    """The supplier called this part off for one of the jobs: not asked again while another sells it."""


@record
class Lot:
    """Units of a part that no job has: on the shelf, or on the way to it."""

    part: str
    units: Decimal
    there_from: date
    unit_cost: Decimal | None = None
    stored_as: str = ""
    """An older number of the part, under which the shelf has it; empty for the part's own."""


@record
class OrderTask:
    """Everything an order is chosen from. `terms` holds suppliers by code; one that is missing has no terms."""

    day: date
    digits: int
    needs: tuple[Need, ...]
    offers: tuple[PackOffer, ...]
    terms: Mapping[str, Supplier]
    parts: Mapping[str, PartFacts]
    lots: tuple[Lot, ...] = ()


@record
class Packs:
    """Packs to buy from an offer, at least one."""

    offer: PackOffer
    packs: int


@record
class SupplierCost:
    """What a supplier's part of an order comes to, rounded to the minor unit."""

    supplier: str
    goods: Decimal
    freight: Decimal
    fee: Decimal

    @property
    def total(self) -> Decimal:
        """Goods, freight and fee."""
        return self.goods + self.freight + self.fee


@record
class LandedChoice:
    """The packs to buy, what they land for and how that was proved."""

    packs: tuple[Packs, ...]
    landed: Decimal
    bound: Decimal
    """No order lands for less."""
    proven: bool
    ties_settled: bool
    compared: str
    """How it was proved, in words."""


@record
class UsualOrder:
    """Each part at its usual supplier: what that lands for, or why it can't be."""

    packs: tuple[Packs, ...]
    landed: Decimal | None
    why_not: str = ""


@record
class Given:
    """Units of a part that a job gets, from an offer's packs, or from the shelf where there is no offer."""

    need: Need
    quantity: Decimal
    offer: PackOffer | None = None
    stored_as: str = ""
    """Of the shelf: an older number of the part."""


@record
class LineState:
    """A line of an order with what came in so far."""

    place: int
    """From 1."""
    line: OrderLine
    received: int = 0
    back_ordered: int = 0
    """Of the open packs, those the supplier put off."""
    expected: date | None = None
    difference: Decimal = Decimal(0)
    """What was charged more than ordered."""

    @property
    def open(self) -> int:
        """Packs that have not come in."""
        return self.line.packs - self.received

    @property
    def to_shelf(self) -> Decimal:
        """Units that came in and that no job needs."""
        return max(Decimal(0), self.received * self.line.pack_quantity - self.line.needed)
