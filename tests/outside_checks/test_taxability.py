"""Outside checks 1.18 to 1.22: which charge is taxed depends on place and wording, and is dated data of the owner.

Sources, all public law, rules read: Idaho State Tax Commission, Repair Shops guide, Example #1, and IDAPA 35.01.02.062;
Tennessee Department of Revenue article 203043259; Ohio Department of Taxation, Auto Repair page;
Wash. Admin. Code 458-20-173; 20 NYCRR 527.5; California Code of Regulations, title 18, section 1546(b)(1);
Iowa Admin. Code r. 701-218.4(3). The 6 % and the totals of the Idaho case are worked out.

1.21 is a test of a percentage that no row of the Taxes sheet expresses.
The owner decides by the rule and writes the row; what is held here is that both outcomes can be written.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from tests.build import a_fee, a_tax
from tests.outside_checks.small_shop import bill, repair, tax_line

HITCH: dict[str, Any] = {"labour": {"MAIN": ("1", "40", "20")}, "parts": [("1", "15", "25.00")]}


def test_1_18_labour_stated_apart_is_not_taxed() -> None:
    """1.18 (Idaho): materials 25.00, repair labour 40.00 stated apart, 6 %: tax 1.50, total 66.50."""
    tier = repair(**HITCH, taxes=[a_tax(rate="0.06", charges=["parts"])])
    line = tax_line(tier)
    assert (line.base, line.amount, tier.total) == (Decimal("25.00"), Decimal("1.50"), Decimal("66.50"))


def test_1_19_one_lump_sum_is_all_taxed() -> None:
    """1.19 (Idaho): the same job billed as 65.00 in one sum: tax 3.90, total 68.90."""
    tier = bill(["65.00"], [a_tax(rate="0.06")])
    line = tax_line(tier)
    assert (line.base, line.amount, tier.total) == (Decimal("65.00"), Decimal("3.90"), Decimal("68.90"))


def test_1_19_supplies_used_up_are_not_taxed_to_the_customer() -> None:
    """1.19 (IDAPA 35.01.02.062.05): supplies of 10 % of labour are charged, and the base stays the parts."""
    tier = repair(**HITCH, taxes=[a_tax(rate="0.06", charges=["parts"])], supplies_percent_of_labour="0.10")
    assert tier.amounts.supplies == Decimal("4.00")
    assert tax_line(tier).base == Decimal("25.00")


@pytest.mark.parametrize("state", ["TN", "OH", "WA", "NY"])
def test_1_20_labour_on_movable_things_is_taxed_elsewhere(state: str) -> None:
    """1.20 (TN, OH, WA, NY): parts 25.00 and labour 40.00 are both in the base."""
    tier = repair(**HITCH, taxes=[a_tax(state, "0.06", ["parts", "labour"])])
    assert tax_line(tier).base == Decimal("65.00")


def test_1_20_a_set_fee_to_diagnose_is_taxed_where_a_row_says_so() -> None:
    """1.20 (20 NYCRR 527.5, Example 6): a fee to diagnose without repair is taxable; here by a row for inspection."""
    tier = repair(**HITCH, taxes=[a_tax("NY", "0.06", ["inspection"])], inspection_fee="30")
    assert tax_line(tier).base == Decimal("30.00")


@pytest.mark.parametrize(
    ("parts", "taxes_parts"), [("10.01", True), ("10.00", False)], ids=["above a tenth", "exactly a tenth"]
)
def test_1_21_more_than_a_tenth_makes_the_shop_a_retailer(parts: str, taxes_parts: bool) -> None:
    """1.21 (California): parts of more than 10 % of a 100.00 total are taxed to the customer, exactly 10 % are not.

    The rule is applied by hand: only the retailer's book has the row.
    """
    total = Decimal("100.00")
    assert (Decimal(parts) > total / 10) is taxes_parts
    rows = [a_tax("CA", "0.06", ["parts"])] if taxes_parts else []
    hourly = str(total - Decimal(parts))
    tier = repair(labour={"MAIN": ("1", hourly, "20")}, parts=[("1", "5", parts)], taxes=rows)
    assert tier.subtotal == total
    assert [line.base for line in tier.taxes] == ([Decimal(parts)] if taxes_parts else [])


@pytest.mark.parametrize(("itemised", "base"), [(True, "65.00"), (False, "70.00")])
def test_1_22_a_disposal_fee_is_taxed_unless_itemised(itemised: bool, base: str) -> None:
    """1.22 (Iowa): 5.00 for disposal. Itemised, its own code exempts it at rate zero; not itemised, it is in `all`."""
    exempt = [a_tax("IA", 0, ["WASTE"])] if itemised else []
    rows = [a_tax("IA", "0.06", ["all"]), *exempt]
    tier = repair(**HITCH, taxes=rows, fees=[a_fee("WASTE", "5.00", always=True)])
    assert tier.amounts.fees == Decimal("5.00")
    assert tax_line(tier).base == Decimal(base)


@pytest.mark.parametrize(
    ("day", "tax"), [(date(2026, 6, 30), "4.00"), (date(2026, 7, 1), "4.50"), (date(2026, 12, 31), "4.50")]
)
def test_a_rate_has_a_first_and_a_last_day(day: date, tax: str) -> None:
    """Rates are dated rows (TRADE.md, standing rules; common practice, no source): both end days count."""
    rows = [
        a_tax("SALES", "0.04", in_force_to=date(2026, 6, 30)),
        a_tax("SALES", "0.045", in_force_from=date(2026, 7, 1), in_force_to=date(2026, 12, 31)),
    ]
    assert bill(["100.00"], rows, quote_date=day).tax == Decimal(tax)
