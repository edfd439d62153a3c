"""Proposed prices: what suppliers' lists would change in the shop book, cell by cell, and what the owner ticked.

Nothing here changes a shop book. Money is in the shop's currency, before tax, exact; amounts per unit are Fractions
where a pack does not divide evenly. `None` is not known, or a blank cell, never zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Generic, Literal, TypeVar

from quotekit.model.open_quotes import OpenQuote
from quotekit.model.price_list import ListedPrice, ListReport
from quotekit.model.source import NOWHERE, Source
from quotekit.problems import Place
from quotekit.record import record

Word = TypeVar("Word")

CellValue = Decimal | str | date | None
"""What a cell of the shop book holds; None for a blank one."""

ChangedField = Literal[
    "pack quantity", "pack cost", "list price each", "lead days", "supplier's number", "replaced by", "cost date"
]

Left = Literal["not found", "near", "several", "contradicted", "no price", "no number", "too exact", "no band"]
"""Why nothing is proposed for a row: of the number, of the list, or of what the shop book could hold."""

Over = Literal[
    "cost change", "price change", "list change", "zero cost", "below cost", "margin turns", "above list",
    "other number", "replaced", "older",
]  # fmt: skip
"""Why a row needs its own second tick."""

Noted = Literal[
    "rounded", "no column", "in a circle", "kit in a kit", "in no price list", "list without cost", "confirmed"
]  # fmt: skip
"""What is to be known of a row beside its figures."""

FIELDS: Mapping[ChangedField, Mapping[str, str]] = {
    "pack quantity": {"Parts": "Pack quantity", "Offers": "Pack quantity"},
    "pack cost": {"Parts": "Pack cost", "Offers": "Pack cost"},
    "list price each": {"Parts": "List price each"},
    "lead days": {"Parts": "Lead days", "Offers": "Lead days"},
    "supplier's number": {"Parts": "Supplier's number", "Offers": "Supplier's number"},
    "replaced by": {"Parts": "Replaced by"},
    "cost date": {"Parts": "Cost date", "Offers": "Dated"},
}
"""What may be changed, and its column on each sheet."""

TOGETHER: frozenset[ChangedField] = frozenset({"pack quantity", "pack cost"})
"""A row that proposes another pack proposes both: never one without the other."""


@record
class PriceSource:
    """A list that prices were proposed from."""

    supplier: str
    """Code of the supplier in the shop book, or its free text."""
    file: str
    sha256: str


@record
class ProposedChange:
    """One cell of the shop book: what it says, what it would say, and what the owner ticked."""

    sheet: str
    """The sheet's name as the shop book spells it."""
    cell: str
    part: str
    supplier: str
    field: ChangedField
    old: CellValue
    new: CellValue
    over_limit: bool = False
    """The row needs its own second tick."""
    reason: str = ""
    """Why it does."""
    taken: bool = False
    taken_anyway: bool = False
    """The second tick."""
    place: Place = Place("")
    """Where the owner ticked."""

    @property
    def accepted(self) -> bool:
        """True where every tick that the row needs is there."""
        return self.taken and (self.taken_anyway or not self.over_limit)


@record
class PriceProposals:
    """A workbook of proposals as it was read back: of which book and lists it was made, and every change in it."""

    book_file: str
    book_sha256: str
    """Of the shop book as it was; one that was saved since serves while its cells still say the same."""
    day: date
    currency: str
    sources: tuple[PriceSource, ...]
    changes: tuple[ProposedChange, ...]
    """In the order of the rows; cells of one row stand side by side."""
    held: tuple[ProposedChange, ...] = ()
    """Cells that are to say still what they say, else their row is not taken: the pack and number of a new cost."""

    @property
    def accepted(self) -> tuple[ProposedChange, ...]:
        """The changes to be made."""
        return tuple(one for one in self.changes if one.accepted)

    @property
    def must_hold(self) -> tuple[ProposedChange, ...]:
        """What has to hold for them."""
        return tuple(one for one in self.held if one.accepted)


@record
class Terms:
    """What a row of the shop book says of a price, or would say."""

    pack_quantity: Decimal
    pack_cost: Decimal
    list_each: Decimal | None = None
    lead_days: int | None = None
    number: str = ""
    replaced_by: str | None = None
    cost_date: date | None = None
    price: Decimal | None = None
    """Selling price of one, by the shop's own bands; None on Offers, which sell nothing."""

    @property
    def cost_each(self) -> Fraction:
        """Pack cost by pack quantity, exact."""
        return Fraction(self.pack_cost) / Fraction(self.pack_quantity)

    @property
    def margin_each(self) -> Fraction | None:
        """What one leaves, exact."""
        return None if self.price is None else Fraction(self.price) - self.cost_each

    @property
    def margin_share(self) -> Fraction | None:
        """The same by the selling price; None where that is zero."""
        margin = self.margin_each
        return None if margin is None or not self.price else margin / Fraction(self.price)


@record
class BookRow:
    """A row of Parts or Offers, as far as lists speak of it."""

    sheet: str
    """Parts or Offers."""
    code: str
    name: str
    supplier: str
    terms: Terms
    unit: str = ""
    source: Source = NOWHERE


@record
class Said(Generic[Word]):
    """Something to be said of a row: what, and of which number or column."""

    what: Word
    about: str = ""


@record
class PriceProposal:
    """One row of the shop book for which a list says something else."""

    row: BookRow
    new: Terms
    changes: tuple[ProposedChange, ...]
    list_row: int
    """The row of the list whose terms are proposed."""
    list_number: str
    over: tuple[Said[Over], ...] = ()
    """Why it needs the second tick; empty where it does not."""
    notes: tuple[Said[Noted], ...] = ()
    """What else to know."""
    instead: BookRow | None = None
    """The part that takes the row's place, with its new terms: what a quote holds then; None where none does."""
    used: Fraction | None = None
    """Units used in the year before the day; None where no ledger says."""
    cost_effect: Fraction | None = None
    """Units used x change in the cost of one, to that of the part that takes the place where one does."""
    price_effect: Fraction | None = None
    """Units used x change in the selling price of one, likewise."""
    quotes: tuple[str, ...] = ()
    """Open quotes it touches."""
    extra_quotes: tuple[str, ...] = ()
    """Open quotes that hold it only with an extra, or a found item, that they offer."""
    remedies: tuple[str, ...] = ()
    """Codes of standing remedies and extras that use the part."""

    @property
    def cost_change(self) -> Fraction | None:
        """Change of the cost of one, as a share of the old; None where that was zero."""
        return share_of(self.row.terms.cost_each, self.new.cost_each)

    @property
    def price_change(self) -> Fraction | None:
        """Change of the selling price of one, as a share of the old."""
        return _price_change(self.row.terms, self.new)

    @property
    def then(self) -> Terms:
        """What a quote would hold: the row's new terms, or those of the part that takes its place."""
        return self.new if self.instead is None else self.instead.terms

    @property
    def cost_change_then(self) -> Fraction | None:
        """Change of the cost of one to what a quote would hold, as a share of the old."""
        return share_of(self.row.terms.cost_each, self.then.cost_each)

    @property
    def price_change_then(self) -> Fraction | None:
        """Change of the selling price of one to what a quote would hold."""
        return _price_change(self.row.terms, self.then)

    @property
    def alters(self) -> bool:
        """True where what a quote asks, or what its work costs, could be another: price, pack, or the part itself."""
        old, new = self.row.terms, self.new
        return (old.price, old.pack_quantity, old.pack_cost, old.replaced_by) != (
            new.price, new.pack_quantity, new.pack_cost, new.replaced_by,
        )  # fmt: skip

    @property
    def gives_way(self) -> bool:
        """True where another part would take its place."""
        return self.row.terms.replaced_by != self.new.replaced_by

    @property
    def other_lead(self) -> bool:
        """True where it would come sooner or later."""
        return self.row.terms.lead_days != self.new.lead_days

    @property
    def effect(self) -> Fraction:
        """The larger of both effects in size; zero where it is not known."""
        return max(abs(self.cost_effect or Fraction(0)), abs(self.price_effect or Fraction(0)))


def _price_change(old: Terms, new: Terms) -> Fraction | None:
    """Change of a selling price, as a share of the old; None where one is not known."""
    if old.price is None or new.price is None:
        return None
    return share_of(Fraction(old.price), Fraction(new.price))


def share_of(old: Fraction, new: Fraction) -> Fraction | None:
    """How much larger the new amount is, as a share of the old; None where the old is zero.

    >>> share_of(Fraction(10), Fraction(12)), share_of(Fraction(0), Fraction(1))
    (Fraction(1, 5), None)
    """
    return (new - old) / old if old else None


@record
class NotProposed:
    """A row of the shop book for which nothing is proposed, though its supplier's list was read."""

    row: BookRow
    why: Left
    about: str = ""
    """A number or an amount that the reason speaks of."""
    nearest: tuple[str, ...] = ()
    """Numbers of the list that are alike or one slip away: to look at, never taken by themselves."""
    listed: tuple[ListedPrice, ...] = ()
    """Rows of the list that stand against each other, or do not count."""


@record
class ListUsed:
    """A list that was compared, and what became of its rows in force."""

    report: ListReport
    supplier: str
    """As the shop book calls it."""
    asked: int
    """Rows of the shop book of this supplier."""
    not_in_book: int
    """Numbers in force that no row of the shop book has: never added."""


@record
class ProposedPrices:
    """Everything that lists would change in a shop book, and what that would do to the shop."""

    book_file: str
    book_sha256: str
    shop_name: str
    currency: str
    language: str
    day: date
    limit: Decimal
    """As a share: changes beyond it need their own tick."""
    lists: tuple[ListUsed, ...]
    proposals: tuple[PriceProposal, ...]
    """The largest effect first; parts never used last."""
    same: int
    """Rows that say what the list says."""
    left: tuple[NotProposed, ...]
    quotes: tuple[OpenQuote, ...] = ()
    """Those that are touched, and those that could not be priced."""
    quotes_untouched: int = 0
    used_from: date | None = None
    """First day of the year in which units were counted; None without a ledger."""
