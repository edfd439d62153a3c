"""Outside checks 1.01 to 1.22 through the formulas of the customer workbook, by LibreOffice and by a Python package.

Sources, as in test_tax_rounding.py and test_taxability.py, which put the same numbers through the engine
--------------------------------------------------------------------------------------------------------
SST
    Streamlined Sales and Use Tax Agreement, section 324, as enacted in R.I. Gen. Laws 44-18.1-25 (A)(1)-(2) and (B).
CM
    OpenStax, Contemporary Mathematics, section 6.2 (numbers used, text not copied).
ID
    Idaho State Tax Commission, Repair Shops guide, Example #1, and IDAPA 35.01.02.062.
TN, OH, WA, NY
    Tennessee Department of Revenue article 203043259; Ohio Department of Taxation, Auto Repair page;
    Wash. Admin. Code 458-20-173; 20 NYCRR 527.5.
CA
    California Code of Regulations, title 18, section 1546(b)(1).
IA
    Iowa Admin. Code r. 701-218.4(3).

1.15 is a rule for price lists: no charge of a quote is rounded to three decimals.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.model.expression import evaluate
from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.workbook.write_sheet import write_customer_quote
from tests.build import a_fee, a_tax
from tests.outside_checks.small_shop import a_bill, a_repair
from tests.recalculation.figures import named_cells
from tests.recalculation.office import Office
from tests.recalculation.package import PackageWorkbook

HITCH: dict[str, Any] = {"labour": {"MAIN": ("1", "40", "20")}, "parts": [("1", "15", "25.00")]}


@dataclass(frozen=True)
class Check:
    """One published case, or one worked from a published rule."""

    number: str
    source: str
    inputs: tuple[ShopBook, Job]
    tax: str
    total: str


def billed(number: str, source: str, prices: str, rates: str, tax: str, total: str, rounding: str = "invoice") -> Check:
    """Charges taxed at each rate by a row of its own."""
    rows = [a_tax(f"TAX-{n}", rate) for n, rate in enumerate(rates.split(), start=1)]
    return Check(number, source, a_bill(prices.split(), rows, rounding), tax, total)


def mended(number: str, source: str, tax: str, total: str, **values: Any) -> Check:
    """A repair with labour, parts and fees stated apart."""
    return Check(number, source, a_repair(**values), tax, total)


ROUNDING = [
    billed("1.01 a", "SST", "100.00", "0.01004", "1.00", "101.00"),
    billed("1.01 b", "SST", "100.00", "0.010049999", "1.00", "101.00"),
    billed("1.01 c", "SST", "100.00", "0.01005", "1.01", "101.01"),
    billed("1.01 d", "SST", "100.00", "0.000149", "0.01", "100.01"),
    billed("1.01 e", "SST", "100.00", "0.000151", "0.02", "100.02"),
    billed("1.01 f", "SST", "100.00", "0.028776", "2.88", "102.88"),
    billed("1.02", "CM", "34.88", "0.0825", "2.88", "37.76"),
    billed("1.04", "CM", "499.00", "0.0881", "43.96", "542.96"),
    billed("1.05", "CM", "432.00", "0.0825", "35.64", "467.64"),
    billed("1.08 a", "CM", "329.50", "0.075", "24.71", "354.21"),
    billed("1.08 b", "CM", "13.77", "0.045", "0.62", "14.39"),
    billed("1.10 item", "SST", "1.25 1.25 1.25", "0.06", "0.24", "3.99", "line"),
    billed("1.10 invoice", "SST", "1.25 1.25 1.25", "0.06", "0.23", "3.98"),
    billed("1.11 item", "SST, own case", "1.07 1.07 1.07", "0.06", "0.18", "3.39", "line"),
    billed("1.11 invoice", "SST, own case", "1.07 1.07 1.07", "0.06", "0.19", "3.40"),
    billed("1.12 together", "SST (B), own case", "1.30", "0.07", "0.09", "1.39"),
    billed("1.12 apart", "SST (B), own case", "1.30", "0.05 0.02", "0.10", "1.40"),
    billed("1.12 less together", "SST (B), own case", "1.10", "0.07", "0.08", "1.18"),
    billed("1.12 less apart", "SST (B), own case", "1.10", "0.04 0.03", "0.07", "1.17"),
    billed("1.12 the same apart", "SST (B), own case", "1.20", "0.05 0.02", "0.08", "1.28"),
    billed("1.13", "SST, a trap", "5.08", "0.06", "0.30", "5.38"),
    billed("1.14", "SST, a trap", "3.75", "0.06", "0.23", "3.98"),
]

CHARGES = [
    mended("1.18", "ID", "1.50", "66.50", **HITCH, taxes=[a_tax(rate="0.06", charges=["parts"])]),
    billed("1.19 lump sum", "ID", "65.00", "0.06", "3.90", "68.90"),
    mended(
        "1.19 supplies",
        "ID, 062.05",
        "1.50",
        "70.50",
        **HITCH,
        taxes=[a_tax(rate="0.06", charges=["parts"])],
        supplies_percent_of_labour="0.10",
    ),
    mended("1.20", "TN, OH, WA, NY", "3.90", "68.90", **HITCH, taxes=[a_tax(rate="0.06", charges=["parts", "labour"])]),
    mended(
        "1.20 a fee to diagnose",
        "NY, Example 6",
        "1.80",
        "96.80",
        **HITCH,
        taxes=[a_tax(rate="0.06", charges=["inspection"])],
        inspection_fee="30",
    ),
    mended(
        "1.21 above a tenth",
        "CA",
        "0.60",
        "100.60",
        labour={"MAIN": ("1", "89.99", "20")},
        parts=[("1", "5", "10.01")],
        taxes=[a_tax("CA", "0.06", ["parts"])],
    ),
    mended("1.21 a tenth", "CA", "0.00", "100.00", labour={"MAIN": ("1", "90.00", "20")}, parts=[("1", "5", "10.00")]),
    mended(
        "1.22 itemised",
        "IA",
        "3.90",
        "73.90",
        **HITCH,
        taxes=[a_tax("IA", "0.06", ["all"]), a_tax("IA", 0, ["WASTE"])],
        fees=[a_fee("WASTE", "5.00", always=True)],
    ),
    mended(
        "1.22 not itemised",
        "IA",
        "4.20",
        "74.20",
        **HITCH,
        taxes=[a_tax("IA", "0.06", ["all"])],
        fees=[a_fee("WASTE", "5.00", always=True)],
    ),
]

CHECKS = ROUNDING + CHARGES


def quoted(check: Check) -> Quote:
    """The quote of a check: one option, and live."""
    quote = build_quote(*check.inputs)
    assert len(quote.offered) == 1
    assert quote.live is not None, quote.not_live
    return quote


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.number} ({check.source})")
def test_by_the_sums_of_the_quote(check: Check) -> None:
    live = quoted(check).live
    assert live is not None
    values = evaluate(live.steps, {live.options[0].chosen: 1})
    figures = {name: Decimal(values[step]).scaleb(-live.digits) for name, step in live.figures.items()}
    assert (figures["tax"], figures["total"]) == (Decimal(check.tax), Decimal(check.total))


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.number} ({check.source})")
def test_by_the_formulas_of_the_workbook(check: Check, office: Office, tmp_path: Path) -> None:
    """Blank as sent; once the option is chosen, LibreOffice shows the published tax and total."""
    path = tmp_path / "quote.xlsx"
    write_customer_quote(quoted(check), path)
    with office.opened(path) as workbook:
        before = workbook.shown({}, ["tax_total", "total_to_pay"])
        after = workbook.shown({"chosen_tier": "good"}, ["tax_total", "total_to_pay"])
    assert before == {"tax_total": "–", "total_to_pay": "–"}
    assert after == {"tax_total": float(check.tax), "total_to_pay": float(check.total)}


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.number} ({check.source})")
def test_by_the_formulas_without_a_spreadsheet_program(check: Check, tmp_path: Path) -> None:
    """The same formulas, worked out by a Python package."""
    value = lay_out_customer_quote(quoted(check))
    workbook = PackageWorkbook(value, tmp_path / "quote.xlsx")
    named = named_cells(value)
    shown = workbook.shown({"chosen_tier": "good"}, [named["tax_total"], named["total_to_pay"]])
    assert shown == [float(check.tax), float(check.total)]
