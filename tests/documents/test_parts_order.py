"""The parts order as values for a template: each supplier's own numbers, and the shop's page with the proof."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.documents.filling import CellValue, SheetFilling, Shown
from quotekit.documents.parts_order import FINAL, OrderSheets, lay_out_parts_order, short_of_free_freight
from quotekit.model.entries import Ordered, SupplierOrder
from tests.build import a_supplier, settings
from tests.pricing.landed.orders import a_line, a_take, an_order

DAY = date(2026, 11, 26)
SEALS = a_line("SEAL", unit="each", new_or_used="new original", jobs={"117": Decimal(1)})
SHAFT = a_line(
    "SHAFT of 118", packs=2, pack=1, needed=2, jobs={"118": Decimal(2)}, supplier="AXLE", suppliers_number="",
    code="SHAFT", pack_cost=Decimal(61), returnable=False, lead_days=None,
)  # fmt: skip
ORDER = an_order(SEALS, SHAFT, shelf=[a_take("COTTER", 6)])


def a_supplier_order(code: str, goods: str, freight: str = "0", fee: str = "0") -> SupplierOrder:
    total = Decimal(goods) + Decimal(freight) + Decimal(fee)
    return SupplierOrder(
        supplier=code,
        name=f"{code.title()} Parts",
        goods=Decimal(goods),
        freight=Decimal(freight),
        fee=Decimal(fee),
        total=total,
    )


def sheets(ordered: Ordered = ORDER, notes: Sequence[str] = (), **values: Any) -> list[SheetFilling]:
    """The shop's page, then AXLE and NORTH."""
    suppliers = (a_supplier_order("AXLE", "122.00", "14.50"), a_supplier_order("NORTH", "6.40", "0", "6.50"))
    given = {
        "suppliers": suppliers,
        "landed": Decimal("149.40"),
        "usual": Decimal("155.00"),
        "bound": Decimal("149.40"),
        "compared": "Proved.",
        "needed_by": {"118": date(2026, 12, 4)},
    } | values
    order = OrderSheets(
        number=7,
        day=DAY,
        ordered=replace(ordered, **given),
        settings=settings(address="1 Road", phone="555", licence="EX-1"),
        terms={
            "AXLE": a_supplier("AXLE", freight=Decimal("14.50"), free_freight_from=Decimal("200")),
            "NORTH": a_supplier("NORTH", freight=None, free_freight_from=Decimal("150")),
        },
        arrives={1: date(2026, 12, 1)},
        notes=notes,
    )
    return lay_out_parts_order(order)


def plain(value: CellValue) -> object:
    return value.value if isinstance(value, Shown) else value


def row(filling: SheetFilling, table: str, place: int = 0) -> dict[str, object]:
    return {name: plain(value) for name, value in filling.tables[table][place].items()}


def test_a_page_for_the_shop_and_one_a_supplier() -> None:
    assert [(one.role, one.title) for one in sheets()] == [
        ("summary", "For the shop"),
        ("order", "Axle Parts"),
        ("order", "North Parts"),
    ]


def test_a_suppliers_page_holds_its_own_lines_alone() -> None:
    """Another supplier's part, price or name on it would be given away."""
    _, axle, north = sheets()
    assert [line["name"] for line in axle.tables["lines"]] == ["Shaft Of 118"]
    assert [line["suppliers_number"] for line in north.tables["lines"]] == ["N-SEAL"]
    told = repr(north)
    assert not any(word in told for word in ("AXLE", "Axle", "SHAFT", "61", "149.40", "155.00"))


def test_what_a_line_says_to_the_supplier() -> None:
    _, axle, north = sheets()
    assert row(north, "lines") == {
        "number": "1.",
        "suppliers_number": "N-SEAL",
        "name": "Seal",
        "new_or_used": "new original",
        "packs": 1,
        "pack": "of 4",
        "pack_cost": Decimal("6.40"),
        "amount": Decimal("6.40"),
        "note": "3 working days",
    }
    assert row(axle, "lines")["suppliers_number"] == "SHAFT"
    assert row(axle, "lines")["note"] == FINAL


def test_what_a_line_says_to_the_shop() -> None:
    """Numbered within the supplier's page above, by our own codes below the fold."""
    _, axle, north = sheets()
    assert row(north, "shop_lines") == {
        "part": "SEAL",
        "name": "Seal",
        "jobs": "117: 1",
        "needed": Decimal(1),
        "left_over": Decimal(3),
        "arrives": "Dec 1, 2026",
        "received": None,
    }
    assert (row(axle, "shop_lines")["arrives"], row(axle, "shop_lines")["left_over"]) == ("not known", "")


def test_the_head_of_a_page() -> None:
    _, axle, north = sheets()
    values = {name: plain(value) for name, value in axle.values.items()}
    assert values["shop_contact"] == "1 Road   555   License EX-1"
    said = (values["order_number"], values["order_date"], values["needed_by"])
    assert said == (7, "November 26, 2026", "December 4, 2026")
    assert (values["goods"], values["freight"], values["total"]) == (Decimal(122), Decimal("14.50"), Decimal("136.50"))
    assert values["note"] == "Please tell us at once if a part comes later than that day."
    assert (north.values["needed_by"], north.values["note"], north.values["our_jobs"]) == ("", "", "117")


def test_money_takes_the_shops_form() -> None:
    shown = sheets()[1].values["total"]
    assert isinstance(shown, Shown) and "$" in shown.format


def test_the_shops_page() -> None:
    summary = sheets(notes=["Job 118 needs SHAFT."])[0]
    values = {name: plain(value) for name, value in summary.values.items()}
    assert (values["landed"], values["usual"], values["saved"], values["bound"]) == (
        Decimal("149.40"),
        Decimal("155.00"),
        Decimal("5.60"),
        Decimal("149.40"),
    )
    assert values["proof"] == "Proved."
    assert str(values["note"]).splitlines() == [
        "Axle Parts: $78.00 short of free freight.",
        "Parts of job 118 are needed by December 4, 2026.",
        "Job 118 needs SHAFT.",
    ]
    assert [row(summary, "suppliers", place)["total"] for place in (0, 1)] == [Decimal("136.50"), Decimal("12.90")]
    assert row(summary, "shelf") == {"part": "COTTER", "name": "Cotter", "job": "117", "quantity": Decimal(6)}
    assert row(summary, "left_over") == {
        "part": "SEAL",
        "name": "Seal",
        "quantity": Decimal(3),
        "note": "from NORTH",
    }
    assert row(summary, "final") == {"part": "SHAFT of 118", "name": "Shaft Of 118", "supplier": "AXLE"}


def test_what_is_bought_elsewhere_is_said_to_the_shop_alone() -> None:
    summary, north = sheets(an_order(a_line(instead_of="AXLE")), suppliers=(a_supplier_order("NORTH", "6.40"),))
    assert "Bought from NORTH, instead of AXLE: Seal (SEAL)." in str(summary.values["note"]).splitlines()
    assert "AXLE" not in repr(north)


def test_where_the_usual_suppliers_cannot_be_it_says_why() -> None:
    summary = sheets(usual=None, usual_why="SEAL from NORTH comes too late")[0]
    assert (summary.values["usual"], summary.values["saved"]) == ("", "")
    assert str(summary.values["note"]).startswith(
        "Each part at its usual supplier can't be: SEAL from NORTH comes too late."
    )


def test_an_order_of_the_shelf_alone_has_one_page() -> None:
    only = an_order(shelf=[a_take("COTTER", 6)])
    (summary,) = sheets(only, suppliers=(), usual=Decimal(0), landed=Decimal(0), bound=Decimal(0), needed_by={})
    assert (summary.tables["suppliers"], summary.values["note"]) == ([], "")


def test_a_cost_nobody_typed_is_left_blank() -> None:
    unknown = a_line("PLATE of 117", code="ONEOFF-1", pack_cost=Decimal(0), cost_known=False, suppliers_number="")
    north = sheets(an_order(unknown), suppliers=(a_supplier_order("NORTH", "0"),))[1]
    assert (row(north, "lines")["pack_cost"], row(north, "lines")["amount"]) == ("", "")


def test_only_a_supplier_that_charges_freight_is_short_of_free_freight() -> None:
    suppliers = (a_supplier_order("AXLE", "199.99"), a_supplier_order("NORTH", "10"), a_supplier_order("VALLEY", "10"))
    order = an_order(SEALS, suppliers=suppliers)
    terms = {
        "AXLE": a_supplier("AXLE", freight=Decimal(9), free_freight_from=Decimal(200)),
        "NORTH": a_supplier("NORTH", freight=Decimal(9), free_freight_from=Decimal(10)),
    }
    assert [(one.supplier, gap) for one, gap in short_of_free_freight(order, terms)] == [("AXLE", Decimal("0.01"))]
