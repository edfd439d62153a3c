"""Parts really used: as agreed where nothing else was written, less what work that was not done would have taken.

A quantity that was written counts, zero too. A part that was not among those agreed has the cost a unit of the shop
book it was agreed from, to four decimals. Old parts handed back are at most the units used.
Units: the part's own. Source: shop policy.

Worked example: 2 seals were agreed, 1 of them with the left bushing; the left bushing was not done and no number was
written beside SEAL: 1 was used.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from decimal import Decimal

from quotekit.model.agreed import Agreed
from quotekit.model.entries import UsedPart
from quotekit.model.filled_work_order import TypedQuantity
from quotekit.model.job import Job
from quotekit.model.shop_book import Part, ShopBook
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.part_price import unit_cost
from quotekit.problems import Problem, error, warning

_COST_DIGITS = 4


class PartsUsed:
    """The parts of one job that is closed."""

    def __init__(self, book: ShopBook, job: Job, agreed: Agreed) -> None:
        self._basis, self._agreed = Basis(book=book, job=job), agreed
        self._listed = {part.part.casefold(): part.part for part in agreed.parts}
        self.problems: list[Problem] = []

    def used(
        self, typed: Iterable[TypedQuantity], more: Iterable[TypedQuantity], not_done: Collection[str]
    ) -> tuple[UsedPart, ...]:
        """Every part agreed with what was used of it, then the others."""
        written = self._of_the_list(typed)
        others = self._others(more)
        undone = self._of_undone(not_done)
        found = [self._one(part.part, part.quantity, written, others, undone) for part in self._agreed.parts]
        return (*found, *(self._other(code, many) for code, many in others.items()))

    def cores(self, typed: Iterable[TypedQuantity], used: Iterable[UsedPart]) -> Mapping[str, Decimal]:
        """Old parts handed back by part code."""
        many = {one.part: one.quantity for one in used}
        charged = {part.part for part in self._agreed.parts if part.core_charge > 0}
        found: dict[str, Decimal] = {}
        for one in typed:
            code = self._listed.get(one.code.casefold(), one.code)
            if code not in charged:
                self._wrong(one, "core-not-charged", f"{code} has no core charge", "Clear the cell.")
            elif found.get(code, ZERO) + one.quantity > many.get(code, ZERO):
                self._wrong(one, "core-too-many", f"more of {code} came back than were used", "Correct one of them.")
            else:
                found[code] = found.get(code, ZERO) + one.quantity
        return {code: quantity for code, quantity in found.items() if quantity}

    def _one(
        self,
        part: str,
        quantity: Decimal,
        written: Mapping[str, Decimal],
        others: dict[str, Decimal],
        undone: Mapping[str, Decimal],
    ) -> UsedPart:
        more = others.pop(part, ZERO)
        if part in written:
            return UsedPart(part=part, quantity=written[part] + more)
        return UsedPart(part=part, quantity=max(quantity - undone.get(part, ZERO), ZERO) + more)

    def _other(self, code: str, quantity: Decimal) -> UsedPart:
        cost = round_to(unit_cost(self._basis.part(code)), _COST_DIGITS)
        return UsedPart(part=code, quantity=quantity, unit_cost=cost)

    def _of_the_list(self, typed: Iterable[TypedQuantity]) -> dict[str, Decimal]:
        found: dict[str, Decimal] = {}
        for one in typed:
            code = self._listed.get(one.code.casefold())
            if code is None:
                self._wrong(one, "part-not-agreed", f"{one.code} is no part of what was agreed", _OTHERS)
            else:
                found[code] = found.get(code, ZERO) + one.quantity
        return found

    def _others(self, more: Iterable[TypedQuantity]) -> dict[str, Decimal]:
        """Quantities of other parts by code, a warning each where they were not agreed."""
        known = {code.casefold(): part for code, part in self._known().items()}
        found: dict[str, Decimal] = {}
        for one in more:
            part = known.get(one.code.casefold())
            if part is None:
                remedy = "Use a part code of the shop book or of the job's own Parts sheet."
                self._wrong(one, "unknown-code", f"there is no part {one.code}", remedy)
                continue
            found[part.code] = found.get(part.code, ZERO) + one.quantity
            if part.code.casefold() not in self._listed:
                message = f"{part.code} was not agreed; it counts as a cost and is not billed"
                remedy = "Ask the customer with `quotekit revise` where it is to be paid."
                self.problems.append(warning(one.place, "part-not-agreed", message, remedy, one.code))
        return found

    def _known(self) -> dict[str, Part]:
        return {**self._basis.book.parts, **self._basis.job.parts}

    def _of_undone(self, not_done: Collection[str]) -> dict[str, Decimal]:
        """Units that work nobody did would have taken."""
        found: dict[str, Decimal] = {}
        for part, quantity in self._brought_by(not_done):
            found[part] = found.get(part, ZERO) + quantity
        return found

    def _brought_by(self, not_done: Collection[str]) -> Iterator[tuple[str, Decimal]]:
        basis = self._basis
        for work in self._agreed.work:
            if work.users and set(work.users) <= set(not_done):
                if work.kind == "operation":
                    yield from basis.op(work.code, work.side).parts
                elif work.kind == "access":
                    basis.steps_from((work.code,), work.side)
                    yield from basis.step_named(work.key).parts
        for item in self._agreed.items:
            if item.key in not_done:
                brings = basis.book.remedies.get(item.code) or basis.book.extras.get(item.code)
                if item.kind == "one-off":
                    yield from ((part.part, part.quantity) for part in self._agreed.parts if part.part == item.code)
                elif brings is not None and item.kind in ("remedy", "extra"):
                    yield from basis.uses(item.code, brings.parts, item.side)

    def _wrong(self, one: TypedQuantity, code: str, message: str, remedy: str) -> None:
        self.problems.append(error(one.place, code, message, remedy, one.code))


_OTHERS = "Write it among the other parts used."
