"""What a bill says of the work: what was done, with its warranty, what to beware of, and what cost nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from quotekit.model.agreed import AgreedItem
from quotekit.model.entries import BilledWork
from quotekit.pricing.basis import Basis
from quotekit.pricing.bill.done import Done, labour_by_item
from quotekit.pricing.bill.lines import at_side_words
from quotekit.pricing.bill.parts_used import PartsUsed
from quotekit.pricing.work import Work
from quotekit.problems import Place, Problem, warning


def work_lines(done: Done, *, by_repair: bool) -> tuple[BilledWork, ...]:
    """What was done in the customer's words; with its labour where the shop shows labour by repair."""
    labour = labour_by_item(done) if by_repair else {}
    return tuple(
        BilledWork(text=item_words(item), warranty_days=item.warranty_days, labour=labour.get(item.key))
        for item in done.items
    )


def item_words(item: AgreedItem) -> str:
    """An agreed item in the customer's words, with its side."""
    return at_side_words(item.wording or item.name, item.side)


def cautions_for_customer(basis: Basis, work: Work) -> tuple[str, ...]:
    """Cautions of the work done that are for the customer, each once, in the order of the book."""
    named = set(_caution_codes(basis, work))
    return tuple(one.caution for one in basis.book.cautions.values() if one.for_customer and one.code in named)


def _caution_codes(basis: Basis, work: Work) -> Iterator[str]:
    for key in work.present:
        operation = basis.op_named(key).operation
        yield from operation.cautions if operation else ()
    for key in work.steps:
        yield from basis.step_named(key).step.cautions


def part_problems(place: Place, parts: PartsUsed, *, charged: bool) -> list[Problem]:
    """What the shop should know of parts that cost the customer nothing."""
    found = [
        warning(
            place,
            "part-not-in-book",
            f"{code} was used; the shop book frozen with this quote has no such part: it is not charged.",
            "Put it in the job and revise the job before the work is billed.",
        )
        for code in parts.unknown
    ]
    if parts.more and not charged:
        named = ", ".join(f"{quantity:f} x {name}" for name, quantity in parts.more)
        message = f"More parts were used than agreed and are not charged: {named}."
        remedy = "To charge them, revise the job and get the customer's yes before billing."
        found.append(warning(place, "parts-beyond-consent", message, remedy))
    return found


def part_notes(parts: PartsUsed, *, charged: bool) -> Iterable[str]:
    """What the customer reads of parts beyond what was agreed."""
    for name, quantity in parts.more:
        words = f"{quantity:f} more of {name}"
        why = "needed, within what may be charged without asking you" if charged else "not charged"
        yield f"{words}: {why}."
