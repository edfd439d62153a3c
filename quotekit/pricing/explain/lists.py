"""What is in a tier and why, entry by entry: items, operations, access, dropped, fixed, left (5.2 and 5.7)."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from quotekit.model.explanation import Explanation
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import Tier
from quotekit.pricing.basis import Op
from quotekit.pricing.explain.told import Told, cell, cells_in, listed, words
from quotekit.pricing.items import ALWAYS, Item
from quotekit.problems import Place

Figures = dict[str, Callable[[], Explanation]]

_RULES = {
    "items": "Remedies chosen by the tier's aim or by the plan, extras asked for, and one-off lines (rules 5.7).",
    "operations": "What the items bring, what that requires, and what is done on every such job (rules 5.2).",
    "access": "Every step that the operations reach, each once (rules 5.2 step 5).",
    "dropped": "What larger work includes, and what only dropped work required (rules 5.2 step 4).",
    "fixed": "Every recorded fault that an item puts right (rules 5.9, Findings).",
    "left": "Every recorded fault that no item puts right (rules 5.9, Findings).",
    "safety_left": "Safety findings among those left (rules 5.7).",
}


def list_figures(told: Told, tier: PricedTier) -> Figures:
    """`items`, `items.KEY` and so on: the list as a whole, and each of its entries."""
    entries: dict[str, tuple[tuple[str, ...], Callable[[Told, PricedTier, str], Explanation]]] = {
        "items": (tuple(item.key for item in tier.items), _item),
        "operations": (tuple(line.key for line in tier.operations), _operation),
        "access": (tuple(line.key for line in tier.access), _access),
        "dropped": (tier.dropped, _dropped),
        "fixed": (tier.fixed, _fixed),
        "left": (tier.left, _left),
        "safety_left": (tier.safety_left, _safety_left),
    }
    figures: Figures = {}
    for name, (keys, make) in entries.items():
        made = {f"{name}.{key}": _maker(told, tier, key, f"{name}.{key}", make) for key in keys}
        figures[name] = _whole(told, name, keys, made)
        figures |= made
    return figures


def named(figure: str, key: str, rule: str, cells: Iterable[Place]) -> Explanation:
    """An entry of a list: itself, and why it is there."""
    return words(figure, key, rule, cells=cells)


def _maker(
    told: Told, tier: PricedTier, key: str, figure: str, make: Callable[[Told, PricedTier, str], Explanation]
) -> Callable[[], Explanation]:
    return lambda: told.once(figure, lambda: make(told, tier, key))


def _whole(told: Told, name: str, keys: tuple[str, ...], made: Figures) -> Callable[[], Explanation]:
    return lambda: told.once(name, lambda: words(name, keys, _RULES[name], inputs=[one() for one in made.values()]))


def _item(told: Told, tier: PricedTier, key: str) -> Explanation:
    item = next(one for one in told.charges.work.items if one.key == key)
    rule, cells = _why_item(told, tier, item)
    done = ", done by larger work" if told.charges.work.is_done_by_larger(item) else ""
    return named(f"items.{key}", key, f"{rule[:-1]}{done}.", cells)


def _why_item(told: Told, tier: PricedTier, item: Item) -> tuple[str, tuple[Place, ...]]:
    """In words why an item is taken, with the cells that say so."""
    job = told.basis.job
    if item.one_off is not None:
        return f"{item.one_off.line}: a one-off line of the job (rules 4).", cells_in(
            item.one_off.source, "Line", "Tier"
        )
    if item.asked:
        rows = [row for row in job.extras if row.asked and row.code == item.code]
        cells = tuple(place for row in rows for place in cells_in(row.source, "Extra", "Customer asked"))
        return "The customer asked for it, so it is in every tier (rules 4, Extras).", cells
    if tier.planned:
        plan = [row for row in job.plan if row.tier == tier.code and row.code == item.code]
        cells = tuple(place for row in plan for place in cells_in(row.source, "Tier", "Item", "Side"))
        return "The plan of the job says so (rules 4, Plan).", cells
    assert item.remedy is not None
    own = cells_in(item.remedy.source, "Code", "Fixes", "Operations", "Life years", "Needs fixed")
    rule = f"It puts right {listed(sorted(item.fixes))}; of what may be used, taken for the aim {tier.aim} (rules 5.7)."
    return rule, (
        *own,
        *_cells_of_faults(told, sorted(item.fixes)),
        *cells_in(_tier_row(told, tier).source, "Covers", "Aim"),
    )


def _operation(told: Told, tier: PricedTier, key: str) -> Explanation:
    op, users = told.basis.op_named(key), told.users
    if key in users.always:
        rule = "Done on every job of this machine class (rules 5.2 step 1)."
        return named(f"operations.{key}", key, rule, _always_cells(told, key))
    by = users.of_operation[key]
    rule = f"Brought by {listed(by)} (rules 5.2)."
    return named(f"operations.{key}", key, rule, _bringing_cells(told, op, by))


def _access(told: Told, tier: PricedTier, key: str) -> Explanation:
    ops = [told.basis.op_named(one) for one in sorted(told.charges.work.present)]
    reaching = [op for op in ops if key in op.steps]
    rule = f"Reached by {listed(op.key for op in reaching)} (rules 5.2 step 5)."
    cells = [place for op in reaching if op.operation for place in cell(op.operation.source, "Access")]
    for op in reaching:
        line = next((one for one in told.basis.job.one_off if one.code == op.key), None)
        cells += cell(line.source, "Access") if line is not None else ()
    for other in sorted(told.charges.work.steps):
        step = told.basis.step_named(other).step
        if told.basis.step_named(key).code in step.needs:
            cells += cell(step.source, "Needs")
    return named(f"access.{key}", key, rule, cells)


def _dropped(told: Told, tier: PricedTier, key: str) -> Explanation:
    work = told.charges.work
    wanted = [told.basis.op_named(one) for one in sorted(work.present | work.dropped)]
    larger = [op for op in wanted if key in op.includes and op.key != key]
    if larger:
        rule = f"Included in {listed(op.key for op in larger)}, so it is not charged again (rules 5.2 step 4)."
        cells = [place for op in larger if op.operation for place in cell(op.operation.source, "Includes")]
        return named(f"dropped.{key}", key, rule, cells)
    by = [one for item in work.items for one, needed in item.edges if needed == key]
    requiring = [told.basis.op_named(one) for one in dict.fromkeys(by)]
    rule = f"Only {listed(op.key for op in requiring)}, which is dropped, required it (rules 5.2 step 4)."
    cells = [place for op in requiring if op.operation for place in cell(op.operation.source, "Requires")]
    return named(f"dropped.{key}", key, rule, cells)


def _fixed(told: Told, tier: PricedTier, key: str) -> Explanation:
    items = [item for item in told.charges.work.items if key in item.fixes]
    rule = f"Put right by {listed(item.key for item in items)} (rules 5.9, Findings)."
    cells = [*_cells_of_faults(told, [key])]
    for item in items:
        record = item.remedy or item.one_off
        cells += cell(record.source, "Fixes") if record is not None else ()
    return named(f"fixed.{key}", key, rule, cells)


def _left(told: Told, tier: PricedTier, key: str) -> Explanation:
    return named(f"left.{key}", key, _why_left(told, tier, key), _left_cells(told, tier, key))


def _safety_left(told: Told, tier: PricedTier, key: str) -> Explanation:
    rule = f"A safety finding: {_why_left(told, tier, key)}"
    return named(f"safety_left.{key}", key, rule, _left_cells(told, tier, key))


def _why_left(told: Told, tier: PricedTier, key: str) -> str:
    """Why a fault stays."""
    severity = told.setup.candidates.faults[key].severity
    if not tier.priced:
        return "This tier could not be worked out, so nothing is put right in it (rules 5.7)."
    if tier.planned:
        return "No item that the plan of the job takes puts it right (rules 4, Plan)."
    if severity not in _tier_row(told, tier).covers:
        return f"It is {severity}, which this tier does not cover, and nothing taken puts it right (rules 5.7)."
    if not told.setup.candidates.for_fault[key]:
        return f"It is {severity}, and the book has no remedy for it on this machine (rules 5.7)."
    return f"It is {severity}, and no permitted remedy puts it right together with the others (rules 5.7)."


def _left_cells(told: Told, tier: PricedTier, key: str) -> tuple[Place, ...]:
    return (*_cells_of_faults(told, [key]), *cells_in(_tier_row(told, tier).source, "Covers"))


def _cells_of_faults(told: Told, keys: Iterable[str]) -> tuple[Place, ...]:
    """The cells in which faults were recorded, and the book's severity where it holds."""
    found: list[Place] = []
    for key in keys:
        fault = told.setup.candidates.faults[key]
        found += cells_in(fault.source, "Finding", "Side", "Measured", "Severity")
        known = told.basis.book.findings.get(fault.code)
        if known is not None and not fault.severity_typed:
            found += cells_in(known.source, "Severity", *(("Limit",) if fault.measured is not None else ()))
    return tuple(found)


def _tier_row(told: Told, tier: PricedTier) -> Tier:
    return next(row for row in told.basis.book.tiers if row.code == tier.code)


def _always_cells(told: Told, key: str) -> tuple[Place, ...]:
    machine = (told.basis.book.machines or {}).get(told.basis.job.machine_class)
    own = cell(machine.source, "Always") if machine else ()
    return (*own, *_requiring_cells(told, key, [told.charges.work.always]))


def _bringing_cells(told: Told, op: Op, by: Iterable[str]) -> tuple[Place, ...]:
    """Cells that name an operation, or what requires it."""
    items = [item for item in told.charges.work.items if item.key in set(by)]
    found: list[Place] = []
    for item in items:
        record = item.remedy or item.extra
        if op.key in item.direct and record is not None:
            found += cell(record.source, "Operations")
        elif op.key in item.direct and item.kind == "operation" and item.key != ALWAYS:
            found += [
                place for row in told.basis.job.plan if row.code == item.code for place in cell(row.source, "Item")
            ]
    return (*found, *_requiring_cells(told, op.key, items))


def _requiring_cells(told: Told, key: str, items: Iterable[Item]) -> tuple[Place, ...]:
    by = {one for item in items for one, needed in item.edges if needed == key}
    ops = [told.basis.op_named(one) for one in sorted(by)]
    return tuple(place for op in ops if op.operation for place in cell(op.operation.source, "Requires"))
