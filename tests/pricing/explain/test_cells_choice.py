"""What each tier takes, and which cells decide that: rows where nothing is to be chosen, prices where something is.

HOURLY puts WORN right in an hour, 100.00, and lasts two years; NEW in half an hour with a shaft at 60.00, 110.00, and
lasts nine.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from decimal import localcontext
from fractions import Fraction
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.explain.cells_choice import CHOICE, LateSetup, Taken, what_tiers_take
from tests import build
from tests.pricing.explain.cells_by_name import assert_unnamed_leave_it, by_stage, late
from tests.pricing.explain.small import a_shop, job_of

HOURLY = build.a_remedy("HOURLY", ["WORN"], ["HOUR"], life_years=2)
NEW = build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=9)


def a_bench(**values: Any) -> ShopBook:
    named: dict[str, Any] = {
        "operations": [build.an_operation("HALF", "0.5"), build.an_operation("HOUR", 1)],
        "access": [],
        "parts": [build.a_part("SHAFT", 40)],
        "remedies": [HOURLY, NEW],
    }
    return a_shop(**(named | values))


def taken(book: ShopBook, job: Job | None = None, tier: str = "good") -> Taken:
    with localcontext(EXACT):
        found = what_tiers_take(late(book, job), tier)
    assert found is not None
    return found


def keys(found: Taken) -> list[str]:
    assert found.items is not None
    return [item.key for item in found.items]


def decides(found: Taken) -> set[str]:
    """Every cell that decided, at whatever rule."""
    return {cell for said in by_stage(found.reads).values() for cell in said.split("; ")}


PRICES = {"SHAFT: Pack cost", "0: Markup", "MAIN: Rate per hour", "HOUR: Net hours", "HALF: Net hours"}
LIVES = {"HOURLY: Life years", "NEW: Life years"}
NEEDS = {"HOURLY: Fixes", "WORN: Severity", "good: Covers"}


def test_the_stage_is_called_so() -> None:
    assert CHOICE == "which remedies are taken"
    assert CHOICE in taken(a_bench()).reads


def test_where_one_remedy_is_all_there_is_no_price_decides() -> None:
    found = taken(a_bench(remedies=[HOURLY]))
    assert keys(found) == ["HOURLY"]
    assert decides(found) >= NEEDS
    assert not decides(found) & (PRICES | LIVES | {"good: Aim"})


@pytest.mark.parametrize(
    ("aim", "takes", "lives"),
    [("lowest price", "HOURLY", False), ("longest life", "NEW", True), ("least to own", "NEW", True)],
)
def test_where_there_is_a_choice_prices_decide_and_lives_where_the_aim_asks(aim: str, takes: str, lives: bool) -> None:
    """100.00 today against 110.00; nine years against two; 110.00 against 300.00 over five years."""
    found = taken(a_bench(tiers=[build.a_tier("good", aim=aim)]))
    assert keys(found) == [takes]
    assert PRICES | NEEDS | {"good: Aim"} <= decides(found)
    assert not lives or decides(found) >= LIVES


def test_a_remedy_that_does_not_fit_leaves_no_choice() -> None:
    """NEW fits up to 2 only and 3 was measured: the measurement decides and its limit, and no price."""
    book = a_bench(
        findings=[build.a_finding("WORN", measure="gap", unit="mm", fails_when="above", limit=1)],
        fits_only_if=[build.fits_only_if("NEW", "WORN", to=2)],
    )
    job = build.a_job(build.found(book, "WORN", measured=3))
    found = taken(book, job)
    assert keys(found) == ["HOURLY"]
    assert "WORN: Measured" in decides(found) and "NEW: To" in decides(found)
    assert not decides(found) & PRICES


def test_a_plan_decides_by_its_rows() -> None:
    """The technician takes the dearer one: the plan's cells say so, and no price does."""
    book = a_bench()
    found = taken(book, job_of(book, plan=(build.a_plan_item("good", "NEW"),)))
    assert keys(found) == ["NEW"]
    assert {"NEW: Item", "NEW: Tier"} <= decides(found)
    assert not decides(found) & (PRICES | LIVES)


def test_a_tier_that_has_to_choose_by_lives_that_are_not_stated_takes_nothing() -> None:
    found = taken(
        a_bench(
            remedies=[HOURLY, build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=None)],
            tiers=[build.a_tier("good", aim="longest life")],
        )
    )
    assert found.items is None
    assert "NEW: Life years" in decides(found), "it is the blank cell that keeps it from being worked out"


def two_faults(*tiers: Any) -> ShopBook:
    """BENT is straightened in half an hour; WORN has its two remedies."""
    return a_bench(
        findings=[build.a_finding("WORN"), build.a_finding("BENT", "safety")],
        operations=[
            build.an_operation("HALF", "0.5"),
            build.an_operation("HOUR", 1),
            build.an_operation("PRESS", "0.5"),
        ],
        remedies=[HOURLY, NEW, build.a_remedy("BEND", ["BENT"], ["PRESS"])],
        tiers=[*tiers],
    )


LEAST, GOOD = build.a_tier("least", ["safety"]), build.a_tier("good", ["safety", "needed"])


def test_a_later_tier_hangs_on_what_the_earlier_ones_take() -> None:
    """It puts right all that the tier before does; the first hangs on no tier behind it."""
    book = two_faults(LEAST, GOOD)
    first, second = taken(book, tier="least"), taken(book)
    assert (keys(first), sorted(keys(second))) == (["BEND"], ["BEND", "HOURLY"])
    assert "least: Covers" in decides(second)
    assert "good: Covers" not in decides(first) and not decides(first) & PRICES
    assert decides(first) <= decides(second)


def test_what_the_tier_before_puts_right_is_put_right_though_it_is_not_covered() -> None:
    """`good` covers what is needed only; BENT was put right before and stays so."""
    book = two_faults(LEAST, build.a_tier("good", ["needed"]))
    assert sorted(keys(taken(book))) == ["BEND", "HOURLY"]
    assert keys(taken(two_faults(build.a_tier("good", ["needed"])))) == ["HOURLY"]


def test_a_tier_that_was_not_worked_out_passes_on_what_the_one_before_it_fixed() -> None:
    """The middle one has to choose by lives, and one is not stated."""
    middle = build.a_tier("middle", ["needed"], aim="longest life")
    book = two_faults(LEAST, middle, build.a_tier("good", []))
    remedies = {**book.remedies, "NEW": build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=None)}
    book = replace(book, remedies=remedies)
    assert taken(book, tier="middle").items is None
    assert keys(taken(book)) == ["BEND"]


def test_remedies_stand_in_the_order_of_their_codes_and_what_is_in_every_tier_after_them() -> None:
    book = two_faults(GOOD)
    job = job_of(book, one_off=[build.a_one_off(1)])
    single = a_bench(
        findings=[build.a_finding("WORN"), build.a_finding("BENT")],
        remedies=[build.a_remedy("Z-FIRST", ["WORN"], ["HOUR"]), build.a_remedy("A-LAST", ["BENT"], ["HALF"])],
    )
    assert keys(taken(single, job_of(single, one_off=[build.a_one_off(1)]))) == ["A-LAST", "Z-FIRST", "ONEOFF-1"]
    assert keys(taken(book, job))[-1] == "ONEOFF-1"


def test_a_line_of_the_job_puts_right_what_it_says() -> None:
    """Then nothing is left to choose for WORN."""
    book = a_bench()
    job = job_of(book, one_off=[build.a_one_off(1, fixes=["WORN"])])
    found = taken(book, job)
    assert keys(found) == ["ONEOFF-1"] and not decides(found) & (PRICES - {"MAIN: Rate per hour"})
    assert "ONEOFF-1: Fixes" in decides(found)
    (item,) = found.items or ()
    assert item.fixes == frozenset({"WORN"})


def setup(**values: Any) -> LateSetup:
    return late(a_bench(settings=build.settings(interest_a_year="0.1", years_to_compare=5), **values))


def test_a_remedy_by_itself_and_what_comes_round_again() -> None:
    """HOURLY again after two and four years at a tenth a year: 100 / 1.1^2 + 100 / 1.1^4; NEW lasts the five."""
    with localcontext(EXACT):
        one = setup()
        items = one.candidates.items
        assert (one.alone(items["HOURLY"]), one.alone(items["NEW"])) == (D("100.00"), D("110.00"))
        expected = Fraction(100) / Fraction(11, 10) ** 2 + Fraction(100) / Fraction(11, 10) ** 4
        assert abs(one.again(items["HOURLY"]) - expected) < Fraction(1, 10**30)
        assert one.again(items["NEW"]) == 0


@pytest.mark.parametrize(("life", "again"), [(None, 0), (5, 0), ("4.99", 1), (6, 0)])
def test_what_lasts_the_years_compared_or_is_not_stated_does_not_come_again(life: Any, again: int) -> None:
    with localcontext(EXACT):
        one = setup(remedies=[build.a_remedy("HOURLY", ["WORN"], ["HOUR"], life_years=life)])
        assert bool(one.again(one.candidates.items["HOURLY"])) == bool(again)


def test_a_remedy_by_itself_has_no_saving_of_this_job() -> None:
    """A bundle and a discount belong to the tier; in years to come it is done by itself at 100.00."""
    bundle = build.a_bundle("ONE", ["HOURLY"], "labour amount off", 5)
    book = a_bench(bundles=[bundle], settings=build.settings(years_to_compare=5))
    with localcontext(EXACT):
        one = late(book, job_of(book, discount_percent="0.1"))
        with one.seen.frame("asked") as reads:
            assert one.alone(one.candidates.items["HOURLY"]) == D("100.00")
            assert one.horizon == 5
    assert {"work of a remedy by itself", "years compared"} <= {*reads}
    assert by_stage(reads)["years compared"] == "Years it could last: Value; Years to compare: Value"


def test_the_second_who_asks_has_read_it_too() -> None:
    with localcontext(EXACT):
        one = setup()
        told = []
        for _ in range(2):
            with one.seen.frame("asked") as reads:
                one.alone(one.candidates.items["NEW"])
            told.append(by_stage(reads))
    assert told[0] == told[1]
    assert "SHAFT: Pack cost" in told[0]["prices of parts"]


def test_a_number_that_a_figure_does_not_name_leaves_it_as_it_was() -> None:
    for aim in ("lowest price", "longest life", "least to own"):
        assert_unnamed_leave_it(a_bench(tiers=[build.a_tier("good", aim=aim)]), fewest=8)
