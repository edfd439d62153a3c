"""Which remedies may be used (DESIGN.md 5.1, `Fits only if` and `Needs fixed` of section 3, and 5.9).

A remedy fits while the measured value of each limiting finding on the same side lies in From..To, ends included.
Where another item of the same set puts that finding right, its as-new value counts instead (blank: it fits).
A remedy must not be fitted without putting right what it needs fixed.
Units: those of the finding. Source: the maker's limits as the owner wrote them.

Worked example: BUSHING fits only if SHAFT is from 24.90 up. Measured 24.85: it does not fit, alone. With SHAFT-NEW,
which puts SHAFT right to 25.00 as new, it does; so BUSHING is permitted only with SHAFT-NEW.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from quotekit.model.job import FoundFinding, at_side
from quotekit.model.quote import NotPermitted, OnlyWith
from quotekit.model.shop_book import FitsOnlyIf, Remedy
from quotekit.pricing.basis import Basis
from quotekit.pricing.items import Item, remedy_item
from quotekit.pricing.sides import is_sided


@dataclass(frozen=True)
class Check:
    """A limit of a remedy against one record of its finding; `record` is None where the job lacks it."""

    limit: FitsOnlyIf
    record: FoundFinding | None

    @property
    def fits_as_measured(self) -> bool:
        """The measured value lies within the limit."""
        return self.record is not None and self.record.measured is not None and self.holds(self.record.measured)

    @property
    def fits_as_new(self) -> bool:
        """The as-new value lies within the limit; none stated fits."""
        return self.record is not None and (self.record.as_new is None or self.holds(self.record.as_new))

    def holds(self, value: Decimal) -> bool:
        """From..To, ends included, blank is open."""
        low, high = self.limit.from_, self.limit.to
        return (low is None or value >= low) and (high is None or value <= high)


class Candidates:
    """Every remedy that fixes a recorded fault of the job, once a side, with what it needs."""

    def __init__(self, basis: Basis) -> None:
        self.basis = basis
        self.faults = {found.key: found for found in basis.job.findings if found.fault}
        self.items: dict[str, Item] = {}
        self.for_fault: dict[str, tuple[Item, ...]] = {key: self._fixing(found) for key, found in self.faults.items()}
        self.checks = {key: self._checks(item) for key, item in self.items.items()}
        self.needs = {key: self.needs_of(item) for key, item in self.items.items()}

    def item(self, remedy: Remedy, side: str | None) -> Item:
        """The instance of a remedy on a side, made once."""
        key = at_side(remedy.code, side)
        if key not in self.items:
            self.items[key] = remedy_item(self.basis, remedy, side)
        return self.items[key]

    def add(self, item: Item) -> None:
        """Take in a planned remedy that fixes no fault of the job."""
        self.items[item.key] = item
        self.checks[item.key] = self._checks(item)
        self.needs[item.key] = self.needs_of(item)

    def of_severity(self, severities: Collection[str]) -> frozenset[str]:
        """Recorded faults of some severities: what a tier covers by itself."""
        return frozenset(key for key, fault in self.faults.items() if fault.severity in severities)

    def needs_of(self, item: Item) -> frozenset[str]:
        """Keys of faults that must be put right with an item: what it needs fixed, and limits it misses as measured."""
        assert item.remedy is not None
        needed = {
            key
            for key, found in (self.faults.items() if item.remedy.needs_fixed else ())
            if found.code in item.remedy.needs_fixed and _same_side(item, found)
        }
        for check in self.checks[item.key] if item.key in self.checks else self._checks(item):
            if not check.fits_as_measured and check.record is not None and check.record.fault:
                needed.add(check.record.key)
        return frozenset(needed)

    def is_impossible(self, item: Item) -> bool:
        """A limit can never hold: the finding is missing, or is no fault and does not fit as measured."""
        return any(
            not check.fits_as_measured and (check.record is None or not check.record.fault or not check.fits_as_new)
            for check in self.checks[item.key]
        )

    def faulty_limits(self, item: Item, chosen: Sequence[Item]) -> list[Check]:
        """Limits of an item that do not hold in a chosen set."""
        if not self.checks[item.key]:
            return []
        others = [other for other in chosen if other is not item]
        return [check for check in self.checks[item.key] if not _holds_in(check, others)]

    def missing_needs(self, item: Item, fixed: frozenset[str]) -> frozenset[str]:
        """Faults an item needs fixed that a set leaves."""
        return self.needs[item.key] - fixed

    @cached_property
    def viable(self) -> frozenset[str]:
        """Keys of the candidates that some set could hold, by what they need."""
        fixed_by_one_off = frozenset(
            key
            for key, found in self.faults.items()
            if any(found.code in line.fixes for line in self.basis.job.one_off)
        )
        alive = {key for key, item in self.items.items() if not self.is_impossible(item)}
        while True:
            kept = {key for key in alive if self._can_be_met(key, alive, fixed_by_one_off)}
            if kept == alive:
                return frozenset(kept)
            alive = kept

    def _can_be_met(self, key: str, alive: set[str], fixed_by_one_off: frozenset[str]) -> bool:
        for needed in self.needs[key] - fixed_by_one_off:
            helpers = {item.key for item in self.for_fault[needed]} & alive
            by_itself = needed in self.items[key].fixes and not self._limited_by(key, needed)
            if not (by_itself or helpers - {key}):
                return False
        return True

    def _limited_by(self, key: str, fault: str) -> bool:
        return any(
            check.record is not None and check.record.key == fault and not check.fits_as_measured
            for check in self.checks[key]
        )

    def _fixing(self, found: FoundFinding) -> tuple[Item, ...]:
        """Remedy instances that fix a fault; a sided remedy needs a finding with a side."""
        items = []
        for remedy in self.basis.book.remedies_by_finding.get(found.code, ()):
            sided = is_sided(self.basis.book, remedy.operations)
            if not sided or found.side is not None:
                items.append(self.item(remedy, found.side if sided else None))
        return tuple(items)

    def _checks(self, item: Item) -> tuple[Check, ...]:
        """Each limit of a remedy against each record of its finding on the same side."""
        checks: list[Check] = []
        for limit in self.basis.book.limits_of.get(item.code, ()):
            records = [
                found for found in self.basis.job.findings if found.code == limit.finding and _same_side(item, found)
            ]
            records.sort(key=lambda found: found.key)
            checks += [Check(limit, record) for record in records] or [Check(limit, None)]
        return tuple(checks)


def not_permitted(candidates: Candidates) -> tuple[tuple[NotPermitted, ...], tuple[OnlyWith, ...]]:
    """Candidates that do not fit as measured, apart from those that fit together with another."""
    refused, together = [], []
    for key in sorted(candidates.items):
        item = candidates.items[key]
        failing = [check for check in candidates.checks[key] if not check.fits_as_measured]
        if not failing or not item.fixes:
            continue
        helpers = [_helpers(candidates, item, check) for check in failing]
        if all(helpers):
            codes = sorted({helper.key for group in helpers for helper in group})
            together.append(OnlyWith(remedy=item.code, side=item.side, with_=tuple(codes)))
        else:
            why = "; ".join(why_not(check) for check, group in zip(failing, helpers, strict=True) if not group)
            refused.append(NotPermitted(remedy=item.code, side=item.side, why=why))
    return tuple(refused), tuple(together)


def measure_next(candidates: Candidates) -> tuple[str, ...]:
    """Findings, with their side, that a limit of a candidate needs and the job has not measured."""
    missing = set()
    for key, checks in candidates.checks.items():
        item = candidates.items[key]
        for check in checks:
            if not item.fixes or (check.record is not None and check.record.measured is not None):
                continue
            missing.add(check.record.key if check.record else at_side(check.limit.finding, item.side))
    return tuple(sorted(missing))


def look_next(basis: Basis) -> tuple[str, ...]:
    """Findings that recorded faults say to check also and the job lacks."""
    recorded = {found.code for found in basis.job.findings}
    wanted = {code for found in basis.job.findings if found.fault for code in found.also_check}
    return tuple(sorted(wanted - recorded))


def why_not(check: Check) -> str:
    """In words, what keeps a remedy out."""
    finding = check.record.name if check.record else check.limit.finding
    span = _span(check.limit)
    if check.record is None:
        return f"it fits only with {finding} {span}, which is not measured on this job"
    if check.record.measured is None:
        return f"it fits only with {finding} {span}, and {check.record.key} has no measurement"
    return f"it fits only with {finding} {span}, and {check.record.key} measures {check.record.measured:f}"


def _helpers(candidates: Candidates, item: Item, check: Check) -> list[Item]:
    """Other candidates that fit as measured and put the limiting finding right to a value that fits."""
    record = check.record
    if record is None or not record.fault or not check.fits_as_new:
        return []
    return [
        other
        for other in candidates.for_fault[record.key]
        if other is not item and all(limit.fits_as_measured for limit in candidates.checks[other.key])
    ]


def _holds_in(check: Check, others: Iterable[Item]) -> bool:
    record = check.record
    if record is not None and record.fault and any(record.key in other.fixes for other in others):
        return check.fits_as_new
    return check.fits_as_measured


def _same_side(item: Item, found: FoundFinding) -> bool:
    return item.side is None or found.side is None or found.side == item.side


def _span(limit: FitsOnlyIf) -> str:
    if limit.from_ is None:
        return f"up to {limit.to:f}" if limit.to is not None else "measured"
    return f"from {limit.from_:f}" + (f" to {limit.to:f}" if limit.to is not None else " up")
