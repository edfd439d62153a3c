"""One order chosen by the package, beside another way to choose it."""

from __future__ import annotations

from quotekit.model.landed import LandedChoice, OrderTask
from quotekit.pricing.landed.choose import choose_order
from quotekit.pricing.landed.in_time import covers_of
from quotekit.pricing.landed.usual import usual_order
from tests.landed.every_order import Counts, First, first_of_all

UNPROVEN = "not proven by CP-SAT"
UNSETTLED = "ties not settled"
"""Ends of what is said where a solver ran out of time: no difference."""


def chosen(task: OrderTask, seconds: object = 20) -> LandedChoice:
    """The package's choice."""
    covers = covers_of(task)
    return choose_order(task, covers, usual_order(task, covers), seconds)


def counts_of(task: OrderTask, choice: LandedChoice) -> Counts:
    """Its packs by the place of the offer."""
    return {task.offers.index(line.offer): line.packs for line in choice.packs}


def minor(task: OrderTask, choice: LandedChoice) -> int:
    """What it lands for in minor units."""
    return int(choice.landed.scaleb(task.digits))


def differences(task: OrderTask) -> list[str]:
    """What differs between the package's order and the first of every order tried."""
    return compare(task, chosen(task), first_of_all(task))


def compare(task: OrderTask, choice: LandedChoice, first: First) -> list[str]:
    """Money, proof and packs of both."""
    found = []
    if minor(task, choice) != first.money:
        found.append(f"lands for {minor(task, choice)}, not {first.money}")
    if not choice.proven or choice.bound != choice.landed:
        found.append(f"not proven: {choice.bound} to {choice.landed}")
    if not choice.ties_settled:
        found.append(UNSETTLED)
    if counts_of(task, choice) != first.packs:
        found.append(f"packs {counts_of(task, choice)}, not {first.packs}")
    return found


def compare_with_cp_sat(task: OrderTask, seconds: int = 20) -> list[str]:
    """Money, suppliers and packs beside CP-SAT's; its library is imported only here."""
    from tests.landed.cp_sat_order import least_by_cp_sat

    choice, least = chosen(task, seconds), least_by_cp_sat(task, seconds)
    suppliers = len({line.offer.supplier for line in choice.packs})
    packs = sum(line.packs for line in choice.packs)
    found = [] if choice.proven else [f"not proven: {choice.bound} to {choice.landed}"]
    found += [] if choice.ties_settled else [UNSETTLED]
    for what, ours, theirs in (
        ("money", minor(task, choice), least.money),
        ("suppliers", suppliers, least.suppliers),
        ("packs", packs, least.packs),
    ):
        if theirs is None:
            return [*found, f"{what} {UNPROVEN}"]
        if ours != theirs and (what == "money" or choice.ties_settled):
            return [*found, f"{what}: {ours}, CP-SAT {theirs}"]
    return found
