"""The same order chosen by CP-SAT on a formulation of its own: units flow from packs and lots to needs.

Each need takes units from lots and offers that are there in time; an offer gives no more than its packs hold. What a
supplier charges is stated by conditions that hold both ways, not by flags that may be true, and rounding by division.
Money is counted in the smallest unit of any price, units in the smallest of any quantity.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from math import lcm
from typing import Any, NamedTuple

from ortools.sat.python import cp_model

from quotekit.model.landed import OrderTask
from tests.landed.every_order import days_of, dues_of, most_of, ordered_places


class Least(NamedTuple):
    """Minor units, suppliers and packs of the first of the cheapest orders; None for what was not proven."""

    money: int | None
    suppliers: int | None
    packs: int | None


class _Model:
    def __init__(self, task: OrderTask) -> None:
        self.task, self.model = task, cp_model.CpModel()
        self.places = ordered_places(task)
        self.packs = {place: self.model.new_int_var(0, most_of(task, place), f"x{place}") for place in self.places}
        self.units_scale = _scale(
            [one.quantity for one in task.needs],
            [one.units for one in task.lots],
            [one.pack_quantity for one in task.offers],
        )
        terms = task.terms.values()
        self.money_scale = 2 * _scale(
            [one.pack_cost for one in task.offers],
            [one.extra_freight for one in task.offers],
            [one.freight for one in terms],
            [one.small_order_fee for one in terms],
            [one.free_freight_from for one in terms],
            [one.minimum_order for one in terms],
            [Decimal(1).scaleb(-task.digits)],
        )
        self.gets: list[Any] = []
        self.money: list[Any] = []
        for part in sorted({need.part for need in task.needs}):
            self._flow(part)
        for supplier in sorted({task.offers[place].supplier for place in self.places}):
            self._charge(supplier)

    def _flow(self, part: str) -> None:
        model, task, scale = self.model, self.task, self.units_scale
        sources: list[tuple[Any, Any]] = [
            (lot.there_from, int(lot.units * scale)) for lot in task.lots if lot.part == part
        ]
        sources += [
            (days_of(task, task.offers[place]), self.packs[place] * int(task.offers[place].pack_quantity * scale))
            for place in self.places
            if task.offers[place].part == part
        ]
        given: list[list[Any]] = [[] for _ in sources]
        for due, quantity in dues_of(task, part):
            wanted = int(quantity * scale)
            taken = []
            for number, (there, _) in enumerate(sources):
                if there <= due:
                    taken.append(model.new_int_var(0, wanted, ""))
                    given[number].append(taken[-1])
            model.add(sum(taken) == wanted)
        for (_, units), flows in zip(sources, given, strict=True):
            model.add(sum(flows) <= units)

    def _charge(self, supplier: str) -> None:
        model, task, scale = self.model, self.task, self.money_scale
        mine = [place for place in self.places if task.offers[place].supplier == supplier]
        goods = sum(self.packs[place] * int(task.offers[place].pack_cost * scale) for place in mine)
        carried = sum(self.packs[place] * int(task.offers[place].extra_freight * scale) for place in mine)
        gets = model.new_bool_var(f"gets {supplier}")
        count = sum(self.packs[place] for place in mine)
        model.add(count >= 1).only_enforce_if(gets)
        model.add(count == 0).only_enforce_if(~gets)
        fee: Any = 0
        terms = task.terms.get(supplier)
        if terms is not None:
            below_free, below_least = (
                self._is_below(goods, limit) for limit in (terms.free_freight_from, terms.minimum_order)
            )
            pays = gets if below_free is None else self._both(gets, below_free)
            carried += pays * int((terms.freight or 0) * scale)
            if below_least is not None:
                fee = self._both(gets, below_least) * int((terms.small_order_fee or 0) * scale)
        self.gets.append(gets)
        self.money += [self._rounded(amount) for amount in (goods, carried, fee)]

    def _is_below(self, goods: Any, limit: Decimal | None) -> Any:
        if not limit:
            return None
        below = self.model.new_bool_var("")
        self.model.add(goods < int(limit * self.money_scale)).only_enforce_if(below)
        self.model.add(goods >= int(limit * self.money_scale)).only_enforce_if(~below)
        return below

    def _both(self, first: Any, second: Any) -> Any:
        both = self.model.new_bool_var("")
        self.model.add_bool_and(first, second).only_enforce_if(both)
        self.model.add_bool_or(~first, ~second).only_enforce_if(~both)
        return both

    def _rounded(self, amount: Any) -> Any:
        """Half up to minor units: the whole of (amount + half a unit) / unit."""
        unit = self.money_scale // 10**self.task.digits
        found = self.model.new_int_var(0, 10**9, "")
        self.model.add_division_equality(found, amount + unit // 2, unit)
        return found


def least_by_cp_sat(task: OrderTask, seconds: Any = 20) -> Least:
    """The least money, then suppliers, then packs."""
    stated = _Model(task)
    found: list[int] = []
    for wanted in (sum(stated.money), sum(stated.gets), sum(stated.packs.values())):
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = seconds
        solver.parameters.num_workers = 1
        stated.model.minimize(wanted)
        status = solver.solve(stated.model)
        if status != cp_model.OPTIMAL:
            break
        least = round(solver.objective_value)
        found.append(least)
        stated.model.add(wanted <= least)
    return Least(*found, *([None] * (3 - len(found))))


def _scale(*numbers: Iterable[Decimal | None] | Sequence[Decimal | None]) -> int:
    return lcm(*(Fraction(number).denominator for some in numbers for number in some if number is not None))
