"""The technician's own choice of what goes in a tier (DESIGN.md 4 Plan, 5.7 and 5.9)."""

from __future__ import annotations

from typing import Any

from quotekit.model.job import FoundFinding, PlanItem
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.model.source import Source
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import keys_of


def shop(**values: Any) -> ShopBook:
    named: dict[str, Any] = {
        "operations": [
            build.an_operation("BUSH", 1, each_side=True),
            build.an_operation("SHAFT", 2, each_side=True),
            build.an_operation("BELT", "0.4"),
            build.an_operation("BRAKE", "0.8"),
        ],
        "findings": [
            build.a_finding("WORN"),
            build.a_finding("THIN", "watch", fails_when="below", limit="19", as_new="20"),
            build.a_finding("BRAKE", "safety"),
        ],
        "remedies": [
            build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"]),
            build.a_remedy("NEW-SHAFT", ["THIN"], ["SHAFT"]),
            build.a_remedy("NEW-BRAKE", ["BRAKE"], ["BRAKE"]),
        ],
        "extras": [build.an_extra("SPARE", ["BELT"])],
        "tiers": [build.a_tier("good"), build.a_tier("better")],
    }
    return build.a_book(**(named | values))


WORN = build.a_finding_on("WORN", "left")


def planned(book: ShopBook, *findings: FoundFinding, plan: list[tuple[str, str, str | None]], **job: Any) -> Quote:
    source = Source(file="job.xlsx", sheet="Plan", row=2, columns={"Item": "B"})
    rows = [PlanItem(tier=tier, code=code, side=side, source=source) for tier, code, side in plan]
    return build_quote(book, build.a_job(*findings, plan=rows, **job))


def test_a_planned_tier_takes_exactly_its_items() -> None:
    """A remedy, an extra and an operation: the belt is no fault, and is done all the same."""
    quote = planned(shop(), WORN, plan=[("good", "NEW-BUSH", "left"), ("good", "SPARE", None), ("good", "BRAKE", None)])
    good, better = quote.tiers
    assert keys_of(good) == ["BRAKE", "NEW-BUSH@left", "SPARE"]
    assert [item.kind for item in good.items] == ["operation", "remedy", "extra"]
    assert (good.planned, better.planned) == (True, False)


def test_tiers_not_named_are_chosen() -> None:
    good, better = planned(shop(), WORN, plan=[("better", "NEW-BUSH", "left"), ("better", "SPARE", None)]).tiers
    assert keys_of(good) == ["NEW-BUSH@left"]
    assert keys_of(better) == ["NEW-BUSH@left", "SPARE"]


def test_asked_extras_and_one_off_lines_are_there_too() -> None:
    """An extra that is both asked and planned is taken once."""
    quote = planned(
        shop(),
        WORN,
        plan=[("good", "NEW-BUSH", "left"), ("good", "SPARE", None)],
        extras=(build.a_job_extra("SPARE", asked=True),),
        one_off=[
            build.a_one_off(1, "charge", 1, unit_price=5),
            build.a_one_off(2, "charge", 1, unit_price=5, tiers=["better"]),
        ],
    )
    assert keys_of(quote.tiers[0]) == ["NEW-BUSH@left", "ONEOFF-1", "SPARE"]
    assert quote.tiers[0].items[2].asked


def test_a_side_of_unsided_work_is_ignored() -> None:
    quote = planned(shop(), WORN, plan=[("good", "SPARE", "left"), ("good", "NEW-BUSH", "left")])
    assert keys_of(quote.tiers[0]) == ["NEW-BUSH@left", "SPARE"]


def test_an_item_twice_is_taken_once() -> None:
    quote = planned(shop(), WORN, plan=[("good", "NEW-BUSH", "left"), ("good", "NEW-BUSH", "left")])
    assert keys_of(quote.tiers[0]) == ["NEW-BUSH@left"]


def test_a_remedy_of_what_is_no_fault_may_be_planned() -> None:
    """The technician renews the right bushing as well: nothing is fixed by it."""
    quote = planned(shop(), WORN, plan=[("good", "NEW-BUSH", "left"), ("good", "NEW-BUSH", "right")])
    good = quote.tiers[0]
    assert keys_of(good) == ["NEW-BUSH@left", "NEW-BUSH@right"]
    assert good.fixed == ("WORN@left",)
    assert quote.problems == ()


def test_a_planned_item_that_does_not_fit_is_an_error() -> None:
    book = shop(fits_only_if=[build.fits_only_if("NEW-BUSH", "THIN", "18.5")])
    thin = build.found(book, "THIN", "left", "18")
    quote = planned(book, WORN, thin, plan=[("good", "NEW-BUSH", "left")])
    assert quote.tiers == ()
    problem = quote.problems[0]
    assert (problem.code, problem.severity, str(problem.place)) == ("plan-not-permitted", "error", "job.xlsx:Plan!B2")
    assert (
        problem.message
        == "NEW-BUSH@left is not permitted: it fits only with Thin from 18.5 up, and THIN@left measures 18"
    )


def test_the_problem_stands_at_the_row_of_its_item() -> None:
    """The second row of the plan is the one that does not fit."""
    book = shop(fits_only_if=[build.fits_only_if("NEW-BUSH", "THIN", "18.5")])
    rows = [("SPARE", None, 2), ("NEW-BUSH", "left", 3)]
    plan = [
        PlanItem(
            tier="good",
            code=code,
            side=side,
            source=Source(file="job.xlsx", sheet="Plan", row=row, columns={"Item": "B"}),
        )
        for code, side, row in rows
    ]
    quote = build_quote(book, build.a_job(WORN, build.found(book, "THIN", "left", "18"), plan=plan))
    assert {str(problem.place) for problem in quote.problems} == {"job.xlsx:Plan!B3"}


def test_with_the_new_shaft_it_is_permitted() -> None:
    book = shop(fits_only_if=[build.fits_only_if("NEW-BUSH", "THIN", "18.5")])
    thin = build.found(book, "THIN", "left", "18")
    quote = planned(book, WORN, thin, plan=[("good", "NEW-BUSH", "left"), ("good", "NEW-SHAFT", "left")])
    assert quote.problems == ()
    assert quote.tiers[0].fixed == ("THIN@left", "WORN@left")


def test_a_planned_remedy_without_what_it_needs_fixed_is_an_error() -> None:
    remedies = [*shop().remedies.values(), build.a_remedy("SLEEVE", ["WORN"], ["BUSH"], needs_fixed=["THIN"])]
    thin = build.a_finding_on("THIN", "left", severity="watch")
    quote = planned(shop(remedies=remedies), WORN, thin, plan=[("good", "SLEEVE", "left")])
    assert [problem.message for problem in quote.problems] == [
        "SLEEVE@left must not be fitted without putting THIN@left right"
    ]


def test_a_planned_remedy_of_another_finding_has_needs_too() -> None:
    """SLEEVE fixes nothing recorded on the right, but must not be fitted beside a thin right shaft."""
    remedies = [*shop().remedies.values(), build.a_remedy("SLEEVE", ["WORN"], ["BUSH"], needs_fixed=["THIN"])]
    thin = build.a_finding_on("THIN", "right", severity="watch")
    quote = planned(
        shop(remedies=remedies), WORN, thin, plan=[("good", "NEW-BUSH", "left"), ("good", "SLEEVE", "right")]
    )
    assert [problem.message for problem in quote.problems] == [
        "SLEEVE@right must not be fitted without putting THIN@right right"
    ]


def test_a_planned_tier_that_leaves_what_the_tier_before_fixes_is_an_error() -> None:
    quote = planned(shop(), WORN, plan=[("better", "SPARE", None)])
    assert quote.tiers == ()
    (problem,) = quote.problems
    assert problem.code == "plan-leaves-fixed"
    assert problem.message == "the planned tier better leaves what good fixes: WORN@left"


def test_a_planned_tier_that_leaves_a_safety_finding_is_not_offered() -> None:
    """No error: it is left out, with the reason; the chosen tier puts the brake right."""
    brake = build.a_finding_on("BRAKE", severity="safety")
    good, better = planned(shop(), WORN, brake, plan=[("good", "NEW-BUSH", "left")]).tiers
    assert good.reason == "it would leave a safety finding: BRAKE"
    assert better.offered
    assert better.fixed == ("BRAKE", "WORN@left")


def test_a_plan_may_leave_what_is_needed() -> None:
    """Only safety and what the tier before fixes are held against it."""
    good, _ = planned(shop(), WORN, build.a_finding_on("THIN", "left"), plan=[("good", "NEW-BUSH", "left")]).tiers
    assert good.offered
    assert good.left == ("THIN@left",)
