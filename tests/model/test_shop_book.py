"""The shop book as records: defaults that the design names, and the look-ups."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, is_dataclass
from decimal import Decimal

import pytest

from quotekit.model import job, quote, shop_book
from quotekit.model.shop_book import DEFAULT_TIERS, SEVERITIES, Settings
from tests import build

ZERO = Decimal(0)


def test_settings_that_have_no_default() -> None:
    """Shop name, Currency and Minimum labour hours have none."""
    with pytest.raises(TypeError, match=r"shop_name.*currency.*minimum_labour_hours"):
        Settings()  # type: ignore[call-arg]


def test_defaults_of_the_shop_settings() -> None:
    """DESIGN.md 3.1, in its order."""
    shop = build.settings()
    assert (shop.language, shop.hours_step) == ("en_US", Decimal("0.1"))
    assert (shop.supplies_percent_of_labour, shop.supplies_cap, shop.supplies_shown_as) == (ZERO, None, "amount")
    assert (shop.sublet_markup, shop.freight_to_customer) == (ZERO, "none")
    assert (shop.inspection_fee, shop.inspection_fee_credited) == (ZERO, "never")
    assert (shop.prices_shown, shop.labour_shown, shop.tax_rounding) == ("before tax", "in total", "invoice")
    assert (shop.show_hours, shop.quote_valid_days, shop.price_age_limit_days, shop.queue_days) == (False, 30, 90, 0)
    assert (shop.deposit_on_ordered_parts, shop.deposit_on_non_returnable_parts) == (ZERO, ZERO)
    assert (shop.years_to_compare, shop.interest_a_year) == (Decimal(5), ZERO)
    assert (shop.call_when_over_percent, shop.call_when_over_amount) == (ZERO, ZERO)
    assert (shop.call_when_over, shop.call_compares) == ("the lesser", "with tax")


def test_tiers_of_a_shop_without_a_tiers_sheet() -> None:
    """Good covers safety and needed; better and best cover advised too."""
    good, better, best = DEFAULT_TIERS
    assert (good.tier, good.aim) == ("Put right", "lowest price")
    assert good.covers == {"safety", "needed"}
    assert (better.tier, better.aim) == ("Put right and prevent", "least to own")
    assert (best.tier, best.aim) == ("Made to last", "longest life")
    assert better.covers == best.covers == {"safety", "needed", "advised"}


def test_severities_from_the_gravest() -> None:
    assert SEVERITIES == ("safety", "needed", "advised", "watch")


def test_defaults_of_rows() -> None:
    """A blank Each side and Slowed by rust are No, a blank Returnable is Yes, positions are left and right."""
    operation, part, machine = build.an_operation("A"), build.a_part("P"), build.a_machine()
    assert not operation.each_side
    assert not operation.slowed_by_rust
    assert part.returnable
    assert part.taxed_as is None
    assert machine.positions == ("left", "right")


def test_remedies_of_a_finding_in_the_order_of_the_sheet() -> None:
    book = build.a_book(
        remedies=[
            build.a_remedy("SECOND", ["WORN"], ["A"]),
            build.a_remedy("FIRST", ["WORN", "LOOSE"], ["A"]),
            build.a_remedy("OTHER", ["LOOSE"], ["A"]),
        ]
    )
    assert [remedy.code for remedy in book.remedies_by_finding["WORN"]] == ["SECOND", "FIRST"]
    assert [remedy.code for remedy in book.remedies_by_finding["LOOSE"]] == ["FIRST", "OTHER"]
    assert "SOUND" not in book.remedies_by_finding


def test_rows_of_parts_used_and_of_limits_by_their_code() -> None:
    rows = [build.a_part_used("FIT", "A"), build.a_part_used("OPEN", "B"), build.a_part_used("FIT", "C", 2)]
    limits = [build.fits_only_if("BUSH", "WORN", 1), build.fits_only_if("BUSH", "BENT", to=2)]
    book = build.a_book(parts_used=rows, fits_only_if=limits)
    assert [row.part for row in book.parts_used_by["FIT"]] == ["A", "C"]
    assert [limit.finding for limit in book.limits_of["BUSH"]] == ["WORN", "BENT"]


def test_a_missing_sheet_is_not_an_empty_one() -> None:
    """Without Machines or Suppliers a class or supplier is free text."""
    plain = shop_book.ShopBook(
        settings=build.settings(), labour_rates=(), operations={}, parts={}, markup=(), findings={}, remedies={}
    )
    assert plain.machines is None
    assert plain.suppliers is None
    assert plain.tiers is DEFAULT_TIERS


@pytest.mark.parametrize("module", [shop_book, job, quote])
def test_every_record_is_frozen_and_keyword_only(module: object) -> None:
    """Nouns that nobody changes after they were read."""
    records = [one for one in vars(module).values() if isinstance(one, type) and is_dataclass(one)]
    assert records
    for record in records:
        with pytest.raises(FrozenInstanceError):
            object.__new__(record).code = ""  # type: ignore[attr-defined]
        assert all(field.kw_only for field in fields(record)), record


def test_a_record_refuses_a_change() -> None:
    with pytest.raises(FrozenInstanceError):
        build.a_part("P").pack_cost = Decimal(1)  # type: ignore[misc]
