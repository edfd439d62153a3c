"""Parts and core charges of any choice (DESIGN.md 5.2 step 6 and 5.4), the same rules as `pricing/parts`.

Quantities are whole numbers of a power of ten; what kits contain is taken off by the quantities before any kit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from quotekit.model.expression import Expression, minus, most, rounded, times, weighted
from quotekit.model.shop_book import Part
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.live.work import LiveWork
from quotekit.pricing.live.working import Working, decimals, whole
from quotekit.pricing.parts import one_off_amount
from quotekit.record import record

Uses = dict[str, list[tuple[Decimal, Expression]]]


@record
class LivePart:
    """One part: its quantity (times ten to `places`) and amounts in minor units. `part` is None for a one-off line."""

    code: str
    quantity: Expression
    places: int
    amount: Expression
    core: Expression
    supplier: str
    part: Part | None
    own: bool = False

    @property
    def taxed_as(self) -> str:
        """The charge word that taxes it."""
        return (self.part.taxed_as if self.part else None) or "parts"


def live_parts(working: Working, work: LiveWork) -> list[LivePart]:
    """Every part any choice may need, in text order of the codes."""
    uses = uses_of(work)
    places = _places(working.basis, uses)
    taken = _contents(working.basis, uses)
    lines = []
    for code, used in uses.items():
        quantity = weighted((whole(amount, places), flag) for amount, flag in used)
        inside = weighted((whole(amount, places), flag) for amount, flag in taken.get(code, ()))
        left = quantity if inside == 0 else most(0, minus(quantity, inside))
        lines.append(_line(working, code, working.step("quantity", left), places))
    lines += _one_offs(working, work)
    return sorted(lines, key=lambda line: line.code)


def uses_of(work: LiveWork) -> Uses:
    """What operations, steps and items bring, before kits, each with its flag."""
    uses: Uses = {}
    for op in work.operations:
        add_uses(uses, op.parts, work.present(op.key))
    for key, flag in work.steps.items():
        add_uses(uses, work.basis.step_named(key).parts, flag)
    for one in work.taken:
        if one.item.parts:
            add_uses(uses, one.item.parts, work.effective(one))
    return uses


def add_uses(uses: Uses, parts: Iterable[tuple[str, Decimal]], flag: Expression) -> None:
    """Add parts that a flag brings; those never brought are left out."""
    if flag != 0:
        for code, quantity in parts:
            uses.setdefault(code, []).append((quantity, flag))


def priced(working: Working, code: str, quantity: Expression, places: int) -> Expression:
    """round(unit price x quantity) in minor units."""
    return rounded(times(quantity, working.minor(working.basis.price(code).price)), 10**places)


def places_of(uses: Uses) -> int:
    """Decimals that every quantity needs."""
    return decimals(amount for used in uses.values() for amount, _ in used)


def _line(working: Working, code: str, quantity: Expression, places: int) -> LivePart:
    basis = working.basis
    part = basis.part(code)
    if code in basis.own_parts:
        return LivePart(code=code, quantity=quantity, places=places, amount=0, core=0, supplier="", part=part, own=True)
    return LivePart(
        code=code,
        quantity=quantity,
        places=places,
        amount=working.step("part", priced(working, code, quantity, places)),
        core=_core(working, part, quantity, places),
        supplier=part.supplier,
        part=part,
    )


def _core(working: Working, part: Part, quantity: Expression, places: int) -> Expression:
    if working.basis.job.old_parts != "keep" or not part.core_charge:
        return 0
    more = max(0, decimals([part.core_charge]) - working.basis.digits)
    charge = whole(part.core_charge, working.basis.digits + more)
    return working.step("core charge", rounded(times(quantity, charge), 10 ** (places + more)))


def _places(basis: Basis, uses: Uses) -> int:
    """Decimals of the quantities and of what kits take off them."""
    return max(places_of(uses), places_of(_contents(basis, uses)))


def _contents(basis: Basis, uses: Mapping[str, list[tuple[Decimal, Expression]]]) -> Uses:
    taken: Uses = {}
    for code, used in uses.items():
        for content in basis.part(code).contains:
            final = basis.final_part(content.code).code
            for quantity, flag in used:
                add_uses(taken, ((final, quantity * content.quantity),), flag)
    return taken


def _one_offs(working: Working, work: LiveWork) -> list[LivePart]:
    lines = []
    for one in work.taken:
        line = one.item.one_off
        if line is not None and line.kind == "part":
            amount = one_off_amount(working.basis, line)
            lines.append(
                LivePart(
                    code=line.code,
                    quantity=times(one.flag, 1 if line.quantity > ZERO else 0),
                    places=0,
                    amount=times(one.flag, working.minor(amount.amount)),
                    core=0,
                    supplier=amount.supplier,
                    part=None,
                )
            )
    return lines
