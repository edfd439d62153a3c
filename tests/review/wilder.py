"""Random ledgers of a shop in which everything happens, as entries: for the recount from the export.

Several labour rates and people, versions issued again, changes with and without a yes, quotes refused, silent and in
another currency, work left out at closing and closings made again, hours of the job alone, shelf parts, parts bought
elsewhere and charged otherwise, second bills, old parts back, comebacks of comebacks, odd spellings of numbers.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import Any

from quotekit.model.entries import Draft, KeptFile
from quotekit.model.record_json import from_json
from quotekit.model.story import KINDS
from tests.cli import small_shop
from tests.pricing.review.stories import BOOK_BYTES

Json = dict[str, Any]
FIRST, LAST = date(2026, 1, 1), date(2026, 6, 30)
TIERS = ("good", "better", "best")
WORK = (
    ("FIT", "operation", "0.5", "MAIN"),
    ("TURN", "operation", "1.2", "FINE"),
    ("BUSH@left", "operation", "0.6", "MAIN"),
    ("BUSH@right", "operation", "0.4", "MAIN"),
    ("COVER", "access", "0.35", "MAIN"),
    ("HUB", "access", "0.8", "FINE"),
    ("ONEOFF-1", "one-off", "0.7", "MAIN"),
    ("WELD", "operation", "0.25", "HOT"),
)
PARTS = (
    ("SEAL", "4.125", "7"),
    ("BELT", "20", "29.5"),
    ("SHAFT", "160", "210"),
    ("CLIP", None, "1.2"),
    ("PIN", "5", "8"),
    ("ONEOFF-2", "11", "15"),
    ("ONEOFF-3", "12", "15"),
)
FILE = KeptFile.of("book.xlsx", BOOK_BYTES)


def book_of(random: Random) -> dict[str, list[list[Any]]]:
    """Rows of a shop book: dated rates, people with rows of their own, some times changed since."""
    changed = random.random() < 0.5
    return {
        **small_shop.shop_book(),
        "Findings": [["Code", "Finding", "Severity"], ["WORN", "Worn", "needed"]],
        "Parts": [["Code", "Part", "Pack quantity", "Pack cost", "Supplier"], ["SEAL", "Seal", 1, 4.125, "Northside"]],
        "Remedies": [["Code", "Remedy", "Kind", "Fixes", "Operations"], ["NEW", "New", "replace", "WORN", "BUSH"]],
        "Labour rates": [
            ["Code", "Name", "Rate per hour", "Cost per hour", "In force from"],
            ["MAIN", "Bench", 100, 40, None],
            ["MAIN", "Bench", 110, 41.5, date(2026, 3, 1)],
            ["FINE", "Fine work", 120, 55, None],
            ["HOT", "Welding", 130, None, None],
            ["SAM", "Sam", 100, 37.25, None],
            ["SAM", "Sam", 100, 39, date(2026, 4, 15)],
            ["APP", "Ann  Lee", 60, 21.1, date(2026, 2, 1)],
        ],
        "Operations": [
            ["Code", "Operation", "Net hours", "Second side hours", "Each side"],
            ["FIT", "Fit", 0.5, None, "No"],
            ["TURN", "Turn", 1.5 if changed else 1.2, None, "No"],
            ["BUSH", "Bush", 0.6, 0.4, "Yes"],
        ],
        "Access": [
            ["Code", "Step", "Hours to open", "Hours to close"],
            ["COVER", "Cover", 0.2, 0.15],
            ["HUB", "Hub", 0.8, 0],
        ],
        "Conditions": [["Code", "Name", "Allowance"], ["RUSTY", "Rusted through", 0.2], ["SEIZED", "Seized", 0.5]],
        "Markup": [["Cost over", "Cost up to", "Markup"], [0, 5, 0.6], [5, 100, 0.5], [100, None, 0.3]],
    }


def drafts(seed: int, count: int = 30) -> list[Draft]:
    """Everything, in the order of its days."""
    random = Random(seed)
    bias = {key: random.choice((0.6, 1.0, 1.0, 1.05, 1.5)) for key, _, _, _ in WORK}
    made: list[tuple[date, Draft]] = []
    numbers = [f"26-{n} {random.choice('AB')}" for n in range(count)]
    for place, number in enumerate(numbers):
        shop = _Shop(random, number, bias)
        first = random.choice(numbers[:place]) if place and random.random() < 0.12 else ""
        made += shop.life(_spelled(random, first) if first else "")
    made += _orders(random, numbers)
    made.sort(key=lambda one: one[0])
    return [draft for _, draft in made]


def _spelled(random: Random, number: str) -> str:
    return random.choice((number, number.lower(), f" {number}"))


def _number(random: Random, low: int, high: int, digits: int = 2) -> str:
    return f"{Decimal(random.randint(low, high)).scaleb(-digits):f}"


class _Shop:
    """One job's life."""

    def __init__(self, random: Random, number: str, bias: dict[str, float]) -> None:
        self.random, self.number, self.bias = random, number, bias
        self.currency = "EUR" if random.random() < 0.05 else "USD"
        self.condition = random.choice(("", "", "RUSTY", "SEIZED"))
        self.shown = TIERS[: random.randint(1, 3)]
        self.day = FIRST + timedelta(days=random.randint(-60, 170))
        self.made: list[tuple[date, Draft]] = []

    def add(self, kind: str, body: Json, version: int | None = None, number: int | None = None) -> None:
        """An entry on the day that has come."""
        told = from_json(KINDS[kind], body)
        draft = Draft(kind=kind, job=self.number, body=told, day=self.day, who="Test", version=version, number=number)  # type: ignore[arg-type]
        self.made.append((self.day, draft))

    def later(self, most: int) -> None:
        """Some days pass."""
        self.day += timedelta(days=self.random.randint(0, most))

    def life(self, first: str) -> list[tuple[date, Draft]]:
        """From the quote to the last bill."""
        chance = self.random.random
        self.add("issued", self.issued(), 1)
        if first:
            charged = self.random.choice(("0", "0", "0.5", "1"))
            self.add("comeback", {"first_job": first, "cause": "part", "charged": charged})
        version = 1
        if chance() < 0.15:
            self.later(6)
            version = 2
            self.add("issued", self.issued(), 2)
        self.later(35)
        if chance() < 0.3:
            self.add(
                "declined",
                {"reason": self.random.choice(("price", "time", "other"))},
                self.random.choice((None, version)),
            )
            return self.made
        if chance() < 0.15:
            return self.made
        agreed = self.agreed()
        self.add("accepted", self.accepted(agreed), version)
        if chance() < 0.3:
            self.later(8)
            agreed = self.change(agreed, version + 1)
        if chance() < 0.05:
            self.add("declined", {"reason": "other"}, self.random.choice((None, 1)))
        if chance() < 0.85:
            self.later(25)
            self.finish(agreed)
        return self.made

    def change(self, agreed: Json, version: int) -> Json:
        """A change, with a yes, a no, silence, or none needed."""
        new, asks = self.agreed(), self.random.random() < 0.6
        revision = {
            "of_version": 1, "tier": new["tier"], "extras": [], "before": "100", "after": "120", "threshold": "10",
            "needs_consent": asks, "agreed": new,
        }  # fmt: skip
        self.add("issued", self.issued(revision), version)
        answer = self.random.choice(("yes", "yes", "no", ""))
        if asks and answer == "yes":
            self.add("accepted", self.accepted(new), version)
            return new
        if answer == "no":
            self.add("declined", {"reason": "price"}, version)
            return agreed
        return agreed if asks else new

    def finish(self, agreed: Json) -> None:
        """Closed, perhaps again, and billed, perhaps twice."""
        for _ in range(self.random.choice((1, 1, 1, 2))):
            self.add("closed", self.closed(agreed))
        for _ in range(self.random.choice((0, 1, 1, 1, 2))):
            self.later(3)
            self.add("billed", self.bill(agreed))

    def issued(self, revision: Json | None = None) -> Json:
        """A version handed over."""
        file = {"name": FILE.name, "sha256": FILE.sha256}
        valid = self.day + timedelta(days=self.random.choice((5, 30, 60)))
        offered = [self.option(tier, place) for place, tier in enumerate(self.shown)]
        return {
            "book": file, "job_workbook": file, "photos": [], "results": file, "quote_date": self.day.isoformat(),
            "valid_until": valid.isoformat(), "currency": self.currency, "customer": f"Customer of {self.number}",
            "phone": "", "machine": "Thrower", "offered": offered if self.random.random() < 0.97 else [],
            "declined_total": "0", "rule": RULE, "fingerprint": "", "engine": "0", "revision": revision,
        }  # fmt: skip

    def option(self, tier: str, place: int) -> Json:
        """An option as shown."""
        subtotal = _number(self.random, 9000 + 7000 * place, 16000 + 9000 * place)
        margin = self.random.choice((None, "12.5", "-4", "60"))
        return {
            "code": tier, "name": tier.title(), "subtotal": subtotal, "tax": "0", "total": subtotal, "deposit": "0",
            "ready_days": 3, "margin": margin,
        }  # fmt: skip

    def agreed(self) -> Json:
        """What was agreed, line by line."""
        random = self.random
        work = [self.work(*one) for one in random.sample(WORK, random.randint(1, len(WORK)))]
        parts = [self.part(*one) for one in random.sample(PARTS, random.randint(0, len(PARTS)))]
        labour = [self.labour(rate, work) for rate in dict.fromkeys(one["labour"] for one in work)]
        subtotal = _number(random, 9000, 60000)
        minimum = random.choice((0, 0, 0, 25))
        tier = random.choice(self.shown)
        return {
            "tier": tier, "option": tier.title(), "items": [], "work": work, "labour": labour,
            "minimum_amount": str(minimum), "minimum_hours": "0.25" if minimum else "0", "parts": parts,
            "sublet": [self.sublet(work)] if random.random() < 0.15 else [], "savings": [], "fees": [], "freight": [],
            "amounts": {"labour": _number(random, 3000, 20000), "cores": random.choice(("0", "0", "30"))},
            "subtotal": subtotal, "taxes": [], "tax": "0", "total": subtotal, "deposit": "0", "ready_days": None,
            "cost_labour": None, "cost_parts": None, "cost_sublet": None, "cost_freight": random.choice(("0", "9.99")),
            "cost_total": random.choice((None, "0", *(_number(random, 8000, 30000) for _ in range(8)))), "margin": None,
            "condition": self.condition,
        }  # fmt: skip

    def work(self, key: str, kind: str, hours: str, rate: str) -> Json:
        """An operation, step or one-off."""
        code, _, side = key.partition("@")
        older = "0.9" if self.random.random() < 0.1 else hours
        return {
            "key": key, "code": code, "side": side or None, "kind": kind, "name": code.title(), "hours": older,
            "labour": rate, "slowed_by_rust": self.random.random() < 0.4,
            "users": self.random.sample(("A", "B", "C"), self.random.choice((0, 1, 1, 1, 1, 2, 2, 2))),
        }  # fmt: skip

    def labour(self, rate: str, work: list[Json]) -> Json:
        """Hours and money of a rate."""
        own = [one for one in work if one["labour"] == rate]
        access = sum((Decimal(one["hours"]) for one in own if one["kind"] == "access"), Decimal(0))
        net = sum((Decimal(one["hours"]) for one in own if one["kind"] != "access"), Decimal(0))
        rusty = sum((Decimal(one["hours"]) for one in own if one["slowed_by_rust"]), Decimal(0))
        allowance = rusty * Decimal("0.2") if self.condition else Decimal(0)
        cost = {"MAIN": "40", "FINE": "55", "HOT": self.random.choice(("61.3", "61.3", None))}[rate]
        return {
            "rate": rate, "rate_per_hour": "100", "cost_per_hour": cost, "access": str(access), "net": str(net),
            "allowance": str(allowance), "off": "0.1", "billed": str(access + net + allowance), "amount": "0",
        }  # fmt: skip

    def part(self, code: str, cost: str | None, price: str) -> Json:
        """A part: of the shelf, to be ordered, or the customer's own."""
        return {
            "part": code, "name": "Bracket" if code.startswith("ONEOFF") else code.title(), "unit": "each",
            "new_or_used": "new", "packs": 1, "pack_quantity": "1",
            "quantity": self.random.choice(("1", "2", "2.5")), "pack_cost": cost, "unit_price": price, "amount": "0",
            "unit_cost": cost, "cost": cost, "supplier": "NORTH", "suppliers_number": "",
            "own": self.random.random() < 0.1, "ordered": self.random.random() < 0.6,
            "core_charge": self.random.choice(("0", "15")),
        }  # fmt: skip

    def sublet(self, work: list[Json]) -> Json:
        """Outside work."""
        key = self.random.choice(work)["key"]
        return {"key": key, "name": f"{key} outside", "amount": "50", "cost": self.random.choice(("33.33", "20", None))}

    def accepted(self, agreed: Json) -> Json:
        """A yes."""
        return {
            "tier": agreed["tier"], "extras": [], "by": "phone", "customer": "A", "phone": "555-0100", "note": "",
            "said_at": "2026-05-04 10:00", "agreed": agreed, "rule": RULE,
        }  # fmt: skip

    def closed(self, agreed: Json) -> Json:
        """Hours by work and person, for the job alone, or none; parts used; what was left out."""
        random = self.random
        left = random.sample([*(one["key"] for one in agreed["work"]), "A", "B"], 2) if random.random() < 0.2 else []
        used = [self.used(one["part"]) for one in agreed["parts"] if random.random() < 0.6]
        used += [self.used(code) for code in ("SEAL", "GREASE") if random.random() < 0.1]
        back = {_spelled(random, one["part"]): "1" for one in agreed["parts"] if random.random() < 0.2}
        return {"hours": list(self.hours(agreed)), "parts": used, "not_done": left, "cores_returned": back}

    def used(self, part: str) -> Json:
        """Units of a part, sometimes none, sometimes with what they really cost."""
        cost = _number(self.random, 100, 9000) if self.random.random() < 0.3 else None
        return {
            "part": _spelled(self.random, part),
            "quantity": self.random.choice(("0", "1", "2", "3.5")),
            "unit_cost": cost,
        }

    def hours(self, agreed: Json) -> Iterator[Json]:
        """What the technicians wrote down."""
        random, how = self.random, self.random.random()
        if how < 0.07:
            return
        if how < 0.14:
            yield {"work": "", "person": "Sam", "hours": _number(random, 20, 400), "measured": True}
            return
        for one in agreed["work"]:
            for _ in range(random.choice((0, 1, 1, 1, 1, 1, 1, 2))):
                rusty = 1.3 if one["slowed_by_rust"] and self.condition else 1.0
                true = float(one["hours"]) * self.bias[one["key"]] * rusty * random.lognormvariate(0, 0.2)
                hours = f"{max(true, 0.01):.2f}"
                person = random.choice(("Sam", "ann lee", "Bo", ""))
                yield {"work": one["key"], "person": person, "hours": hours, "measured": how > 0.3}

    def bill(self, agreed: Json) -> Json:
        """A bill; the second may give back."""
        amount = _number(self.random, -2000, 50000)
        keys = [f"part:{_spelled(self.random, one['part'])}" for one in agreed["parts"] if self.random.random() < 0.7]
        lines = [{"key": key, "text": key, "amount": "5"} for key in (*keys, "labour")]
        lines += [{"key": "core:SEAL", "text": "", "amount": "15"}] if self.random.random() < 0.3 else []
        lines += [{"key": "core-back:SEAL", "text": "", "amount": "-15"}] if self.random.random() < 0.2 else []
        zero = dict.fromkeys(("tax", "paid", "due", "authorised"), "0")
        return {"lines": lines, "subtotal": amount, "taxes": [], "total": amount, "currency": self.currency, **zero}


RULE = {"over_percent": "0", "over_amount": "0", "over": "the lesser", "compares": "with tax"}


def _orders(random: Random, numbers: list[str]) -> Iterator[tuple[date, Draft]]:
    """Orders over several jobs and suppliers; deliveries charged otherwise, packs sent back, lines called off."""
    for number in range(1, random.randint(2, 12)):
        day = FIRST + timedelta(days=random.randint(-30, 190))
        lines = [_line(random, numbers, *random.choice(PARTS)[:2]) for _ in range(random.randint(1, 5))]
        suppliers = [
            {
                "supplier": one,
                "name": one,
                "goods": "0",
                "freight": random.choice(("0", "12.34", "7")),
                "fee": "5",
                "total": "0",
            }
            for one in dict.fromkeys(line["supplier"] for line in lines)
        ]
        takes = [
            {"part": part, "name": part, "job": _spelled(random, random.choice(numbers)), "quantity": "1"}
            for part in ("SEAL", "CLIP") if random.random() < 0.4
        ]  # fmt: skip
        body = {
            "jobs": numbers[:3], "lines": lines, "suppliers": suppliers, "shelf": takes, "landed": "0", "usual": None,
            "bound": "0", "compared": "", "currency": "USD",
        }  # fmt: skip
        yield day, _of_no_job("ordered", body, day, number)
        for later in range(random.choice((0, 1, 1, 2, 3))):
            came = day + timedelta(days=4 + later)
            got = [
                _came(random, place, line, lines) for place, line in enumerate(lines, start=1) if random.random() < 0.7
            ]
            yield came, _of_no_job("received", {"order": number, "lines": got}, came, None)
        if random.random() < 0.4:
            off = day + timedelta(days=10)
            gone = [_off(random, place, line) for place, line in enumerate(lines, start=1) if random.random() < 0.6]
            yield off, _of_no_job("cancelled", {"order": number, "lines": gone}, off, None)


def _of_no_job(kind: str, body: Json, day: date, number: int | None) -> Draft:
    return Draft(kind=kind, job="", body=from_json(KINDS[kind], body), day=day, who="Test", number=number)  # type: ignore[arg-type]


def _line(random: Random, numbers: list[str], part: str, cost: str | None) -> Json:
    """Packs of a part of the book, of a job alone, or of a one-off line that goes by its text."""
    jobs = {
        _spelled(random, job): random.choice(("1", "2", "0.5")) for job in random.sample(numbers, random.randint(1, 3))
    }
    packs, pack = random.randint(1, 3), _number(random, 100, 9000)
    name = part
    if part.startswith("ONEOFF") or random.random() < 0.15:
        job = random.choice(numbers)
        text = part if not part.startswith("ONEOFF") else random.choice(("Bracket", "Bracket", "Bracket (2)"))
        jobs, name = {job: "1"}, f"{text} of {job}"
    if random.random() < 0.1:
        pack = "0"
    return {
        "supplier": random.choice(("NORTH", "South")), "part": name, "name": part, "suppliers_number": "",
        "packs": packs, "pack_quantity": random.choice(("1", "4", "3")), "pack_cost": pack,
        "amount": str(packs * Decimal(pack)), "jobs": jobs, "needed": "1", "left_over": "0", "code": part,
        "cost_known": pack != "0" or random.random() < 0.5,
    }  # fmt: skip


def _came(random: Random, place: int, line: Json, lines: list[Json]) -> Json:
    """A delivery; one that does not tell its line, where no other line is of the same part."""
    cost = _number(random, 100, 9000) if random.random() < 0.6 else None
    supplier, part = _spelled(random, line["supplier"]), _spelled(random, line["part"])
    alone = sum((one["supplier"], one["part"]) == (line["supplier"], line["part"]) for one in lines) == 1
    packs = random.choice((1, 1, 2, 3, -1, 0))
    told = 0 if alone and random.random() < 0.3 else place
    return {"supplier": supplier, "part": part, "packs": packs, "pack_cost": cost, "line": told}


def _off(random: Random, place: int, line: Json) -> Json:
    """Some or all packs of a line, and the units that jobs do not get by it."""
    packs = random.randint(1, line["packs"])
    jobs = {
        _spelled(random, job): random.choice((units, "0.5"))
        for job, units in line["jobs"].items()
        if random.random() < 0.7
    }
    return {"supplier": line["supplier"], "part": line["part"], "packs": packs, "line": place, "jobs": jobs}
