"""The lines of a work order: what was agreed, opened, done, tested and closed in order, with standard hours.

What comes before all else and what after all else: `ends`. What an operation requires is done before it (`required`).
A step's standard hours are those to open beside its opening and those to close beside its closing. One-off work is done
while what it names is open.
Source: shop policy.

Worked example: Always `SAFE; TEST`, SEAL behind COVER (0.2 to open, 0.3 to close):
SAFE first, open COVER 0.2, do SEAL, close COVER 0.3, TEST last.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from quotekit.model.agreed import Agreed, AgreedWork
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.model.work_order import StepKind, WorkStep
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.work_order.ends import ends_of, in_order
from quotekit.pricing.work_order.order import ToDo, ToOpen, order_of_work
from quotekit.pricing.work_order.required import Before, required_before


def steps_of(book: ShopBook, job: Job, agreed: Agreed) -> tuple[WorkStep, ...]:
    """Every line of the work, in order."""
    basis = Basis(book=book, job=job)
    works = {work.key: work for work in (*agreed.work, *_fitted_one_offs(job, agreed))}
    before = {key: required_before(book, works, work) for key, work in works.items()}
    ends = ends_of(basis, works, before)
    steps = _steps(basis, works)
    known = frozenset(step.key for step in steps)
    todo = [
        _to_do(basis, job, work, known, before[work.key])
        for work in works.values()
        if work.kind != "access" and work.key not in ends
    ]
    return (
        *(_line("first", works[key]) for key in in_order(ends, "first", before)),
        *_in_order(book, works, todo, steps),
        *(_line("last", works[key]) for key in in_order(ends, "last", before)),
    )


def _in_order(
    book: ShopBook, works: Mapping[str, AgreedWork], todo: Sequence[ToDo], steps: Sequence[ToOpen]
) -> Iterator[WorkStep]:
    open_now = 0
    for what, key in order_of_work(todo, steps):
        work = works[key]
        if what == "do":
            yield _line("do", work, open_now=open_now)
            continue
        open_now -= what == "close"
        to_open = book.access[work.code].hours_to_open if work.code in book.access else work.hours
        hours = to_open if what == "open" else work.hours - to_open
        yield _line(what, work, hours, open_now)
        open_now += what == "open"


def _line(kind: StepKind, work: AgreedWork, hours: Decimal | None = None, open_now: int = 0) -> WorkStep:
    return WorkStep(
        kind=kind,
        key=work.key,
        code=work.code,
        side=work.side,
        name=work.name,
        hours=work.hours if hours is None else hours,
        open_now=open_now,
    )


def _fitted_one_offs(job: Job, agreed: Agreed) -> Iterator[AgreedWork]:
    """One-off parts and sublet work that name access: somebody must fit them while it is open."""
    taken = {item.code for item in agreed.items if item.kind == "one-off"}
    for line in job.one_off:
        if line.code in taken and line.kind in ("part", "sublet") and line.access:
            yield AgreedWork(
                key=line.code, code=line.code, side=None, kind="one-off", name=line.line, hours=ZERO, labour=""
            )


def _to_do(basis: Basis, job: Job, work: AgreedWork, steps: frozenset[str], before: Before) -> ToDo:
    if work.kind == "one-off":
        line = next(one for one in job.one_off if one.code == work.code)
        place = len(basis.book.operations) + job.one_off.index(line)
        return ToDo(work.key, basis.steps_from(line.access, None) & steps, frozenset(), (place, 0))
    op = basis.op(work.code, work.side)
    rank = (list(basis.book.operations).index(work.code), _position(job, work.side))
    return ToDo(work.key, op.steps & steps, before, rank)


def _steps(basis: Basis, works: Mapping[str, AgreedWork]) -> list[ToOpen]:
    found = []
    for work in works.values():
        if work.kind == "access":
            step = basis.book.access[work.code]
            needs = basis.steps_from(step.needs, work.side) & works.keys()
            rank = (_position(basis.job, work.side), list(basis.book.access).index(work.code))
            found.append(ToOpen(work.key, frozenset(needs), rank))
    return found


def _position(job: Job, side: str | None) -> int:
    return job.positions.index(side) if side in job.positions else 0
