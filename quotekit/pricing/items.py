"""Items: the remedies, extras, plan items and one-off lines a tier takes, on their sides (DESIGN.md 5.2 and 5.9).

A sided remedy or extra (any of its operations, or one they require, is done each side) exists once a side;
any other exists once. A one-off line brings its own hours and the access it names.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from quotekit.model.job import FoundFinding, OneOff, at_side
from quotekit.model.quote import ItemKind
from quotekit.model.shop_book import Extra, Quantity, Remedy
from quotekit.pricing.basis import ZERO, Basis, Op, PartUse

ALWAYS = "(always)"


@dataclass(frozen=True, kw_only=True, eq=False)
class Item:
    """Something a tier takes: its operations, what requires what, its own parts and the faults it fixes."""

    key: str
    code: str
    side: str | None
    kind: ItemKind
    direct: frozenset[str]
    wanted: frozenset[str]
    edges: tuple[tuple[str, str], ...]
    """(operation, operation it forces), within this item."""
    parts: tuple[PartUse, ...] = ()
    fixes: frozenset[str] = frozenset()
    remedy: Remedy | None = None
    extra: Extra | None = None
    one_off: OneOff | None = None
    asked: bool = False

    @property
    def life(self) -> Decimal | None:
        """Years stated for a remedy; None where not stated or not a remedy."""
        return self.remedy.life_years if self.remedy else None


def remedy_item(basis: Basis, remedy: Remedy, side: str | None) -> Item:
    """A remedy on a side (None where it is not sided)."""
    return _item(
        basis,
        code=remedy.code,
        side=side,
        kind="remedy",
        operations=remedy.operations,
        parts=remedy.parts,
        fixes=fixed_by(remedy, side, basis.job.findings),
        remedy=remedy,
    )


def extra_item(basis: Basis, extra: Extra, side: str | None, *, asked: bool = False) -> Item:
    """An extra on a side (None where it is not sided)."""
    return _item(
        basis,
        code=extra.code,
        side=side,
        kind="extra",
        operations=extra.operations,
        parts=extra.parts,
        extra=extra,
        asked=asked,
    )


def operation_item(basis: Basis, code: str, side: str | None) -> Item:
    """An operation the technician put in a plan by itself."""
    return _item(basis, code=code, side=side, kind="operation", operations=(code,))


def always_item(basis: Basis) -> Item:
    """The machine class's Always operations, which no item owns."""
    return _item(basis, code=ALWAYS, side=None, kind="operation", operations=basis.always)


def one_off_item(basis: Basis, line: OneOff) -> Item:
    """A line no shop book foresees, with its own work as an operation of its own."""
    op = basis.keep_op(
        Op(
            key=line.code,
            code=line.code,
            side=None,
            net_hours=line.quantity if line.kind == "labour" else ZERO,
            second_side_hours=None,
            rate=line.labour or basis.default_rate,
            slowed=line.slowed_by_rust,
            steps=basis.steps_from(line.access, None),
            parts=(),
            includes=frozenset(),
            operation=None,
        )
    )
    fixes = frozenset(found.key for found in basis.job.findings if found.fault and found.code in line.fixes)
    return Item(
        key=line.code,
        code=line.code,
        side=None,
        kind="one-off",
        direct=frozenset({op.key}),
        wanted=frozenset({op.key}),
        edges=(),
        fixes=fixes,
        one_off=line,
    )


def fixed_by(remedy: Remedy, side: str | None, findings: Iterable[FoundFinding]) -> frozenset[str]:
    """Keys of the faults a remedy puts right: on its side, or everywhere when it has none."""
    fixes = remedy.fixes
    return frozenset(
        found.key for found in findings if found.code in fixes and found.fault and (side is None or found.side == side)
    )


def _item(
    basis: Basis,
    *,
    code: str,
    side: str | None,
    kind: ItemKind,
    operations: Iterable[str],
    parts: tuple[Quantity, ...] = (),
    fixes: frozenset[str] = frozenset(),
    remedy: Remedy | None = None,
    extra: Extra | None = None,
    asked: bool = False,
) -> Item:
    direct = [basis.op(operation, side).key for operation in operations]
    wanted, edges = _requirements(basis, direct, side)
    return Item(
        key=at_side(code, side),
        code=code,
        side=side,
        kind=kind,
        direct=frozenset(direct),
        wanted=frozenset(wanted),
        edges=tuple(edges),
        parts=basis.uses(code, parts, side) if remedy or extra else (),
        fixes=fixes,
        remedy=remedy,
        extra=extra,
        asked=asked,
    )


def _requirements(basis: Basis, direct: list[str], side: str | None) -> tuple[dict[str, None], list[tuple[str, str]]]:
    """All operations an item wants, and the (requirer, required) pairs; the item's side is handed down."""
    wanted: dict[str, None] = {}
    edges: list[tuple[str, str]] = []
    waiting = list(direct)
    while waiting:
        key = waiting.pop(0)
        if key in wanted:
            continue
        wanted[key] = None
        operation = basis.op_named(key).operation
        for code in operation.requires if operation else ():
            required = basis.op(code, side).key
            edges.append((key, required))
            waiting.append(required)
    return wanted, edges
