"""The second implementation by itself: cases small enough for a pencil, so that it can be trusted to disagree."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import product

import pytest

from tests.after.cheapest import Offer, Terms, cost_of, least_cost, usual_cost
from tests.after.rules import Rule, number, tax_rows, taxed


def rule(percent: str, amount: str, which: str = "the lesser", basis: str = "with tax") -> Rule:
    return Rule(number(percent), number(amount), which, basis)


@pytest.mark.parametrize(
    ("of", "authorised", "now", "needed"),
    [
        (rule("0%", "0"), "300", "300.00", False),
        (rule("0%", "0"), "300", "300.01", True),
        (rule("10%", "25", "the lesser"), "300", "325.00", False),
        (rule("10%", "25", "the lesser"), "300", "325.01", True),
        (rule("10%", "25", "the lesser"), "100", "110.01", True),
        (rule("10%", "25", "the greater"), "100", "125.00", False),
        (rule("10%", "25", "the greater"), "300", "330.01", True),
        (rule("10%", "0", "the greater"), "101.05", "111.15", False),
        (rule("10%", "0", "the greater"), "101.05", "111.16", True),
        (rule("10%", "0", "the lesser"), "300", "300.01", True),
    ],
)
def test_when_the_customer_is_called(of: Rule, authorised: str, now: str, needed: bool) -> None:
    """On the threshold is within it; ten percent of 101.05 lets 10.10 pass and not 10.11."""
    assert of.needs_consent(Decimal(authorised), Decimal(now)) is needed


def test_the_basis_is_before_or_with_tax() -> None:
    """A rule before tax looks at the subtotal alone."""
    assert rule("0%", "0", basis="before tax").of(Decimal(90), Decimal(99)) == 90
    assert rule("0%", "0").of(Decimal(90), Decimal(99)) == 99


ROWS = [
    {"Tax": "Sales", "Rate": "6%", "Charge": "parts; oil", "In force to": "2026-11-22"},
    {"Tax": "Sales", "Rate": "7%", "Charge": "parts; oil", "In force from": "2026-11-23"},
    {"Tax": "Town", "Rate": "1%", "Charge": "all"},
    {"Tax": "Town", "Rate": "0%", "Charge": "labour"},
]


@pytest.mark.parametrize(
    ("day", "rounding", "expected"),
    [
        (date(2026, 11, 22), "invoice", {"Sales": ("20.50", "1.23"), "Town": ("23.50", "0.24")}),
        (date(2026, 11, 23), "invoice", {"Sales": ("20.50", "1.44"), "Town": ("23.50", "0.24")}),
        (date(2026, 11, 22), "line", {"Sales": ("20.50", "1.24"), "Town": ("23.50", "0.23")}),
    ],
)
def test_taxes_of_lines(day: date, rounding: str, expected: dict[str, tuple[str, str]]) -> None:
    """The row in force on the day counts, one for a charge before one for all, and a rate of nothing is no base."""
    lines = [("parts", Decimal("10.25")), ("oil", Decimal("10.25")), ("fees", Decimal(3)), ("labour", Decimal(100))]
    told = taxed(tax_rows(ROWS), lines, day, rounding)
    assert told == {tax: (Decimal(base), Decimal(amount)) for tax, (base, amount) in expected.items()}


def test_line_rounding_may_differ_from_the_invoice() -> None:
    """Two lines of 0.25 at 2 %: half a cent each is a cent each, together half of that."""
    rows = tax_rows([{"Tax": "Town", "Rate": "2%", "Charge": "all"}])
    lines = [("parts", Decimal("0.25"))] * 2
    assert taxed(rows, lines, date(2026, 1, 1), "line") == {"Town": (Decimal("0.50"), Decimal("0.02"))}
    assert taxed(rows, lines, date(2026, 1, 1), "invoice") == {"Town": (Decimal("0.50"), Decimal("0.01"))}


def offer(part: str, supplier: str, pack: str, cost: str, usual: bool = False, extra: str = "0") -> Offer:
    return Offer(part, supplier, Decimal(pack), Decimal(cost), Decimal(extra), usual)


NORTH = Terms(Decimal(10), Decimal(50), Decimal(20), Decimal(5))
WEST = Terms(Decimal(4), Decimal(0), Decimal(0), Decimal(0))
TERMS = {"NORTH": NORTH, "WEST": WEST}


def test_freight_and_fee_of_a_supplier() -> None:
    """10 freight below 50, 5 more below 20, nothing for nothing."""
    goods = [Decimal(each) for each in ("0", "19.99", "20", "49.99", "50")]
    assert [NORTH.beside(each) for each in goods] == [0, 15, 10, 10, 0]


def test_one_supplier_for_all_beats_the_cheaper_pack() -> None:
    """SEAL costs 6 at WEST and 7 at NORTH; with the freight there it is cheaper to buy both at NORTH."""
    offers = {
        "BELT": [offer("BELT", "NORTH", "1", "18", usual=True)],
        "SEAL": [offer("SEAL", "WEST", "1", "6", usual=True), offer("SEAL", "NORTH", "1", "7")],
    }
    needs = {"BELT": Decimal(1), "SEAL": Decimal(1)}
    assert usual_cost(needs, offers, TERMS) == Decimal(18 + 15 + 6 + 4)
    assert least_cost(needs, offers, TERMS) == Decimal(25 + 10)


def test_one_more_pack_may_save_the_freight() -> None:
    """45 and 10 freight is more than 45 and another pack of 5, which brings the goods to 50."""
    offers = {
        "BELT": [offer("BELT", "NORTH", "1", "40", usual=True)],
        "PIN": [offer("PIN", "NORTH", "1", "5", usual=True)],
    }
    assert least_cost({"BELT": Decimal(1), "PIN": Decimal(1)}, offers, TERMS) == Decimal(50)


def test_the_least_is_the_least_of_every_order_there_is() -> None:
    """Held against all packs up to six of each offer, with nothing left out."""
    offers = {
        "PIN": [offer("PIN", "NORTH", "2", "7", usual=True, extra="0.5"), offer("PIN", "WEST", "3", "11")],
        "SEAL": [offer("SEAL", "WEST", "1", "9.5", usual=True), offer("SEAL", "NORTH", "4", "33")],
    }
    every = [each for of_part in offers.values() for each in of_part]
    for pins, seals in product(range(1, 7), range(1, 4)):
        needs = {"PIN": Decimal(pins), "SEAL": Decimal(seals)}
        costs = []
        for counts in product(range(7), repeat=len(every)):
            packs = dict(zip(every, counts, strict=True))
            if all(sum(o.pack * c for o, c in packs.items() if o.part == part) >= n for part, n in needs.items()):
                costs.append(cost_of(packs, TERMS))
        assert least_cost(needs, offers, TERMS) == min(costs), needs
