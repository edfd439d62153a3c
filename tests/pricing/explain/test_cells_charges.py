"""Charges asked for one by one: each worked out by hand, and the numbers each of them reads.

FIT is half an hour behind a cover of half an hour, 100.00, with two seals at 15.00 and two more from a kit.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal as D
from decimal import localcontext
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.explain.cells_charges import LateCharges, without
from tests import build
from tests.pricing.explain.cells_by_name import by_stage, late, numbers_of
from tests.pricing.explain.small import a_shop, job_of

HOURS = {"FIT: Net hours", "COVER: Hours to open"}
PRICE = {"SEAL: Pack cost", "0: Markup"}


def a_bench(**values: Any) -> ShopBook:
    named: dict[str, Any] = {
        "settings": build.settings(supplies_percent_of_labour="0.1", freight_to_customer="this job alone"),
        "operations": [build.an_operation("FIT", "0.5", access=["COVER"], parts="SEAL x 2", sublet_cost=40)],
        "parts": [build.a_part("SEAL", 10, core_charge=6)],
        "suppliers": [build.a_supplier(freight=7)],
        "fees": [build.a_fee("BIN", 3)],
    }
    return a_shop(**(named | values))


def charges(book: ShopBook | None = None, **job: Any) -> LateCharges:
    """Charges of every remedy of the book together, and of the extras and lines that are asked for."""
    book = book or a_bench()
    setup = late(book, job_of(book, **({"fees": "BIN", "old_parts": "keep"} | job)))
    items = [*setup.candidates.items.values(), *setup.asked, *setup.one_offs]
    return setup.charges(lambda: items)


def read_by(found: LateCharges, ask: Callable[[LateCharges], Any]) -> set[str]:
    """The numbers that a charge reads, asked for by itself."""
    with localcontext(EXACT), found.seen.frame("asked") as reads:
        ask(found)
    return set(numbers_of(reads))


AMOUNTS: list[tuple[str, Callable[[LateCharges], Any], Any]] = [
    ("labour", lambda c: c.labour, {"MAIN": D("100.00")}),
    ("labour_total", lambda c: c.labour_total, D("100.00")),
    ("minimum", lambda c: c.minimum, D("0.00")),
    ("parts_total", lambda c: c.parts_total, D("30.00")),
    ("packs", lambda c: c.packs, {"SEAL": 2}),
    ("core", lambda c: c.parts[0].core, D("12.00")),
    ("sublet", lambda c: sum(c.sublet.values()), D("40.00")),
    ("supplies", lambda c: c.supplies, D("10.00")),
    ("fees", lambda c: [fee.amount for fee in c.fees], [D("3.00")]),
    ("freight", lambda c: sum(c.freight.values()), D("7.00")),
    ("savings", lambda c: c.savings, []),
    ("total", lambda c: c.total, D("202.00")),
]


@pytest.mark.parametrize(("name", "ask", "value"), AMOUNTS, ids=[each[0] for each in AMOUNTS])
def test_a_charge_by_itself(name: str, ask: Callable[[LateCharges], Any], value: Any) -> None:
    """100 + 30 + 12 of cores + 40 sent out + 10 of supplies + 3 + 7 of freight are 202.00."""
    with localcontext(EXACT):
        assert ask(charges()) == value


@pytest.mark.parametrize(
    ("ask", "reads", "not_read"),
    [
        (lambda c: c.work, set(), HOURS | PRICE),
        (lambda c: c.users, set(), HOURS | PRICE),
        (lambda c: c.hours, HOURS, PRICE | {"MAIN: Rate per hour"}),
        (lambda c: c.labour, HOURS | {"MAIN: Rate per hour"}, PRICE),
        (lambda c: c.quantities, set(), HOURS | PRICE | {"SEAL: Pack quantity"}),
        (lambda c: c.parts, set(), HOURS | PRICE),
        (lambda c: c.packs, {"SEAL: Pack quantity"}, HOURS | PRICE),
        (lambda c: c.parts_total, PRICE, HOURS | {"SEAL: Core charge"}),
        (lambda c: c.parts[0].core, {"SEAL: Core charge", "Old parts"}, HOURS | PRICE),
        (lambda c: c.parts[0].pack_cost, {"SEAL: Pack cost"}, HOURS | {"0: Markup"}),
        (lambda c: c.sublet, {"FIT: Sublet cost", "Sublet markup"}, HOURS | PRICE),
        (lambda c: c.supplies, HOURS | {"Supplies percent of labour"}, PRICE),
        (lambda c: c.fees, {"BIN: Amount"}, HOURS | PRICE),
        (lambda c: c.freight, {"NORTH: Freight", "SEAL: Pack cost"}, HOURS | {"0: Markup"}),
        (lambda c: c.savings, {"Discount percent"}, HOURS | PRICE),
        (lambda c: c.total, HOURS | PRICE | {"BIN: Amount", "NORTH: Freight", "SEAL: Core charge"}, {"Inspection fee"}),
    ],
    ids=(
        "work users hours labour quantities parts packs prices core cost sublet supplies fees freight savings total"
    ).split(),
)  # fmt: skip
def test_a_charge_reads_what_it_needs(ask: Callable[[LateCharges], Any], reads: set[str], not_read: set[str]) -> None:
    """Where nothing is taken off, savings read neither labour nor parts."""
    found = read_by(charges(), ask)
    assert reads <= found and not not_read & found


def test_charges_that_are_switched_off_read_no_labour_and_no_order() -> None:
    off = build.settings(supplies_percent_of_labour="0.1", supplies_shown_as="off")
    found = charges(a_bench(settings=off))
    assert read_by(found, lambda c: c.supplies) & (HOURS | PRICE) == set()
    assert read_by(found, lambda c: c.freight) == {"Freight to customer"}
    with localcontext(EXACT):
        assert (found.supplies, found.freight) == (D("0.00"), {})


def test_what_a_kit_holds_is_not_charged_again() -> None:
    """The kit brings one seal of the two; the other is bought. A kit that holds more takes no more than is used."""
    for held, bought, kits in (("SEAL", 1, 1), ("SEAL x 5", None, None), ("SEAL x 2", None, None)):
        parts = [build.a_part("SEAL", 10), build.a_part("KIT", 20, contains=held)]
        book = a_bench(parts=parts, operations=[build.an_operation("FIT", "0.5", parts="SEAL x 2; KIT")], access=[])
        with localcontext(EXACT):
            lines = {line.code: line for line in charges(book).parts}
            assert lines["KIT"].quantity == 1
            if bought is None:
                assert "SEAL" not in lines
            else:
                assert (lines["SEAL"].quantity, lines["SEAL"].from_kits) == (bought, kits)


def test_the_customers_own_part_is_charged_nothing_and_bought_from_nobody() -> None:
    with localcontext(EXACT):
        (own,) = charges(own_parts=["SEAL"]).parts
        assert (own.own, own.packs, own.unit_price, own.amount, own.core) == (True, 0, D("0.00"), D("0.00"), D("0.00"))
        assert own.supplier == "" and own.quantity == 2
        (bought,) = charges().parts
        assert (bought.own, bought.packs, bought.unit_price, bought.amount) == (False, 2, D("15.00"), D("30.00"))
        assert (bought.supplier, bought.taxed_as, bought.pack_cost) == ("NORTH", "parts", D(10))


def test_packs_are_whole_and_the_amount_is_of_what_is_used() -> None:
    """Two seals out of packs of five at 10.00: one pack is bought, 3.00 each and 6.00 are charged."""
    with localcontext(EXACT):
        (line,) = charges(a_bench(parts=[build.a_part("SEAL", 10, 5)])).parts
        assert (line.packs, line.unit_price, line.amount) == (1, D("3.00"), D("6.00"))


def test_lines_of_the_job_stand_among_the_parts_by_their_codes() -> None:
    lines = [
        build.a_one_off(1, "part", 2, unit_price=8),
        build.a_one_off(2, "labour", "0.5"),
        build.a_one_off(3, "charge", 1, unit_price=4),
    ]
    with localcontext(EXACT):
        found = charges(one_off=lines)
        assert [line.code for line in found.parts] == ["ONEOFF-1", "SEAL"]
        assert (found.parts[0].amount, found.parts_total) == (D("16.00"), D("46.00"))
        assert found.labour == {"MAIN": D("150.00")}
        assert sum(fee.amount for fee in found.fees) == D("7.00")


def test_a_discount_falls_on_labour_and_parts() -> None:
    """A tenth of 100.00 and of 30.00; a bundle first: 5.00 off labour leave 95.00, a tenth of it 9.50."""
    with localcontext(EXACT):
        plain = charges(discount_percent="0.1")
        assert [(saving.charge, saving.amount) for saving in plain.savings] == [
            ("labour", D("10.00")),
            ("parts", D("3.00")),
        ]
        assert plain.total == D("189.00"), "13.00 less than without"
        bundle = build.a_bundle("ONE", ["NEW"], "labour amount off", 5)
        both = charges(a_bench(bundles=[bundle]), discount_percent="0.1")
        assert [(saving.charge, saving.amount) for saving in both.savings] == [
            ("labour", D("5.00")),
            ("labour", D("9.50")),
            ("parts", D("3.00")),
        ]
        parts = build.a_bundle("ONE", ["NEW"], "percent off parts", "0.5")
        both = charges(a_bench(bundles=[parts]), discount_percent="0.1")
        assert [(saving.charge, saving.amount) for saving in both.savings] == [
            ("parts", D("15.00")),
            ("labour", D("10.00")),
            ("parts", D("1.50")),
        ]


@pytest.mark.parametrize(
    ("saving", "value", "reads", "not_read"),
    [
        ("labour amount off", 5, HOURS, PRICE),
        ("percent off parts", "0.5", PRICE, {"MAIN: Rate per hour"}),
        ("hours off", "0.1", {"ONE: From"}, {"MAIN: Rate per hour"} | PRICE),
    ],
)
def test_a_bundle_looks_only_at_what_it_is_taken_off(
    saving: str, value: Any, reads: set[str], not_read: set[str]
) -> None:
    book = a_bench(bundles=[build.a_bundle("ONE", ["NEW"], saving, value)])
    found = read_by(charges(book), lambda c: c.savings)
    assert reads <= found and not not_read & found


def test_the_minimum_is_what_is_missing_at_the_default_rate() -> None:
    """Two hours are the least; 1.0 is billed, so 100.00 more, and supplies are a tenth of both."""
    book = a_bench(settings=build.settings(minimum_labour_hours=2, supplies_percent_of_labour="0.1"))
    with localcontext(EXACT):
        found = charges(book)
        assert (found.minimum, found.labour_total, found.supplies) == (D("100.00"), D("200.00"), D("20.00"))


def test_a_remedy_by_itself_has_no_bundle_and_no_fee_of_the_job() -> None:
    """Alone it is what it costs in another job: 100 + 30 + 12 + 40 + 10 + 7, without the bin of this job."""
    book = a_bench(bundles=[build.a_bundle("ONE", ["NEW"], "labour amount off", 5)])
    setup = late(book, job_of(book, fees="BIN", old_parts="keep", discount_percent="0.1"))
    items = list(setup.candidates.items.values())
    with localcontext(EXACT):
        alone = LateCharges(setup.basis, lambda: items, lambda: setup.always, alone=True)
        assert (alone.bundles, alone.savings) == ([], [])
        assert alone.total == D("199.00")


def test_beside_a_tier_only_the_freight_that_comes_on_top_is_charged() -> None:
    """The order is placed already: one more item of the same supplier brings no second freight."""
    with localcontext(EXACT):
        own = charges()
        setup = late(a_bench(), job_of(a_bench(), fees="BIN"))
        more = setup.charges(lambda: list(setup.candidates.items.values()), own)
        assert more.freight == own.freight


def test_charges_may_be_left_out_of_account() -> None:
    """A rule that works out more than is asked of it reads nothing of what is left out."""
    found = charges()
    left = without(found, labour={}, parts=())
    assert (left.labour, left.parts) == ({}, ())
    with localcontext(EXACT):
        assert left.sublet == found.sublet and found.labour == {"MAIN": D("100.00")}


def test_the_names_of_the_stages() -> None:
    found = charges(discount_percent="0.1")
    with localcontext(EXACT), found.seen.frame("asked") as reads:
        assert found.total
    of_work = {"which work is present", "hours", "condition", "labour", "labour rates in force", "work in money"}
    of_goods = {"parts used", "prices of parts", "sublet", "savings", "supplies", "fees", "freight"}
    assert set(by_stage(reads)) == of_work | of_goods


def test_a_remedy_that_larger_work_does_in_passing_brings_no_parts() -> None:
    """Fitting a new one includes the wiping, so the rag of CLEANED is not used; by itself it is."""
    remedies = [build.a_remedy("NEW", ["WORN"], ["FIT"]), build.a_remedy("CLEANED", ["DIRTY"], ["WIPE"], parts="RAG")]
    values: dict[str, Any] = {
        "findings": [build.a_finding("WORN"), build.a_finding("DIRTY")],
        "remedies": remedies,
        "parts": [build.a_part("SEAL", 10), build.a_part("RAG", 1)],
        "access": [],
    }
    wipe = build.an_operation("WIPE", "0.1")
    larger = a_bench(operations=[build.an_operation("FIT", 1, parts="SEAL", includes=["WIPE"]), wipe], **values)
    apart = a_bench(operations=[build.an_operation("FIT", 1, parts="SEAL"), wipe], **values)
    with localcontext(EXACT):
        assert [line.code for line in charges(larger).parts] == ["SEAL"]
        assert [line.code for line in charges(apart).parts] == ["RAG", "SEAL"]
