"""Random orders: few parts for trying every order, or many for a second solver.

Terms lie near what the parts cost, so that thresholds, minimums and fees decide; prices are from a short list, so that
orders often land for the same; packs, days and lots are drawn so that several suppliers of one part are of use.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from random import Random

from quotekit.model.landed import NEVER, Lot, Need, OrderTask, PackOffer, PartFacts
from quotekit.model.shop_book import Supplier

DAY = date(2026, 11, 26)
"""A Thursday: leads go over a weekend."""


def a_random_order(draw: Random, parts: int, suppliers: int, *, most_units: int = 4) -> OrderTask:
    """An order of some parts from some suppliers; each part has at least one offer."""
    codes = [f"P{number:03}" for number in range(parts)]
    names = [f"S{number}" for number in range(suppliers)]
    style = draw.choice(["plain", "plain", "dated", "broken"])
    offers = [offer for code in codes for offer in _offers(draw, code, names, style)]
    needs = [need for code in codes for need in _needs(draw, code, style, most_units)]
    return OrderTask(
        day=DAY,
        digits=draw.choice([2, 2, 2, 0]),
        needs=tuple(needs),
        offers=tuple(offers),
        terms={name: _terms(draw, name) for name in names if draw.random() < 0.9},
        parts={code: PartFacts(part=code, code=code, name=code.lower()) for code in codes},
        lots=tuple(lot for code in codes for lot in _lots(draw, code)),
    )


def _offers(draw: Random, code: str, names: list[str], style: str) -> list[PackOffer]:
    chosen = draw.sample(names, min(len(names), draw.choice([1, 2, 2, 3])))
    cost = (
        draw.choice(["0", "1.5", "2", "2", "4", "7.95"])
        if style != "broken"
        else draw.choice(["1.005", "2.3", "0.125"])
    )
    return [
        PackOffer(
            part=code,
            supplier=name,
            pack_quantity=(pack := Decimal(draw.choice(["1", "1", "2", "4", "2.5"]))),
            pack_cost=max(Decimal(0), Decimal(cost) * pack + Decimal(draw.choice(["0", "0", "0.5", "-0.25"]))),
            suppliers_number=f"{name}-{code}",
            lead_days=draw.choice([0, 1, 2, 3, 5, None]) if style == "dated" else 2,
            extra_freight=Decimal(draw.choice(["0", "0", "0", "1.25"])),
            usual=place == 0,
        )
        for place, name in enumerate(chosen)
    ]


def _needs(draw: Random, code: str, style: str, most_units: int) -> list[Need]:
    return [
        Need(
            part=code,
            job=f"J{number}",
            quantity=Decimal(draw.randint(1, most_units)) - Decimal(draw.choice(["0", "0", "0.5"])),
            by=DAY + timedelta(days=draw.randint(0, 7)) if style == "dated" and draw.random() < 0.7 else NEVER,
        )
        for number in range(draw.choice([1, 1, 2]))
    ]


def _lots(draw: Random, code: str) -> list[Lot]:
    if draw.random() < 0.7:
        return []
    there = DAY + timedelta(days=draw.choice([0, 0, 0, 1, 4]))
    return [Lot(part=code, units=Decimal(draw.choice(["0.5", "1", "2", "9"])), there_from=there)]


def _terms(draw: Random, name: str) -> Supplier:
    return Supplier(
        code=name,
        supplier=name.lower(),
        freight=_money(draw, ["", "0", "3", "5", "2.995"]),
        free_freight_from=_money(draw, ["", "", "0", "6", "8", "12", "20"]),
        minimum_order=_money(draw, ["", "", "0", "5", "9", "15"]),
        small_order_fee=_money(draw, ["", "0", "1.5", "4", "4"]),
    )


def _money(draw: Random, texts: list[str]) -> Decimal | None:
    text = draw.choice(texts)
    return Decimal(text) if text else None
