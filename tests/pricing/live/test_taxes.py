"""Each tax of any choice on its lines: both ways to round, rows at other rates, lines below zero, upgrade labour."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.expression import Step, evaluate
from quotekit.model.job import Job
from quotekit.model.shop_book import Tax
from quotekit.money import allocate
from quotekit.pricing.basis import Basis
from quotekit.pricing.live.taxes import LiveLine, live_taxes
from quotekit.pricing.live.working import Working
from tests import build

Given = tuple[str, int]
"""A charge word, with a fee's code after a colon, and its amount in cents: below zero for what is taken off."""


def taxes(lines: list[Given], *rows: Tax, job: Job | None = None, upgrade: int = 0, **shop: Any) -> dict[str, int]:
    """Each tax in cents on these lines."""
    book = build.a_book(settings=build.settings(**shop), taxes=list(rows))
    working = Working(basis=Basis(book=book, job=job or build.a_job()), chosen=())
    inputs = [(Step(charge), abs(cents)) for charge, cents in lines]
    upgraded = Step("upgrade labour")
    made = [_line(charge, step, cents) for (charge, cents), (step, _) in zip(lines, inputs, strict=True)]
    found = live_taxes(working, made, upgraded)
    steps = (*(step for step, _ in inputs), upgraded, *working.steps)
    values = evaluate(steps, {**dict(inputs), upgraded: upgrade})
    return {name: values[step] for name, step in found}


def _line(charge: str, amount: Step, cents: int) -> LiveLine:
    word, _, fee = charge.partition(":")
    return LiveLine(charge=word, amount=amount, sign=-1 if cents < 0 else 1, fee=fee, of_labour=word == "labour")


THREE = [("parts", 125), ("parts", 125), ("parts", 125)]


def test_invoice_basis_rounds_the_sum_and_line_basis_each_line() -> None:
    """6 % of 3 x 1.25 = 0.225 -> 0.23; 6 % of 1.25 = 0.075 -> 0.08 three times = 0.24."""
    assert taxes(THREE, build.a_tax(rate="0.06")) == {"TAX": 23}
    assert taxes(THREE, build.a_tax(rate="0.06"), tax_rounding="line") == {"TAX": 24}


@pytest.mark.parametrize("rounding", ["invoice", "line"])
def test_a_tax_falls_on_the_charges_it_names(rounding: str) -> None:
    """10 % of parts 100.00 and fees 5.00; labour and sublet go free."""
    lines = [("labour", 20000), ("parts", 10000), ("sublet", 3000), ("fees:OIL", 500)]
    assert taxes(lines, build.a_tax(charges=["parts", "fees"]), tax_rounding=rounding) == {"TAX": 1050}


@pytest.mark.parametrize("rounding", ["invoice", "line"])
def test_two_rates_of_one_tax(rounding: str) -> None:
    """4 % on labour 50.00 = 2.00 and 10 % on everything else: 1.00 of 10.00."""
    rows = (build.a_tax(rate="0.1"), build.a_tax(rate="0.04", charges=["labour"]))
    assert taxes([("labour", 5000), ("parts", 1000)], *rows, tax_rounding=rounding) == {"TAX": 300}


def test_two_rates_are_rounded_together_on_the_invoice() -> None:
    """4 % of 0.12 = 0.0048 and 6 % of 0.08 = 0.0048: 0.0096 -> 0.01 together; by line both are 0.00."""
    rows = (build.a_tax(rate="0.06"), build.a_tax(rate="0.04", charges=["labour"]))
    lines = [("labour", 12), ("parts", 8)]
    assert taxes(lines, *rows) == {"TAX": 1}
    assert taxes(lines, *rows, tax_rounding="line") == {"TAX": 0}


def test_a_row_at_rate_zero_exempts_its_charges() -> None:
    rows = (build.a_tax(rate="0.1"), build.a_tax(rate="0", charges=["labour"]))
    assert taxes([("labour", 5000), ("parts", 1000)], *rows) == {"TAX": 100}


def test_a_tax_at_rate_zero_is_no_money() -> None:
    assert taxes([("labour", 5000)], build.a_tax(rate="0")) == {"TAX": 0}


def test_a_fees_own_code_wins_over_fees_and_fees_over_all() -> None:
    """OIL at 5 % of 10.00, PICKUP at 2 % of 10.00, parts at 1 %: 0.50 + 0.20 + 0.10."""
    rows = (
        build.a_tax(rate="0.01"),
        build.a_tax(rate="0.02", charges=["fees"]),
        build.a_tax(rate="0.05", charges=["OIL"]),
    )
    assert taxes([("fees:OIL", 1000), ("fees:PICKUP", 1000), ("parts", 1000)], *rows) == {"TAX": 80}


def test_several_taxes_in_the_order_of_the_sheet() -> None:
    """7 % and 2.5 % of 10.00: 0.70 and 0.25; each is rounded by itself."""
    rows = (build.a_tax("STATE", "0.07"), build.a_tax("CITY", "0.025", ["parts"]))
    assert list(taxes([("parts", 1000), ("labour", 1000)], *rows).items()) == [("STATE", 140), ("CITY", 25)]


def test_who_is_exempt_pays_none_and_has_no_line() -> None:
    assert taxes(THREE, build.a_tax(), job=build.a_job(customer_class="Exempt")) == {}


def test_what_is_taken_off_lowers_the_tax() -> None:
    """10 % of 100.00 - 25.05 = 7.495 -> 7.50. By line: 10.00 - 2.505 -> 2.51 = 7.49: rounded by size, then off."""
    lines = [("parts", 10000), ("parts", -2505)]
    assert taxes(lines, build.a_tax()) == {"TAX": 750}
    assert taxes(lines, build.a_tax(), tax_rounding="line") == {"TAX": 749}


@pytest.mark.parametrize("rounding", ["invoice", "line"])
@pytest.mark.parametrize("off", [-1000, -1500])
def test_no_base_goes_below_zero(off: int, rounding: str) -> None:
    """Nothing and less than nothing is taxed at nothing."""
    assert taxes([("parts", 1000), ("fees", off)], build.a_tax(), tax_rounding=rounding) == {"TAX": 0}


@pytest.mark.parametrize("rounding", ["invoice", "line"])
def test_a_base_at_nothing_with_a_product_above_it(rounding: str) -> None:
    """Parts 10.00 at 10 %, savings of 10.00 on labour at 4 %: the base is zero, so no 0.60 is charged."""
    rows = (build.a_tax(rate="0.1"), build.a_tax(rate="0.04", charges=["labour"]))
    assert taxes([("parts", 1000), ("labour", -1000)], *rows, tax_rounding=rounding) == {"TAX": 0}


@pytest.mark.parametrize("rounding", ["invoice", "line"])
def test_a_product_below_nothing_with_a_base_above_it(rounding: str) -> None:
    """Parts 20.00 at 1 % = 0.20, savings of 10.00 at 10 % = 1.00: the base is 10.00, the tax not below zero."""
    rows = (build.a_tax(rate="0.01"), build.a_tax(rate="0.1", charges=["labour"]))
    assert taxes([("parts", 2000), ("labour", -1000)], *rows, tax_rounding=rounding) == {"TAX": 0}


@pytest.mark.parametrize(("currency", "expected"), [("JPY", 8), ("USD", 8), ("KWD", 8)])
def test_minor_units_are_what_is_rounded(currency: str, expected: int) -> None:
    """6 % of 125 units is 7.5: 8 yen, 8 cents, 8 fils."""
    assert taxes([("parts", 125)], build.a_tax(rate="0.06"), currency=currency) == {"TAX": expected}


def test_a_rate_with_many_digits() -> None:
    """9.975 % of 40.00 = 3.99."""
    assert taxes([("parts", 4000)], build.a_tax(rate="0.09975")) == {"TAX": 399}


UPGRADE = build.a_tax(rate="0.1", charges=["upgrade labour"])


def test_upgrade_labour_is_taxed_apart() -> None:
    """Of 100.00 of labour 30.00 are for an upgrade: 10 % of it."""
    assert taxes([("labour", 10000), ("parts", 5000)], UPGRADE, upgrade=3000) == {"TAX": 300}
    assert taxes([("labour", 10000)], UPGRADE) == {"TAX": 0}


def test_no_more_labour_is_upgraded_than_there_is() -> None:
    assert taxes([("labour", 2000)], UPGRADE, upgrade=3000) == {"TAX": 200}


def test_the_rest_of_labour_at_its_own_rate() -> None:
    """70.00 at 4 % = 2.80 and 30.00 at 10 % = 3.00."""
    rows = (UPGRADE, build.a_tax(rate="0.04", charges=["labour"]))
    assert taxes([("labour", 10000)], *rows, upgrade=3000) == {"TAX": 580}


def test_upgrade_labour_is_split_over_the_labour_lines_to_the_cent() -> None:
    """0.02 over three lines of 0.05: the remainders are equal, so the first two have a cent each.

    By line at 50 %: 0.01 x 0.5 = 0.005 -> 0.01 twice, and nothing on the third.
    """
    rows = build.a_tax(rate="0.5", charges=["upgrade labour"])
    assert taxes([("labour", 5)] * 3, rows, upgrade=2, tax_rounding="line") == {"TAX": 2}
    assert taxes([("labour", 5)] * 3, rows, upgrade=2) == {"TAX": 1}


def test_the_largest_remainder_gets_the_cent_that_is_left() -> None:
    """0.03 over 0.10, 0.30, 0.10: 0.6, 1.8 and 0.6 cents -> 0, 1, 0 and two left: the second, then the first.

    By line at 50 %: 1, 2 and 0 cents give 0.5 -> 1, 1 and 0.
    """
    rows = build.a_tax(rate="0.5", charges=["upgrade labour"])
    lines = [("labour", 10), ("labour", 30), ("labour", 10)]
    assert taxes(lines, rows, upgrade=3, tax_rounding="line") == {"TAX": 2}


def test_a_saving_on_labour_is_split_too_and_a_tie_is_no_upgrade() -> None:
    """Labour 100.00, half of it upgraded; 0.05 off: 2.5 cents each: 0.03 from the rest, 0.02 from the upgrade.

    At 100 %: 50.00 - 0.02 = 49.98.
    """
    rows = build.a_tax(rate="1", charges=["upgrade labour"])
    assert taxes([("labour", 10000), ("labour", -5)], rows, upgrade=5000) == {"TAX": 4998}
    assert taxes([("labour", 10000), ("labour", -5)], rows, upgrade=5100) == {"TAX": 5097}


def test_without_labour_there_is_nothing_to_split() -> None:
    assert taxes([("labour", 0), ("parts", 500)], UPGRADE, upgrade=300) == {"TAX": 0}
    assert taxes([("parts", 500)], UPGRADE, upgrade=300) == {"TAX": 0}


def test_a_part_taxed_as_labour_is_no_labour_to_upgrade() -> None:
    """It is charged by labour's row, and no upgrade labour falls to it."""
    book = build.a_book(taxes=[UPGRADE, build.a_tax(rate="0.04", charges=["labour"])])
    working = Working(basis=Basis(book=book, job=build.a_job()), chosen=())
    part, labour = Step("part"), Step("labour")
    lines = [LiveLine(charge="labour", amount=labour, of_labour=True), LiveLine(charge="labour", amount=part)]
    ((_, tax),) = live_taxes(working, lines, 3000)
    values = evaluate((part, labour, *working.steps), {part: 5000, labour: 10000})
    assert values[tax] == 300 + 280 + 200  # 10 % of 30.00, 4 % of 70.00 and 4 % of the part's 50.00


@given(st.lists(st.integers(0, 3000), min_size=1, max_size=4), st.integers(0, 9000))
def test_the_split_is_that_of_the_engine(labour: list[int], upgrade: int) -> None:
    """At 50 % by line every share shows: the sum of the shares rounded half up, for shares by largest remainder."""
    rows = build.a_tax(rate="0.5", charges=["upgrade labour"])
    found = taxes([("labour", cents) for cents in labour], rows, upgrade=upgrade, tax_rounding="line")
    part = Decimal(min(upgrade, sum(labour))).scaleb(-2)
    shares = [int(share.scaleb(2)) for share in allocate(part, labour, 2)]
    assert found == {"TAX": sum((share + 1) // 2 for share in shares)}
