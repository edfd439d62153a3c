"""The least that parts can land for, by trying: the second implementation of a parts order without lead times.

Every way to cover each part with packs of its offers in which no pack could be left out is tried together with those of
the other parts; then for each supplier the cheapest packs that may be added to reach a threshold. An order without a
pack too many, and then the best of what is added to it: that is every order that can be the cheapest. Written from
TRADE.md 5 and the columns of Suppliers, Parts and Offers in DESIGN.md 3.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import product
from math import ceil

from tests.after.rules import ZERO, number
from tests.after.shops import Row, Sheets

Packs = dict[tuple[str, str], int]
"""Packs by part and supplier."""
TOO_MANY = 20_000


@dataclass(frozen=True)
class Terms:
    """What a supplier asks beside the packs."""

    freight: Decimal
    free_from: Decimal
    minimum: Decimal
    fee: Decimal

    def beside(self, goods: Decimal) -> Decimal:
        """Freight and small order fee of goods."""
        if not goods:
            return ZERO
        free = self.free_from and goods >= self.free_from
        return (ZERO if free else self.freight) + (self.fee if goods < self.minimum else ZERO)


@dataclass(frozen=True)
class Offer:
    """A pack of a part from a supplier."""

    part: str
    supplier: str
    pack: Decimal
    cost: Decimal
    extra: Decimal
    """Extra freight of a pack."""
    usual: bool


def terms_of(rows: Sheets) -> dict[str, Terms]:
    """The suppliers of a book."""
    names = ("Freight", "Free freight from", "Minimum order", "Small order fee")
    return {row["Code"]: Terms(*(number(row.get(name) or "") for name in names)) for row in rows["Suppliers"]}


def shelf_of(rows: Sheets) -> set[str]:
    """The suppliers that are the shop's own shelf."""
    return {row["Code"] for row in rows["Suppliers"] if row.get("Shelf") == "Yes"} | {""}


def offers_of(part: str, row: Row, rows: Sheets, own_row: bool) -> list[Offer]:
    """Who sells a part: the supplier on its row, and those of the sheet Offers where it is the book's own row."""
    extra = number(row.get("Extra freight") or "")
    found = [Offer(part, row["Supplier"], number(row["Pack quantity"]), number(row["Pack cost"]), extra, True)]
    more = [] if own_row else [each for each in rows.get("Offers", ()) if each["Part"] == part]
    for each in more:
        pack, cost = number(each["Pack quantity"]), number(each["Pack cost"])
        found.append(Offer(part, each["Supplier"], pack, cost, extra, False))
    return found


def cost_of(packs: Mapping[Offer, int], terms: Mapping[str, Terms]) -> Decimal:
    """What packs land for."""
    suppliers = {offer.supplier for offer, count in packs.items() if count}
    total = ZERO
    for supplier in suppliers:
        goods = sum((offer.cost * count for offer, count in packs.items() if offer.supplier == supplier), ZERO)
        extra = sum((offer.extra * count for offer, count in packs.items() if offer.supplier == supplier), ZERO)
        total += goods + extra + terms.get(supplier, Terms(ZERO, ZERO, ZERO, ZERO)).beside(goods)
    return total


def usual_cost(needs: Mapping[str, Decimal], offers: Mapping[str, list[Offer]], terms: Mapping[str, Terms]) -> Decimal:
    """Each part at the supplier on its row, in whole packs."""
    packs = {}
    for part, units in needs.items():
        [usual] = [offer for offer in offers[part] if offer.usual]
        packs[usual] = ceil(units / usual.pack)
    return cost_of(packs, terms)


def least_cost(
    needs: Mapping[str, Decimal], offers: Mapping[str, list[Offer]], terms: Mapping[str, Terms]
) -> Decimal | None:
    """The least that covers all needs; None where there are too many ways to try."""
    ways = [list(_covers(units, offers[part])) for part, units in needs.items()]
    tries = 1
    for each in ways:
        tries *= len(each)
    if tries > TOO_MANY:
        return None
    every = [offer for part in needs for offer in offers[part]]
    return min(_with_more({o: c for way in ways for o, c in way.items()}, every, terms) for ways in product(*ways))


def _covers(units: Decimal, offers: list[Offer]) -> Iterator[dict[Offer, int]]:
    """Packs that cover so many units, none of which could be left out."""
    for counts in product(*(range(ceil(units / offer.pack) + 1) for offer in offers)):
        together = sum((offer.pack * count for offer, count in zip(offers, counts, strict=True)), ZERO)
        taken = [offer.pack for offer, count in zip(offers, counts, strict=True) if count]
        if together >= units and all(together - pack < units for pack in taken):
            yield {offer: count for offer, count in zip(offers, counts, strict=True) if count}


def _with_more(packs: Mapping[Offer, int], every: list[Offer], terms: Mapping[str, Terms]) -> Decimal:
    """The cost of packs, each supplier with the packs added that bring its cost down most."""
    total = ZERO
    for supplier in {offer.supplier for offer in packs}:
        own = {offer: count for offer, count in packs.items() if offer.supplier == supplier}
        asks = terms.get(supplier, Terms(ZERO, ZERO, ZERO, ZERO))
        goods = sum((offer.cost * count for offer, count in own.items()), ZERO)
        extra = sum((offer.extra * count for offer, count in own.items()), ZERO)
        most = asks.freight + asks.fee
        more = {ZERO: ZERO}
        """Least extra freight by what is added to the goods."""
        steps = [offer for offer in every if offer.supplier == supplier and offer.cost + offer.extra <= most]
        waiting = [ZERO]
        while waiting:
            added = waiting.pop()
            for offer in steps:
                now, freight = added + offer.cost, more[added] + offer.extra
                if now + freight <= most and freight < more.get(now, most + 1):
                    more[now] = freight
                    waiting.append(now)
        total += min(goods + added + extra + freight + asks.beside(goods + added) for added, freight in more.items())
    return total
