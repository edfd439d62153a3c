"""A parts order in lines for the screen."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from quotekit.documents.parts_order_json import exact_money
from quotekit.documents.quote_json import money, plain
from quotekit.model.entries import Ordered, OrderLine, ShelfTake
from quotekit.money import minor_digits


def order_text(number: int | None, ordered: Ordered) -> Iterator[str]:
    """Packs by supplier, what the shelf gives, what is left over, and what it lands for."""
    digits = minor_digits(ordered.currency)
    name = "What would be ordered" if number is None else f"Order {number}"
    yield f"{name}, for {', '.join(ordered.jobs)}, in {ordered.currency}"
    for supplier in ordered.suppliers:
        extra = f", freight {money(supplier.freight, digits)}" if supplier.freight else ""
        extra += f", small order fee {money(supplier.fee, digits)}" if supplier.fee else ""
        yield f"{supplier.name}: goods {money(supplier.goods, digits)}{extra}, together {money(supplier.total, digits)}"
        yield from (_line(line, digits) for line in ordered.lines if line.supplier == supplier.supplier)
    if ordered.shelf:
        yield "From the shelf:"
        yield from (_take(take) for take in ordered.shelf)
    yield f"Lands for {money(ordered.landed, digits)}. {ordered.compared}"
    if ordered.usual is not None:
        saved = ordered.usual - ordered.landed
        words = f"so {money(saved, digits)} is saved" if saved else "so nothing is saved"
        yield f"Each part at its usual supplier: {money(ordered.usual, digits)}, {words}."
    elif ordered.lines:
        yield f"Each part at its usual supplier can't be: {ordered.usual_why}."


def _line(line: OrderLine, digits: int) -> str:
    cost = f", {exact_money(line.pack_cost, digits)} a pack" if line.cost_known else ""
    over = f", {plain(line.left_over)} left over" if line.left_over else ""
    over += f", instead of {line.instead_of}" if line.instead_of else ""
    final = "" if line.returnable else ", cannot be returned"
    jobs = ", ".join(f"{plain(units)} for {job}" for job, units in line.jobs.items())
    pack = f"pack of {plain(line.pack_quantity)} {unit_beside(line.unit)}".strip()
    part = without_job(line.part, line.jobs)
    return f"  {line.packs} x {part} ({pack}{cost}): {jobs or 'for no job'}{over}{final}"


def _take(take: ShelfTake) -> str:
    quantity = f"{plain(take.quantity)} {unit_beside(take.unit)}".strip()
    return f"  {quantity} {without_job(take.part, [take.job])} for {take.job}"


def unit_beside(unit: str) -> str:
    """A unit as it is said beside a number: a piece is said by the number alone.

    >>> unit_beside("each"), unit_beside("ft")
    ('', 'ft')
    """
    return "" if unit.strip().casefold() in ("each", "ea", "pc", "piece") else unit.strip()


def without_job(part: str, jobs: Collection[str]) -> str:
    """A part of one job alone without the job, where that stands beside it anyway.

    >>> without_job("BELT of 117", ["117"]), without_job("BELT of 117", ["118"])
    ('BELT', 'BELT of 117')
    """
    [job] = jobs if len(jobs) == 1 else [""]
    return part.removesuffix(f" of {job}") if job else part
