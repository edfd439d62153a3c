"""Why a tier is not offered, in figures, and what would have to change for it to be (DESIGN.md 5.7 and 5.9).

The reasons are those of `tiers`. Each is laid open: the cells that keep a tier from being worked out, each remedy of a
safety finding with what keeps it out, the four comparisons with the tier that costs no more. How much less it would
have to cost is the least that makes it cheaper than every tier that keeps it out.
Units: money in the currency's minor unit, years, working days. Source: shop policy.

Worked example: good comes to 99.75 and better, which puts right one finding more, to 99.75 too: good is not offered.
From 99.74 it would be: it would have to cost 0.01 less.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from quotekit.model.why import Compared, Missing, RemedyWhy
from quotekit.pricing.covers import Group, groups_and_tangles
from quotekit.pricing.fits import Check, why_not
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup
from quotekit.pricing.tiers import Unworked, WorkedTier, dominates, is_empty, reasons_not_offered, repeated
from quotekit.pricing.why_field import MOST_VISITED
from quotekit.pricing.why_levers import named
from quotekit.pricing.why_remedies import why_refused

Worked = Sequence[WorkedTier | Unworked]


def why_missing(setup: Setup, worked: Worked, place: int, remedies: Sequence[RemedyWhy]) -> Missing | None:
    """Why the tier at a place of the list is not offered; None where it is. `remedies` are its own entries."""
    tier, before = worked[place], tier_before(worked, place)
    reasons = reasons_not_offered(worked)
    if tier.tier.code not in reasons:
        return None
    if isinstance(tier, Unworked):
        return _not_worked_out(setup, tier, before)
    if not any(item.kind in ("remedy", "one-off") or item.asked for item in tier.items):
        return _nothing_to_do(setup, tier)
    if tier.safety_left:
        return _leaves_safety(setup, tier)
    first = repeated(tier, _earlier(worked, place))
    if first is not None:
        return _same_work(tier, first, remedies)
    return _costs_no_less(setup, tier, keep_it_out(worked, place))


def keep_it_out(worked: Worked, place: int) -> list[WorkedTier]:
    """The tiers that keep the one at a place of the list from being offered: they cost no more and do no less."""
    tier, reasons = worked[place], reasons_not_offered(worked)
    standing = [other for other in worked if isinstance(other, WorkedTier) and not _own_reason(reasons, worked, other)]
    return [
        other for other in standing if isinstance(tier, WorkedTier) and other is not tier and dominates(other, tier)
    ]


def tier_before(worked: Worked, place: int) -> WorkedTier | None:
    """The nearest earlier tier that could be worked out."""
    return next(reversed(_earlier(worked, place)), None)


def _earlier(worked: Worked, place: int) -> list[WorkedTier]:
    return [tier for tier in worked[:place] if isinstance(tier, WorkedTier)]


def plain(value: Decimal) -> str:
    """A number without trailing zeros or exponent.

    >>> plain(Decimal("5.00")), plain(Decimal("1E+2"))
    ('5', '100')
    """
    return f"{value.normalize():f}"


def _own_reason(reasons: dict[str, str], worked: Worked, tier: WorkedTier) -> bool:
    """True where a tier is kept back by itself or repeats an earlier one, and so keeps no other back."""
    repeats = repeated(tier, _earlier(worked, worked.index(tier))) is not None
    return tier.tier.code in reasons and (is_empty(tier) or bool(tier.safety_left) or repeats)


def _not_worked_out(setup: Setup, tier: Unworked, before: WorkedTier | None) -> Missing:
    kept = before.fixed if before else frozenset[str]()
    covered = kept | setup.candidates.of_severity(tier.tier.covers)
    given = [item for item in setup.in_every(tier.tier.code) if item.one_off]
    groups, _ = groups_and_tangles(setup.candidates, covered, kept, given, MOST_VISITED)
    return Missing(
        kind="not worked out",
        would_change=tuple(
            f"Life years of {_called(item)} were stated, in {_life_cell(item)}" for item in _without_life(groups)
        ),
    )


def _without_life(groups: Iterable[Group]) -> list[Item]:
    """Remedies without a life that some choices of their group hold and others do not."""
    found: dict[str, Item] = {}
    for group in groups:
        in_all = frozenset.intersection(*(frozenset(cover.items) for cover in group.covers))
        for cover in group.covers:
            found |= {item.key: item for item in cover.items if item.life is None and item not in in_all}
    by_row = {item.code: item for _, item in sorted(found.items())}
    return [by_row[code] for code in sorted(by_row)]


def _nothing_to_do(setup: Setup, tier: WorkedTier) -> Missing:
    covers = [severity for severity in ("safety", "needed", "advised", "watch") if severity in tier.tier.covers]
    open_faults = sorted(key for key in tier.left if setup.candidates.faults[key].severity in tier.tier.covers)
    fault = f"a fault of severity {' or '.join(covers)} had a remedy that may be used"
    return Missing(
        kind="nothing to do",
        details=tuple(line for key in open_faults for line in _remedies_for(setup, key)),
        would_change=(fault, "a one-off line were on the job", "the customer asked for an extra"),
    )


def _leaves_safety(setup: Setup, tier: WorkedTier) -> Missing:
    if tier.planned:
        details = [f"the technician's plan leaves {key}" for key in sorted(tier.safety_left)]
        return Missing(
            kind="leaves safety",
            details=tuple(details),
            would_change=("an item on the Plan sheet, or a one-off line, put it right",),
        )
    details, changes = [], []
    for key in sorted(tier.safety_left):
        details += _remedies_for(setup, key)
        changes += _what_would_do(setup, key)
    return Missing(kind="leaves safety", details=tuple(details), would_change=tuple(dict.fromkeys(changes)))


def _remedies_for(setup: Setup, key: str) -> list[str]:
    """Each remedy the book has for a fault, and what keeps it out."""
    candidates = setup.candidates
    items = candidates.for_fault.get(key, ())
    if not items:
        return [f"the shop book has no remedy for {key}"]
    usable = [item for item in items if item.key in candidates.viable]
    if usable:
        return [f"{key} could be put right by {_called(item)}, but not together with the rest" for item in usable]
    return [f"{key}: {_called(item)} is not permitted: {why_refused(candidates, item)}" for item in items]


def _what_would_do(setup: Setup, key: str) -> list[str]:
    candidates = setup.candidates
    found = []
    for item in candidates.for_fault.get(key, ()):
        for check in candidates.checks[item.key]:
            if check.record is None or check.record.measured is None:
                found.append(f"measuring {_finding(check)} showed that {_called(item)} fits: {why_not(check)}")
    row = f"the shop book had a remedy for {key.partition('@')[0]} that may be used here"
    return [*found, row, f"a one-off line on the job put {key} right"]


def _finding(check: Check) -> str:
    return check.record.key if check.record else check.limit.finding


def _same_work(tier: WorkedTier, before: WorkedTier, remedies: Sequence[RemedyWhy]) -> Missing:
    more = [severity for severity in ("safety", "needed", "advised", "watch") if severity in tier.tier.covers]
    more = [severity for severity in more if severity not in before.tier.covers]
    fault = f"a fault of severity {' or '.join(more)} were found, which {before.tier.tier} does not cover"
    changes = [fault] if more else []
    others = [entry for entry in remedies if entry.alternative is not None]
    if tier.planned:
        changes.append("other items stood for it on the Plan sheet")
    elif others:
        changes.append("another choice won in it: see what each of its remedies would give way to")
    else:
        codes = sorted({key.partition("@")[0] for entry in remedies for key in entry.fixes})
        changes += [f"the shop book had another remedy for {' or '.join(codes)}"] if codes else []
    alike = "no other complete choice was possible" if not others and not tier.planned else ""
    return Missing(
        kind="same work",
        against=before.tier.tier,
        details=(alike,) if alike else (),
        would_change=tuple(changes),
    )


def _costs_no_less(setup: Setup, tier: WorkedTier, better: Sequence[WorkedTier]) -> Missing:
    other, unit = better[0], Decimal(1).scaleb(-setup.basis.digits)
    comparisons = (
        Compared(what="Work", this=f"{tier.charges.total:f}", other=f"{other.charges.total:f}"),
        _puts_right(tier, other),
        _lasts(setup, tier, other),
        Compared(what="Ready, working days", this=_days(tier.ready), other=_days(other.ready)),
    )
    least = min(one.charges.total for one in better)
    sooner = [one.ready for one in better if one.ready is not None]
    changes = []
    if sooner and len(sooner) == len(better) and min(sooner) > setup.basis.book.settings.queue_days:
        changes.append(f"it were ready in {_counted(min(sooner) - 1, 'working day')} or sooner")
    return Missing(
        kind="costs no less",
        against=other.tier.tier,
        comparisons=comparisons,
        would_change=tuple(changes),
        cheaper_by=tier.charges.total - least + unit,
    )


def _puts_right(tier: WorkedTier, other: WorkedTier) -> Compared:
    more = sorted(other.fixed - tier.fixed)
    words = _counted(len(other.fixed), "fault") + (f", also {', '.join(more)}" if more else ", the same")
    return Compared(what="Puts right", this=_counted(len(tier.fixed), "fault"), other=words)


def _lasts(setup: Setup, tier: WorkedTier, other: WorkedTier) -> Compared:
    """Lives up to the horizon of what the tier puts right, those that differ."""
    what = f"Lasts, years up to {plain(setup.horizon)}"
    pairs = [(key, life, other.lives.get(key, life)) for key, life in sorted(tier.lives.items())]
    differ = [pair for pair in pairs if pair[1] != pair[2]]
    if not differ:
        shortest = min((life for _, life, _ in pairs), default=setup.horizon)
        return Compared(what=what, this=f"{plain(shortest)} at least", other="no less on any")
    return Compared(
        what=what,
        this=", ".join(f"{key} {plain(mine)}" for key, mine, _ in differ),
        other=", ".join(f"{key} {plain(theirs)}" for key, _, theirs in differ),
    )


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _days(days: int | None) -> str:
    return "not known" if days is None else str(days)


def _called(item: Item) -> str:
    one = named(item)
    return f"{one.name} ({one.key})"


def _life_cell(item: Item) -> str:
    assert item.remedy is not None
    return str(item.remedy.source.place("Life years"))
