"""Parts of a set of work: quantities, kits, packs and amounts (DESIGN.md 5.2 step 6, 5.4 and 5.9), by hand."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import Part, ShopBook
from quotekit.pricing.parts import cost_of_part
from tests import build
from tests.pricing.priced import Priced, plain, price


def shop(parts: list[Part], **values: Any) -> ShopBook:
    """A book with these parts; every price is cost and a half."""
    return build.a_book(parts=parts, **values)


def lines(found: Priced) -> dict[str, list[str]]:
    """Quantity, packs, unit price and amount of each part line."""
    return {
        line.code: [plain(line.quantity), str(line.packs), str(line.unit_price), str(line.amount)]
        for line in found.charges.parts
    }


def used(parts: str, *records: Part, job: Job | None = None, **values: Any) -> dict[str, list[str]]:
    """Part lines of one operation that uses a quantity list."""
    book = shop(list(records), operations=[build.an_operation("FIT", parts=parts)], **values)
    return lines(price(book, "FIT", job=job))


def test_units_are_priced_and_whole_packs_are_bought() -> None:
    """Five of a pack of four at 12: 3 each, 4.50 sold; 22.50 for five, two packs to buy."""
    assert used("BUSH x 5", build.a_part("BUSH", 12, 4)) == {"BUSH": ["5", "2", "4.50", "22.50"]}


def test_the_amount_is_the_rounded_price_by_the_quantity_rounded() -> None:
    """10/3 x 1.5 = 5.00 each; 0.333 of it is 1.665, so 1.67."""
    assert used("OIL x 0.333", build.a_part("OIL", 10, 3)) == {"OIL": ["0.333", "1", "5.00", "1.67"]}


def test_packs_are_rounded_up_per_part_over_the_whole_job() -> None:
    """Two operations use 3 screws each of a pack of four: 6, so 2 packs and not 1 and 1."""
    operations = [build.an_operation(code, parts="SCREW x 3") for code in ("A", "B")]
    book = shop([build.a_part("SCREW", 2, 4)], operations=operations)
    assert lines(price(book, "A", "B")) == {"SCREW": ["6", "2", "0.75", "4.50"]}
    assert lines(price(book, "A"))["SCREW"][:2] == ["3", "1"]


def test_an_operation_on_two_sides_brings_its_parts_twice() -> None:
    """A quantity list counts for each side."""
    operations = [build.an_operation("FIT", each_side=True, parts="BUSH x 2")]
    book = shop([build.a_part("BUSH", 12, 4)], operations=operations)
    assert lines(price(book, "FIT@left", "FIT@right")) == {"BUSH": ["4", "1", "4.50", "18.00"]}


def test_a_single_use_part_of_a_step_comes_once() -> None:
    """Two operations behind one cover need one gasket; an each-side step brings one for each side."""
    steps = [build.a_step("COVER", parts="GASKET"), build.a_step("HUB", each_side=True, parts="PIN x 2")]
    operations = [
        build.an_operation("A", access=["COVER"]),
        build.an_operation("B", access=["COVER", "HUB"], each_side=True),
    ]
    book = shop([build.a_part("GASKET"), build.a_part("PIN", 1)], access=steps, operations=operations)
    found = lines(price(book, "A", "B@left", "B@right"))
    assert found == {"GASKET": ["1", "1", "15.00", "15.00"], "PIN": ["4", "4", "1.50", "6.00"]}


def test_a_superseded_part_is_the_final_one_with_its_companions() -> None:
    """OLD is now NEW, and each NEW needs two bolts."""
    parts = [
        build.a_part("OLD", 5, replaced_by="NEW"),
        build.a_part("NEW", 8, also_needs="BOLT x 2"),
        build.a_part("BOLT", 1),
    ]
    assert used("OLD x 2", *parts) == {"BOLT": ["4", "4", "1.50", "6.00"], "NEW": ["2", "2", "12.00", "24.00"]}


KIT = build.a_part("KIT", 20, contains="SEAL x 2; GASKET")
SEAL, GASKET = build.a_part("SEAL", 4), build.a_part("GASKET", 6)


@pytest.mark.parametrize(
    ("uses", "left"),
    [
        ("KIT; SEAL x 3; GASKET", {"KIT": "1", "SEAL": "1"}),
        ("KIT; SEAL; GASKET", {"KIT": "1"}),
        ("KIT; SEAL x 2", {"KIT": "1"}),
        ("KIT x 2; SEAL x 3; GASKET x 3", {"GASKET": "1", "KIT": "2"}),
        ("SEAL x 3; GASKET", {"GASKET": "1", "SEAL": "3"}),
        ("KIT x 0.5; SEAL x 3", {"KIT": "0.5", "SEAL": "2"}),
    ],
)
def test_a_kit_takes_off_what_it_contains_never_below_zero(uses: str, left: dict[str, str]) -> None:
    found = used(uses, KIT, SEAL, GASKET)
    assert {code: line[0] for code, line in found.items()} == left


def test_two_kits_take_off_by_the_quantities_before_any_kit() -> None:
    """FULL holds three seals, KIT two: of six seals one is left, whichever kit comes first."""
    full = build.a_part("FULL", 30, contains="SEAL x 3")
    found = used("FULL; KIT; SEAL x 6", KIT, SEAL, GASKET, full)
    assert {code: line[0] for code, line in found.items()} == {"FULL": "1", "KIT": "1", "SEAL": "1"}


def test_what_a_kit_contains_is_read_from_final_parts() -> None:
    """OLD-KIT is now KIT, which contains OLD-SEAL, now SEAL."""
    parts = [
        build.a_part("OLD-KIT", 9, contains="GASKET", replaced_by="KIT"),
        build.a_part("KIT", 20, contains="OLD-SEAL x 2"),
        build.a_part("OLD-SEAL", 4, replaced_by="SEAL"),
    ]
    found = used("OLD-KIT; OLD-SEAL x 3; GASKET", *parts, SEAL, GASKET)
    assert {code: line[0] for code, line in found.items()} == {"GASKET": "1", "KIT": "1", "SEAL": "1"}


def test_a_companion_inside_a_kit_is_taken_off_too() -> None:
    """Each PUMP needs a seal; the kit has it."""
    pump = build.a_part("PUMP", 50, also_needs="SEAL")
    found = used("PUMP; KIT", KIT, SEAL, GASKET, pump)
    assert list(found) == ["KIT", "PUMP"]


def test_left_and_right_are_different_numbers_at_different_prices() -> None:
    """Parts used says which bearing goes where: 15.00 left, 18.00 right."""
    rows = [
        build.a_part_used("FIT", "B-LEFT", sides=("left",)),
        build.a_part_used("FIT", "B-RIGHT", sides=("right",)),
        build.a_part_used("FIT", "CLIP", 2),
    ]
    parts = [build.a_part("B-LEFT", 10), build.a_part("B-RIGHT", 12), build.a_part("CLIP", 1)]
    book = shop(parts, operations=[build.an_operation("FIT", each_side=True)], parts_used=rows)
    left, both = lines(price(book, "FIT@left")), lines(price(book, "FIT@left", "FIT@right"))
    assert left == {"B-LEFT": ["1", "1", "15.00", "15.00"], "CLIP": ["2", "2", "1.50", "3.00"]}
    assert both["B-RIGHT"] == ["1", "1", "18.00", "18.00"]
    assert both["CLIP"][0] == "4"


def test_own_parts_are_fitted_not_charged_and_not_ordered() -> None:
    """The customer brings the pump under its old number; the seal that goes with it is charged."""
    parts = [
        build.a_part("OLD", 40, replaced_by="PUMP"),
        build.a_part("PUMP", 50, also_needs="SEAL", core_charge=9),
        SEAL,
    ]
    job = build.a_job(own_parts=("OLD",), old_parts="keep")
    found = used("PUMP", *parts, job=job)
    assert found == {"PUMP": ["1", "0", "0.00", "0.00"], "SEAL": ["1", "1", "6.00", "6.00"]}


@pytest.mark.parametrize(
    ("old_parts", "core"), [("keep", "37.50"), ("show", "0.00"), ("dispose", "0.00"), (None, "0.00")]
)
def test_core_charge_where_the_customer_keeps_the_old_parts(old_parts: str | None, core: str) -> None:
    """Three units used at 12.50."""
    book = shop(
        [build.a_part("PUMP", 50, 2, core_charge="12.50")], operations=[build.an_operation("FIT", parts="PUMP x 3")]
    )
    (line,) = price(book, "FIT", job=build.a_job(old_parts=old_parts)).charges.parts
    assert str(line.core) == core


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({"unit_cost": "7.50"}, ["2", "2", "11.25", "22.50"]),
        ({"unit_cost": "7.50", "unit_price": "9.99"}, ["2", "2", "9.99", "19.98"]),
        ({"unit_price": "9.99"}, ["2", "2", "9.99", "19.98"]),
    ],
)
def test_a_one_off_part_is_a_pack_of_one_at_its_price_or_marked_up(values: dict[str, str], expected: list[str]) -> None:
    """7.50 x 1.5 = 11.25."""
    job = build.a_job(one_off=[build.a_one_off(1, "part", 2, **values)])
    assert lines(price(shop([]), "ONEOFF-1", job=job)) == {"ONEOFF-1": expected}


def test_a_one_off_part_of_two_and_a_half_takes_three_packs() -> None:
    job = build.a_job(one_off=[build.a_one_off(1, "part", "2.5", unit_cost=4)])
    assert lines(price(shop([]), "ONEOFF-1", job=job)) == {"ONEOFF-1": ["2.5", "3", "6.00", "15.00"]}


@pytest.mark.parametrize(("quantity", "cost"), [("1", "3.33"), ("2", "6.67"), ("3", "10.00")])
def test_cost_of_the_job_counts_units_used(quantity: str, cost: str) -> None:
    """round(10/3 x quantity): the pack costs 10."""
    book = shop([build.a_part("CLIP", 10, 3)], operations=[build.an_operation("FIT", parts=f"CLIP x {quantity}")])
    (line,) = price(book, "FIT").charges.parts
    assert str(cost_of_part(line, 2)) == cost


def test_parts_of_work_done_by_larger_work_do_not_come() -> None:
    """Neither those of the dropped operation nor the remedy's own."""
    book = shop(
        [SEAL, GASKET],
        operations=[build.an_operation("REBUILD", includes=["SEAL"]), build.an_operation("SEAL", parts="SEAL")],
        remedies=[build.a_remedy("SEALED", ["LEAKS"], ["SEAL"], parts="GASKET")],
    )
    assert lines(price(book, "REBUILD", "SEALED")) == {}


def test_lines_are_in_text_order_of_their_codes() -> None:
    assert list(used("SEAL; KIT; GASKET x 9", KIT, SEAL, GASKET)) == ["GASKET", "KIT"]
