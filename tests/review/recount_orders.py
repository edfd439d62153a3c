"""The recount's orders: what units of parts and their freight cost each job."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction as F

from tests.review.recount_numbers import ZERO, Json, key_of, total


class Orders:
    """What a unit of a part cost each job, and the freight each bears, after deliveries and calls-off."""

    def __init__(self, entries: Iterable[Json]) -> None:
        entries = list(entries)
        self.money: dict[tuple[str, str], list[tuple[F, F | None]]] = defaultdict(list)
        self.freight: dict[str, F] = defaultdict(F)
        for entry in entries:
            if entry["kind"] == "ordered":
                self._order(entry, entries)

    def _order(self, entry: Json, entries: list[Json]) -> None:
        came = [line for one in _of_order(entries, "received", entry["number"]) for line in one["body"]["lines"]]
        off = [line for one in _of_order(entries, "cancelled", entry["number"]) for line in one["body"]["lines"]]
        of_supplier: dict[str, list[tuple[F, dict[str, F]]]] = defaultdict(list)
        for place, line in enumerate(entry["body"]["lines"], start=1):
            supplier, part = key_of(line["supplier"]), key_of(line["part"])
            jobs = {key_of(job): F(count) for job, count in line["jobs"].items()}
            left = F(line["packs"])
            for gone in off:
                if gone["line"] == place:
                    left -= gone["packs"]
                    for job, count in gone["jobs"].items():
                        jobs[key_of(job)] = max(jobs.get(key_of(job), ZERO) - F(count), ZERO)
            if left <= 0:
                continue
            mine = [one for one in came if one["line"] == place or (not one["line"] and _alike(one, line))]
            cost = self._cost(line, [one for one in mine if one["packs"] > 0])
            for job, count in jobs.items():
                if count:
                    self.money[job, part].append((count, cost))
            of_supplier[supplier].append(
                (F(line["amount"]) * left / line["packs"], {j: n for j, n in jobs.items() if n})
            )
        for take in entry["body"]["shelf"]:
            self.money[key_of(take["job"]), key_of(take["part"])].append((F(take["quantity"]), None))
        for one in entry["body"]["suppliers"]:
            lines = [line for line in of_supplier[key_of(one["supplier"])] if line[1]]
            self._share(F(one["freight"]) + F(one["fee"]), lines)

    @staticmethod
    def _cost(line: Json, came: list[Json]) -> F | None:
        """Of a unit; by the packs that came."""
        if not came:
            came = [{"packs": 1, "pack_cost": None}]
        prices = [one["pack_cost"] if one["pack_cost"] is not None else line["pack_cost"] for one in came]
        if not line["cost_known"] and any(one["pack_cost"] is None for one in came):
            return None
        packs = sum(one["packs"] for one in came)
        return (
            total(F(one["packs"]) * F(price) for one, price in zip(came, prices, strict=True))
            / packs
            / F(line["pack_quantity"])
        )

    def _share(self, extra: F, lines: list[tuple[F, dict[str, F]]]) -> None:
        """Freight over lines by their goods, else by their units, and within a line by units."""
        goods = total(amount for amount, _ in lines)
        units = total(total(jobs.values()) for _, jobs in lines)
        for amount, jobs in lines:
            own = total(jobs.values())
            part = amount / goods if goods else own / units
            for job, count in jobs.items():
                self.freight[job] += extra * part * count / own

    def cost(self, job: str, names: Iterable[str], standard: F | None) -> F | None:
        """Of a unit, the mean over what was brought; from the shelf as agreed."""
        for name in names:
            each = self.money.get((key_of(job), key_of(name)))
            if each:
                costs = [standard if cost is None else cost for _, cost in each]
                if None in costs:
                    return None
                units = total(count for count, _ in each)
                return total(count * (cost or ZERO) for (count, _), cost in zip(each, costs, strict=True)) / units
        return standard


def _of_order(entries: Iterable[Json], kind: str, number: int) -> list[Json]:
    return [one for one in entries if one["kind"] == kind and one["body"]["order"] == number]


def _alike(one: Json, other: Json) -> bool:
    return all(key_of(one[name]) == key_of(other[name]) for name in ("supplier", "part"))
