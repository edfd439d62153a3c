"""What the order of the offered tiers by cost over the years hangs on, and their own choices (DESIGN.md 5.7).

The offered tiers whose lives are all stated are put in order by cost over the years; `years_order` says where that
order changes as interest, horizon or lives move, `years_choices` what a tier would itself take instead;
a tier that is not offered now is asked too, as it may be one of its own under another setting.
Source: sensitivity of a choice to one setting at a time, any engineering economy text.

Worked example: `years_order` and `years_choices` have one each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from quotekit.model.quote import Quote
from quotekit.model.years import OrderRange, Sensitivity
from quotekit.pricing.setup import Setup
from quotekit.pricing.tiers import Unworked, WorkedTier
from quotekit.pricing.years_choices import try_choices
from quotekit.pricing.years_order import (
    Scene,
    order_at,
    range_of_horizon,
    range_of_interest,
    range_of_lives,
    stream_of,
)


def with_sensitivity(setup: Setup, worked: Sequence[WorkedTier | Unworked], quote: Quote) -> Quote:
    """The quote, saying what the order of its tiers hangs on; nothing where no tier is offered."""
    offered = {tier.code for tier in quote.offered}
    if not offered:
        return quote
    shown = [tier for tier in worked if isinstance(tier, WorkedTier) and tier.tier.code in offered]
    known = [tier for tier in shown if all(item.life is not None for item in tier.remedies)]
    scene = Scene(
        streams=tuple(stream_of(t.tier.code, t.charges.total, t.remedies, setup.alone) for t in known),
        interest=setup.basis.book.settings.interest_a_year,
        horizon=setup.horizon,
        digits=setup.basis.digits,
    )
    trial = try_choices(setup, worked)
    return replace(
        quote,
        sensitivity=Sensitivity(
            order=order_at(scene, scene.interest, scene.horizon),
            ranges=_ranges(scene),
            tried=trial.tried,
            too_many=trial.too_many,
            choices=trial.choices,
        ),
    )


def _ranges(scene: Scene) -> tuple[OrderRange, ...]:
    if len(scene.streams) < 2 or not scene.horizon or not scene.is_small():
        return ()
    return range_of_interest(scene), range_of_horizon(scene), range_of_lives(scene)
