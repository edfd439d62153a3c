"""The order that lands for least, with its proof, and one order where several land for the same.

First the least money, by the integer program; then, among orders that land for as much, the fewest suppliers; then the
fewest packs; then the most packs from the earlier offer, parts in text order, the usual supplier of a part before
others in text order. The solver works in floats: what it finds is counted and priced again exactly, and its bound is
kept as a whole number of minor units. Where it does not come to its end in time the best order found stands, the one
at the usual suppliers and the one at the quickest among them, with how far it may be from the least.
Units: money in minor units. Source: shop policy for the order of ties.

Worked example: a belt for 9.90 at A and at B, a bearing at A alone: both from A, one order in place of two.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from quotekit.model.landed import LandedChoice, OrderTask, PackOffer, Packs, UsualOrder
from quotekit.money import whole_units
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.solver import Answer, Solver
from quotekit.pricing.landed.in_time import Cover, is_covered
from quotekit.pricing.landed.price import by_supplier, goods_of, is_below_minimum, landed_cost, terms_of
from quotekit.pricing.landed.program import OrderProgram, order_program

SECONDS = 20
"""Of solving for one order."""
_MARGIN = Fraction(1, 1_000)
"""Of a minor unit, for the solver's floats."""
_BLOCK = 10_000
"""How far apart the weights of offers settled in one solve may be."""


def choose_order(task: OrderTask, covers: Sequence[Cover], usual: UsualOrder, seconds: Any = SECONDS) -> LandedChoice:
    """The cheapest order."""
    only = only_way(task, covers)
    if only is not None:
        return _counted(task, only)
    stated = order_program(task, covers)
    solver = Solver(stated.program, seconds)
    answer = solver.least(stated.money)
    best = _best(task, covers, [*_found(stated, answer), usual.packs, _quickest(covers)])
    if not _is_proven(task, answer, best):
        return _stopped(task, stated, answer, best)
    settled, done = _settle(task, covers, stated, solver, best)
    return _proven(task, stated, settled, done)


def only_way(task: OrderTask, covers: Sequence[Cover]) -> tuple[Packs, ...] | None:
    """The one order worth placing, where each part has one offer and no threshold is left to reach."""
    found: dict[PackOffer, int] = {}
    for cover in covers:
        if len(cover.offers) != 1:
            return None
        offer = cover.offers[0]
        found[offer] = max(found.get(offer, 0), whole_units(cover.units, offer.pack_quantity))
    if len({offer.part for offer in found}) < len(found):
        return None
    packs = tuple(Packs(offer=offer, packs=count) for offer, count in found.items())
    for supplier, lines in by_supplier(packs).items():
        terms, goods = terms_of(task, supplier), goods_of(lines)
        could_be_free = terms.freight and terms.free_freight_from and goods < terms.free_freight_from
        if could_be_free or (terms.small_order_fee and is_below_minimum(terms, goods)):
            return None
    return packs


def is_order(covers: Sequence[Cover], packs: Sequence[Packs]) -> bool:
    """True where packs bring everything in time."""
    return is_covered(covers, {line.offer: line.packs for line in packs})


def _found(stated: OrderProgram, answer: Answer) -> list[tuple[Packs, ...]]:
    return [] if answer.values is None else [stated.chosen(answer.values)]


def _best(task: OrderTask, covers: Sequence[Cover], orders: Sequence[tuple[Packs, ...]]) -> tuple[Packs, ...]:
    whole = [packs for packs in orders if is_order(covers, packs)]
    return min(whole, key=lambda packs: landed_cost(task, packs))


def _quickest(covers: Sequence[Cover]) -> tuple[Packs, ...]:
    """Each part where it is in time for its first day, at the least a unit: an order there always is."""
    first: dict[str, PackOffer] = {}
    packs: dict[PackOffer, int] = {}
    for cover in covers:
        offer = first.setdefault(cover.part, min(cover.offers, key=_unit_cost))
        packs[offer] = max(packs.get(offer, 0), whole_units(cover.units, offer.pack_quantity))
    return tuple(Packs(offer=offer, packs=count) for offer, count in packs.items())


def _unit_cost(offer: PackOffer) -> Fraction:
    return Fraction(offer.pack_cost) / Fraction(offer.pack_quantity)


def _is_proven(task: OrderTask, answer: Answer, best: Sequence[Packs]) -> bool:
    bound = answer.bound
    return answer.ending == "proven" and bound is not None and bound >= _minor(task, landed_cost(task, best))


def _settle(
    task: OrderTask, covers: Sequence[Cover], stated: OrderProgram, solver: Solver, best: tuple[Packs, ...]
) -> tuple[tuple[Packs, ...], bool]:
    """The first order in the fixed order of those that land for as much, and whether that is sure."""
    money = _minor(task, landed_cost(task, best))
    held = _too_dear_to_change(stated, solver, money)
    solver.hold(held)
    stated.program.row(stated.money, high=money)
    for wanted in (stated.suppliers, stated.all_packs, *_in_blocks(stated, held)):
        answer = solver.least(wanted)
        if answer.ending != "proven" or answer.values is None:
            return best, False
        packs = stated.chosen(answer.values)
        if not is_order(covers, packs) or _minor(task, landed_cost(task, packs)) > money:
            return best, False
        best, reached = packs, wanted.value(answer.values)
        stated.program.row(wanted, high=reached)
    return best, True


def _too_dear_to_change(stated: OrderProgram, solver: Solver, money: int) -> dict[int, int]:
    """Unknowns with the value that they have in every order that lands for as much: any other costs more."""
    relaxed = solver.relaxed(stated.money, range(len(stated.program.bounds)))
    if relaxed is None:
        return {}
    return relaxed.dearer_to_change(money - relaxed.bound + _MARGIN)


def _in_blocks(stated: OrderProgram, held: Collection[int]) -> Iterator[Line]:
    """Packs of offers, most first: several offers in one sum where each weighs more than all after it together."""
    block: list[tuple[int, int]] = []
    size = 1
    for place in (place for place in stated.packs.values() if place not in held):
        _, most = stated.program.bounds[place]
        if block and size * (most + 1) > _BLOCK:
            yield _weighed(block)
            block, size = [], 1
        block.append((place, most))
        size *= most + 1
    if block:
        yield _weighed(block)


def _weighed(block: Sequence[tuple[int, int]]) -> Line:
    line, weight = Line(), 1
    for place, most in reversed(block):
        line.add(place, -weight)
        weight *= most + 1
    return line


def _counted(task: OrderTask, packs: tuple[Packs, ...]) -> LandedChoice:
    landed = landed_cost(task, packs)
    words = "Each part has one supplier in question, and no order of it lands for less."
    return LandedChoice(packs=packs, landed=landed, bound=landed, proven=True, ties_settled=True, compared=words)


def _proven(task: OrderTask, stated: OrderProgram, packs: tuple[Packs, ...], settled: bool) -> LandedChoice:
    landed = landed_cost(task, packs)
    words = (
        f"Proved by an integer program over all ways to buy these parts from {_offers(stated)}: none lands for less."
    )
    if not settled:
        words += " Others may land for as much."
    return LandedChoice(packs=packs, landed=landed, bound=landed, proven=True, ties_settled=settled, compared=words)


def _stopped(task: OrderTask, stated: OrderProgram, answer: Answer, packs: tuple[Packs, ...]) -> LandedChoice:
    landed = landed_cost(task, packs)
    bound = min(landed, Decimal(max(answer.bound or 0, 0)).scaleb(-task.digits))
    words = (
        f"Not proved in the time given: the best order found over {_offers(stated)}; none lands for less than"
        f" {_shown(bound, task)}."
    )
    return LandedChoice(packs=packs, landed=landed, bound=bound, proven=False, ties_settled=False, compared=words)


def _offers(stated: OrderProgram) -> str:
    suppliers = len({offer.supplier for offer in stated.packs})
    offers = len(stated.packs)
    return f"{offers} offer{'s' * (offers != 1)} of {suppliers} supplier{'s' * (suppliers != 1)}"


def _shown(amount: Decimal, task: OrderTask) -> str:
    return f"{amount:.{task.digits}f}"


def _minor(task: OrderTask, amount: Decimal) -> int:
    return int(amount.scaleb(task.digits))
