"""Who pays for shared work (DESIGN.md 5.6): equal parts among those that need it, and no cent lost."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.pricing.shares import shares_of, upgrade_items, users_of
from tests import build
from tests.pricing.priced import Priced, plain, price


def shares(found: Priced) -> dict[str, list[str]]:
    """Hours, labour, parts and sublet of each item."""
    users = users_of(found.basis, found.charges.work)
    return {
        share.item: [plain(share.hours), *(str(amount) for amount in (share.labour, share.parts, share.sublet))]
        for share in shares_of(found.basis, found.charges, users)
    }


def labour(found: Priced) -> dict[str, list[str]]:
    """Hours and labour of each item."""
    return {item: share[:2] for item, share in shares(found).items()}


def shop(**values: Any) -> ShopBook:
    """A cover of half an hour; three operations behind it."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER", "0.2", "0.3"), build.a_step("HUB", "0.2", "0.4", needs=["COVER"])],
        "operations": [
            build.an_operation("BELT", "0.4", access=["COVER"]),
            build.an_operation("BUSH", "0.8", access=["COVER"]),
            build.an_operation("SEAL", "1", access=["HUB"]),
            build.an_operation("WASH", "0.3"),
        ],
    }
    return build.a_book(**(named | values))


def test_each_item_that_needs_a_step_pays_an_equal_part() -> None:
    """COVER 0.5 in two: 0.65 and 1.05 hours of 170."""
    assert labour(price(shop(), "BELT", "BUSH")) == {"BELT": ["0.65", "65.00"], "BUSH": ["1.05", "105.00"]}


def test_a_step_that_only_one_needs_is_its_own() -> None:
    """COVER 0.5 in three is 1/6 each; HUB 0.6 is the seal's: 0.5667, 0.9667, 1.7667 of 3.3 hours at 100."""
    assert labour(price(shop(), "BELT", "BUSH", "SEAL")) == {
        "BELT": ["0.5667", "56.67"],
        "BUSH": ["0.9667", "96.67"],
        "SEAL": ["1.7667", "176.66"],
    }


def test_who_needs_no_access_pays_none() -> None:
    """BELT 0.4 + 0.5, WASH 0.3."""
    assert labour(price(shop(), "BELT", "WASH")) == {"BELT": ["0.9", "90.00"], "WASH": ["0.3", "30.00"]}


def test_rounding_up_is_spread_by_exact_hours() -> None:
    """0.41 + 0.5 = 0.91 and 0.3: 1.21, billed 1.3 = 130: 97.768... and 32.231..."""
    book = shop(operations=[build.an_operation("BELT", "0.41", access=["COVER"]), build.an_operation("WASH", "0.3")])
    assert labour(price(book, "BELT", "WASH")) == {"BELT": ["0.91", "97.77"], "WASH": ["0.3", "32.23"]}


def test_ties_go_to_the_earlier_item() -> None:
    """Three equal shares of 100 cents."""
    operations = [build.an_operation(code, "0.1", access=["COVER"]) for code in ("C", "A", "B")]
    book = shop(operations=operations, access=[build.a_step("COVER", "0.7", 0)], labour_rates=[build.a_rate(rate=1)])
    assert {item: share[1] for item, share in labour(price(book, "B", "C", "A")).items()} == {
        "A": "0.34",
        "B": "0.33",
        "C": "0.33",
    }


def test_an_operation_two_items_bring_is_split() -> None:
    """BUSH and SEAL both require ALIGN of 0.6: 0.3 each."""
    operations = [
        build.an_operation("BUSH", "0.8", requires=["ALIGN"]),
        build.an_operation("SEAL", "1", requires=["ALIGN"]),
        build.an_operation("ALIGN", "0.6", parts="SHIM", sublet_cost=20),
    ]
    book = shop(operations=operations, parts=[build.a_part("SHIM", 10)])
    assert shares(price(book, "BUSH", "SEAL")) == {
        "BUSH": ["1.1", "110.00", "7.50", "10.00"],
        "SEAL": ["1.3", "130.00", "7.50", "10.00"],
    }


def test_a_single_use_part_of_a_step_is_split_like_the_step() -> None:
    """A gasket of 15.01 in two: the earlier pays the odd cent."""
    book = shop(
        access=[build.a_step("COVER", parts="GASKET")],
        operations=[build.an_operation(code, access=["COVER"]) for code in ("BELT", "BUSH")],
        parts=[build.a_part("GASKET", fixed_price_each="15.01")],
    )
    assert {item: share[2] for item, share in shares(price(book, "BUSH", "BELT")).items()} == {
        "BELT": "7.51",
        "BUSH": "7.50",
    }


def test_always_work_is_shared_by_all() -> None:
    """TEST of 0.4 opens the cover that only BELT needs otherwise: both the test and the cover are everyone's."""
    book = shop(
        machines=[build.a_machine(always=["TEST"])],
        operations=[
            build.an_operation("TEST", "0.4", access=["COVER"]),
            build.an_operation("BELT", "0.4", access=["COVER"]),
            build.an_operation("WASH", "0.3"),
        ],
    )
    assert labour(price(book, "BELT", "WASH")) == {"BELT": ["0.85", "85.00"], "WASH": ["0.75", "75.00"]}


def test_the_allowance_goes_by_the_hours_slowed_by_rust() -> None:
    """BELT 0.4 is not slowed; BUSH 0.8 is, by a quarter: 0.2. Billed 1.4 hours."""
    operations = [build.an_operation("BELT", "0.4"), build.an_operation("BUSH", "0.8", slowed_by_rust=True)]
    book = shop(operations=operations, conditions=[build.a_condition("RUSTY", "0.25")])
    found = price(book, "BELT", "BUSH", job=build.a_job(condition="RUSTY"))
    assert labour(found) == {"BELT": ["0.4", "40.00"], "BUSH": ["1", "100.00"]}


def test_hours_are_before_hours_off_and_rounding_but_money_is_after() -> None:
    """BELT 0.9 and WASH 0.3 with 0.6 off: 60 by three to one."""
    book = shop(
        remedies=[build.a_remedy("R-BELT", ["FRAYED"], ["BELT"]), build.a_remedy("R-WASH", ["DIRTY"], ["WASH"])],
        bundles=[build.a_bundle("PAIR", ["R-BELT", "R-WASH"], "hours off", "0.6")],
    )
    assert labour(price(book, "R-BELT", "R-WASH")) == {"R-BELT": ["0.9", "45.00"], "R-WASH": ["0.3", "15.00"]}


def test_the_minimum_line_is_split_by_all_hours() -> None:
    """0.9 and 0.3 of 1.2 hours; 0.8 to the minimum of 2 = 80: 60 and 20 on top of 90 and 30."""
    book = shop(settings=build.settings(minimum_labour_hours=2))
    assert labour(price(book, "BELT", "WASH")) == {"BELT": ["0.9", "150.00"], "WASH": ["0.3", "50.00"]}


def test_each_labour_line_is_split_by_its_own_hours() -> None:
    """BELT behind a MAIN cover with JOIN at WELD: the cover is halved, WELD is all of JOIN's."""
    book = shop(
        labour_rates=[build.a_rate(), build.a_rate("WELD", 200)],
        operations=[
            build.an_operation("BELT", "0.4", access=["COVER"]),
            build.an_operation("JOIN", "0.5", labour="WELD", access=["COVER"]),
        ],
    )
    assert labour(price(book, "BELT", "JOIN")) == {"BELT": ["0.65", "65.00"], "JOIN": ["0.75", "125.00"]}


def test_part_lines_are_split_by_quantities_before_kits() -> None:
    """Three and one of a seal; a kit of the first takes two off: the line of two is split three to one."""
    book = shop(
        operations=[build.an_operation("A", parts="SEAL x 3; KIT"), build.an_operation("B", parts="SEAL")],
        parts=[build.a_part("SEAL", 8), build.a_part("KIT", 10, contains="SEAL x 2")],
    )
    assert {item: share[2] for item, share in shares(price(book, "A", "B")).items()} == {"A": "33.00", "B": "6.00"}


def test_an_item_done_by_larger_work_has_a_share_of_zero() -> None:
    operations = [build.an_operation("BIG", 2, includes=["SMALL"]), build.an_operation("SMALL", 1)]
    assert labour(price(shop(operations=operations), "BIG", "SMALL")) == {
        "BIG": ["2", "200.00"],
        "SMALL": ["0", "0.00"],
    }


def test_one_off_lines_share_the_access_they_name() -> None:
    """Half of the cover each; the part and the sublet line are their own."""
    lines = [
        build.a_one_off(1, "labour", "0.5", access=["COVER"]),
        build.a_one_off(2, "part", 2, unit_price=7),
        build.a_one_off(3, "sublet", 1, unit_price=30),
    ]
    found = price(shop(), "BELT", "ONEOFF-1", "ONEOFF-2", "ONEOFF-3", job=build.a_job(one_off=lines))
    found_shares = {item: [share[0], *(plain(amount) for amount in share[1:])] for item, share in shares(found).items()}
    assert found_shares == {
        "BELT": ["0.65", "65", "0", "0"],
        "ONEOFF-1": ["0.75", "75", "0", "0"],
        "ONEOFF-2": ["0", "0", "14", "0"],
        "ONEOFF-3": ["0", "0", "0", "30"],
    }


def test_the_amount_of_a_share_is_labour_parts_and_sublet() -> None:
    """100 + 15 + 20."""
    book = shop(operations=[build.an_operation("FIT", 1, parts="P", sublet_cost=20)], parts=[build.a_part("P")])
    found = price(book, "FIT")
    (share,) = shares_of(found.basis, found.charges, users_of(found.basis, found.charges.work))
    assert str(share.amount) == "135.00"


def test_the_same_step_on_two_sides_is_two_steps() -> None:
    """Each bushing pays its own wheel: 0.8 + 0.5 and 0.6 + 0.5."""
    book = shop(
        access=[build.a_step("WHEEL", "0.2", "0.3", each_side=True)],
        operations=[build.an_operation("BUSH", "0.8", each_side=True, second_side_hours="0.6", access=["WHEEL"])],
    )
    assert labour(price(book, "BUSH@left", "BUSH@right")) == {
        "BUSH@left": ["1.3", "130.00"],
        "BUSH@right": ["1.1", "110.00"],
    }


def test_users_are_named_for_the_costing() -> None:
    found = price(shop(), "BELT", "SEAL")
    users = users_of(found.basis, found.charges.work)
    assert {key: set(names) for key, names in users.of_step.items()} == {"COVER": {"BELT", "SEAL"}, "HUB": {"SEAL"}}
    assert users.of_operation["SEAL"] == ("SEAL",)


@pytest.mark.parametrize(("kind", "keys"), [("upgrade", {"NEW"}), ("replace", set()), ("repair", set())])
def test_items_that_are_upgrades(kind: Any, keys: set[str]) -> None:
    book = shop(remedies=[build.a_remedy("NEW", ["WORN"], ["BELT"], kind=kind)])
    assert upgrade_items(price(book, "NEW", "WASH").charges.work.items) == keys
