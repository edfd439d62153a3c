"""One job ready to be priced: what is in every tier anyway."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest
from hypothesis import given

from quotekit.money import EXACT, round_to
from quotekit.pricing.life import horizon_cost, repeats
from quotekit.pricing.setup import fixed_by, set_up, tier_takes
from tests import build
from tests.pricing.priced import items_named
from tests.random_jobs import Case, cases

BOOK = build.a_book(
    operations=[build.an_operation("BELT"), build.an_operation("SEAL", each_side=True)],
    remedies=[build.a_remedy("NEW", ["WORN"], ["BELT"])],
    extras=[build.an_extra("SPARE", ["BELT"]), build.an_extra("SEALED", ["SEAL"])],
)


@pytest.mark.parametrize(
    ("tiers", "tier", "takes"), [((), "good", True), (("good",), "good", True), (("good", "best"), "better", False)]
)
def test_a_one_off_line_without_tiers_is_in_all(tiers: tuple[str, ...], tier: str, takes: bool) -> None:
    assert tier_takes(tiers, tier) is takes


def test_asked_extras_and_one_off_lines_are_in_every_tier_they_name() -> None:
    job = build.a_job(
        extras=(
            build.a_job_extra("SPARE", "left", asked=True),
            build.a_job_extra("SEALED", "right", asked=True),
            build.a_job_extra("SEALED", "left"),
        ),
        one_off=[build.a_one_off(1), build.a_one_off(2, tiers=["best"])],
    )
    setup = set_up(BOOK, job)
    assert [item.key for item in setup.in_every("good")] == ["SPARE", "SEALED@right", "ONEOFF-1"]
    assert [item.key for item in setup.in_every("best")] == ["SPARE", "SEALED@right", "ONEOFF-1", "ONEOFF-2"]


def test_what_a_set_of_items_puts_right() -> None:
    job = build.a_job(build.a_finding_on("WORN"), build.a_finding_on("BENT"), one_off=[build.a_one_off(fixes=["BENT"])])
    setup = set_up(BOOK, job)
    assert fixed_by(items_named(setup, ["NEW", "ONEOFF-1", "SPARE"])) == {"WORN", "BENT"}
    assert fixed_by([]) == frozenset()


def test_stand_alone_work_is_priced_once() -> None:
    setup = set_up(BOOK, build.a_job(build.a_finding_on("WORN")))
    (item,) = items_named(setup, ["NEW"])
    assert setup.alone(item) == setup.alone(item) == 50


def test_on_another_basis_only_what_is_not_known_is_priced_again() -> None:
    """At four hours instead of half an hour: what is told keeps its figure."""
    setup = set_up(BOOK, build.a_job(build.a_finding_on("WORN")))
    (item,) = items_named(setup, ["NEW"])
    assert setup.alone(item) == 50
    slower = setup.basis.at_hours("BELT", Decimal(4))
    assert setup.on(slower, {}).alone(item) == 400
    assert setup.on(slower, {"NEW": Decimal(50)}).alone(item) == 50
    assert setup.alone(item) == 50


def test_charges_of_a_set_are_kept_for_who_asks_again() -> None:
    setup = set_up(BOOK, build.a_job(build.a_finding_on("WORN")))
    items = items_named(setup, ["NEW"])
    assert setup.priced(items) is setup.priced(items)
    assert setup.priced(items) == setup.price(items)
    assert setup.on(setup.basis.at_hours("BELT", Decimal(4)), {}).priced(items).total == 400


def test_a_remedy_and_an_extra_with_one_code_are_two_sets() -> None:
    """The extra brings a spare, the remedy does not."""
    book = build.a_book(
        operations=[build.an_operation("FIT", 1)],
        parts=[build.a_part("SPARE", 10)],
        remedies=[build.a_remedy("SAME", ["WORN"], ["FIT"])],
        extras=[build.an_extra("SAME", ["FIT"], parts="SPARE")],
    )
    setup = set_up(book, build.a_job(build.a_finding_on("WORN"), extras=[build.a_job_extra("SAME", asked=True)]))
    (remedy,) = items_named(setup, ["SAME"])
    assert [setup.priced([one]).total for one in (remedy, *setup.asked)] == [100, 115]


@given(cases())
def test_what_comes_round_again_is_kept_and_adds_up_to_the_horizon_cost(case: Case) -> None:
    with localcontext(EXACT):
        setup = set_up(*case)
        for item in setup.candidates.items.values():
            work, interest = setup.alone(item), setup.basis.book.settings.interest_a_year
            again = repeats(work, item.life, setup.horizon, interest)
            cost = horizon_cost(Decimal(10), [again], setup.basis.digits)
            assert setup.again(item) == setup.again(item) == again
            assert setup.cost_over_years(Decimal(10), [item]) == cost == round_to(10 + again, setup.basis.digits)
