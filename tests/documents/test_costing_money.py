"""Money in the costing, line by line in its fixed order: price, cost, margin and the cell behind it, sums by hand.

NEW is an hour at 100.00, which costs the shop 40.00, and a seal at 15.00, bought for 10.00: 115.00, 65.00 of it margin.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.documents.costing_money import lay_out_money
from quotekit.documents.sheet import Row
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.explain.small import a_shop, job_of, typed


def rows(book: Any = None, *, read: bool = True, **job: Any) -> list[list[str]]:
    """The table as texts below its heading, blank cells left out; a cell is `CODE!Heading 1`."""
    book = book or a_shop()
    found = job_of(book, **job)
    quote = build_quote(typed(book), typed(found)) if read else build_quote(book, found)
    assert not any(problem.severity == "error" for problem in quote.problems), quote.problems
    return [said(row) for row in lay_out_money(quote, quote.tiers[0])][3:]


def said(row: Row) -> list[str]:
    return [str(cell.content) for cell in row.cells if cell.content not in (None, "")]


def line(start: str, *more: Any, **job: Any) -> list[str]:
    """The row that begins so; none where there is none."""
    return next((row for row in rows(*more, **job) if row[0].startswith(start)), [])


def test_the_smallest_table() -> None:
    """What is zero has no line, but totals always have theirs."""
    assert rows() == [
        ["Labour, MAIN", "1.0", "100", "100.00", "40.00", "60.00", "MAIN!Rate per hour 1, MAIN!Cost per hour 1"],
        ["Seal (SEAL)", "1", "15.00", "15.00", "10.00", "5.00", "SEAL!Pack cost 1"],
        ["Work", "115.00"],
        ["Subtotal", "115.00", "50.00", "65.00"],
        ["No tax applies."],
        ["Total to pay", "115.00"],
        ["Due", "115.00"],
        ["Deposit when work is agreed", "0.00", "0 % of ordered parts, 0 % where they can't go back"],
        ["Cash to spend on parts, whole packs", "10.00"],
        ["The customer named no spending limit"],
    ]


def full(**job: Any) -> list[list[str]]:
    """Every kind of line: minimum, core, work sent out, bundle, discount, supplies, fees, freight, inspection, tax."""
    book = a_shop(
        settings=build.settings(
            minimum_labour_hours=2,
            supplies_percent_of_labour="0.05",
            supplies_cap=3,
            inspection_fee=35,
            inspection_fee_credited="when work goes ahead",
            freight_to_customer="this job alone",
            deposit_on_ordered_parts="0.5",
        ),
        parts=[build.a_part("SEAL", core_charge=4)],
        suppliers=[build.a_supplier(freight=9)],
        bundles=[build.a_bundle("ONE", ["NEW"], "labour amount off", 1)],
        fees=[build.a_fee("WASTE", 6, always=True)],
        taxes=[build.a_tax("VAT", "0.1")],
    )
    grind = build.a_one_off(1, "sublet", 1, unit_cost=22, line="Grind")
    tow = build.a_one_off(2, "charge", 1, unit_price=15, line="Tow")
    named: dict[str, Any] = {
        "discount_percent": "0.1", "discount_reason": "Club", "old_parts": "keep", "one_off": (grind, tow),
    }  # fmt: skip
    return rows(book, **(named | job))


def test_every_kind_of_line_in_its_order() -> None:
    """200.00 of labour less 1.00 and a tenth of 199.00; 5 % of labour is over the cap of 3.00.

    100 + 100 + 15 + 4 + 22 - 1 - 19.90 - 1.50 + 3 + 6 + 15 + 9 = 251.60; cost 40 + 10 + 4 + 22 + 9 = 85.00.
    """
    table = full()
    at = next(place for place, row in enumerate(table) if row[0] == "Subtotal")
    assert table[1 : at + 3] == [
        ["Labour, up to the minimum", "1.0", "100.00", "0", "100.00", "Minimum labour hours!Value 1"],
        ["Seal (SEAL)", "1", "15.00", "15.00", "10.00", "5.00", "SEAL!Pack cost 1"],
        ["Core charge, Seal", "1", "4.00", "4.00", "0.00", "SEAL!Core charge 1"],
        ["Grind", "22.00", "22.00", "0.00", "ONEOFF-1!Unit cost 1"],
        ["One", "-1.00", "0", "-1.00", "ONE!Value 1"],
        ["Discount: Club, on labour", "-19.90", "0", "-19.90", "Discount percent!Value 1"],
        ["Discount: Club, on parts", "-1.50", "0", "-1.50", "Discount percent!Value 1"],
        ["Supplies, 5 % of labour, at most 3.00", "3.00", "0", "3.00", "Supplies percent of labour!Value 1"],
        ["Waste", "6.00", "0", "6.00", "WASTE!Amount 1"],
        ["Tow", "15.00", "0", "15.00", "ONEOFF-2!Unit price 1"],
        ["Freight, North", "9.00", "9.00", "0.00", "NORTH!Freight 1"],
        ["Work", "251.60"],
        ["Inspection fee", "35.00", "0", "35.00", "Inspection fee!Value 1"],
        ["Inspection fee credited", "-35.00", "0", "-35.00", "Inspection fee credited!Value 1"],
        ["Subtotal", "251.60", "85.00", "166.60"],
        ["VAT, on 251.60", "25.16", "VAT!Rate 1"],
        ["Total to pay", "276.76"],
    ]


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        (300, ["Below the spending limit by", "23.24"]),
        ("276.76", ["Below the spending limit by", "0.00"]),
        ("276.75", ["Over the spending limit by", "0.01"]),
    ],
)
def test_how_far_it_is_from_the_limit(limit: Any, words: list[str]) -> None:
    """276.76 to pay."""
    assert full(spending_limit=limit)[-1] == words


def test_what_was_paid_is_taken_off() -> None:
    table = full(paid_so_far=20)
    assert ["Paid so far", "-20"] in table and ["Due", "256.76"] in table
    assert not [row for row in full() if row[0] == "Paid so far"]


def test_the_deposit_is_on_what_is_ordered() -> None:
    """Half of the seal's 15.00."""
    deposit = next(row for row in full() if row[0].startswith("Deposit"))
    assert deposit[1:] == ["7.50", "50 % of ordered parts, 0 % where they can't go back"]


def test_the_deposit_on_what_cannot_go_back_is_another() -> None:
    """A quarter of the seal's 15.00, 3.75."""
    book = a_shop(
        settings=build.settings(deposit_on_ordered_parts="0.5", deposit_on_non_returnable_parts="0.25"),
        parts=[build.a_part("SEAL", returnable=False)],
    )
    assert line("Deposit", book)[1:] == ["3.75", "50 % of ordered parts, 25 % where they can't go back"]


def test_an_inspection_fee_of_the_job_names_its_own_cell() -> None:
    """Both are typed; the job's is the one that counts."""
    book = a_shop(settings=build.settings(inspection_fee=35))
    assert line("Inspection fee", book, inspection_fee=12) == [
        "Inspection fee", "12.00", "0", "12.00", "Inspection fee!Value 1",
    ]  # fmt: skip


def test_the_customers_own_part_has_no_price_and_no_cost() -> None:
    assert line("Seal (SEAL)", own_parts=("SEAL",))[:5] == [
        "Seal (SEAL), the customer’s own", "1", "0.00", "0.00", "0",
    ]  # fmt: skip


def test_a_cost_that_is_not_known_leaves_its_margin_unknown() -> None:
    """A rate without a cost of its hour."""
    book = a_shop(labour_rates=[build.a_rate(cost=None, name="Bench")])
    assert line("Labour", book)[:6] == ["Labour, Bench", "1.0", "100", "100.00", "not known", "not known"]


def test_freight_that_the_shop_pays_is_a_cost_without_a_price() -> None:
    book = a_shop(suppliers=[build.a_supplier(freight=9)])
    assert line("Freight", book) == ["Freight, North", "0.00", "9.00", "-9.00", "NORTH!Freight 1"]


def test_work_sent_out_names_its_operation_and_is_rounded_a_line() -> None:
    """10.006 twice: 10.01 each, and a tenth on top, 11.0066, 11.01 each."""
    grinds = [build.an_operation(f"GRIND-{n}", 0, sublet_cost="10.006") for n in (1, 2)]
    book = a_shop(
        settings=build.settings(sublet_markup="0.1"),
        operations=[build.an_operation("FIT", "0.5", parts="SEAL"), *grinds],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT", "GRIND-1", "GRIND-2"])],
    )
    assert [row for row in rows(book) if row[0].startswith("Grind")] == [
        ["Grind-1", "11.01", "10.01", "1.00", "GRIND-1!Sublet cost 1"],
        ["Grind-2", "11.01", "10.01", "1.00", "GRIND-2!Sublet cost 1"],
    ]


def test_a_quantity_stands_where_it_is_not_one() -> None:
    tow = build.a_one_off(1, "charge", 3, unit_price=15, line="Tow")
    assert line("Tow", one_off=(tow,))[:3] == ["Tow", "3", "45.00"]


def test_without_cells_the_lines_are_the_same() -> None:
    """Records that were not read name no cell."""
    table = rows(read=False)
    assert table[0] == ["Labour, MAIN", "1.0", "100", "100.00", "40.00", "60.00"]


def test_a_tax_of_two_rows_names_both_once() -> None:
    """10 % on labour, 5 % on parts: 10.00 and 0.75 on 115.00."""
    book = a_shop(taxes=[build.a_tax("VAT", "0.1", ["labour"]), build.a_tax("VAT", "0.05", ["parts"])])
    assert line("VAT", book) == ["VAT, on 115.00", "10.75", "VAT!Rate 1"]
