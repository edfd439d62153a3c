"""From the options to the sums of any choice: what can be picked, what a choice comes to, and when there are none.

Labour is 100.00 an hour in steps of 0.1; a part that costs 10.00 sells at 15.00.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from quotekit.model.expression import evaluate, spans, steps_of
from quotekit.model.live import FIGURES, LivePricing
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.live.build import MOST
from tests import build
from tests.many_extras import job_with_extras
from tests.pricing.live.belt_shop import job, shop
from tests.pricing.live.bench import figures, live_of


def totals(book: ShopBook, tier: str, *extras: str, **values: Any) -> list[str]:
    """Work, tax and total of a choice."""
    found = figures(book, job(**values), tier, *extras)
    return [found["work"], found["tax"], found["total"]]


def test_what_can_be_picked() -> None:
    live = live_of(shop(), job())
    assert [(option.code, option.label) for option in live.options] == [("good", "Good"), ("better", "Better")]
    assert {extra.key: extra.defined_name for extra in live.extras} == {
        "NEW-BELT": "extra_NEW_BELT",
        "SEALED@left": "extra_SEALED_left",
        "SEALED@right": "extra_SEALED_right",
        "TUNED": "extra_TUNED",
    }


def test_where_each_is_offered_and_what_it_adds_by_itself() -> None:
    """The belt: 0.4 h and 30.00 beside good, inside better. A seal: 0.2 h and 15.00. Tuning: 0.3 h."""
    found = {extra.key: (extra.place, extra.price) for extra in live_of(shop(), job()).extras}
    assert found["NEW-BELT"] == (("offered", "included"), (Decimal(70), None))
    assert found["SEALED@left"] == (("offered", "offered"), (Decimal(35), Decimal(35)))
    assert found["TUNED"] == (("offered", "offered"), (Decimal(30), Decimal(30)))


def test_an_extra_that_only_one_option_has_open() -> None:
    """OILED needs the cover of the belt alone: it is offered beside better, and good does not have it."""
    book = shop(
        access=[build.a_step("COVER"), build.a_step("GUARD")],
        operations=[
            build.an_operation("FIT-BUSHING", "0.6", access=["COVER"]),
            build.an_operation("FIT-BELT", "0.4", access=["GUARD"]),
            build.an_operation("OIL", "0.1", access=["GUARD"]),
        ],
        extras=[build.an_extra("OILED", ["OIL"])],
        parts=[],
    )
    live = live_of(book, job(extras=()))
    assert {extra.key: extra.place for extra in live.extras} == {
        "NEW-BELT": ("offered", "included"),
        "OILED": ("none", "offered"),
    }


def test_an_option_by_itself() -> None:
    """Good: 0.6 + 0.5 h = 110.00 and a bushing at 15.00; 7 % of 15.00 = 1.05."""
    assert totals(shop(), "good") == ["125.00", "1.05", "126.05"]


def test_the_other_option() -> None:
    """Better: 0.6 + 0.4 + 0.5 h = 150.00, parts 15.00 + 30.00; 7 % of 45.00 = 3.15."""
    assert totals(shop(), "better") == ["195.00", "3.15", "198.15"]


def test_found_work_beside_an_option_makes_it_the_larger_one() -> None:
    """The cover is open already: good with the belt is better."""
    assert totals(shop(), "good", "NEW-BELT") == totals(shop(), "better")


def test_extras_on_both_sides() -> None:
    """Good 125.00 and two seals: 2 x 0.2 h = 40.00 and 30.00; tax 7 % of 45.00."""
    assert totals(shop(), "good", "SEALED@left", "SEALED@right") == ["195.00", "3.15", "198.15"]


def test_a_tick_that_the_option_includes_or_does_not_offer_changes_nothing() -> None:
    """The belt ticked beside better."""
    live = live_of(shop(), job())
    ticks = {extra.key: extra.ticked for extra in live.extras}
    better = {live.options[1].chosen: 1}
    plain, ticked = (evaluate(live.steps, {**better, **more}) for more in ({}, {ticks["NEW-BELT"]: 1}))
    assert [plain[live.figures[name]] for name in FIGURES] == [ticked[live.figures[name]] for name in FIGURES]


def test_every_figure_is_there_by_its_name_and_every_tax() -> None:
    live = live_of(shop(), job())
    assert tuple(live.figures) == FIGURES
    assert [name for name, _ in live.taxes] == ["TAX"]
    assert live.digits == 2


def test_the_whole_order_of_money() -> None:
    """Good with tuning: 0.6 + 0.5 + 0.3 h = 140.00, a bushing 15.00, 5.00 off for both, supplies 5 % of 140.00 = 7.00,
    disposal 3.00: work 160.00. Inspection 45.00 is given back from 100.00 on. Tax is 10 % of 160.00, 50.00 are paid,
    the deposit is half the part.
    """
    book = shop(
        bundles=[build.a_bundle("PAIR", ["NEW-BUSHING", "TUNED"], "labour amount off", 5)],
        fees=[build.a_fee("DISPOSAL", 3, always=True)],
        taxes=[build.a_tax(rate="0.1")],
        settings=build.settings(
            supplies_percent_of_labour="0.05",
            inspection_fee=45,
            inspection_fee_credited=Decimal(100),
            deposit_on_ordered_parts="0.5",
        ),
    )
    found = figures(book, job(paid_so_far=Decimal(50)), "good", "TUNED")
    assert {name: amount for name, amount in found.items() if amount != "0.00"} == {
        "labour": "140.00",
        "parts": "15.00",
        "savings": "-5.00",
        "supplies": "7.00",
        "fees": "3.00",
        "inspection": "45.00",
        "inspection_credit": "-45.00",
        "work": "160.00",
        "subtotal": "160.00",
        "tax": "16.00",
        "total": "176.00",
        "due": "126.00",
        "deposit": "7.50",
        "tax TAX": "16.00",
    }


def test_the_deposit_is_on_ordered_parts_by_whether_they_can_go_back() -> None:
    """Half of the bushing's 15.00, all of the belt's 30.00; seals are in stock; rounded once."""
    book = shop(
        parts=[
            build.a_part("BUSHING"),
            build.a_part("BELT", 20, returnable=False),
            build.a_part("SEAL", supplier="SHELF"),
        ],
        settings=build.settings(deposit_on_ordered_parts="0.5", deposit_on_non_returnable_parts="1"),
    )
    deposits = [figures(book, job(), tier, *extras)["deposit"] for tier, extras in (
        ("good", ()), ("good", ("SEALED@left",)), ("good", ("NEW-BELT",)), ("better", ("SEALED@left",)),
    )]  # fmt: skip
    assert deposits == ["7.50", "7.50", "37.50", "37.50"]


def test_paid_more_than_is_due_is_below_zero() -> None:
    assert figures(shop(), job(paid_so_far=Decimal(200)), "good")["due"] == "-73.95"


def test_hours_off_of_a_bundle_that_a_tick_completes() -> None:
    """Good and tuning: 0.6 + 0.5 + 0.3 - 0.25 h = 1.15 -> 1.2 h."""
    book = shop(bundles=[build.a_bundle("PAIR", ["NEW-BUSHING", "TUNED"], "hours off", "0.25")])
    assert figures(book, job(), "good", "TUNED")["labour"] == "120.00"
    assert figures(book, job(), "good")["labour"] == "110.00"


@pytest.mark.parametrize(("currency", "total"), [("JPY", "126"), ("USD", "126.05"), ("KWD", "126.050")])
def test_currencies_with_other_minor_units(currency: str, total: str) -> None:
    """Tax 1.05: no half yen is lost or made, 125 + 1 = 126."""
    assert figures(shop(settings=build.settings(currency=currency)), job(), "good")["total"] == total


def test_upgrade_labour_of_the_option_chosen() -> None:
    """Better's belt is an upgrade: its labour is its 0.4 h and half the cover's 0.5 h = 65.00, taxed at 10 %."""
    book = shop(
        remedies=[
            build.a_remedy("NEW-BUSHING", ["WORN"], ["FIT-BUSHING"]),
            build.a_remedy("BETTER-BELT", ["FRAYED"], ["FIT-BELT"], kind="upgrade"),
        ],
        taxes=[build.a_tax(rate="0.1", charges=["upgrade labour"])],
    )
    assert figures(book, job(), "better")["tax"] == "6.50"
    assert figures(book, job(), "good")["tax"] == "0.00"
    assert figures(book, job(), "better", "TUNED")["tax"] == "6.50"


def test_steps_stand_below_what_they_need_and_none_is_idle() -> None:
    """Inputs first; every other line leads to some figure."""
    live = live_of(*job_with_extras(5))
    seen: set[Any] = set()
    for step in live.steps:
        assert seen.issuperset(needed(step))
        seen.add(step)
    inputs = {option.chosen for option in live.options} | {extra.ticked for extra in live.extras}
    assert set(live.steps[: len(inputs)]) == inputs
    used = {below for step in live.steps for below in needed(step)} | set(live.figures.values())
    assert set(live.steps) - inputs - {step for _, step in live.taxes} <= used


def needed(step: Any) -> list[Any]:
    """Steps that a step is worked out from."""
    return [] if step.formula is None else list(steps_of(step.formula))


def test_it_grows_in_a_straight_line_with_the_extras() -> None:
    """From 10 to 20 and from 20 to 40 extras: as many more lines, and as many more parts of formulas, for each."""
    lives = {count: live_of(*job_with_extras(count)) for count in (10, 20, 30, 40)}
    lines = [len(live.steps) for live in lives.values()]
    sizes = [sum(size_of(step.formula) for step in live.steps) for live in lives.values()]
    for counted in (lines, sizes):
        more = [after - before for before, after in pairwise(counted)]
        assert max(more) <= 1.1 * min(more)
    assert lines[-1] < 14 * 40 + 60


def size_of(expression: Any) -> int:
    """Parts of an expression."""
    return 1 + sum(size_of(part) for part in getattr(expression, "args", ()))


def plain(book: ShopBook, of: Any = None) -> Quote:
    """The quote of a job that can't have live figures."""
    quote = build_quote(book, of or job())
    assert quote.live is None and quote.offered
    (problem,) = [problem for problem in quote.problems if problem.code == "plain-quote"]
    assert problem.severity == "warning"
    assert str(quote.not_live) in problem.message
    return quote


def test_a_remedy_and_an_extra_of_one_code_make_a_plain_quote() -> None:
    """Beside good both are called NEW-BELT: a tick could not say which."""
    book = shop(extras=[build.an_extra("NEW-BELT", ["TUNE"])])
    quote = plain(book, job(extras=(build.a_job_extra("NEW-BELT"),)))
    assert quote.not_live == "a remedy and an extra that are both offered have the same code"
    assert [str(tier.total) for tier in quote.offered] == ["126.05", "198.15"]


def test_amounts_too_large_to_divide_exactly_make_a_plain_quote() -> None:
    """A part at 15,000,000,000.00 and 7.25 % tax: 1.5E12 cents x 725 passes 1E14 before it is divided."""
    quote = plain(shop(parts=[build.a_part("BUSHING", "10000000000"), build.a_part("BELT"), build.a_part("SEAL")],
                       taxes=[build.a_tax(rate="0.0725", charges=["parts"])]))  # fmt: skip
    assert quote.not_live == "its figures are too large for a spreadsheet to add up exactly"


def test_a_large_quote_is_still_live() -> None:
    """A part at 1,500,000.00: 1.5E8 cents at a rate with five decimals is 1.5E13."""
    book = shop(parts=[build.a_part("BUSHING", 1000000), build.a_part("BELT"), build.a_part("SEAL")],
                taxes=[build.a_tax(rate="0.09975", charges=["parts"])])  # fmt: skip
    assert MOST // 100 < spans(live_of(book, job()).steps)[1] <= MOST
    assert figures(book, job(), "good")["tax"] == "149625.00"  # 9.975 % of 1,500,000.00


def test_without_an_option_there_is_nothing_to_choose_and_no_warning() -> None:
    quote = build_quote(shop(), build.a_job())
    assert (quote.offered, quote.live) == ((), None)
    assert [problem.code for problem in quote.problems if problem.code == "plain-quote"] == []


def test_one_option_without_extras_is_live_too() -> None:
    live: LivePricing = live_of(shop(extras=[], tiers=[build.a_tier("good")]), build.a_job(build.a_finding_on("WORN")))
    assert (len(live.options), live.extras) == (1, ())
    assert evaluate(live.steps, {live.options[0].chosen: 1})[live.figures["total"]] == 12605
