"""Another shop behind the same prices: other costs, markups and suppliers, and the customer may not see a difference.

Selling prices stay to the cent: every part's price is written as its fixed price, sent-out work keeps cost x markup,
one-off lines keep their unit price. Freight that the customer pays follows order values, so there every cost and every
threshold grows by one factor; where freight is the shop's own matter, each part costs something else.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

from quotekit.model.job import Job, OneOff
from quotekit.model.shop_book import LabourRate, MarkupBand, Offer, Operation, Part, Settings, ShopBook, Supplier
from quotekit.money import minor_digits, round_to
from quotekit.pricing.part_price import marked_up, unit_price
from tests.leaks.secrets_of import Secret

GROWTH = Decimal(3)
HALF = Decimal("0.5")


@dataclass
class OtherShop:
    """What is told apart from the book: costs drawn one after the other, names made up."""

    book: ShopBook
    drawn: int = 0

    @property
    def charged(self) -> bool:
        """True where the customer pays freight, which follows the costs."""
        return self.book.settings.freight_to_customer != "none"

    @property
    def digits(self) -> int:
        """Decimals of the currency."""
        return minor_digits(self.book.settings.currency)

    def cost(self, old: Decimal) -> Decimal:
        """Another cost, unlike any other; where freight follows, all grow alike."""
        if self.charged:
            return old * GROWTH
        self.drawn += 1
        return Decimal("61803.39") + self.drawn * Decimal("733.17")

    def disguised(self) -> ShopBook:
        """The same book to a customer."""
        book = self.book
        return replace(
            book,
            settings=self._settings(),
            labour_rates=tuple(self._rate(row) for row in book.labour_rates),
            operations={code: self._operation(row) for code, row in book.operations.items()},
            parts={code: self.part(row) for code, row in book.parts.items()},
            suppliers=self._suppliers(),
            offers=self._offers(),
            markup=(MarkupBand(cost_over=Decimal(0), cost_up_to=None, markup=Decimal("0.731947")),),
            file="another shop book.xlsx",
            sha256="b" * 64,
        )

    def job(self, job: Job) -> Job:
        """The same job to a customer."""
        return replace(
            job,
            parts={code: self.part(row) for code, row in job.parts.items()},
            one_off=tuple(self._one_off(row) for row in job.one_off),
            file="another job.xlsx",
            sha256="c" * 64,
        )

    def part(self, part: Part) -> Part:
        """Bought elsewhere at another cost, sold at the same price."""
        self.drawn += 1
        return replace(
            part,
            pack_cost=self.cost(part.pack_cost),
            pack_quantity=part.pack_quantity if self.charged else part.pack_quantity * 7,
            fixed_price_each=unit_price(part, self.book.markup, self.digits).price,
            list_price_each=None,
            supplier=other_code(part.supplier),
            suppliers_number=f"QXNUM{self.drawn:05}K",
            cost_date=part.cost_date and part.cost_date - timedelta(days=400),
        )

    def _settings(self) -> Settings:
        """Sent-out work at half the cost and twice the factor is sold at the same price, exactly."""
        markup = (1 + self.book.settings.sublet_markup) / HALF - 1
        return replace(self.book.settings, sublet_markup=markup, price_age_limit_days=1)

    def _rate(self, row: LabourRate) -> LabourRate:
        self.drawn += 1
        return replace(row, cost_per_hour=Decimal("27182.81") + self.drawn * Decimal("97.31"))

    def _operation(self, row: Operation) -> Operation:
        return row if row.sublet_cost is None else replace(row, sublet_cost=row.sublet_cost * HALF)

    def _one_off(self, row: OneOff) -> OneOff:
        supplier = row.supplier and other_code(row.supplier)
        cost = row.unit_cost
        if row.kind == "sublet" and row.unit_price is None and cost is not None:
            return replace(row, unit_cost=cost * HALF, supplier=supplier)
        if row.kind != "part" or cost is None:
            return replace(row, supplier=supplier)
        price = row.unit_price
        if price is None:
            price = round_to(marked_up(Fraction(cost), self.book.markup), self.digits)
        return replace(row, unit_cost=self.cost(cost), unit_price=price, supplier=supplier)

    def _suppliers(self) -> dict[str, Supplier] | None:
        """Other codes and names, in the opposite order; thresholds grow with the costs."""
        if self.book.suppliers is None:
            return None
        rows = [self._supplier(row) for row in reversed([*self.book.suppliers.values()])]
        return {row.code: row for row in rows}

    def _supplier(self, row: Supplier) -> Supplier:
        renamed = replace(row, code=other_code(row.code), supplier=f"Zyxq{other_code(row.code)} Vrandelbrook")
        if self.charged:
            least, free = row.minimum_order, row.free_freight_from
            return replace(renamed, minimum_order=least and least * GROWTH, free_freight_from=free and free * GROWTH)
        return replace(
            renamed,
            minimum_order=self.cost(Decimal(0)),
            small_order_fee=Decimal("71.93"),
            freight=Decimal("83.57"),
            free_freight_from=None,
            restocking=Decimal("0.1973"),
            return_days=13,
        )

    def _offers(self) -> tuple[Offer, ...]:
        """What another supplier asks for each part."""
        if not self.book.suppliers:
            return ()
        code = other_code(next(iter(self.book.suppliers)))
        one = Decimal(1)
        return tuple(
            Offer(part=part, supplier=code, pack_quantity=one, pack_cost=self.cost(one) + one)
            for part in self.book.parts
        )


def other_code(code: str) -> str:
    """Another code that sorts the other way; no supplier stays none."""
    return (
        "QX" + "".join(chr(ord("A") + (25 - (ord(letter.upper()) - ord("A")) % 26)) for letter in code) if code else ""
    )


def disguised(book: ShopBook, job: Job) -> tuple[ShopBook, Job]:
    """Book and job of another shop with the same prices."""
    shop = OtherShop(book)
    return shop.disguised(), shop.job(job)


def secrets_in(book: ShopBook, job: Job) -> Iterable[Secret]:
    """What the other shop would not want to be read: its canaries by what they are."""
    for part in (*book.parts.values(), *job.parts.values()):
        yield Secret(f"cost of {part.code}", part.pack_cost)
        yield Secret(f"number of {part.code}", part.suppliers_number)
        if part.supplier:
            yield Secret(f"supplier of {part.code}", part.supplier)
    for supplier in (book.suppliers or {}).values():
        yield Secret(f"supplier {supplier.code}", supplier.code)
        yield Secret(f"name of {supplier.code}", supplier.supplier)
    for rate in book.labour_rates:
        if rate.cost_per_hour is not None:
            yield Secret(f"labour cost of {rate.code}", rate.cost_per_hour)
    for band in book.markup:
        yield Secret("markup", band.markup * 100)
    for offer in book.offers:
        yield Secret(f"offer for {offer.part}", offer.pack_cost)
    for line in job.one_off:
        if line.kind == "part" and line.unit_cost is not None:
            yield Secret(f"cost of {line.code}", line.unit_cost)
