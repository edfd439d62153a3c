"""The lines of a work order: what was agreed, opened, done, tested and closed in order, with standard hours.

Work that is always done on a machine of the class comes first or last: a test, a check, a run or a clean-up last, all
else first, so that making safe is never late. Where no word says it, the first of several is first and the rest last.
Work without access that reads as a test comes last too, though it is not always done. A step's standard hours are those
to open beside its opening and those to close beside its closing. One-off work is done while what it names is open.
Source: shop policy.

Worked example: Always `SAFE; TEST`, SEAL behind COVER (0.2 to open, 0.3 to close):
SAFE first, open COVER 0.2, do SEAL, close COVER 0.3, TEST last.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from quotekit.model.agreed import Agreed, AgreedWork
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.model.work_order import StepKind, WorkStep
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.work_order.order import ToDo, ToOpen, order_of_work

_WORDS = re.compile(r"[^\W\d_]+")
_AT_THE_END = frozenset("test tests tested testing check checks run final try trial clean cleaning wash".split())
_AT_THE_START = frozenset("safe safety isolate isolated lock lockout".split())


def steps_of(book: ShopBook, job: Job, agreed: Agreed) -> tuple[WorkStep, ...]:
    """Every line of the work, in order."""
    basis = Basis(book=book, job=job)
    works = {work.key: work for work in (*agreed.work, *_fitted_one_offs(job, agreed))}
    ends = _ends(basis, works)
    steps = _steps(basis, works)
    known = frozenset(step.key for step in steps)
    todo = [
        _to_do(basis, job, work, known) for work in works.values() if work.kind != "access" and work.key not in ends
    ]
    return (
        *(_line("first", works[key]) for key in _at(ends, "first")),
        *_in_order(book, works, todo, steps),
        *(_line("last", works[key]) for key in _at(ends, "last")),
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


def _ends(basis: Basis, works: Mapping[str, AgreedWork]) -> dict[str, StepKind]:
    """Which operations come before all else and which after, in order."""
    always = [basis.op(code, None).key for code in basis.always]
    found: dict[str, StepKind] = {}
    for place, key in enumerate(always):
        if key in works and not basis.op_named(key).steps:
            words = _words(works[key])
            last = not words & _AT_THE_START and (bool(words & _AT_THE_END) or place > 0)
            found[key] = "last" if last else "first"
    for key, work in works.items():
        plain = work.kind == "operation" and key not in found and not basis.op(work.code, work.side).steps
        if plain and "test" in _words(work):
            found[key] = "last"
    return found


def _words(work: AgreedWork) -> set[str]:
    return set(_WORDS.findall(f"{work.code} {work.name}".casefold()))


def _at(ends: Mapping[str, StepKind], end: StepKind) -> list[str]:
    return [key for key, at in ends.items() if at == end]


def _to_do(basis: Basis, job: Job, work: AgreedWork, steps: frozenset[str]) -> ToDo:
    if work.kind == "one-off":
        line = next(one for one in job.one_off if one.code == work.code)
        place = len(basis.book.operations) + job.one_off.index(line)
        return ToDo(work.key, basis.steps_from(line.access, None) & steps, frozenset(), (place, 0))
    op = basis.op(work.code, work.side)
    required = basis.book.operations[work.code].requires
    after = frozenset(basis.op(code, work.side).key for code in required)
    rank = (list(basis.book.operations).index(work.code), _position(job, work.side))
    return ToDo(work.key, op.steps & steps, after, rank)


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
