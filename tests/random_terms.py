"""Random terms of a shop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.shop_book import (
    Bundle,
    Fee,
    LabourRate,
    MarkupBand,
    Settings,
    Supplier,
    Tax,
    Tier,
)
from tests import build
from tests.random_draws import Draws

AIMS = ["lowest price", "least to own", "longest life"]


@dataclass
class TermsMaker(Draws):
    """Draws what the shop charges: settings, rates, suppliers, markup, bundles, fees, taxes and tiers."""

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
