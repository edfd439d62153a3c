"""Outside checks 1.01 to 1.15: tax is rounded half up, once, on the chosen basis.

Sources
-------
SST
    Streamlined Sales and Use Tax Agreement, section 324, as enacted in R.I. Gen. Laws 44-18.1-25 (A)(1)-(2) and (B).
    Public law; the rule was read, the numbers worked out from it.
CM
    OpenStax, Contemporary Mathematics, section 6.2 (numbers used, text not copied).
HMRC
    The VAT Guide (Notice 700), paragraph 17.5.2, as quoted in a public forum thread.

All numbers run through `build_quote`, except 1.15, a price-list rule that the engine has no charge for.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.money import round_to
from tests.build import a_tax
from tests.outside_checks.small_shop import bill, tax_of

HUNDRED = Decimal(100)


@pytest.mark.parametrize(
    ("raw", "tax"),
    [
        ("1.004", "1.00"),
        ("1.0049999", "1.00"),
        ("1.005", "1.01"),
        ("0.0149", "0.01"),
        ("0.0151", "0.02"),
        ("2.8776", "2.88"),
    ],
)
def test_1_01_the_third_decimal_decides(raw: str, tax: str) -> None:
    """1.01 (SST): 0 to 4 in the third decimal drops, 5 to 9 adds a cent. A price of 100.00 makes the raw tax exact."""
    assert tax_of("100.00", str(Decimal(raw) / HUNDRED)) == Decimal(tax)


@pytest.mark.parametrize("rate", ["0.04", "0.055", "0.0625", "0.07", "0.0825", "0.0881", "0.095"])
def test_1_01_the_rule_is_half_up_on_the_full_product(rate: str) -> None:
    """1.01 (SST): `third decimal above 4` is the same as half up, for every price from $0.01 to $20.00."""
    for cents in range(1, 2001):
        raw = Decimal(cents) / HUNDRED * Decimal(rate)
        whole, third = divmod(int(raw * 1000), 10)
        assert round_to(raw, 2) == Decimal(whole + (third > 4)) / HUNDRED


@pytest.mark.parametrize(
    ("price", "rate", "tax", "total"),
    [("34.88", "0.0825", "2.88", "37.76"), ("499.00", "0.0881", "43.96", "542.96")],
    ids=["1.02", "1.04"],
)
def test_1_02_and_1_04_tax_on_a_price(price: str, rate: str, tax: str, total: str) -> None:
    """1.02, 1.04 (CM, worked examples)."""
    tier = bill([price], [a_tax(rate=rate)])
    assert (tier.tax, tier.total) == (Decimal(tax), Decimal(total))


def test_1_05_the_tax_inside_a_total() -> None:
    """1.05 (CM): of 467.64 at 8.25 %, 432.00 is the price and 35.64 the tax. It is the only price with that total."""
    tier = bill(["432.00"], [a_tax(rate="0.0825")])
    assert (tier.tax, tier.total) == (Decimal("35.64"), Decimal("467.64"))
    assert round_to(Fraction("467.64") / Fraction("1.0825"), 2) == Decimal("432.00")
    for other in ("431.99", "432.01"):
        assert bill([other], [a_tax(rate="0.0825")]).total != Decimal("467.64")


@pytest.mark.parametrize(
    ("price", "total", "rate"), [("329.50", "354.21", "0.075"), ("13.77", "14.39", "0.045")], ids=["first", "second"]
)
def test_1_08_the_rate_from_price_and_total(price: str, total: str, rate: str) -> None:
    """1.08 (CM; the rate to 0.1 %): the engine gives the published total back exactly at that rate."""
    assert round_to(Fraction(total) / Fraction(price) - 1, 3) == Decimal(rate)
    assert bill([price], [a_tax(rate=rate)]).total == Decimal(total)


@pytest.mark.parametrize(("rounding", "tax"), [("line", "0.24"), ("invoice", "0.23")])
def test_1_10_item_basis_above_invoice_basis(rounding: str, tax: str) -> None:
    """1.10 (SST): three lines of 1.25 at 6 %."""
    assert bill(["1.25"] * 3, [a_tax(rate="0.06")], rounding).tax == Decimal(tax)


@pytest.mark.parametrize(("rounding", "tax"), [("line", "0.18"), ("invoice", "0.19")])
def test_1_11_item_basis_below_invoice_basis(rounding: str, tax: str) -> None:
    """1.11 (SST, own case): three lines of 1.07 at 6 %, each 0.0642, together 0.1926."""
    assert bill(["1.07"] * 3, [a_tax(rate="0.06")], rounding).tax == Decimal(tax)


@pytest.mark.parametrize(
    ("price", "state", "local", "together", "apart"),
    [
        ("1.30", "0.05", "0.02", "0.09", "0.10"),
        ("1.20", "0.05", "0.02", "0.08", "0.08"),
        ("1.10", "0.04", "0.03", "0.08", "0.07"),
    ],
    ids=["a cent more apart", "the same", "a cent less apart"],
)
def test_1_12_state_and_local_rates(price: str, state: str, local: str, together: str, apart: str) -> None:
    """1.12 (SST (B), own cases): one row with both rates rounds once; a row each rounds each. A cent either way."""
    rows = [a_tax("STATE", state), a_tax("LOCAL", local)]
    assert bill([price], [a_tax("SALES", str(Decimal(state) + Decimal(local)))]).tax == Decimal(together)
    assert bill([price], rows).tax == Decimal(apart)


def test_1_13_carried_to_the_third_decimal_is_not_rounded_there() -> None:
    """1.13 (SST), a trap: 5.08 at 6 % is 0.3048; rounding to 0.305 first would give 0.31."""
    assert tax_of("5.08", "0.06") == Decimal("0.30")


def test_1_14_no_binary_float_and_no_bankers_rounding() -> None:
    """1.14 (SST), a trap: 3.75 at 6 % is 0.225, which a float or half-even rounding turns into 0.22."""
    assert tax_of("3.75", "0.06") == Decimal("0.23")
    assert round(3.75 * 0.06, 2) == 0.22


def test_1_15_tax_per_unit_of_a_price_list() -> None:
    """1.15 (HMRC): work to 4 digits, round to 3. The engine's own rounding door, with three digits."""
    assert round_to(Decimal("0.0024"), 3) == Decimal("0.002")
