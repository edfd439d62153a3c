"""Random shop books: parts, access, operations, findings, remedies and extras that fit together."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from quotekit.model.shop_book import (
    FindingSeverity,
    FitsOnlyIf,
    Part,
    PartUsed,
    Remedy,
    ShopBook,
)
from tests import build
from tests.random_terms import TermsMaker

POSITIONS = [("left", "right")] * 5 + [("left front", "left rear", "right front"), ("front", "rear")]
SEVERITIES: list[FindingSeverity] = ["safety", "needed", "needed", "advised", "advised", "watch"]


@dataclass
class BookMaker(TermsMaker):
    """Draws the sheets of a book one after the other."""

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

    def _always(self) -> tuple[str, ...]:
        once = [operation.code for operation in self.operations if not self._is_sided([operation.code])]
        return tuple(self.some(once, 1)) if self.chance(50) else ()

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
