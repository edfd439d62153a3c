"""Which items a choice takes: those of the option chosen, and those ticked that it offers."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest

from quotekit.model.expression import Step, Term, evaluate
from quotekit.money import EXACT
from quotekit.pricing.build_quote import beside_tier
from quotekit.pricing.live.taken import OfferedTier, Taken, taken_items
from quotekit.pricing.live.working import Working
from quotekit.pricing.setup import Setup, set_up
from quotekit.pricing.tiers import WorkedTier, work_out_tiers
from tests import build
from tests.pricing.live.belt_shop import job, shop

GOOD, BETTER = Step("good chosen"), Step("better chosen")


def offered(**values: object) -> tuple[Setup, list[OfferedTier]]:
    """The options of the small shop with what is offered beside them."""
    with localcontext(EXACT):
        setup = set_up(shop(**values), job())
        return setup, [beside_tier(setup, tier) for tier in work_out_tiers(setup) if isinstance(tier, WorkedTier)]


def taken_of(**values: object) -> tuple[Working, dict[str, Step], list[Taken]]:
    """Every item with its flag, and the inputs of what can be ticked."""
    setup, tiers = offered(**values)
    keys = dict.fromkeys(offer.item.key for tier in tiers for offer in tier.offers)
    ticks = {key: Step(f"{key} ticked") for key in keys}
    working = Working(basis=setup.basis, chosen=(GOOD, BETTER))
    return working, ticks, taken_items(working, tiers, ticks)


def keys_taken(chosen: Step, *ticked: str) -> list[str]:
    """Keys of the items that are taken."""
    working, ticks, taken = taken_of()
    asked = [Step(one.item.key, one.flag) for one in taken]
    inputs = {chosen: 1, **{ticks[key]: 1 for key in ticked}}
    values = evaluate((GOOD, BETTER, *ticks.values(), *working.steps, *asked), inputs)
    assert all(values[step] in (0, 1) for step in asked)
    return [step.name for step in asked if values[step]]


@pytest.mark.parametrize(
    ("chosen", "ticked", "expected"),
    [
        (GOOD, (), ["NEW-BUSHING"]),
        (BETTER, (), ["NEW-BELT", "NEW-BUSHING"]),
        (GOOD, ("NEW-BELT",), ["NEW-BELT", "NEW-BUSHING"]),
        (BETTER, ("NEW-BELT",), ["NEW-BELT", "NEW-BUSHING"]),
        (GOOD, ("TUNED", "SEALED@right"), ["NEW-BUSHING", "SEALED@right", "TUNED"]),
        (BETTER, ("SEALED@left",), ["NEW-BELT", "NEW-BUSHING", "SEALED@left"]),
    ],
)
def test_the_options_items_and_what_is_ticked_beside_it(
    chosen: Step, ticked: tuple[str, ...], expected: list[str]
) -> None:
    """An item inside the option is there once, ticked or not."""
    assert keys_taken(chosen, *ticked) == expected


def test_what_every_option_has_needs_no_line() -> None:
    """The bushing is in both: its flag is 1. Tuning is beside both: its flag is its tick. The belt has a line."""
    working, ticks, taken = taken_of()
    flags = {one.item.key: one.flag for one in taken}
    assert flags["NEW-BUSHING"] == 1
    assert flags["TUNED"] is ticks["TUNED"]
    (line,) = working.steps
    assert flags["NEW-BELT"] is line
    assert line.formula == Term("sum", (BETTER, Term("times", (ticks["NEW-BELT"], GOOD))))


def test_items_are_in_text_order_of_their_keys() -> None:
    """As the engine adds them up."""
    keys = [one.item.key for one in taken_of()[2]]
    assert keys == sorted(keys)


def test_an_option_knows_its_upgrade_labour() -> None:
    """The belt of better is an upgrade: 0.4 h and half of the cover's 0.5 h, where a tax asks."""
    remedies = [
        build.a_remedy("NEW-BUSHING", ["WORN"], ["FIT-BUSHING"]),
        build.a_remedy("BETTER-BELT", ["FRAYED"], ["FIT-BELT"], kind="upgrade"),
    ]
    _, plain = offered(remedies=remedies)
    _, taxed = offered(remedies=remedies, taxes=[build.a_tax(charges=["upgrade labour"])])
    assert [tier.upgrade for tier in plain] == [Decimal(0), Decimal(0)]
    assert [tier.upgrade for tier in taxed] == [Decimal(0), Decimal("65.00")]
