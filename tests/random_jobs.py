"""Small random shop books and jobs that are valid, for comparing and for properties: one seed, one case."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from random import Random

from hypothesis import strategies as st

from quotekit.model.job import (
    FoundFinding,
    Job,
    JobExtra,
    OneOff,
    PlanItem,
)
from quotekit.model.shop_book import (
    Quantity,
    ShopBook,
)
from tests import build
from tests.random_books import SEVERITIES, BookMaker

Case = tuple[ShopBook, Job]


def cases() -> st.SearchStrategy[Case]:
    """Hypothesis draws seeds; a failing case is named by its seed."""
    return seeds().map(a_random_case)


def seeds() -> st.SearchStrategy[int]:
    """Seeds of random cases."""
    return st.integers(min_value=0, max_value=10**9)


def a_random_case(seed: int) -> Case:
    """The shop book and job of a seed."""
    maker = JobMaker(Random(seed), wide=seed % 6 == 5)
    book = maker.book()
    return book, maker.job(book)


@dataclass
class JobMaker(BookMaker):
    """Draws a book, then a job that uses it."""

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
