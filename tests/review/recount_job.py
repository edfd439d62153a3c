"""The recount's single jobs: what is agreed, what a closed job cost and left, its variances."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction as F
from typing import TYPE_CHECKING

from tests.review.recount_numbers import ZERO, Json, day_of, hours_shown, key_of, signed, total

if TYPE_CHECKING:
    from tests.review.recount import Recount

COSTS = ("parts", "labour", "sublet", "freight")


class Told:
    """The entries of a job up to the last day, by kind."""

    def __init__(self, entries: Sequence[Json]) -> None:
        self.job = entries[0]["job"]
        self.of: dict[str, list[Json]] = defaultdict(list)
        for entry in entries:
            self.of[entry["kind"]].append(entry)

    def yes(self) -> Json | None:
        """The last yes, where no later no was to it or to the whole job."""
        if not self.of["accepted"]:
            return None
        last = self.of["accepted"][-1]
        return None if self.refused(last["version"], last["seq"]) else last

    def refused(self, version: int | None, seq: int) -> bool:
        """A later no to a version, or to everything."""
        return any(no["seq"] > seq and no["version"] in (None, version) for no in self.of["declined"])

    def agreed(self) -> Json | None:
        """What is to be done: of the last yes, or of the newest change since that needed none and was not refused."""
        yes = self.yes()
        if yes is None:
            return None
        found: Json = yes["body"]["agreed"]
        for issued in self.of["issued"]:
            change = issued["body"]["revision"]
            if change is None or change["needs_consent"] or issued["seq"] < yes["seq"]:
                continue
            if not self.refused(issued["version"], issued["seq"]):
                found = change["agreed"]
        return found


class Done:
    """A closed job."""

    def __init__(self, all_of: Recount, told: Told) -> None:
        self.all_of, self.told, self.name = all_of, told, told.job
        agreed = told.agreed()
        assert agreed is not None
        self.agreed: Json = agreed
        self.closing: Json = told.of["closed"][-1]["body"]
        self.day = day_of(told.of["closed"][-1])
        self.comeback: Json | None = told.of["comeback"][-1]["body"] if told.of["comeback"] else None
        self.charged = F(self.comeback["charged"]) if self.comeback else F(1)
        bills = [one["body"] for one in told.of["billed"]]
        self.bill_lines = [line for bill in bills for line in bill["lines"]] if bills else None
        self.invoiced = total(F(bill["subtotal"]) for bill in bills) if bills else None
        if not bills and self.comeback and not self.charged:
            self.invoiced = ZERO
        gone = set(self.closing["not_done"])
        self.fell = {
            work["key"] for work in self.agreed["work"]
            if work["key"] in gone or (work["users"] and all(user in gone for user in work["users"]))
        }  # fmt: skip
        self.hours = total(F(line["hours"]) for line in self.closing["hours"])
        self.allowed = self._allowed()
        self.unwritten = not self.hours and any(self.allowed.values())
        self.unknown: list[str] = []
        self._parts()
        self._labour()
        self._rest()
        self.first_job, self.back, self.back_result, self.after = "", [], ZERO, None
        options = told.of["issued"][0]["body"]["offered"]
        shown = [option["subtotal"] for option in options if option["code"] == self.agreed["tier"]]
        self.first_quoted = shown[0] if shown else None

    def _allowed(self) -> dict[str, F]:
        """Standard hours of what was done by labour rate: the allowance as far as rusty hours were done."""
        found = {}
        for labour in self.agreed["labour"]:
            own = [work for work in self.agreed["work"] if work["labour"] == labour["rate"]]
            lost = total(F(work["hours"]) for work in own if work["key"] in self.fell)
            rusty = total(F(work["hours"]) for work in own if work["slowed_by_rust"])
            left = total(F(w["hours"]) for w in own if w["slowed_by_rust"] and w["key"] not in self.fell)
            allowance = F(labour["allowance"]) * (left / rusty if rusty else 1)
            found[labour["rate"]] = F(labour["access"]) + F(labour["net"]) - lost + allowance
        return found

    def _parts(self) -> None:
        """Units used at their cost, and the two variances of material."""
        self.parts_cost: F | None = self._cores()
        self.price = self.quantity = ZERO
        self.left_out = 0
        self.sales: list[tuple[F | None, F | None, F, F]] = []
        agreed = {key_of(part["part"]): part for part in self.agreed["parts"]}
        used: dict[str, list[Json]] = defaultdict(list)
        for line in self.closing["parts"]:
            used[key_of(line["part"])].append(line)
        billed = None if self.bill_lines is None else {
            key_of(line["key"][5:]) for line in self.bill_lines if line["key"].startswith("part:")
        }  # fmt: skip
        for key in [*agreed, *(key for key in used if key not in agreed)]:
            part = agreed.get(key)
            if part is not None and part["own"]:
                continue
            standard = None if part is None or part["unit_cost"] is None else F(part["unit_cost"])
            allowed = ZERO if part is None else F(part["quantity"])
            known = self.all_of.orders.cost(self.name, self._names(part, key), standard)
            lines = [
                (F(one["quantity"]), F(one["unit_cost"]) if one["unit_cost"] is not None else known)
                for one in used[key]
            ]
            if not used[key] and part is not None:
                away = self.closing["not_done"] and billed is not None and key not in billed
                lines = [] if away else [(allowed, known)]
            units = total(count for count, _ in lines)
            cost = known
            if units:
                cost = None if any(each is None for _, each in lines) else total(n * (c or 0) for n, c in lines) / units
            self._part(part, used[key], allowed, units, standard, cost)

    def _names(self, part: Json | None, key: str) -> list[str]:
        """As which an order may hold it: of this job alone, or of the shop book."""
        if part is None or not part["part"].startswith("ONEOFF-"):
            return [f"{key} of {self.name}", key] if part else [key]
        alike = [
            one for one in self.agreed["parts"] if one["name"] == part["name"] and one["part"].startswith("ONEOFF-")
        ]
        place = [one["part"] for one in alike].index(part["part"]) + 1
        return [f"{part['name']}{f' ({place})' if place > 1 else ''} of {self.name}"]

    def _part(
        self, part: Json | None, typed: list[Json], allowed: F, units: F, standard: F | None, cost: F | None
    ) -> None:
        standard = cost if part is None else standard
        if units and cost is None:
            self.unknown.append(f"cost of part {part['part'] if part else typed[-1]['part']}")
            self.parts_cost = None
        elif cost is not None and self.parts_cost is not None:
            self.parts_cost += units * cost
        if standard is None or cost is None:
            self.left_out += 1
        else:
            self.price += (cost - standard) * units
            self.quantity += (units - allowed) * standard
        if units:
            self.sales.append((standard, cost, units, F(part["unit_price"]) * min(units, allowed) if part else ZERO))

    def _cores(self) -> F:
        if self.bill_lines is not None:
            lines = [line for line in self.bill_lines if line["key"].startswith(("core:", "core-back:"))]
            return max(total(F(line["amount"]) for line in lines), ZERO)
        charge = {key_of(part["part"]): F(part["core_charge"]) for part in self.agreed["parts"]}
        back = total(charge.get(key_of(part), ZERO) * F(n) for part, n in self.closing["cores_returned"].items())
        return max(F(self.agreed["amounts"].get("cores", 0)) - back, ZERO)

    def _labour(self) -> None:
        """Hours at what they cost, and the two variances of labour."""
        labour = {line["rate"]: line for line in self.agreed["labour"]}
        usual = max(labour.values(), key=lambda line: F(line["access"]) + F(line["net"]))["rate"] if labour else ""
        rate_of = {work["key"]: work["labour"] for work in self.agreed["work"]}
        cost: F | None = ZERO
        rate_variance: F | None = ZERO
        worked: dict[str, F] = defaultdict(F)
        if self.unwritten:
            self.unknown.append("no hours were written down")
        for line in self.closing["hours"]:
            rate = rate_of.get(line["work"], usual)
            rate = rate if rate in labour else usual
            text = labour[rate]["cost_per_hour"] if rate in labour else None
            standard = None if text is None else F(text)
            actual = standard
            if self.all_of.book is not None:
                actual = self.all_of.book.cost_of(line["person"], rate, self.day, standard)
            hours = F(line["hours"])
            worked[rate] += hours
            if actual is None and hours:
                cost = None
                self.unknown.append(f"cost per hour of {rate or 'labour'}")
            elif cost is not None:
                cost += hours * (actual or ZERO)
            if actual is None or standard is None:
                rate_variance = None
            elif rate_variance is not None:
                rate_variance += (actual - standard) * hours
        self.labour = None if self.unwritten else cost
        costs = {code: line["cost_per_hour"] for code, line in labour.items()}
        none = rate_variance is None or self.unwritten or any(costs[code] is None for code in self.allowed)
        self.rate_variance = None if none else rate_variance
        self.time_variance = None if none else total(
            (worked[code] - allowed) * F(costs[code]) for code, allowed in self.allowed.items()
        )  # fmt: skip

    def _rest(self) -> None:
        """Outside work, freight, and what is left."""
        lines = [line for line in self.agreed["sublet"] if line["key"] not in self.fell]
        self.unknown += [f"cost of sublet {line['name']}" for line in lines if line["cost"] is None]
        none = any(line["cost"] is None for line in lines)
        self.sublet = None if none else total(F(line["cost"]) for line in lines)
        to_order = any(part["ordered"] for part in self.agreed["parts"])
        otherwise = F(self.agreed["cost_freight"]) if to_order else ZERO
        self.freight = self.all_of.orders.freight.get(key_of(self.name), otherwise)
        self.parts = self.parts_cost
        self.contribution: F | None = None
        if self.invoiced is not None and self.parts is not None and self.sublet is not None:
            self.contribution = self.invoiced - self.parts - self.sublet - self.freight
        self.profit = None if self.contribution is None or self.labour is None else self.contribution - self.labour
        shown = self.all_of.money(self.profit)
        self.shown_profit = None if shown is None else F(shown)
        self.sold = (
            total(F(one["billed"]) for one in self.agreed["labour"]) + F(self.agreed["minimum_hours"])
        ) * self.charged
        self.labour_sales = F(self.agreed["amounts"].get("labour", 0)) * self.charged

    def tags(self) -> list[str]:
        """What sets it apart."""
        changes = len(self.told.of["accepted"]) - 1
        for issued in self.told.of["issued"]:
            change = issued["body"]["revision"]
            changes += change is not None and not change["needs_consent"]
        rusty = self.agreed["condition"] and any(work["slowed_by_rust"] for work in self.agreed["work"])
        marks = {
            "rust": rusty,
            "minimum": F(self.agreed["minimum_amount"]) > 0,
            "comeback": self.comeback,
            "supplement": changes > 0,
            "not billed": self.invoiced is None,
            "no hours": self.unwritten,
        }
        return [name for name, holds in marks.items() if holds]

    def variances(self) -> Json:
        """The four, as shown."""
        money = self.all_of.money
        return {
            "labour_rate": None if self.rate_variance is None else signed(money(self.rate_variance)),
            "labour_time": None if self.time_variance is None else signed(money(self.time_variance)),
            "material_price": signed(money(self.price)),
            "material_quantity": signed(money(self.quantity)),
            "parts_left_out": self.left_out,
        }

    def json(self) -> Json:
        """As the review shows it."""
        money, issued = self.all_of.money, self.told.of["issued"][-1]["body"]
        an_hour = self.contribution / self.hours if self.contribution is not None and self.hours else None
        return {
            "job": self.name,
            "customer": issued["customer"],
            "machine": issued["machine"],
            "closed": self.day.isoformat(),
            "tier": self.agreed["tier"],
            "option": self.agreed["option"],
            "tags": self.tags(),
            "first_quoted": self.first_quoted,
            "agreed": self.agreed["subtotal"],
            "invoiced": self.invoiced,
            **{name: money(getattr(self, name)) for name in COSTS},
            "profit": money(self.profit),
            "unknown": list(dict.fromkeys(self.unknown)),
            "contribution": money(self.contribution),
            "per_bench_hour": money(an_hour),
            "sold_hours": hours_shown(self.sold),
            "standard_hours": hours_shown(total(self.allowed.values())),
            "actual_hours": self.hours,
            "measured_hours": total(F(h["hours"]) for h in self.closing["hours"] if h["measured"] and h["work"]),
            "variances": self.variances(),
            "first_job": self.first_job,
            "comebacks": [one.name for one in self.back],
            "comebacks_result": self.back_result,
            "after_comebacks": self.after,
        }
