"""How often an option is chosen where it was shown, how old quotes are, and why they are lost.

Rate of an option = quotes that chose it / quotes that showed it and are no longer open; silence past the day of
validity counts as lost. An option that was not offered in a quote is not counted there.
Ages in days: 0 to 3, 4 to 7, 8 to 14, 15 to 30, more. Reasons are the fixed few of a no, and `no word` for silence.
Units: quotes, days. Source: TRADE 12, "win rate per option when shown", the bands of days; the rest is shop policy.

Example: shown 10 times, 2 open, chosen 4 times: 4 / 8 = 0.5.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.review import AgeBand, LostReason, TierWins
from quotekit.money import round_to
from quotekit.pricing.review.fates import Fate

AGES: tuple[tuple[str, int | None], ...] = (("0-3", 3), ("4-7", 7), ("8-14", 14), ("15-30", 30), ("30+", None))
"""Name of a band and its last day."""
NO_WORD = "no word"


def tier_wins(found: Sequence[Fate]) -> tuple[TierWins, ...]:
    """Each option, in the order in which quotes show them; its newest name."""
    return tuple(_wins(tier, [fate for fate in found if tier in _shown(fate)]) for tier in tiers_shown(found))


def tiers_shown(found: Iterable[Fate]) -> tuple[str, ...]:
    """Codes of all options shown, in the order of the quote that shows most."""
    longest = sorted((_shown(fate) for fate in found), key=len, reverse=True)
    return tuple(dict.fromkeys(code for codes in longest for code in codes))


def age_bands(found: Sequence[Fate]) -> tuple[AgeBand, ...]:
    """Quotes by days: those still open, and those decided."""
    by_band: dict[str, list[Fate]] = {name: [] for name, _ in AGES}
    for fate in found:
        by_band[age_of(fate.days)].append(fate)
    return tuple(_band(name, fates) for name, fates in by_band.items())


def age_of(days: int) -> str:
    """The band of a number of days.

    >>> age_of(3), age_of(4), age_of(30), age_of(31)
    ('0-3', '4-7', '15-30', '30+')
    """
    return next(name for name, last in AGES if last is None or days <= last)


def lost_reasons(found: Iterable[Fate]) -> tuple[LostReason, ...]:
    """Why quotes were lost, the most frequent first."""
    counted = Counter(_reason(fate) for fate in found if fate.outcome in ("declined", "lapsed"))
    return tuple(LostReason(reason=reason, quotes=n) for reason, n in sorted(counted.items(), key=_by_count))


def _shown(fate: Fate) -> tuple[str, ...]:
    return tuple(option.code for option in fate.issued.body.offered)


def _reason(fate: Fate) -> str:
    return fate.reason or NO_WORD


def _by_count(each: tuple[str, int]) -> tuple[int, str]:
    return -each[1], each[0]


def _wins(tier: str, shown: Sequence[Fate]) -> TierWins:
    outcomes = Counter(fate.outcome for fate in shown)
    chosen = sum(fate.tier == tier for fate in shown)
    decided = len(shown) - outcomes["open"]
    newest = max(shown, key=lambda fate: fate.issued.entry.seq)
    return TierWins(
        tier=tier,
        name=next(option.name for option in newest.issued.body.offered if option.code == tier),
        shown=len(shown),
        open=outcomes["open"],
        chosen=chosen,
        other_chosen=outcomes["accepted"] - chosen,
        declined=outcomes["declined"],
        lapsed=outcomes["lapsed"],
        rate=round_to(Fraction(chosen, decided), 4) if decided else None,
    )


def _band(name: str, found: Sequence[Fate]) -> AgeBand:
    still = [fate for fate in found if fate.outcome == "open"]
    cheapest = (min(option.subtotal for option in fate.issued.body.offered) for fate in still)
    return AgeBand(
        name=name,
        open=len(still),
        open_from=sum(cheapest, Decimal(0)),
        accepted=sum(fate.outcome == "accepted" for fate in found),
        declined=sum(fate.outcome == "declined" for fate in found),
    )
