"""Leaving out choices that cannot win changes no choice: against full enumeration, seed by seed and trap by trap.

Set QUOTEKIT_PRUNE_JOBS for a longer run.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import fields
from decimal import Decimal, localcontext
from functools import cached_property
from random import Random
from typing import Any
from unittest import mock

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import Operation, Remedy, ShopBook
from quotekit.money import EXACT
from quotekit.pricing import prune
from quotekit.pricing.charges import Charges
from quotekit.pricing.choose import choose
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup, set_up
from tests import build

JOBS = int(os.environ.get("QUOTEKIT_PRUNE_JOBS", "120"))
AIMS = ("lowest price", "least to own", "longest life")
Case = tuple[ShopBook, Job]


class Priced(Setup):
    """A setup that prices the same items once."""

    @cached_property
    def seen(self) -> dict[frozenset[str], Charges]:
        return {}

    def price(self, items: Sequence[Item]) -> Charges:
        key = frozenset(item.key for item in items)
        if key not in self.seen:
            self.seen[key] = super().price(items)
        return self.seen[key]


def ready(case: Case) -> Setup:
    setup = set_up(*case)
    return Priced(
        **{field.name: getattr(setup, field.name) for field in fields(setup) if field.init and field.name[0] != "_"}
    )


def chosen(setup: Setup, aim: str, *, worth: int) -> tuple[list[str], str, int]:
    """What is taken, its work, and how many choices there were."""
    tier = build.a_tier("good", ["safety", "needed"], aim)
    with localcontext(EXACT), mock.patch.object(prune, "WORTH_PRUNING", worth):
        choice = choose(setup, tier, frozenset(setup.candidates.faults), frozenset())
    return [item.key for item in choice.remedies], str(choice.charges.total), choice.compared


def differences(case: Case) -> list[str]:
    """Where pruning forced on takes another choice than full enumeration."""
    setup = ready(case)
    found = []
    for aim in AIMS:
        full, pruned = chosen(setup, aim, worth=10**9), chosen(setup, aim, worth=0)
        if full != pruned:
            found.append(f"{aim}: {full} but pruned {pruned}")
    return found


class Maker:
    """Draws a job of two or three groups of findings that meet only in operations, steps, parts, fees and suppliers.

    A plain one has nothing in it that lets work in money fall when more is done: there choices are left out.
    """

    def __init__(self, seed: int, *, plain: bool = False) -> None:
        self.random = Random(seed)
        self.plain = plain
        self.operations: list[Operation] = []
        self.remedies: list[Remedy] = []
        self.findings: list[str] = []

    def chance(self, percent: int) -> bool:
        return self.random.randrange(100) < percent

    def some(self, pool: list[str], most: int) -> list[str]:
        return sorted(self.random.sample(pool, min(self.random.randint(0, most), len(pool))))

    def hours(self) -> Decimal:
        return Decimal(self.random.choice(["0.1", "0.15", "0.3", "0.5", "0.75", "1.2"]))

    def case(self) -> Case:
        """The book and the job."""
        self.common = [self.operation(f"COMMON-{i}", []) for i in range(2)]
        for group in range(self.random.choice([2, 3, 3])):
            self.group(f"G{group}")
        book = build.a_book(
            settings=self.settings(),
            labour_rates=[build.a_rate(), *([build.a_rate("WELD", 35)] if self.two_rates else [])],
            conditions=[build.a_condition(allowance="0.5", at_most_hours=self.random.choice([None, "0.3", "1"]))],
            machines=[build.a_machine(always=self.some(self.common, 1))],
            access=[build.a_step("COVER"), build.a_step("FLOOR", "0.1", "0.1", needs=["COVER"], parts="SEAL")],
            operations=self.operations,
            parts=self.parts(),
            suppliers=self.suppliers(),
            findings=[build.a_finding(code) for code in self.findings],
            remedies=self.remedies,
            bundles=self.bundles(),
            fees=[build.a_fee("WASTE", 7, applies_to=self.some([one.code for one in self.operations], 4))],
        )
        return book, self.job()

    @property
    def two_rates(self) -> bool:
        """True where some operation is billed at another rate."""
        return any(operation.labour for operation in self.operations)

    def settings(self) -> Any:
        return build.settings(
            minimum_labour_hours="0" if self.plain else self.random.choice(["0", "0", "0.5", "2", "4"]),
            hours_step=self.random.choice(["0.1", "0.1", "0.5"]),
            supplies_percent_of_labour=self.random.choice(["0", "0.05"]),
            supplies_cap=self.random.choice([None, "6"]),
            freight_to_customer=self.random.choice(["none", "this job alone"]),
            interest_a_year=self.random.choice(["0", "0.08"]),
        )

    def operation(self, code: str, included: list[str], **values: Any) -> str:
        self.operations.append(
            build.an_operation(
                code,
                self.hours(),
                includes=included,
                access=self.some(["COVER", "FLOOR"], 1),
                parts="; ".join(
                    self.some(["PIN", "SEAL", "GEAR"] if self.plain else ["PIN", "SEAL", "KIT", "GEAR"], 2)
                ),
                labour="WELD" if self.chance(15) and not self.plain else None,
                slowed_by_rust=self.chance(40),
                sublet_cost=self.random.choice([None, None, None, 12]),
                **values,
            )
        )
        return code

    def group(self, name: str) -> None:
        """One finding, or two that a remedy ties, with two or three remedies."""
        codes = [f"{name}-A"] + ([f"{name}-B"] if self.chance(25) else [])
        self.findings += codes
        sides = {"each_side": True, "second_side_hours": "0.05"} if self.chance(25) and not self.plain else {}
        own = [
            self.operation(
                f"{name}-OP-{i}", self.some(self.common, 1) if self.chance(20) and not self.plain else [], **sides
            )
            for i in range(2)
        ]
        fixes = [[code] for code in codes for _ in range(2)] + [codes]
        for i, fixed in enumerate(fixes):
            operations = [self.random.choice(own), *self.some(self.common, 1)]
            parts = "; ".join(self.some(["PIN", "GEAR", f"{name}-PART"], 2))
            life = self.random.choice([1, 2, 3, 9])
            self.remedies.append(build.a_remedy(f"{name}-R{i}", fixed, operations, parts=parts, life_years=life))

    def parts(self) -> list[Any]:
        costs = {code: self.random.choice([2, 5, 9]) for code in ["PIN", "SEAL", "GEAR"]}
        parts = [build.a_part(code, cost, core_charge=self.random.choice([None, 3])) for code, cost in costs.items()]
        parts += [build.a_part(f"G{i}-PART", self.random.choice([1, 4, 8]), supplier="SOUTH") for i in range(4)]
        return [*parts, build.a_part("KIT", 12, contains="SEAL; PIN x 2", extra_freight=self.random.choice([None, 2]))]

    def suppliers(self) -> list[Any]:
        threshold = None if self.plain else self.random.choice([None, None, None, 20])
        return [build.a_supplier(freight=6, free_freight_from=threshold), build.a_supplier("SOUTH", freight=4)]

    def bundles(self) -> list[Any]:
        if self.plain or not self.chance(40):
            return []
        codes = [remedy.code for remedy in self.remedies]
        savings: list[tuple[Any, Any]] = [
            ("hours off", "0.4"),
            ("labour amount off", 15),
            ("parts amount off", 9),
            ("percent off parts", "0.3"),
        ]
        kind, value = self.random.choice(savings)
        return [build.a_bundle("PAIR", sorted(self.random.sample(codes, 2)), kind, value)]

    def job(self) -> Job:
        sided = {operation.code for operation in self.operations if operation.each_side}
        found = []
        for code in self.findings:
            on_sides = any(one.startswith(code[:3]) for one in sided)
            sides: list[str | None] = [*self.random.choice([["left"], ["left", "right"]])] if on_sides else [None]
            found += [build.a_finding_on(code, side) for side in sides]
        return build.a_job(
            *found,
            condition="RUSTY" if self.chance(50) else None,
            old_parts="keep" if self.chance(30) else None,
            own_parts=("GEAR",) if self.chance(15) else (),
            discount_percent="0.1" if self.chance(20) else "0",
            discount_reason="Club",
            fees="WASTE x 0" if self.chance(10) else "",
        )


@pytest.mark.parametrize("first", range(0, JOBS, 30))
def test_random_jobs_choose_alike(first: int) -> None:
    """Twice 120 jobs, three aims: with rust, rates, minimums, kits, includes, sides, bundles and freight, and plain."""
    wrong = [
        f"seed {seed} {'plain ' if plain else ''}{line}"
        for seed in range(first, first + 30)
        for plain in (False, True)
        for line in differences(Maker(seed, plain=plain).case())
    ]
    assert wrong == []


def test_something_is_left_out() -> None:
    """The comparison above would show nothing if pruning never did anything."""
    left_out = 0
    for seed in range(60):
        setup = ready(Maker(seed, plain=True).case())
        with mock.patch.object(prune, "_undominated", wraps=prune._undominated) as called:
            chosen(setup, "lowest price", worth=0)
        for call in called.call_args_list:
            view, covers, loads = call.args
            left_out += len(covers) - len(prune._undominated(view, covers, loads))
    assert left_out > 30


def test_few_choices_are_compared_one_by_one() -> None:
    """Up to 200 nothing is left out."""
    assert prune.WORTH_PRUNING == 200


def shop(remedies: list[Remedy], operations: list[Operation], **values: Any) -> ShopBook:
    """Findings A to D."""
    findings = [build.a_finding(code) for code in "ABCD"]
    return build.a_book(**({"remedies": remedies, "operations": operations, "findings": findings} | values))


def job(codes: str, **values: Any) -> Job:
    return build.a_job(*(build.a_finding_on(code) for code in codes), **values)


def taken(case: Case, aim: str = "lowest price") -> list[str]:
    """The choice with pruning forced on, which must be that of full enumeration."""
    assert differences(case) == []
    return chosen(ready(case), aim, worth=0)[0]


def test_inside_the_minimum_more_hours_cost_nothing() -> None:
    """LONG takes 0.9 hours and no part, SHORT 0.2 and a part of 15: with a minimum of an hour LONG is cheaper."""
    operations = [
        build.an_operation("L", "0.9"),
        build.an_operation("S", "0.2", parts="P"),
        build.an_operation("O", "0.1"),
    ]
    remedies = [
        build.a_remedy("LONG", ["A"], ["L"]),
        build.a_remedy("SHORT", ["A"], ["S"]),
        build.a_remedy("OTHER", ["B"], ["O"]),
    ]
    book = shop(remedies, operations, parts=[build.a_part("P")], settings=build.settings(minimum_labour_hours=1))
    assert taken((book, job("AB"))) == ["LONG", "OTHER"]


def test_a_larger_order_may_come_without_freight() -> None:
    """DEAR costs 30 more than CHEAP in parts but lifts the order to the free-freight value and saves 40."""
    operations = [build.an_operation(code, "0.5") for code in ("X", "Y", "Z")]
    remedies = [
        build.a_remedy("CHEAP", ["A"], ["X"], parts="P"),
        build.a_remedy("DEAR", ["A"], ["Y"], parts="P x 3"),
        build.a_remedy("OTHER", ["B"], ["Z"], parts="P"),
    ]
    book = shop(
        remedies,
        operations,
        parts=[build.a_part("P", 10)],
        settings=build.settings(freight_to_customer="this job alone"),
        suppliers=[build.a_supplier(freight=40, free_freight_from=40)],
    )
    assert taken((book, job("AB"))) == ["DEAR", "OTHER"]


def test_a_bundle_makes_a_dearer_remedy_the_cheaper() -> None:
    """DEAR takes 0.3 hours more; with OTHER it saves 50."""
    operations = [build.an_operation("X", "0.5"), build.an_operation("Y", "0.8"), build.an_operation("Z", "0.5")]
    remedies = [
        build.a_remedy("CHEAP", ["A"], ["X"]),
        build.a_remedy("DEAR", ["A"], ["Y"]),
        build.a_remedy("OTHER", ["B"], ["Z"]),
    ]
    bundles = [build.a_bundle("PAIR", ["DEAR", "OTHER"], "labour amount off", 50)]
    assert taken((shop(remedies, operations, bundles=bundles), job("AB"))) == ["DEAR", "OTHER"]


def test_a_kit_of_another_group_pays_for_the_seals() -> None:
    """DEAR needs four seals of 12 each, CHEAP a gasket of 15; OTHER's kit holds four seals, so DEAR's are free."""
    operations = [build.an_operation(code, "0.5") for code in ("X", "Y", "Z")]
    remedies = [
        build.a_remedy("CHEAP", ["A"], ["X"], parts="GASKET"),
        build.a_remedy("DEAR", ["A"], ["Y"], parts="SEAL x 4"),
        build.a_remedy("OTHER", ["B"], ["Z"], parts="KIT"),
    ]
    parts = [build.a_part("GASKET", 10), build.a_part("SEAL", 8), build.a_part("KIT", 9, contains="SEAL x 4")]
    assert taken((shop(remedies, operations, parts=parts), job("AB"))) == ["DEAR", "OTHER"]


def test_an_operation_that_another_group_includes_is_free() -> None:
    """DEAR's two hours are included in OTHER's rebuild, CHEAP's half hour is not."""
    operations = [
        build.an_operation("X", "0.5"),
        build.an_operation("Y", 2),
        build.an_operation("Z", 3, includes=["Y"]),
    ]
    remedies = [
        build.a_remedy("CHEAP", ["A"], ["X"]),
        build.a_remedy("DEAR", ["A"], ["Y"]),
        build.a_remedy("OTHER", ["B"], ["Z"]),
    ]
    assert taken((shop(remedies, operations), job("AB"))) == ["DEAR", "OTHER"]


def test_the_second_side_of_an_operation_is_cheaper() -> None:
    """On the left only PRESS works; on the right PRESS takes 0.2 as a second side, PULL 0.5."""
    operations = [
        build.an_operation("PRESS", 1, each_side=True, second_side_hours="0.2"),
        build.an_operation("PULL", "0.5", each_side=True),
    ]
    remedies = [
        build.a_remedy("PRESSED", ["A"], ["PRESS"]),
        build.a_remedy("R-PRESSED", ["B"], ["PRESS"]),
        build.a_remedy("R-PULLED", ["B"], ["PULL"]),
    ]
    case = shop(remedies, operations), build.a_job(build.a_finding_on("A", "left"), build.a_finding_on("B", "right"))
    assert taken(case) == ["PRESSED@left", "R-PRESSED@right"]


def test_a_fee_that_another_group_pays_anyway() -> None:
    """DEAR brings a fee of 20 that OTHER brings too: its shorter work wins."""
    operations = [build.an_operation("X", "0.6"), build.an_operation("Y", "0.5"), build.an_operation("Z", "0.5")]
    remedies = [
        build.a_remedy("CHEAP", ["A"], ["X"]),
        build.a_remedy("DEAR", ["A"], ["Y"]),
        build.a_remedy("OTHER", ["B"], ["Z"]),
    ]
    book = shop(remedies, operations, fees=[build.a_fee("WASTE", 20, applies_to=["Y", "Z"])])
    assert taken((book, job("AB"))) == ["DEAR", "OTHER"]
    assert taken((book, job("A"))) == ["CHEAP"]


def test_rust_at_a_cheap_rate_moves_the_ceiling_away_from_a_dear_one() -> None:
    """An hour of allowance at most. BRIEF: 1 + 1 hours at 200 = 400. LONG has 0.2 slowed hours more at a rate of 20,

    which take a sixth of the hour: 1.8333 at 200, billed 1.9 = 380, and 0.3667 at 20, billed 0.4 = 8: 388.
    """
    operations = [
        build.an_operation("X", 1, slowed_by_rust=True),
        build.an_operation("W", "0.2", labour="WELD", slowed_by_rust=True),
        build.an_operation("Z", 0),
        build.an_operation("DEAR", 0, sublet_cost=500),
    ]
    remedies = [
        build.a_remedy("LONG", ["A"], ["X", "W"]),
        build.a_remedy("BRIEF", ["A"], ["X"]),
        build.a_remedy("O1", ["B"], ["Z"]),
        build.a_remedy("O2", ["B"], ["W", "DEAR"]),
    ]
    book = shop(
        remedies,
        operations,
        labour_rates=[build.a_rate(rate=200), build.a_rate("WELD", 20)],
        conditions=[build.a_condition(allowance=1, at_most_hours=1)],
    )
    assert taken((book, job("AB", condition="RUSTY"))) == ["LONG", "O1"]


def test_a_tie_goes_to_the_earlier_code_also_where_larger_work_takes_the_parts_away() -> None:
    """BIG includes X, so neither remedy of A brings its part: the same work, and A-DEAR comes first in text order."""
    operations = [build.an_operation("X", 1), build.an_operation("BIG", 3, includes=["X"])]
    remedies = [
        build.a_remedy("A-DEAR", ["A"], ["X"], parts="P x 2"),
        build.a_remedy("Z-CHEAP", ["A"], ["X"], parts="P"),
        build.a_remedy("OTHER", ["B"], ["BIG"]),
    ]
    assert taken((shop(remedies, operations, parts=[build.a_part("P")]), job("AB"))) == ["A-DEAR", "OTHER"]


def test_parts_that_larger_work_takes_away_cost_nothing() -> None:
    """P's part of 150 goes with X, which BIG includes. P and Q then cost 0.1 hours; R keeps Y with 50 of sublet."""
    operations = [
        build.an_operation("X", "0.5"),
        build.an_operation("W", "0.1"),
        build.an_operation("Y", "0.1", sublet_cost=50),
        build.an_operation("BIG", 3, includes=["X"]),
    ]
    remedies = [
        build.a_remedy("P", ["A"], ["X"], parts="PART"),
        build.a_remedy("Q", ["B"], ["W"]),
        build.a_remedy("R", ["A", "B"], ["X", "Y"]),
        build.a_remedy("OTHER", ["C"], ["BIG"]),
    ]
    case = shop(remedies, operations, parts=[build.a_part("PART", 100)]), job("ABC")
    assert taken(case) == ["OTHER", "P", "Q"]


def test_a_step_that_only_included_work_needs_stays_closed() -> None:
    """X needs the floor and BIG includes X: then P and Q open nothing, while R's Y needs the floor itself."""
    operations = [
        build.an_operation("X", "0.5", access=["FLOOR"]),
        build.an_operation("W", "0.2"),
        build.an_operation("V", 0),
        build.an_operation("Y", "0.1", access=["FLOOR"]),
        build.an_operation("BIG", 3, includes=["X"]),
    ]
    remedies = [
        build.a_remedy("P", ["A"], ["X"]),
        build.a_remedy("Q", ["B"], ["V", "W"]),
        build.a_remedy("R", ["A", "B"], ["X", "Y"]),
        build.a_remedy("OTHER", ["C"], ["BIG"]),
    ]
    case = shop(remedies, operations, access=[build.a_step("FLOOR")]), job("ABC")
    assert taken(case) == ["OTHER", "P", "Q"]


def test_two_percentages_on_the_same_parts() -> None:
    """Two bundles take 60 % each off what PRESSED brings: its second part of 150 lets them take all of 300 off.

    GLUED's part of 75 is in neither: of 225 they take 90 and 90, and 45 is left to pay.
    """
    names = {"PRESS": "PRESSED", "GLUE": "GLUED"}
    operations = [build.an_operation(code, 1, each_side=True) for code in names]
    remedies = [build.a_remedy(code, ["A"], [work], parts=work) for work, code in names.items()]
    book = shop(
        [*remedies, build.a_remedy("WHOLE", ["A"], ["ALL"])],
        [*operations, build.an_operation("ALL", 9)],
        parts=[build.a_part("PRESS", 100), build.a_part("GLUE", 50)],
        bundles=[build.a_bundle(code, ["PRESSED"], "percent off parts", "0.6") for code in ("ONE", "TWO")],
    )
    found = [build.a_finding_on("A", side) for side in ("left", "right")]
    assert taken((book, build.a_job(*found))) == ["PRESSED@left", "PRESSED@right"]
