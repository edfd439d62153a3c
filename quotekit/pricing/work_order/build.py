"""The work order of what was agreed: steps in order, cautions once, measurements to take again, parts to hand.

Cautions are those of the operations and access steps, each once, in the order in which the work meets them.
Measured faults that the agreed repairs put right are measured again when the work is done. Standard hours are those of
all work with the allowance for the machine's condition, before savings and rounding up: what the work should take.
Source: shop policy.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from quotekit.model.agreed import Agreed
from quotekit.model.job import FoundFinding, Job
from quotekit.model.shop_book import ShopBook
from quotekit.model.work_order import CautionLine, WorkOrder, WorkStep
from quotekit.pricing.basis import ZERO
from quotekit.pricing.work_order.parts import parts_to_hand
from quotekit.pricing.work_order.steps import steps_of


def build_work_order(book: ShopBook, job: Job, agreed: Agreed) -> WorkOrder:
    """The work that was agreed to, of the shop book and the job it was agreed from."""
    steps = steps_of(book, job, agreed)
    allowance = sum((line.allowance for line in agreed.labour), ZERO)
    return WorkOrder(
        steps=steps,
        cautions=tuple(cautions_of(book, steps)),
        items=agreed.items,
        measurements=tuple(measured_again(job, agreed)),
        parts=parts_to_hand(book, job, agreed),
        standard_hours=sum((work.hours for work in agreed.work), ZERO) + allowance,
        allowance=allowance,
    )


def cautions_of(book: ShopBook, steps: Iterable[WorkStep]) -> Iterator[CautionLine]:
    """Each caution once, with the lines of work it is about."""
    about: dict[str, dict[str, None]] = {}
    for step in steps:
        row = book.access.get(step.code) if step.kind in ("open", "close") else book.operations.get(step.code)
        for code in row.cautions if row is not None else ():
            about.setdefault(code, {})[step.name] = None
    for code, names in about.items():
        caution = book.cautions.get(code)
        if caution is not None:
            yield CautionLine(code=code, text=caution.caution, source=caution.caution_source, about=tuple(names))


def measured_again(job: Job, agreed: Agreed) -> Iterator[FoundFinding]:
    """Measured faults that are put right, in the order of the job."""
    fixed = {key for item in agreed.items for key in item.fixes}
    for found in job.findings:
        if found.measured is not None and found.key in fixed:
            yield found
