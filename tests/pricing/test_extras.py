"""Extras, and what was found but is not in this option (DESIGN.md 5.8 and 5.9), by hand."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.job import FoundFinding
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from tests import build
from tests.pricing.priced import first_tier


def shop(**values: Any) -> ShopBook:
    """A bushing behind a cover (0.5); belt, tune and seal work for extras and for what else may be found."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER"), build.a_step("HUB", "0.1", "0.1", each_side=True), build.a_step("FLOOR")],
        "operations": [
            build.an_operation("BUSH", 1, access=["COVER"]),
            build.an_operation("BELT", "0.4", access=["COVER"], parts="BELT"),
            build.an_operation("SEAL", "0.3", access=["HUB"], each_side=True),
            build.an_operation("TUNE", "0.2"),
            build.an_operation("LINER", 1, access=["FLOOR"]),
        ],
        "parts": [build.a_part("BELT", 20)],
        "findings": [
            build.a_finding("WORN"),
            build.a_finding("FRAYED", "advised"),
            build.a_finding("LEAKS", "advised"),
        ],
        "remedies": [build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"])],
        "tiers": [build.a_tier("good")],
    }
    return build.a_book(**(named | values))


WORN = build.a_finding_on("WORN")


def offered(book: ShopBook, *findings: FoundFinding, **job: Any) -> list[tuple[str, str]]:
    """What is offered beside the first tier, and why."""
    return [(one.extra, one.why) for one in first_tier(book, *(findings or (WORN,)), **job).extras]


def extra(code: str, *operations: str, **values: Any) -> Any:
    return build.an_extra(code, list(operations), **values)


def test_while_it_is_open() -> None:
    """The cover is open for the bushing: the belt is offered. The floor stays shut, and tuning opens nothing."""
    book = shop(extras=[extra("SPARE", "BELT"), extra("LINED", "LINER"), extra("TUNED", "TUNE")])
    assert offered(book) == [("SPARE", "while it is open")]


def test_on_the_jobs_list_whether_open_or_not() -> None:
    book = shop(extras=[extra("SPARE", "BELT"), extra("LINED", "LINER"), extra("TUNED", "TUNE")])
    rows = tuple(build.a_job_extra(code) for code in ("TUNED", "LINED"))
    assert offered(book, extras=rows) == [
        ("LINED", "on the job's list"),
        ("SPARE", "while it is open"),
        ("TUNED", "on the job's list"),
    ]


def test_asked_for_it_is_in_the_tier_and_not_offered() -> None:
    book = shop(extras=[extra("SPARE", "BELT")])
    tier = first_tier(book, WORN, extras=(build.a_job_extra("SPARE", asked=True),))
    assert [item.key for item in tier.items] == ["NEW-BUSH", "SPARE"]
    assert tier.extras == ()


@pytest.mark.parametrize(("machines", "listed"), [((), True), (("THROWER",), True), (("TRAILER",), False)])
def test_only_extras_of_the_machine_class_are_offered_while_open(machines: tuple[str, ...], listed: bool) -> None:
    assert bool(offered(shop(extras=[extra("SPARE", "BELT", machines=machines)]))) is listed


def test_none_of_its_work_may_be_in_the_tier_already() -> None:
    """A belt with the bushing: its BUSH is being done."""
    assert offered(shop(extras=[extra("BOTH", "BELT", "BUSH")])) == []


def test_on_the_list_it_is_offered_unless_all_its_work_is_included() -> None:
    book = shop(
        extras=[extra("BOTH", "BELT", "BUSH"), extra("SPARE", "BELT")],
        operations=[
            build.an_operation("BUSH", 1, access=["COVER"], includes=["BELT"]),
            build.an_operation("BELT", "0.4", access=["COVER"]),
        ],
    )
    rows = tuple(build.a_job_extra(code) for code in ("BOTH", "SPARE"))
    assert offered(book, extras=rows) == [("BOTH", "on the job's list")]


def test_what_it_requires_may_be_there_already() -> None:
    """Setting the belt needs the bushing out: that is done."""
    operations = [
        build.an_operation("BUSH", 1, access=["COVER"]),
        build.an_operation("BELT", "0.4", access=["COVER"], requires=["BUSH"]),
    ]
    book = shop(extras=[extra("SPARE", "BELT")], operations=operations)
    (one,) = first_tier(book, WORN).extras
    assert (str(one.price), str(one.at_most)) == ("40.00", "40.00")


def test_what_it_requires_must_be_open_too() -> None:
    """The belt requires lining, which needs the floor."""
    operations = [*shop().operations.values(), build.an_operation("SET", "0.1", access=["COVER"], requires=["LINER"])]
    assert offered(shop(extras=[extra("SET", "SET")], operations=operations)) == []


def test_what_it_requires_needs_no_step_where_always_work_includes_it() -> None:
    """The belt requires lining; the check done on every job lines, so the floor need not be open for that."""
    operations = [
        *shop().operations.values(),
        build.an_operation("SET", "0.1", access=["COVER"], requires=["LINER"]),
        build.an_operation("CHECK", "0.2", includes=["LINER"]),
    ]
    named: dict[str, Any] = {"extras": [extra("SET", "SET")], "operations": operations}
    assert offered(shop(**named, machines=[build.a_machine(always=("CHECK",))])) == [("SET", "while it is open")]
    assert offered(shop(**named)) == []


def test_a_sided_extra_once_for_each_side_that_is_open() -> None:
    """Only the left hub is open for the seal work; with a step that has no side both are."""
    operations = [
        build.an_operation("BUSH", 1, access=["HUB"], each_side=True),
        build.an_operation("SEAL", "0.3", access=["HUB"], each_side=True),
    ]
    book = shop(extras=[extra("SEALED", "SEAL")], operations=operations)
    assert offered(book, build.a_finding_on("WORN", "left")) == [("SEALED@left", "while it is open")]


def test_a_sided_extra_without_each_side_steps_for_every_position() -> None:
    operations = [
        build.an_operation("BUSH", 1, access=["COVER"]),
        build.an_operation("SEAL", "0.3", access=["COVER"], each_side=True),
    ]
    book = shop(extras=[extra("SEALED", "SEAL")], operations=operations)
    positions = ("front left", "front right", "rear")
    assert [key for key, _ in offered(book, positions=positions)] == [
        "SEALED@front left",
        "SEALED@front right",
        "SEALED@rear",
    ]


BELTED = build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"])
FRAYED = build.a_finding_on("FRAYED", severity="advised")


def test_what_was_found_but_is_not_in_this_option() -> None:
    """0.4 hours and a belt of 30 on top of 1.5 hours; taking it marks the fault fixed."""
    book = shop(remedies=[*shop().remedies.values(), BELTED])
    (one,) = first_tier(book, WORN, FRAYED).extras
    assert (one.extra, one.kind, one.why, one.fixes) == ("NEW-BELT", "remedy", "found, not in this option", ("FRAYED",))
    assert [str(amount) for amount in (one.price, one.at_most, one.work)] == ["70.00", "70.00", "220.00"]
    taken = price_combination(book, build.a_job(WORN, FRAYED), "good", ["NEW-BELT"])
    assert (taken.fixed, taken.left) == (("FRAYED", "WORN"), ())


def test_the_remedy_that_adds_least_work_is_offered() -> None:
    """0.4 hours and 30, or the dressing of 0.6 hours: 70 or 60."""
    dressed = build.a_remedy("DRESSED", ["FRAYED"], ["DRESS"])
    book = shop(
        remedies=[*shop().remedies.values(), BELTED, dressed],
        operations=[*shop().operations.values(), build.an_operation("DRESS", "0.6")],
    )
    assert [key for key, _ in offered(book, WORN, FRAYED)] == ["DRESSED"]


def test_ties_between_found_remedies_go_by_operations_then_codes() -> None:
    """All add 0.6 hours: two operations, then Z before Y would be wrong."""
    operations = [*shop().operations.values(), build.an_operation("SIX", "0.6")]
    operations += [build.an_operation("ONE", "0.3"), build.an_operation("OTHER", "0.3")]
    remedies = [
        build.a_remedy("A-TWO", ["FRAYED"], ["ONE", "OTHER"]),
        build.a_remedy("Z", ["FRAYED"], ["SIX"]),
        build.a_remedy("Y", ["FRAYED"], ["SIX"]),
    ]
    book = shop(remedies=[*shop().remedies.values(), *remedies], operations=operations)
    assert [key for key, _ in offered(book, WORN, FRAYED)] == ["Y"]


def test_one_remedy_for_two_left_faults_is_offered_once() -> None:
    both = build.a_remedy("BOTH", ["FRAYED", "LEAKS"], ["BELT"])
    book = shop(remedies=[*shop().remedies.values(), both])
    leaks = build.a_finding_on("LEAKS", severity="advised")
    (one,) = first_tier(book, WORN, FRAYED, leaks).extras
    assert (one.extra, one.fixes) == ("BOTH", ("FRAYED", "LEAKS"))


def test_an_extra_whose_work_a_found_remedy_brings_is_not_listed_beside_it() -> None:
    book = shop(remedies=[*shop().remedies.values(), BELTED], extras=[extra("SPARE", "BELT")])
    assert offered(book, WORN, FRAYED) == [("NEW-BELT", "found, not in this option")]


def test_a_found_remedy_must_fit_in_tier_plus_remedy() -> None:
    """It fits only with a good shaft, which is not measured."""
    book = shop(
        remedies=[*shop().remedies.values(), BELTED], fits_only_if=[build.fits_only_if("NEW-BELT", "LEAKS", "1")]
    )
    assert offered(book, WORN, FRAYED) == []


def test_a_found_remedy_must_have_what_it_needs_fixed_in_tier_plus_remedy() -> None:
    """The belt needs the leak fixed, which the tier leaves; where the tier fixes it, the belt is offered."""
    belt = build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"], needs_fixed=["LEAKS"])
    seal = build.a_remedy("SEALED", ["LEAKS"], ["TUNE"])
    book = shop(remedies=[*shop().remedies.values(), belt, seal])
    left = build.a_finding_on("LEAKS", severity="advised")
    fixed = build.a_finding_on("LEAKS", severity="needed")
    assert [key for key, _ in offered(book, WORN, FRAYED, left)] == ["SEALED"]
    assert [key for key, _ in offered(book, WORN, FRAYED, fixed)] == ["NEW-BELT"]


def test_an_upgrade_is_not_offered_where_upgrade_labour_is_taxed_apart() -> None:
    """Another remedy of the same fault takes its place."""
    better = build.a_remedy("BETTER", ["FRAYED"], ["TUNE"], kind="upgrade")
    remedies = [*shop().remedies.values(), BELTED, better]
    plain, apart = build.a_tax(), build.a_tax(charges=["upgrade labour"])
    assert [key for key, _ in offered(shop(remedies=remedies, taxes=[plain]), WORN, FRAYED)] == ["BETTER"]
    assert [key for key, _ in offered(shop(remedies=remedies, taxes=[apart]), WORN, FRAYED)] == ["NEW-BELT"]


def test_inside_the_minimum_an_extra_may_cost_nothing() -> None:
    """1.5 hours in a minimum of 2: 0.4 more are free, and on paper it says at most 40 and the belt of 30."""
    book = shop(extras=[extra("SPARE", "BELT")], settings=build.settings(minimum_labour_hours=2))
    (one,) = first_tier(book, WORN).extras
    assert (str(one.price), str(one.at_most)) == ("30.00", "70.00")


def test_totals_with_the_extra_taken() -> None:
    """150 + 70 = 220, and 10 % tax."""
    book = shop(extras=[extra("SPARE", "BELT")], taxes=[build.a_tax()])
    (one,) = first_tier(book, WORN).extras
    assert [str(amount) for amount in (one.work, one.subtotal, one.tax, one.total)] == [
        "220.00",
        "220.00",
        "22.00",
        "242.00",
    ]


def test_extras_of_other_tiers_are_not_offered_here() -> None:
    """What one tier leaves another may fix: each has its own list."""
    book = shop(
        remedies=[*shop().remedies.values(), BELTED],
        tiers=[build.a_tier("good"), build.a_tier("better", ["safety", "needed", "advised"])],
    )
    good, better = build_quote(book, build.a_job(WORN, FRAYED)).tiers
    assert [one.extra for one in good.extras] == ["NEW-BELT"]
    assert better.extras == ()


def test_a_combination_takes_several_and_refuses_what_is_not_offered() -> None:
    """150, a belt of 40 + 30, tuning of 20: 240."""
    book = shop(extras=[extra("SPARE", "BELT"), extra("TUNED", "TUNE")])
    job = build.a_job(WORN, extras=(build.a_job_extra("TUNED"),))
    assert str(price_combination(book, job, "good", ["SPARE", "TUNED"]).work) == "240.00"
    assert str(price_combination(book, job, "good", []).work) == "150.00"
    assert str(price_combination(book, job, "good", ["TUNED", "TUNED"]).work) == "170.00"
    for tier, keys in [("good", ["LINED"]), ("best", [])]:
        with pytest.raises(KeyError):
            price_combination(book, job, tier, keys)


def test_upgrade_labour_stays_that_of_the_tier() -> None:
    """The tier's upgrade has 1.5 hours of 150; an extra that shares its cover must not lower the taxed 150."""
    better = build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"], kind="upgrade")
    book = shop(remedies=[better], extras=[extra("SPARE", "BELT")], taxes=[build.a_tax(charges=["upgrade labour"])])
    (one,) = first_tier(book, WORN).extras
    assert str(one.tax) == "15.00"
