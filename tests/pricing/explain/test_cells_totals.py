"""From work to the total, by the charges asked for: a tax takes along what it falls on, and nothing else.

Labour is half an hour behind a cover of half an hour: 100.00. A seal is 15.00, work sent out 40.00, a bin 3.00. The
inspection fee is 30.00.
"""

from __future__ import annotations

from decimal import Decimal as D
from decimal import localcontext
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook, Tax
from quotekit.money import EXACT
from quotekit.pricing.explain.cells_totals import LateTotals
from tests import build
from tests.pricing.explain.cells_by_name import (
    assert_unnamed_leave_it,
    by_stage,
    cells,
    late,
    numbers,
    numbers_of,
)
from tests.pricing.explain.small import a_shop, job_of

LABOUR = {"MAIN: Rate per hour", "FIT: Net hours", "COVER: Hours to open"}
PARTS = {"SEAL: Pack cost", "0: Markup"}
SUBLET = {"FIT: Sublet cost", "Sublet markup"}
FEES = {"BIN: Amount", "Fees"}
FREIGHT = {"NORTH: Freight", "Freight to customer"}
CORES = {"SEAL: Core charge", "Old parts"}
INSPECTION = {"Inspection fee", "Inspection fee credited"}
SUPPLIES = {"Supplies percent of labour", "Supplies cap"}
EVERY = {
    "labour": LABOUR,
    "parts": PARTS,
    "cores": CORES,
    "sublet": SUBLET,
    "supplies": SUPPLIES,
    "fees": FEES,
    "freight": FREIGHT,
    "inspection": INSPECTION,
}


def a_bench(*taxes: Tax, **values: Any) -> ShopBook:
    named: dict[str, Any] = {
        "settings": build.settings(
            inspection_fee=30,
            freight_to_customer="this job alone",
            supplies_percent_of_labour="0.1",
            supplies_cap=4,
        ),
        "operations": [build.an_operation("FIT", "0.5", access=["COVER"], parts="SEAL", sublet_cost=40)],
        "parts": [build.a_part("SEAL", 10, core_charge=6)],
        "suppliers": [build.a_supplier(freight=7)],
        "fees": [build.a_fee("BIN", 3)],
        "taxes": [*taxes],
    }
    return a_shop(**(named | values))


def job(book: ShopBook, **values: Any) -> Any:
    return job_of(book, **({"fees": "BIN", "old_parts": "keep"} | values))


def totals(book: ShopBook, **values: Any) -> LateTotals:
    """The totals of the one remedy."""
    setup = late(book, job(book, **values))
    items = list(setup.candidates.items.values())
    return LateTotals(setup.basis, setup.charges(lambda: items))


def tax_reads(book: ShopBook, name: str = "VAT", **values: Any) -> set[str]:
    found = cells(book, job(book, **values))
    return set(numbers_of(found[f"taxes.{name}.amount"]))


@pytest.mark.parametrize("charge", EVERY)
def test_a_tax_on_one_charge_takes_along_that_charge_alone(charge: str) -> None:
    """Supplies are a part of labour, so a tax on them takes the hours along; freight hangs on what is ordered.

    Fees are gone through one by one, as a tax may be on one of them by its code.
    """
    found = tax_reads(a_bench(build.a_tax("VAT", "0.1", [charge])))
    along = {"supplies": {"labour"}, "freight": {"parts"}}.get(charge, set())
    assert EVERY[charge] <= found
    for other, theirs in EVERY.items():
        own = theirs - (PARTS if charge == "freight" else set())
        if other not in (charge, "fees") and other not in along:
            assert not own & found, other
    assert "VAT: Rate" in found


def test_a_tax_on_all_takes_along_all() -> None:
    found = tax_reads(a_bench(build.a_tax("VAT", "0.1", ["all"])))
    assert set().union(*EVERY.values()) <= found


BASES = [("labour", "100.00"), ("parts", "15.00"), ("cores", "6.00"), ("sublet", "40.00"), ("supplies", "4.00"),
         ("fees", "3.00"), ("freight", "7.00"), ("inspection", "30.00"), ("all", "205.00")]  # fmt: skip


@pytest.mark.parametrize(("charge", "base"), BASES)
def test_the_base_of_a_tax(charge: str, base: str) -> None:
    """A tenth of labour is 10.00, above the cap of 4.00. All: 100 + 15 + 6 + 40 + 4 + 3 + 7 + 30."""
    with localcontext(EXACT):
        line = totals(a_bench(build.a_tax("VAT", "0.1", [charge]))).tax_named("VAT")
        assert line is not None and (line.base, line.amount) == (D(base), D(base) / 10)


def test_a_tax_with_nothing_to_be_on_is_none_and_adds_nothing() -> None:
    book = a_bench(build.a_tax("VAT", "0.1", ["sublet"]), operations=[build.an_operation("FIT", "0.5")], access=[])
    with localcontext(EXACT):
        found = totals(book)
        assert found.tax_named("VAT") is None
        assert (found.tax, found.total) == (D("0.00"), found.subtotal)


def test_taxes_are_added_up_and_the_total_is_with_them() -> None:
    """Labour 100.00 at a tenth and fees 3.00 at a fifth: 10.60 on 205.00."""
    book = a_bench(build.a_tax("VAT", "0.1", ["labour"]), build.a_tax("DUTY", "0.2", ["fees"]))
    with localcontext(EXACT):
        found = totals(book)
        assert (found.subtotal, found.tax, found.total) == (D("205.00"), D("10.60"), D("215.60"))


@pytest.mark.parametrize(
    ("credited", "credit", "reads_work"),
    [
        ("never", "0.00", False),
        ("when work goes ahead", "-30.00", False),
        (D(175), "-30.00", True),
        (D("175.01"), "0.00", True),
    ],
)
def test_the_fee_comes_back_and_only_a_rule_by_amount_looks_at_the_work(
    credited: Any, credit: str, reads_work: bool
) -> None:
    """Work is 175.00 without the fee."""
    settings = build.settings(inspection_fee=30, inspection_fee_credited=credited)
    book = a_bench(settings=settings, parts=[build.a_part("SEAL", 10, core_charge=17)])
    with localcontext(EXACT):
        found = totals(book)
        assert (found.charges.total, found.inspection, found.credit) == (D("175.00"), D("30.00"), D(credit))
        assert found.subtotal == D("205.00") + D(credit)
    named = numbers_of(cells(book, job(book))["amounts.inspection_credit"])
    assert ("FIT: Net hours" in named) == reads_work
    assert "Inspection fee credited" in named


def test_a_discount_is_a_line_of_labour_and_one_of_parts() -> None:
    """A tenth off: a tax on labour falls on 90.00, one on parts on 13.50; each takes the discount along."""
    book = a_bench(build.a_tax("VAT", "0.1", ["labour"]), build.a_tax("DUTY", "0.1", ["parts"]))
    with localcontext(EXACT):
        found = totals(book, discount_percent="0.1")
        bases = [line.base for name in ("VAT", "DUTY") if (line := found.tax_named(name))]
    assert bases == [D("90.00"), D("13.50")]
    for name in ("VAT", "DUTY"):
        assert "Discount percent" in tax_reads(book, name, discount_percent="0.1")


def test_a_part_is_taxed_as_its_row_says() -> None:
    """The seal is taxed as supplies: a tax on supplies reads its price, one on parts has no base."""
    book = a_bench(
        build.a_tax("VAT", "0.1", ["supplies"]),
        build.a_tax("DUTY", "0.1", ["parts"]),
        parts=[build.a_part("SEAL", 10, core_charge=6, taxed_as="supplies")],
    )
    with localcontext(EXACT):
        found = totals(book)
        line = found.tax_named("VAT")
        assert line is not None and line.base == D("19.00"), "4.00 of supplies and the seal"
        assert found.tax_named("DUTY") is None
    assert tax_reads(book) >= PARTS


def test_a_tax_on_one_fee_reads_that_fee_and_no_other() -> None:
    book = a_bench(build.a_tax("VAT", "0.1", ["BIN"]), fees=[build.a_fee("BIN", 3), build.a_fee("OIL", 5)])
    assert "BIN: Amount" in (found := tax_reads(book, fees="BIN; OIL"))
    assert "SEAL: Pack cost" not in found
    with localcontext(EXACT):
        line = totals(book, fees="BIN; OIL").tax_named("VAT")
        assert line is not None and line.base == D("3.00")


def an_upgrade(*taxes: Tax) -> ShopBook:
    return a_bench(*taxes, remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"], kind="upgrade")])


APART = (build.a_tax("VAT", "0.1", ["labour"]), build.a_tax("VAT", "0.2", ["upgrade labour"]))


def test_upgrade_labour_apart_takes_the_shares_along() -> None:
    """All labour is the upgrade's: 20.00 instead of 10.00. Without such a row no share is looked at."""
    with localcontext(EXACT):
        apart, plain = totals(an_upgrade(*APART)), totals(an_upgrade(APART[0]))
        lines = (apart.tax_named("VAT"), plain.tax_named("VAT"))
        assert [line and line.amount for line in lines] == [D("20.00"), D("10.00")]
        assert apart.upgrade == D("100.00")
    stages = [cells(book, job(book))["taxes.VAT.amount"] for book in (an_upgrade(*APART), an_upgrade(APART[0]))]
    assert ["upgrade labour" in each for each in stages] == [True, False]
    assert "Kind" in by_stage(stages[0])["upgrade labour"]


def test_upgrade_labour_of_a_tier_stays_that_of_the_tier_where_something_is_added() -> None:
    """5.9, Taxes: what is offered beside a tier does not change how its labour is split."""
    book = an_upgrade(*APART)
    with localcontext(EXACT):
        own = totals(book)
        more = LateTotals(own.basis, own.charges, own)
        assert more.upgrade == own.upgrade == D("100.00")
        nothing = LateTotals(own.basis, late(book, job(book)).charges(list))
        assert LateTotals(own.basis, own.charges, nothing).upgrade == 0


@pytest.mark.parametrize(
    ("figure", "stage", "own"),
    [
        ("taxes.VAT.amount", "tax", "Tax rounding: Value; VAT: Rate"),
        ("amounts.inspection", "inspection", "Inspection fee: Value"),
        ("amounts.inspection_credit", "inspection credit", "Inspection fee credited: Value"),
        ("taxes.VAT.base", "taxes in force", "Customer class: Value; VAT: In force from"),
        ("taxes.VAT.base", "fees", "BIN: Amount; Fees: Value"),
    ],
)
def test_a_cell_stands_at_the_rule_that_read_it(figure: str, stage: str, own: str) -> None:
    book = a_bench(build.a_tax("VAT", "0.1", ["fees"]))
    assert numbers(cells(book, job(book))[figure])[stage] == own


@pytest.mark.parametrize(
    "taxes",
    [APART, (build.a_tax("VAT", "0.1", ["parts", "freight"]), build.a_tax("DUTY", "0.2", ["BIN"]))],
    ids=["upgrade labour apart", "two taxes"],
)
def test_a_number_that_a_figure_does_not_name_leaves_it_as_it_was(taxes: tuple[Tax, ...]) -> None:
    book = an_upgrade(*taxes)
    assert_unnamed_leave_it(book, job(book, discount_percent="0.1"), fewest=20)
