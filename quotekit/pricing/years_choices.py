"""What a tier would take instead at half or double the life of all, other interest or another horizon (DESIGN.md 5.7).

The engine's own choice is made again under each setting: no interest and double the interest, half and double the
horizon, half and double all lives. Tiers that aim at the lowest price do not ask, and one choice is no choice; a tier
that a changed tier comes before is chosen again too, as it keeps what that one fixes.
All lives times a factor f over a horizon H at interest i choose as the lives themselves over H / f at (1 + i) ** f - 1:
each repeat k x f x life < H falls where k x life < H / f and is worth (1 + i) ** -(f x k x life); lives up to the
horizon are all f times as long. So one job is asked again over other years; no remedy is changed.
With more than 256 choices, or a choice by the integer program, nothing is tried, and that is said.
Units: years, interest as a fraction a year. Source: the rules of 5.7; the rest is arithmetic.

Worked example: BUSH costs 130.00 and lasts 3 years, BEARING costs 240.00 and lasts 8, both alone the same. Over 5 years
BUSH comes to 260.00: BEARING is least to own. Over 2.5 years BUSH comes to 130.00: it would be taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.model.years import MOST_TRIED, OtherChoice, Setting
from quotekit.money import compound
from quotekit.pricing.setup import Setup
from quotekit.pricing.tiers import Unworked, WorkedTier, work_out
from quotekit.pricing.years_order import DOUBLE, HALF
from quotekit.record import record

Worked = Sequence[WorkedTier | Unworked]


@record
class Trial:
    """The settings that were tried, or that there are too many choices, and what came out differently."""

    tried: tuple[tuple[Setting, Decimal], ...] = ()
    too_many: bool = False
    choices: tuple[OtherChoice, ...] = ()


def try_choices(setup: Setup, worked: Worked) -> Trial:
    """The choices of a job's tiers, made again under other settings."""
    first = next((place for place, tier in enumerate(worked) if _asks_years(tier)), None)
    if first is None:
        return Trial()
    chosen = [tier for tier in worked[first:] if isinstance(tier, WorkedTier) and not tier.planned]
    counted = all(tier.proof.method == "enumeration" for tier in chosen)
    if not counted or sum(tier.compared for tier in chosen) > MOST_TRIED:
        return Trial(too_many=True)
    settings = tuple(_settings(setup))
    return Trial(
        tried=settings,
        choices=tuple(
            OtherChoice(tier=tier, setting=setting, value=value, takes=takes, in_place_of=in_place_of)
            for setting, value in settings
            for tier, takes, in_place_of in _otherwise(over(setup, setting, value), worked, first, setting)
        ),
    )


def over(setup: Setup, setting: Setting, value: Decimal) -> Setup:
    """The same job over other years; charges and stand-alone work do not hang on them and are kept."""
    horizon, interest = setup.horizon, setup.basis.book.settings.interest_a_year
    if setting == "interest":
        interest = value
    elif setting == "horizon":
        horizon = value
    else:
        horizon, interest = horizon / value, compound(interest, value) - 1
    book, job = setup.basis.book, setup.basis.job
    basis = replace(
        setup.basis,
        book=replace(book, settings=replace(book.settings, interest_a_year=interest)),
        job=replace(job, years_to_compare=horizon, years_it_could_last=None),
    )
    return replace(setup, basis=basis, horizon=horizon, _again={})


def _settings(setup: Setup) -> Iterator[tuple[Setting, Decimal]]:
    """Settings other than those in force."""
    interest = setup.basis.book.settings.interest_a_year
    if interest:
        yield "interest", Decimal(0)
        yield "interest", interest * 2
    if setup.horizon:
        for setting in ("horizon", "lives"):
            now = setup.horizon if setting == "horizon" else Decimal(1)
            yield setting, now * HALF
            yield setting, now * DOUBLE


def _asks_years(tier: WorkedTier | Unworked) -> bool:
    return isinstance(tier, WorkedTier) and not tier.planned and tier.tier.aim != "lowest price" and tier.compared > 1


def _asks(tier: WorkedTier, setting: Setting) -> bool:
    """The longest life is the longest at any interest."""
    return _asks_years(tier) and not (setting == "interest" and tier.tier.aim == "longest life")


def _otherwise(
    setup: Setup, worked: Worked, first: int, setting: Setting
) -> Iterator[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    """Tiers that would take something else: their codes, what they take and what that replaces."""
    then = next((tier for tier in reversed(worked[:first]) if isinstance(tier, WorkedTier)), None)
    now = then
    for tier in worked[first:]:
        if not isinstance(tier, WorkedTier):
            continue
        same_start = (then.fixed if then else None) == (now.fixed if now else None)
        again = tier if same_start and not _asks(tier, setting) else work_out(setup, tier.tier, now)
        then = tier
        if not isinstance(again, WorkedTier):
            continue
        now = again
        old, new = ({item.key for item in one.remedies} for one in (tier, again))
        if old != new:
            yield tier.tier.code, tuple(sorted(new - old)), tuple(sorted(old - new))
