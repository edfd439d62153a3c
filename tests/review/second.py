"""A second, plain implementation of the review in floats, written from the words of the rules and sharing no code.

It reads the same stories and says what each job left, its variances, the ratios of times, the options won and the ages.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from quotekit.model.entries import Ordered
from quotekit.model.review import Span
from quotekit.model.story import Story, Told


def yes_in_force(story: Story) -> Told[Any] | None:
    """The last yes, unless it, or the whole job, was refused later."""
    if not story.accepted:
        return None
    last = story.accepted[-1]
    for no in story.declined:
        if no.entry.seq > last.entry.seq and no.entry.version in (None, last.entry.version):
            return None
    return last


def orders_of(orders: Iterable[Told[Ordered]]) -> tuple[dict[tuple[str, str], float], dict[str, float]]:
    """Cost of a unit by job and part, and freight by job."""
    money: dict[tuple[str, str], float] = defaultdict(float)
    units: dict[tuple[str, str], float] = defaultdict(float)
    freight: dict[str, float] = defaultdict(float)
    for told in orders:
        goods = sum(float(line.amount) for line in told.body.lines)
        extra = sum(float(one.freight + one.fee) for one in told.body.suppliers)
        for line in told.body.lines:
            total = sum(map(float, line.jobs.values()))
            for job, quantity in line.jobs.items():
                money[job, line.part] += float(quantity) * float(line.pack_cost)
                units[job, line.part] += float(quantity)
                freight[job] += extra * float(line.amount) / goods * float(quantity) / total
    return {key: money[key] / units[key] for key in money}, dict(freight)


class Job:
    """What one closed job comes to; None where something is not known."""

    def __init__(self, story: Story, costs: dict[tuple[str, str], float], freight: dict[str, float]) -> None:
        yes = yes_in_force(story)
        assert yes is not None
        self.story, self.agreed, self.closed = story, yes.body.agreed, story.closed[-1].body
        gone = set(self.closed.not_done)
        self.done = [w for w in self.agreed.work if w.key not in gone and not (w.users and set(w.users) <= gone)]
        self.comeback = story.comeback[-1].body if story.comeback else None
        self.invoiced = self._invoiced()
        self.hours = sum(float(line.hours) for line in self.closed.hours)
        self._parts(costs)
        self._labour()
        fell = {work.key for work in self.agreed.work} - {work.key for work in self.done}
        lines = [line for line in self.agreed.sublet if line.key not in fell]
        self.sublet = None if any(line.cost is None for line in lines) else sum(float(line.cost) for line in lines)
        ordered = any(part.ordered for part in self.agreed.parts)
        self.freight = freight.get(story.job, float(self.agreed.cost_freight) if ordered else 0.0)

    def _invoiced(self) -> float | None:
        if self.story.billed:
            return sum(float(told.body.subtotal) for told in self.story.billed)
        return 0.0 if self.comeback is not None and self.comeback.charged == 0 else None

    def _parts(self, costs: dict[tuple[str, str], float]) -> None:
        """Used units at their cost, with the two material variances."""
        self.parts: float | None = 0.0
        self.price = self.quantity = 0.0
        agreed = {part.part: part for part in self.agreed.parts}
        used: dict[str, list[tuple[float, float | None]]] = defaultdict(list)
        for line in self.closed.parts:
            used[line.part].append((float(line.quantity), None if line.unit_cost is None else float(line.unit_cost)))
        for code in {*agreed, *used}:
            standard = None
            allowed = 0.0
            if code in agreed:
                allowed = float(agreed[code].quantity)
                standard = None if agreed[code].unit_cost is None else float(agreed[code].unit_cost)
            lines = used.get(code)
            if lines is None:
                fell = self.closed.not_done and self.story.billed
                lines = [] if fell else [(allowed, None)]
            known = costs.get((self.story.job, code), standard)
            units = sum(count for count, _ in lines)
            each = [(count, known if typed is None else typed) for count, typed in lines]
            if units and any(cost is None for _, cost in each):
                self.parts = None
                continue
            spent = sum(count * (cost or 0.0) for count, cost in each)
            if self.parts is not None:
                self.parts += spent
            actual = spent / units if units else known
            standard = actual if code not in agreed else standard
            if actual is not None and standard is not None:
                self.price += (actual - standard) * units
                self.quantity += (units - allowed) * standard

    def _labour(self) -> None:
        (labour,) = self.agreed.labour
        done, all_of = self.done, self.agreed.work
        self.standard = sum(float(work.hours) for work in done)
        rusty = sum(float(work.hours) for work in all_of if work.slowed_by_rust)
        kept = sum(float(work.hours) for work in done if work.slowed_by_rust)
        self.standard += float(labour.allowance) * (kept / rusty if rusty else 1.0)
        cost = labour.cost_per_hour
        self.labour = self.time = None
        if self.standard and not self.hours:
            return
        if cost is not None:
            self.time = (self.hours - self.standard) * float(cost)
        if cost is not None or not self.hours:
            self.labour = self.hours * float(cost or 0)

    @property
    def contribution(self) -> float | None:
        """Invoice less what was bought."""
        if self.invoiced is None or self.parts is None or self.sublet is None:
            return None
        return self.invoiced - self.parts - self.sublet - self.freight

    @property
    def profit(self) -> float | None:
        """Less labour."""
        return None if self.contribution is None or self.labour is None else self.contribution - self.labour


def jobs_of(stories: Sequence[Story], orders: Sequence[Told[Ordered]], span: Span) -> dict[str, Job]:
    """Jobs closed within the span, by number."""
    costs, freight = orders_of(orders)
    return {
        story.job: Job(story, costs, freight)
        for story in stories
        if story.closed and yes_in_force(story) is not None and span.first <= story.closed[-1].entry.day <= span.last
    }


def ratios_of(jobs: Iterable[Job]) -> dict[tuple[str, str], tuple[int, float]]:
    """Count and ratio of sums by code and circumstance."""
    sums: dict[tuple[str, str], list[tuple[float, float]]] = defaultdict(list)
    for job in jobs:
        if job.comeback is not None:
            continue
        of_code: dict[str, list[tuple[float, float, bool]]] = defaultdict(list)
        for work in job.done:
            lines = [line for line in job.closed.hours if line.work == work.key]
            hours = sum(float(line.hours) for line in lines)
            if work.kind != "one-off" and lines and hours > 0 and all(line.measured for line in lines):
                of_code[work.code].append((hours, float(work.hours), work.slowed_by_rust))
        for code, each in of_code.items():
            circumstance = "usual"
            if job.agreed.minimum_amount:
                circumstance = "minimum"
            if job.agreed.condition and each[0][2]:
                circumstance = "rust"
            sums[code, circumstance].append((sum(hours for hours, _, _ in each), sum(norm for _, norm, _ in each)))
    return {key: (len(each), sum(a for a, _ in each) / sum(s for _, s in each)) for key, each in sums.items()}


def quotes_of(stories: Sequence[Story], span: Span) -> list[tuple[str, int, str, set[str]]]:
    """Outcome, days, option chosen and options shown of each quote of the span."""
    found = []
    for story in stories:
        if story.comeback or not story.issued:
            continue
        outcome, day, version, tier = _ending(story, span.last)
        shown = next((told for told in story.issued if told.entry.version == version), story.issued[-1])
        if outcome == "silent":
            outcome = "open" if shown.body.valid_until >= span.last else "lapsed"
        if span.first <= shown.entry.day <= span.last:
            days = max((day - shown.entry.day).days, 0)
            found.append((outcome, days, tier, {option.code for option in shown.body.offered}))
    return found


def _ending(story: Story, last: date) -> tuple[str, date, int | None, str]:
    if yes_in_force(story) is not None:
        for yes in story.accepted:
            nos = [no for no in story.declined if no.entry.seq > yes.entry.seq]
            if not any(no.entry.version in (None, yes.entry.version) for no in nos):
                return "accepted", yes.entry.day, yes.entry.version, yes.body.tier
    if story.declined and story.issued[-1].entry.seq < story.declined[-1].entry.seq:
        return "declined", story.declined[-1].entry.day, story.declined[-1].entry.version, ""
    return "silent", last, None, ""
