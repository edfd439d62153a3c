"""Large shop books and jobs that are valid: N findings with four remedies each, in styles that strain the choice.

One count, style and seed give one case. Prices have odd cents, hours tenths and hundredths, and a step of labour is
not whole cents; three tiers have the three aims.

nested      separate findings that share nested access steps
chained     remedies that fix two or three findings, so that all findings hang together
tangled     inclusions, requirements, kits, and work on each side with second-side hours
money       bundles of all kinds, caps, minimum, a condition's ceiling over two rates, sublets, fees, freight, discount
limits      Fits only if, Needs fixed, and findings that cannot be fixed together
ties        many remedies of the same price and hours
mixed       all of these in one job
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from random import Random
from typing import Any

from quotekit.model.job import FoundFinding, Job
from quotekit.model.shop_book import Bundle, Fee, FitsOnlyIf, ShopBook
from tests import build
from tests.random_draws import Draws

STYLES = ("nested", "chained", "tangled", "money", "limits", "ties", "mixed")
REMEDIES = "ABCD"
HOURS = ("0.05", "0.1", "0.15", "0.2", "0.3", "0.37", "0.4", "0.5", "0.65", "0.8", "1.2")
LIVES = ("1", "1.5", "2", "2.5", "3", "4", "6", "10")
BLOCK = 4
"""So many findings share kits, required work, limits and bundles."""

Case = tuple[ShopBook, Job]


def a_big_case(count: int, style: str, seed: int) -> Case:
    """The shop book and job of a number of findings, a style and a seed."""
    maker = BigMaker(Random(f"{count} {style} {seed}"), count=count, style=style)
    return maker.case()


@dataclass
class BigMaker(Draws):
    """Draws the sheets of a book finding by finding, then the job."""

    count: int = 10
    style: str = "nested"
    limits: list[FitsOnlyIf] = field(default_factory=list)
    bundles: list[Bundle] = field(default_factory=list)
    fees: list[Fee] = field(default_factory=list)
    found: list[FoundFinding] = field(default_factory=list)

    def case(self) -> Case:
        """Book and job."""
        self._draw_access()
        self._draw_shared()
        for number in range(self._codes()):
            self._draw_finding(number)
        self._draw_extras()
        book = self._book()
        return book, self._job(book)

    def _is(self, style: str) -> bool:
        """True in the style itself, and by the dice where all are mixed."""
        return self.style == style or (self.style == "mixed" and self.chance(50))

    def _codes(self) -> int:
        """Finding codes; where the work is done on each side, two findings have one code."""
        return (self.count + 1) // 2 if self.style == "tangled" else self.count

    def _hours(self) -> Decimal:
        return Decimal("0.4") if self.style == "ties" else Decimal(self.random.choice(HOURS))

    def _cents(self, low: int, high: int) -> Decimal:
        return Decimal("17.35") if self.style == "ties" else self.money(low, high)

    def _draw_access(self) -> None:
        """A tree of steps: each needs an earlier one, so that a deep one opens several."""
        for i in range(self.count // 3 + 2):
            needs = [f"STEP-{self.random.randrange(max(0, i - 6), i):03}"] if i and self.chance(80) else []
            parts = "GASKET" if self.chance(30) else ""
            step = build.a_step(
                f"STEP-{i:03}", self._hours(), self._hours() / 2, needs=needs, parts=parts, labour=self._rate()
            )
            self.steps.append(step)

    def _rate(self) -> str | None:
        return "WELD" if self.style in ("money", "mixed", "nested") and self.chance(25) else None

    def _draw_shared(self) -> None:
        """The gasket of the covers, and for each block a kit and flushing that its work may require."""
        self.parts.append(build.a_part("GASKET", "3.33", 10, supplier="SHELF"))
        self.operations.append(build.an_operation("TEST", "0.15"))
        for block in range(self.count // BLOCK + 1):
            self.operations.append(build.an_operation(f"FLUSH-{block:03}", "0.25", parts="GASKET x 0.5"))

    def _draw_finding(self, number: int) -> None:
        code = f"FIND-{number:03}"
        severity = self.random.choice(["safety", *["needed"] * 5, *["advised"] * 4])
        measured = self.style in ("limits", "mixed") and self.chance(60)
        limit = {"limit": "10", "as_new": "6", "fails_when": "above"} if measured else {}
        self.findings.append(build.a_finding(code, severity, **limit))
        sides = [None, None] if self.style != "tangled" else ["left", "right"]
        for side in sides[: 2 if self.style == "tangled" else 1]:
            if len(self.found) < self.count:
                row = build.a_finding_on(code, side, severity=severity, measured=12 if measured else None, **limit)
                self.found.append(row)
        for letter in REMEDIES:
            self._draw_remedy(number, letter)
        if number % BLOCK == BLOCK - 1:
            self._draw_kit(number // BLOCK)
            self._draw_bundles(number // BLOCK)
            self._draw_limits(number // BLOCK)

    def _draw_remedy(self, number: int, letter: str) -> None:
        fixes = [number]
        if letter in "BC" and self._is("chained"):
            fixes = [number + more for more in range(3 if letter == "C" else 2) if number + more < self._codes()]
        own_work = letter != "B" or self.chance(70)
        operation = f"WORK-{number:03}-{letter if own_work else 'A'}"
        if own_work:
            self._draw_operation(number, letter, operation, len(fixes))
        part = f"PART-{number:03}-{letter}"
        self.parts.append(self._part(part, len(fixes)))
        life = "5" if self.style == "ties" and self.chance(60) else self.random.choice(LIVES)
        self.remedies.append(
            build.a_remedy(
                f"REM-{number:03}-{letter}",
                [f"FIND-{one:03}" for one in fixes],
                [operation],
                kind="upgrade" if letter == "D" else "replace",
                parts=f"{part} x {self.random.choice([1, 1, 2])}",
                life_years=life,
                needs_fixed=self._needs(number),
            )
        )

    def _draw_operation(self, number: int, letter: str, code: str, weight: int) -> None:
        tangled = self._is("tangled")
        each_side = self.style == "tangled" and letter in "ACD"
        net = self._hours() * weight
        includes = []
        if tangled and letter == "C":
            includes = [f"WORK-{number:03}-A"] + ([f"WORK-{number - 1:03}-A"] if number % BLOCK else [])
        values: dict[str, Any] = {
            "access": [self.random.choice(self.steps).code] if self.chance(85) else [],
            "includes": includes,
            "requires": [f"FLUSH-{number // BLOCK:03}"] if tangled and letter in "AB" else [],
            "each_side": each_side,
            "second_side_hours": (net * Decimal("0.7")).quantize(Decimal("0.01")) if each_side else None,
            "slowed_by_rust": self.style in ("money", "mixed", "tangled") and self.chance(50),
            "labour": self._rate(),
            "parts": "GASKET x 0.5" if self.chance(10) else "",
        }
        if self._is("money") and self.chance(15):
            values["sublet_cost"] = self._cents(20, 60)
        self.operations.append(build.an_operation(code, net, **values))

    def _part(self, code: str, weight: int) -> Any:
        money = self._is("money")
        return build.a_part(
            code,
            self._cents(2, 90) * weight,
            self.random.choice([1, 1, 1, 4]) if self.style != "ties" else 1,
            supplier=self.random.choice(["NORTH", "SOUTH", "SHELF"]) if money else "SHELF",
            core_charge=self._cents(2, 9) if money and self.chance(10) else None,
            extra_freight="2.15" if money and self.chance(10) else None,
        )

    def _needs(self, number: int) -> list[str]:
        """Now and then the next finding of the block must be put right too."""
        last = number % BLOCK == BLOCK - 1 or number + 1 >= self._codes()
        return [f"FIND-{number + 1:03}"] if not last and self._is("limits") and self.chance(25) else []

    def _draw_kit(self, block: int) -> None:
        """A kit that holds what the first remedies of a block use, bought by one of them."""
        if not self._is("tangled"):
            return
        first = block * BLOCK
        contents = "; ".join(f"PART-{number:03}-A" for number in range(first + 1, first + BLOCK))
        kit = f"KIT-{block:03}"
        self.parts.append(build.a_part(kit, self._cents(60, 120), contains=contents, supplier="SHELF"))
        self.remedies[first * len(REMEDIES)] = build.a_remedy(
            f"REM-{first:03}-A", [f"FIND-{first:03}"], [f"WORK-{first:03}-A"], parts=kit, life_years="3"
        )

    def _draw_bundles(self, block: int) -> None:
        """A saving for two or three remedies of a block, of one kind after the other."""
        if not self._is("money"):
            return
        kinds = ("hours off", "labour amount off", "parts amount off", "percent off parts")
        kind = kinds[block % len(kinds)]
        first = block * BLOCK
        letters = [self.random.choice(REMEDIES) for _ in range(self.random.choice([2, 3]))]
        members = [f"REM-{first + i:03}-{letter}" for i, letter in enumerate(letters)]
        value = {"hours off": Decimal("0.35"), "percent off parts": self.percent(3, 30)}.get(kind, self._cents(5, 40))
        self.bundles.append(build.a_bundle(f"BUNDLE-{block:03}", members, kind, value))
        works = [f"WORK-{number:03}-{letter}" for number in range(first, first + BLOCK) for letter in "AD"]
        self.fees.append(build.a_fee(f"FEE-{block:03}", self._cents(2, 12), applies_to=works))

    def _draw_limits(self, block: int) -> None:
        """Limits on the neighbour: some call for putting it right, some hold only while it is left as it is."""
        if self.style not in ("limits", "mixed"):
            return
        first = block * BLOCK
        for number in range(first, first + BLOCK - 1):
            if not self.findings[number + 1].limit:
                continue
            for letter in REMEDIES:
                if self.chance(30):
                    low, high = self.random.choice([(None, "8"), (None, "13"), ("5", "13")])
                    row = build.fits_only_if(f"REM-{number:03}-{letter}", f"FIND-{number + 1:03}", low, high)
                    self.limits.append(row)
        if self.findings[first + 1].limit and self.chance(40):
            rows = [build.fits_only_if(f"REM-{first:03}-{letter}", f"FIND-{first + 1:03}", "9") for letter in REMEDIES]
            kept = [row for row in self.limits if row.remedy not in {one.remedy for one in rows}]
            self.limits[:] = [*kept, *rows]

    def _draw_extras(self) -> None:
        for i in range(self.count // 20 + 2):
            work = f"MORE-{i:03}"
            access = [self.random.choice(self.steps).code]
            self.operations.append(build.an_operation(work, self._hours(), access=access))
            self.extras.append(build.an_extra(f"EXTRA-{i:03}", [work], parts="GASKET"))

    def _settings(self) -> Any:
        money = self.style in ("money", "mixed")
        return build.settings(
            hours_step=self.random.choice(["0.1", "0.25"]),
            minimum_labour_hours=Decimal(self.count) * Decimal("0.6") if money and self.chance(30) else "1",
            supplies_percent_of_labour=Decimal("0.037"),
            supplies_cap=Decimal(self.count) * Decimal("3.11") if money else None,
            sublet_markup=Decimal("0.15"),
            freight_to_customer="this job alone" if money and self.chance(70) else "none",
            years_to_compare=self.random.choice(["5", "8"]),
            interest_a_year=self.random.choice(["0", "0", "0.06"]),
        )

    def _book(self) -> ShopBook:
        goods = Decimal(self.count) * 20
        north = build.a_supplier("NORTH", freight="14.75", free_freight_from=goods)
        south = build.a_supplier("SOUTH", freight="9.85", minimum_order=goods, small_order_fee="2.45")
        ceiling = Decimal(self.count) * Decimal("0.03") if self.style in ("money", "mixed") else None
        covers = [("safety", "needed"), ("safety", "needed", "advised"), ("safety", "needed", "advised")]
        aims = ("lowest price", "least to own", "longest life")
        return build.a_book(
            settings=self._settings(),
            labour_rates=[build.a_rate("MAIN", "83.33", 35), build.a_rate("WELD", "97.25", 41)],
            conditions=[build.a_condition(allowance="0.15", at_most_hours=ceiling)],
            machines=[build.a_machine(always=("TEST",))],
            access=self.steps,
            operations=self.operations,
            parts=self.parts,
            suppliers=[north, south, build.a_supplier("SHELF", shelf=True)],
            markup=[build.a_band(0, 20, "0.6"), build.a_band(20, None, "0.37")],
            findings=self.findings,
            remedies=self.remedies,
            fits_only_if=self.limits,
            extras=self.extras,
            bundles=self.bundles,
            fees=self.fees,
            tiers=[build.a_tier(f"tier-{i}", covers[i], aims[i]) for i in range(3)],
        )

    def _job(self, book: ShopBook) -> Job:
        money = self.style in ("money", "mixed")
        return build.a_job(
            *self.found,
            condition="RUSTY" if self.style in ("money", "mixed", "tangled") else None,
            old_parts="keep" if money else None,
            discount_percent="0.025" if money and self.chance(50) else 0,
            discount_reason="A reason",
        )
