"""Small random shop books and jobs that are valid, for comparing and for properties: one seed, one case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from random import Random
from typing import Any, TypeVar

from hypothesis import strategies as st

from quotekit.model.job import FoundFinding, Job, JobExtra, OneOff, PlanItem
from quotekit.model.shop_book import (
    AccessStep,
    Bundle,
    Extra,
    Fee,
    Finding,
    FindingSeverity,
    FitsOnlyIf,
    LabourRate,
    MarkupBand,
    Operation,
    Part,
    PartUsed,
    Quantity,
    Remedy,
    Settings,
    ShopBook,
    Supplier,
    Tax,
    Tier,
)
from tests import build

Thing = TypeVar("Thing")
Case = tuple[ShopBook, Job]

DIGITS = {"USD": 2, "JPY": 0, "KWD": 3}
POSITIONS = [("left", "right")] * 5 + [("left front", "left rear", "right front"), ("front", "rear")]
SEVERITIES: list[FindingSeverity] = ["safety", "needed", "needed", "advised", "advised", "watch"]
AIMS = ["lowest price", "least to own", "longest life"]


def cases() -> st.SearchStrategy[Case]:
    """Hypothesis draws seeds; a failing case is named by its seed."""
    return seeds().map(a_random_case)


def seeds() -> st.SearchStrategy[int]:
    """Seeds of random cases."""
    return st.integers(min_value=0, max_value=10**9)


def a_random_case(seed: int) -> Case:
    """The shop book and job of a seed."""
    maker = Maker(Random(seed), wide=seed % 6 == 5)
    book = maker.book()
    return book, maker.job(book)


@dataclass
class Maker:
    """Draws the sheets of a book one after the other, then a job that uses them."""

    random: Random
    wide: bool = False
    """More remedies to choose from, and few reasons that leave no choice."""
    currency: str = "USD"
    positions: tuple[str, ...] = ("left", "right")
    steps: list[AccessStep] = field(default_factory=list)
    operations: list[Operation] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    remedies: list[Remedy] = field(default_factory=list)
    extras: list[Extra] = field(default_factory=list)

    def chance(self, percent: int) -> bool:
        """True in so many cases of a hundred."""
        return self.random.randrange(100) < percent

    def maybe(self, percent: int, value: Thing) -> Thing | None:
        """The value in so many cases of a hundred."""
        return value if self.chance(percent) else None

    def some(self, things: Sequence[Thing], most: int) -> list[Thing]:
        """Up to so many of the things, in their order."""
        count = min(self.random.randint(0, most), len(things))
        picked = sorted(self.random.sample(range(len(things)), count))
        return [things[i] for i in picked]

    def money(self, low: int, high: int) -> Decimal:
        """An amount in minor units of the currency; low and high are in dollars."""
        digits = DIGITS[self.currency]
        scale = 10**digits if digits else 100
        units = self.random.randint(low * scale, high * scale)
        return Decimal(units).scaleb(-digits)

    def tenths(self, low: int, high: int, step: int = 1) -> Decimal:
        """Hours in hundredths between low and high tenths."""
        return Decimal(self.random.randrange(low * 10, high * 10 + 1, step)).scaleb(-2)

    def percent(self, low: int, high: int) -> Decimal:
        """A fraction with up to three decimals."""
        return Decimal(self.random.randint(low * 10, high * 10)).scaleb(-3)

    def count(self, most: int = 3) -> Decimal:
        """A quantity, whole or not."""
        return self.random.choice([Decimal(self.random.randint(1, most)), Decimal("0.5"), Decimal(1), Decimal("1.25")])

    def quantities(self, codes: Sequence[str], most: int) -> tuple[Quantity, ...]:
        """A quantity list."""
        return tuple(Quantity(code=code, quantity=self.count()) for code in self.some(codes, most))

    # The shop book.

    def book(self) -> ShopBook:
        """All sheets."""
        self.currency = self.random.choice(["USD", "USD", "USD", "JPY", "KWD"])
        self.positions = self.random.choice(POSITIONS)
        self._draw_parts()
        self._draw_steps()
        self._draw_operations()
        self._draw_findings()
        self._draw_remedies()
        self._draw_extras()
        return build.a_book(
            settings=self._settings(),
            labour_rates=self._rates(),
            conditions=[self._condition()],
            machines=[build.a_machine(positions=self.positions, always=self._always())],
            access=self.steps,
            operations=self.operations,
            parts=self.parts,
            parts_used=self._parts_used(),
            suppliers=self._suppliers() if self.chance(90) else None,
            markup=self._bands(),
            findings=self.findings,
            remedies=self.remedies,
            fits_only_if=self._limits(),
            extras=self.extras,
            bundles=self._bundles(),
            fees=self._fees(),
            taxes=self._taxes(),
            tiers=self._tiers(),
        )

    def _settings(self) -> Settings:
        credited = self.random.choice(["never", "when work goes ahead", self.money(50, 400)])
        return build.settings(
            currency=self.currency,
            minimum_labour_hours=self.random.choice(["0", "0", "0.5", "1", "2.5"]),
            hours_step=self.random.choice(["0.1", "0.1", "0.25", "0.5"]),
            supplies_percent_of_labour=self.random.choice([Decimal(0), self.percent(1, 10)]),
            supplies_cap=self.maybe(30, self.money(2, 20)),
            supplies_shown_as="off" if self.chance(10) else "amount",
            sublet_markup=self.percent(0, 30),
            freight_to_customer="this job alone" if self.chance(60) else "none",
            inspection_fee=self.random.choice([Decimal(0), self.money(20, 60)]),
            inspection_fee_credited=credited,
            tax_rounding=self.random.choice(["invoice", "line"]),
            queue_days=self.random.choice([0, 3]),
            deposit_on_ordered_parts=self.percent(0, 50),
            deposit_on_non_returnable_parts=self.percent(50, 100),
            years_to_compare=self.random.choice(["5", "4", "8", "2.5"]),
            interest_a_year=self.random.choice(["0", "0.05", "0.08"]),
        )

    def _rates(self) -> list[LabourRate]:
        early, late = date(2025, 1, 1), date(2027, 1, 1)
        rows = [build.a_rate("MAIN", self.money(60, 140), self.maybe(90, self.money(20, 50)))]
        if self.chance(30):
            rows.append(build.a_rate("MAIN", self.money(60, 140), self.money(20, 50), in_force_from=early))
            rows.append(build.a_rate("MAIN", self.money(60, 140), self.money(20, 50), in_force_from=late))
        rows.append(build.a_rate("WELD", self.money(60, 140), self.money(20, 50)))
        return [*rows, build.a_rate("FARM", self.money(40, 80), self.money(20, 50))]

    def _condition(self) -> Any:
        return build.a_condition(allowance=self.percent(5, 60), at_most_hours=self.maybe(50, self.tenths(1, 8)))

    def _labour(self) -> str | None:
        return self.random.choice([None, None, None, "WELD", "MAIN"])

    def _draw_parts(self) -> None:
        small = [f"SMALL-{i}" for i in range(self.random.randint(1, 3))]
        plain = [f"PART-{i}" for i in range(self.random.randint(2, 4))]
        for code in small:
            self.parts.append(self._part(code))
        for i, code in enumerate(plain):
            replaced = self.random.choice(plain[i + 1 :]) if plain[i + 1 :] and self.chance(20) else None
            companions = self.quantities(small, 1) if self.chance(40) else ()
            self.parts.append(self._part(code, replaced_by=replaced, also_needs=companions))
        for i in range(self.random.randint(0, 2)):
            self.parts.append(self._part(f"KIT-{i}", contains=self.quantities(small + plain, 3)))

    def _part(self, code: str, **values: Any) -> Part:
        cost = self.money(1, 60)
        fixed = self.maybe(10, self.money(1, 50))
        pack = self.random.choice(["1", "1", "2", "3", "6"])
        each = cost / Decimal(pack)
        listed = self.maybe(
            25, (each * self.random.choice([Decimal("0.9"), Decimal("1.2"), Decimal("1.6")])).quantize(Decimal("0.01"))
        )
        return build.a_part(
            code,
            cost,
            pack,
            list_price_each=listed,
            fixed_price_each=fixed,
            supplier=self.random.choice(["NORTH", "NORTH", "SOUTH", "WEST", "SHELF"]),
            lead_days=self.maybe(30, self.random.randint(0, 9)),
            returnable=not self.chance(25),
            core_charge=self.maybe(20, self.money(1, 10)),
            extra_freight=self.maybe(20, self.money(1, 15)),
            taxed_as=self.random.choice([None, None, None, None, "tires", "labour"]),
            **values,
        )

    def _suppliers(self) -> list[Supplier]:
        return [
            build.a_supplier("NORTH", freight=self.money(5, 15), free_freight_from=self.maybe(50, self.money(30, 120))),
            build.a_supplier(
                "SOUTH",
                minimum_order=self.money(20, 80),
                small_order_fee=self.money(2, 9),
                freight=self.maybe(60, self.money(5, 15)),
                free_freight_from=self.maybe(30, Decimal(0)),
            ),
            build.a_supplier("WEST", lead_days=self.maybe(60, 6), freight=self.money(5, 15)),
            build.a_supplier("SHELF", shelf=True),
        ]

    def _bands(self) -> list[MarkupBand]:
        if self.chance(30):
            return [build.a_band(markup=self.percent(20, 90))]
        first = self.money(3, 9)
        second = first + self.money(5, 20)
        return [
            build.a_band(0, first, self.percent(60, 120)),
            build.a_band(first, second, self.percent(30, 60)),
            build.a_band(second, None, self.percent(5, 30)),
        ]

    def _draw_steps(self) -> None:
        codes: list[str] = []
        for i in range(self.random.randint(1, 4)):
            code = f"STEP-{i}"
            self.steps.append(
                build.a_step(
                    code,
                    self.tenths(0, 5, 5),
                    self.tenths(0, 4, 5),
                    needs=self.some(codes, 2),
                    each_side=self.chance(35),
                    labour=self._labour(),
                    parts=self.quantities(self._part_codes(), 1) if self.chance(40) else (),
                )
            )
            codes.append(code)

    def _part_codes(self) -> list[str]:
        return [part.code for part in self.parts]

    def _draw_operations(self) -> None:
        names: list[str] = []
        for i in range(self.random.randint(4, 8)):
            code = f"OP-{i}"
            each_side = self.chance(45)
            net = self.tenths(1, 15)
            sublet = self.maybe(12, self.money(10, 60))
            self.operations.append(
                build.an_operation(
                    code,
                    net,
                    second_side_hours=self.maybe(50, (net * Decimal("0.7")).quantize(Decimal("0.01")))
                    if each_side
                    else None,
                    each_side=each_side,
                    labour=self._labour(),
                    parts=self.quantities(self._part_codes(), 2),
                    access=self.some([step.code for step in self.steps], 2),
                    requires=self.some(names, 1) if self.chance(25) else (),
                    includes=self.some(names, 2) if self.chance(35) else (),
                    slowed_by_rust=self.chance(50),
                    sublet_cost=sublet,
                    sublet_days=None if sublet is None else self.maybe(60, self.random.randint(1, 12)),
                )
            )
            names.append(code)

    def _is_sided(self, codes: Sequence[str]) -> bool:
        by_code = {operation.code: operation for operation in self.operations}
        return any(by_code[code].each_side or self._is_sided(by_code[code].requires) for code in codes)

    def _always(self) -> tuple[str, ...]:
        once = [operation.code for operation in self.operations if not self._is_sided([operation.code])]
        return tuple(self.some(once, 1)) if self.chance(50) else ()

    def _takeable(self) -> list[tuple[str, bool]]:
        """Codes of remedies and extras, and whether they are sided."""
        pool = [(remedy.code, self._is_sided(remedy.operations)) for remedy in self.remedies]
        return pool + [(extra.code, self._is_sided(extra.operations)) for extra in self.extras]

    def _parts_used(self) -> list[PartUsed]:
        rows = []
        users = [(one.code, one.each_side) for one in self.operations]
        users += [(step.code, step.each_side) for step in self.steps]
        users += self._takeable()
        for code, sided in self.some(users, 4):
            words = [(), (self.positions[0].split()[0],), (self.positions[-1],), ("all",)]
            sides = self.random.choice(words) if sided else ()
            machines = self.random.choice([(), (), ("THROWER",), ("TRAILER",)])
            part = self.random.choice(self._part_codes())
            rows.append(build.a_part_used(code, part, self.count(), sides=sides, machines=machines))
        return rows

    def _draw_findings(self) -> None:
        codes = [f"FIND-{i}" for i in range(self.random.randint(2, 5))]
        for code in codes:
            measured = self.chance(50)
            limits = (
                {"limit": "10", "as_new": self.random.choice([None, "6", "9"]), "fails_when": "above"}
                if measured
                else {}
            )
            also = self.some([*codes, "FIND-0"], 1)
            severity = self.random.choice(SEVERITIES)
            if self.wide:
                severity = self.random.choice(["safety", "needed", "advised"])
            self.findings.append(build.a_finding(code, severity, also_check=also, **limits))

    def _finding_codes(self) -> list[str]:
        return [finding.code for finding in self.findings]

    def _draw_remedies(self) -> None:
        for finding in self.findings:
            for _ in range(self.random.choice([2, 3, 3] if self.wide else [0, 1, 2, 2, 3])):
                if len(self.remedies) < (10 if self.wide else 8):
                    self.remedies.append(self._remedy(finding.code))

    def _remedy(self, fixes: str) -> Remedy:
        codes = self._finding_codes()
        operations = self.some([operation.code for operation in self.operations], 2)
        return build.a_remedy(
            f"REM-{len(self.remedies)}",
            sorted({fixes, *(self.some(codes, 1) if self.chance(35) else [])}),
            operations or [self.operations[-1].code],
            kind=self.random.choice(["repair", "replace", "upgrade"]),
            parts=self.quantities(self._part_codes(), 2),
            needs_fixed=self.some(codes, 1) if self.chance(10 if self.wide else 30) else (),
            life_years=self.random.choice([None, "1", "2", "2.5", "3", "5", "10"])
            if self.chance(40) and not self.wide
            else self.random.choice(["1", "2", "2.5", "3", "4", "6"]),
        )

    def _limits(self) -> list[FitsOnlyIf]:
        measured = [finding.code for finding in self.findings if finding.limit is not None]
        rows = []
        for remedy in self.remedies:
            if measured and self.chance(10 if self.wide else 30):
                low, high = self.random.choice([(None, "12"), (None, "8"), ("9", None), ("8", "14")])
                rows.append(build.fits_only_if(remedy.code, self.random.choice(measured), low, high))
        return rows

    def _draw_extras(self) -> None:
        for i in range(self.random.randint(0, 3)):
            operations = self.some([operation.code for operation in self.operations], 2)
            self.extras.append(
                build.an_extra(
                    f"EXTRA-{i}",
                    operations or [self.operations[0].code],
                    parts=self.quantities(self._part_codes(), 1),
                    machines=self.random.choice([(), (), ("THROWER",), ("TRAILER",)]),
                )
            )

    def _bundles(self) -> list[Bundle]:
        codes = [code for code, _ in self._takeable()]
        rows = []
        for i in range(self.random.randint(0, 3)):
            members = self.some(codes, 2)
            if members:
                rows.append(self._bundle(f"BUNDLE-{i}", members))
        return rows

    def _bundle(self, code: str, members: list[str]) -> Bundle:
        saving = self.random.choice(["hours off", "labour amount off", "parts amount off", "percent off parts"])
        value = {"hours off": self.tenths(1, 9), "percent off parts": self.percent(5, 100)}.get(
            saving, self.money(5, 60)
        )
        until = self.maybe(20, date(2026, 1, 1))
        return build.a_bundle(code, members, saving, value, to=until)

    def _fees(self) -> list[Fee]:
        codes = [operation.code for operation in self.operations]
        return [
            build.a_fee("DISPOSAL", self.money(2, 12), applies_to=self.some(codes, 3)),
            build.a_fee("PICKUP", self.money(1, 4), unit="mile"),
            *([build.a_fee("GATE", self.money(1, 9), always=True)] if self.chance(30) else []),
        ]

    def _taxes(self) -> list[Tax]:
        rows = []
        for name in self.some(["STATE", "CITY", "LEVY"], 3):
            free = ["all", "labour", "upgrade labour", "parts", "cores", "sublet", "supplies", "freight", "fees"]
            free += ["inspection", "DISPOSAL", "tires", "ONEOFF"]
            for _ in range(self.random.randint(1, 3)):
                charges = [self.random.choice(free[:4]), *self.some(free, 3)]
                charges = [word for word in dict.fromkeys(charges) if word != "ONEOFF"]
                free = [word for word in free if word not in charges] + ["ONEOFF"] * 4
                if charges:
                    rows.append(self._tax(name, charges))
        return rows

    def _tax(self, name: str, charges: list[str]) -> Tax:
        return build.a_tax(
            name,
            self.percent(1, 20),
            charges,
            machines=self.random.choice([(), (), (), ("THROWER",), ("TRAILER",)]),
            customer_class=self.random.choice(["", "", "", "household", "farm"]),
            in_force_from=self.maybe(10, date(2026, 1, 1)),
            in_force_to=self.maybe(10, date(2026, 2, 1)),
        )

    def _tiers(self) -> list[Tier]:
        covers = [["safety", "needed"], ["safety", "needed", "advised"], ["safety", "needed", "advised"]]
        if self.chance(30):
            covers = [["safety"], ["safety", "advised"], ["safety", "needed", "advised", "watch"]]
        aims = AIMS if self.chance(50) else [self.random.choice(AIMS) for _ in range(3)]
        count = self.random.choice([1, 2, 3, 3, 3])
        return [build.a_tier(f"tier-{i}", covers[i], aims[i]) for i in range(count)]

    # The job.

    def job(self, book: ShopBook) -> Job:
        """A job on a machine of this shop."""
        return build.a_job(
            *self._found(book),
            positions=self.positions,
            condition=self.maybe(60, "RUSTY"),
            customer_class=self.random.choice(["household"] * 5 + ["farm", "exempt"]),
            exemption_certificate="E-1",
            old_parts=self.random.choice([None, "keep", "show", "dispose"]),
            inspection_fee=self.maybe(20, self.money(0, 50)),
            paid_so_far=self.random.choice([Decimal(0), self.money(5, 50)]),
            reassembly_hours=self.maybe(40, self.tenths(1, 10)),
            labour_rate=self.maybe(20, "FARM"),
            fees=self._job_fees(),
            own_parts=tuple(self.some(self._part_codes(), 1)) if self.chance(30) else (),
            discount_percent=self.percent(1, 20) if self.chance(25) else Decimal(0),
            discount_reason="A reason",
            years_to_compare=self.maybe(15, Decimal(6)),
            years_it_could_last=self.maybe(20, Decimal("3.5")),
            extras=self._job_extras(),
            parts=[self._part(self.parts[0].code)] if self.chance(15) else {},
            one_off=[self._one_off(i + 1) for i in range(self.random.choice([0, 0, 0, 1, 2]))],
            plan=self._plan(book) if self.chance(12) else (),
        )

    def _found(self, book: ShopBook) -> list[FoundFinding]:
        found = []
        first, *_ = self.positions
        choices: list[list[str | None]] = [[None], [first], [first], list(self.positions[:2]), []]
        for finding in self.findings:
            sides = self.random.choice(choices[:2] if self.wide else choices)
            for side in sides:
                measured = self.random.choice(["7", "10", "11", "13"]) if finding.limit and self.chance(80) else None
                found.append(self._typed(build.found(book, finding.code, side, measured)))
        if self.chance(10):
            found.append(build.a_finding_on("OTHER-1", severity=self.random.choice(SEVERITIES)))
        self.random.shuffle(found)
        return found

    def _typed(self, found: FoundFinding) -> FoundFinding:
        """Sometimes with a severity the technician typed, which makes it a judged fault."""
        if not self.chance(10):
            return found
        typed = self.random.choice(SEVERITIES)
        return replace(found, severity=typed, severity_typed=True, fault=True, judged=True)

    def _job_fees(self) -> tuple[Quantity, ...]:
        rows = [Quantity(code="PICKUP", quantity=Decimal(self.random.randint(1, 30)))] if self.chance(25) else []
        if self.chance(10):
            rows.append(Quantity(code="DISPOSAL", quantity=Decimal(self.random.choice([0, 2]))))
        return tuple(rows)

    def _job_extras(self) -> tuple[JobExtra, ...]:
        rows = []
        for extra in self.some(self.extras, 2):
            side = self.random.choice(self.positions) if self._is_sided(extra.operations) else None
            rows.append(build.a_job_extra(extra.code, side, asked=self.chance(40)))
        return tuple(rows)

    def _one_off(self, number: int) -> OneOff:
        kind = self.random.choice(["labour", "part", "sublet", "charge"])
        cost, price = self.money(3, 40), self.money(3, 60)
        priced = kind == "charge" or self.chance(30)
        return build.a_one_off(
            number,
            kind,
            self.tenths(1, 12) if kind == "labour" else self.count(),
            unit_cost=cost if kind in ("part", "sublet") and not (priced and self.chance(30)) else None,
            unit_price=price if priced and kind != "labour" else None,
            labour=self._labour() if kind == "labour" else None,
            access=self.some([step.code for step in self.steps], 1),
            supplier=self.random.choice([None, "NORTH", "WEST"]) if kind == "part" else None,
            lead_days=self.maybe(50, 4),
            tiers=self.random.choice([(), (), ("tier-0",), ("tier-1", "tier-2")]),
            fixes=self.some(self._finding_codes(), 1) if self.chance(40) else (),
            slowed_by_rust=kind == "labour" and self.chance(40),
        )

    def _plan(self, book: ShopBook) -> tuple[PlanItem, ...]:
        rows = []
        pool = self._takeable()
        pool += [(one.code, self._is_sided([one.code])) for one in self.operations[:2]]
        for tier in self.some([tier.code for tier in book.tiers], 2):
            for code, sided in self.some(pool, 3):
                rows.append(build.a_plan_item(tier, code, self.random.choice(self.positions) if sided else None))
        return tuple(rows)
