"""A second implementation, from DESIGN.md 5.4 alone: what a list's row makes of a part, in plain fractions.

It shares no code with the rules: a dict of numbers goes in, a dict of numbers comes out.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from random import Random

from quotekit.model.price_list import FoundPrice, ListedPrice
from quotekit.model.shop_book import MarkupBand, Part, ShopBook
from quotekit.model.source import Source
from quotekit.record import record
from tests.pricing.proposals.rows import columns


@record
class Plain:
    """What a part costs and sells for."""

    pack: Fraction
    pack_cost: Fraction
    list_each: Fraction | None
    fixed: Fraction | None

    @property
    def each(self) -> Fraction:
        return self.pack_cost / self.pack


def plain(part: Part) -> Plain:
    """A part of a shop book."""
    return Plain(
        pack=Fraction(part.pack_quantity),
        pack_cost=Fraction(part.pack_cost),
        list_each=None if part.list_price_each is None else Fraction(part.list_price_each),
        fixed=None if part.fixed_price_each is None else Fraction(part.fixed_price_each),
    )


def told_by(part: Part, row: ListedPrice) -> Plain:
    """The same part after the list's row: cost of one times the pack."""
    now = plain(part)
    pack = now.pack if row.pack is None else Fraction(row.pack)
    cost = now.pack_cost if row.cost is None else Fraction(row.cost) / Fraction(row.cost_for) * pack
    list_each = now.list_each if not row.list_price else Fraction(row.list_price) / Fraction(row.list_for)
    return Plain(pack=pack, pack_cost=cost, list_each=list_each, fixed=now.fixed)


def selling(part: Plain, bands: Iterable[MarkupBand], digits: int) -> Decimal:
    """The selling price of one: band, guard at the band's edge, list price, cost, half up."""
    price = part.fixed
    if price is None:
        tops, held = [Fraction(0)], None
        for band in bands:
            over, top = Fraction(band.cost_over), band.cost_up_to
            if part.each > over and (top is None or part.each <= Fraction(top)):
                held = part.each * (1 + Fraction(band.markup))
            elif top is not None and Fraction(top) < part.each:
                tops.append(Fraction(top) * (1 + Fraction(band.markup)))
        assert held is not None
        price = max(held, *tops)
        if part.list_each is not None:
            price = min(price, part.list_each)
        price = max(price, part.each)
    units = price * 10**digits
    whole = (2 * units.numerator + units.denominator) // (2 * units.denominator)
    return Decimal(whole) / Decimal(10**digits)


def numbered(book: ShopBook) -> ShopBook:
    """A random book whose rows have cells and numbers, as one that was read."""
    from dataclasses import replace

    parts = {
        code: replace(
            part,
            suppliers_number=f"N-{code}",
            source=Source(file="book.xlsx", sheet="Parts", row=row, columns=columns("Parts")),
        )
        for row, (code, part) in enumerate(book.parts.items(), start=2)
    }
    return replace(book, parts=parts)


def random_answers(book: ShopBook, supplier: str, random: Random) -> dict[str, FoundPrice]:
    """A list for the supplier's parts: most priced, some the same as in the book, some missing."""
    found = {}
    for row, part in enumerate((part for part in book.parts.values() if part.supplier == supplier), start=2):
        number = part.suppliers_number
        kind = random.randrange(10)
        if kind == 0:
            found[number] = FoundPrice(asked=number, how="not found", nearest=(f"{number}X",))
        elif kind == 1:
            found[number] = FoundPrice(asked=number, how="contradicted")
        else:
            found[number] = FoundPrice(asked=number, how="exact", price=_listed(part, row, kind == 2, random))
    return found


def _listed(part: Part, row: int, same: bool, random: Random) -> ListedPrice:
    """A row of the list; costs for one or for a power of ten, so that they stay finite."""
    cost_for = random.choice([1, 1, 10, 100, 1000])
    if same:
        each = Fraction(part.pack_cost) / Fraction(part.pack_quantity)
        exact = each * Fraction(part.pack_quantity)
        return ListedPrice(
            number=part.suppliers_number, row=row, fate="in force", cost=Decimal(exact.numerator) / exact.denominator,
            cost_for=part.pack_quantity, pack=part.pack_quantity,
        )  # fmt: skip
    pack = random.choice([None, part.pack_quantity, Decimal(random.randint(1, 50)), Decimal("2.5")])
    return ListedPrice(
        number=part.suppliers_number,
        row=row,
        fate="in force",
        cost=Decimal(random.randint(1, 30000) * cost_for) / 100,
        cost_for=Decimal(cost_for),
        pack=pack,
        list_price=random.choice([None, Decimal(random.randint(1, 60000)) / 100]),
        lead_days=random.choice([None, random.randint(0, 9)]),
    )
