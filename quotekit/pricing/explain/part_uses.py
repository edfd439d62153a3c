"""Where the quantity of a part comes from: each operation, step and item that brings it, and what kits take off (5.2).

A row of `Parts` or of Parts used gives a quantity; a part that was replaced stands for its successor; what a part also
needs comes with it, quantity x quantity.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Literal

from quotekit.model.explanation import Explanation
from quotekit.model.shop_book import Part, Quantity
from quotekit.model.source import Source
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain.told import Told, Use, cell, leaf, number
from quotekit.pricing.items import Item
from quotekit.pricing.sides import counts_on
from quotekit.problems import Place

Kind = Literal["operation", "step", "item"]
_BRINGS = "What each operation, step and item brings (rules 5.2 step 6)."


def quantity_before_kits(told: Told, part: str) -> Explanation:
    """How many of a part all operations, steps and items bring."""
    return told.once(f"before kits {part}", lambda: together(f"{part} brought", uses_of(told)[part], _BRINGS))


def quantity(told: Told, part: str, amount: Decimal, from_kits: Decimal) -> Explanation:
    """`parts.CODE.quantity`: what is brought less what kits contain."""
    return told.once(f"parts.{part}.quantity", lambda: _quantity(told, part, amount, from_kits))


def uses_of(told: Told) -> dict[str, list[Use]]:
    """Everything that the work present and the items bring, by part."""
    if not told.uses:
        work = told.charges.work
        active = [item for item in work.items if item.parts and not work.is_done_by_larger(item)]
        for use in uses_of_work(told, sorted(work.present), sorted(work.steps), active):
            told.uses.setdefault(use.part, []).append(use)
    return told.uses


def uses_of_work(told: Told, operations: Iterable[str], steps: Iterable[str], items: Iterable[Item]) -> Iterator[Use]:
    """What these operations, steps and items bring."""
    basis = told.basis
    for key in operations:
        op = basis.op_named(key)
        if op.operation is not None:
            yield from _uses_of_one(told, "operation", key, op.side, op.operation.parts, op.operation.source)
    for key in steps:
        step = basis.step_named(key)
        yield from _uses_of_one(told, "step", key, step.side, step.step.parts, step.step.source)
    for item in items:
        record = item.remedy or item.extra
        if record is not None:
            yield from _uses_of_one(told, "item", item.key, item.side, record.parts, record.source)


def together(figure: str, uses: Iterable[Use], rule: str) -> Explanation:
    """Several uses of a part as their sum."""
    known = list(uses)
    return number(figure, sum((use.quantity for use in known), ZERO), "sum", [use.told for use in known], rule)


def _quantity(told: Told, part: str, amount: Decimal, from_kits: Decimal) -> Explanation:
    name = told.name(f"parts.{part}.quantity")
    brought = quantity_before_kits(told, part)
    if not from_kits:
        return number(name, amount, "same", (brought,), brought.rule, cells=_stands_for(told, part))
    rule = "What is brought less what kits contain, never below zero (rules 5.2 step 6)."
    return number(name, amount, "difference", (brought, _from_kits(told, part, from_kits)), rule)


def _from_kits(told: Told, part: str, taken: Decimal) -> Explanation:
    basis, kits = told.basis, []
    for kit in uses_of(told):
        record = basis.part(kit)
        for content in record.contains:
            if basis.final_part(content.code).code == part:
                kits.append(_content(told, record, content))
    rule = "Quantity of each kit x what it contains, by the quantities before any kit (rules 5.9)."
    total = sum((node.number for node in kits if isinstance(node.number, Decimal)), ZERO)
    contained = number(f"{part} in kits", total, "sum", kits, rule)
    rule = "What kits contain, at most what is brought (rules 5.2 step 6)."
    return number(f"{part} taken from kits", taken, "least", (contained, quantity_before_kits(told, part)), rule)


def _content(told: Told, kit: Part, content: Quantity) -> Explanation:
    many = quantity_before_kits(told, kit.code)
    each = leaf(
        f"{content.code} in {kit.code}",
        content.quantity,
        cells=cell(kit.source, "Contains"),
        rule="What a kit contains.",
    )
    total = sum((use.quantity for use in uses_of(told)[kit.code]), ZERO) * content.quantity
    return number(
        f"{content.code} in {kit.code} together", total, "product", (many, each), "Kits x content (rules 5.9)."
    )


def _uses_of_one(
    told: Told, kind: Kind, key: str, side: str | None, parts: Iterable[Quantity], source: Source
) -> Iterator[Use]:
    """The rows one operation, step or item brings on one side, with companions."""
    basis, code = told.basis, key.partition("@")[0]
    rows = [(entry, cell(source, "Parts")) for entry in parts]
    for used in basis.book.parts_used_by.get(code, ()):
        here = not used.sides or (side is not None and counts_on(used.sides, side))
        if here and (not used.machines or basis.job.machine_class in used.machines):
            entry = Quantity(code=used.part, quantity=used.quantity)
            rows.append((entry, (*cell(used.source, "Quantity"), *cell(used.source, "Part"))))
    for entry, cells in rows:
        given = leaf(
            f"{entry.code} for {key}", entry.quantity, cells=cells, rule=f"Brought by {key} (rules 5.2 step 6)."
        )
        for part, many, node in _with_companions(told, entry.code, given, entry.quantity):
            yield Use(part, many, node, kind, key)


def _with_companions(
    told: Told, code: str, node: Explanation, many: Decimal
) -> Iterator[tuple[str, Decimal, Explanation]]:
    """A part in place of which stands its successor, and what it also needs."""
    part = told.basis.final_part(code)
    if part.code != code:
        rule = f"{code} is replaced by {part.code} (rules 5.2 step 6)."
        node = number(f"{part.code} for {code}", many, "same", (node,), rule, cells=_replacements(told, code))
    yield part.code, many, node
    for companion in part.also_needs:
        each = leaf(
            f"{companion.code} with each {part.code}", companion.quantity, cells=cell(part.source, "Also needs")
        )
        rule = f"Each {part.code} also needs it (rules 5.2 step 6)."
        needed = many * companion.quantity
        with_it = number(f"{companion.code} with {part.code}", needed, "product", (node, each), rule)
        yield from _with_companions(told, companion.code, with_it, needed)


def _replacements(told: Told, code: str) -> tuple[Place, ...]:
    """Cells of `Replaced by` from a code to its end."""
    cells: list[Place] = []
    part = told.basis.part(code)
    while part.replaced_by is not None:
        cells += cell(part.source, "Replaced by")
        part = told.basis.part(part.replaced_by)
    return tuple(cells)


def _stands_for(told: Told, part: str) -> tuple[Place, ...]:
    """The cell that could replace the part."""
    return cell(told.basis.part(part).source, "Replaced by")
