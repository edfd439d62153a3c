"""Parts and core charges of any choice: summed up per part, kits first, the customer's own for nothing.

A part costs 10.00 and sells at 15.00 (50 %) unless told otherwise.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.live.parts import LivePart, live_parts
from tests import build
from tests.pricing.live.bench import a_bench


class Parts:
    """Quantity and amount in cents of each part, for any of some items."""

    def __init__(self, book: ShopBook, *keys: str, job: Job | None = None) -> None:
        self.bench = a_bench(book, *keys, job=job)
        self.parts = live_parts(self.bench.working, self.bench.work)

    def line(self, code: str) -> LivePart:
        """A part by its code."""
        return next(part for part in self.parts if part.code == code)

    def __call__(self, *ticked: str) -> dict[str, tuple[float, int]]:
        """(quantity, amount) of each part that is needed."""
        found = {part.code: (self._quantity(part, *ticked), self._cents(part, *ticked)) for part in self.parts}
        return {code: line for code, line in found.items() if line != (0, 0)}

    def cores(self, *ticked: str) -> dict[str, int]:
        """Core charges that are not zero."""
        found = {part.code: self.bench.number(part.core, *ticked) for part in self.parts}
        return {code: amount for code, amount in found.items() if amount}

    def _quantity(self, part: LivePart, *ticked: str) -> float:
        return float(self.bench.number(part.quantity, *ticked)) / 10.0**part.places

    def _cents(self, part: LivePart, *ticked: str) -> int:
        return self.bench.number(part.amount, *ticked)


def shop(*parts: object, **values: Any) -> ShopBook:
    """Operations A and B, extras, a cover, and these parts."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("A", parts="SEAL x 2"), build.an_operation("B", parts="SEAL; BELT")]
    }
    return build.a_book(parts=list(parts) or [build.a_part("SEAL"), build.a_part("BELT", 20)], **(named | values))


def test_parts_of_all_work_are_summed_up_in_text_order() -> None:
    """A: two seals at 15.00. B: a seal and a belt at 30.00. Both: three seals at 45.00."""
    parts = Parts(shop(), "A", "B")
    assert [part.code for part in parts.parts] == ["BELT", "SEAL"]
    assert parts("A") == {"SEAL": (2, 3000)}
    assert parts("B") == {"BELT": (1, 3000), "SEAL": (1, 1500)}
    assert parts("A", "B") == {"BELT": (1, 3000), "SEAL": (3, 4500)}
    assert parts() == {}


def test_the_price_is_rounded_once_for_the_quantity() -> None:
    """Unit price 5.03 (3.35 + 50 % = 5.025): three are 15.09. The unit price is rounded, then multiplied."""
    parts = Parts(shop(build.a_part("SEAL", "3.35"), build.a_part("BELT")), "A", "B")
    assert parts("A")["SEAL"] == (2, 1006)
    assert parts("A", "B")["SEAL"] == (3, 1509)


def test_fractional_quantities() -> None:
    """0.75 l of oil and 0.125 l at 15.00 a litre: 11.25, and 0.875 l = 13.125 -> 13.13."""
    book = shop(
        build.a_part("OIL"),
        operations=[build.an_operation("A", parts="OIL x 0.75"), build.an_operation("B", parts="OIL x 0.125")],
    )
    parts = Parts(book, "A", "B")
    assert parts("A") == {"OIL": (0.75, 1125)}
    assert parts("B") == {"OIL": (0.125, 188)}
    assert parts("A", "B") == {"OIL": (0.875, 1313)}


def test_parts_of_an_access_step_come_once() -> None:
    """The gasket of the cover, whoever opens it."""
    book = shop(
        build.a_part("GASKET"),
        access=[build.a_step("COVER", parts="GASKET")],
        operations=[build.an_operation("A", access=["COVER"]), build.an_operation("B", access=["COVER"])],
    )
    parts = Parts(book, "A", "B")
    assert parts("A") == parts("B") == parts("A", "B") == {"GASKET": (1, 1500)}


def test_an_extras_own_parts_come_with_it_unless_larger_work_does_it() -> None:
    """TUNED brings a plug of its own; where OVERHAUL includes TUNE, it brings none."""
    book = shop(
        build.a_part("PLUG"),
        operations=[build.an_operation("TUNE"), build.an_operation("OVERHAUL", includes=["TUNE"])],
        extras=[build.an_extra("TUNED", ["TUNE"], parts="PLUG")],
    )
    parts = Parts(book, "TUNED", "OVERHAUL")
    assert parts("TUNED") == {"PLUG": (1, 1500)}
    assert parts("TUNED", "OVERHAUL") == {}


def test_what_a_kit_contains_is_not_charged_again() -> None:
    """A brings 2 seals, B a seal and a kit with 2 seals: 3 - 2 = 1 seal beside the kit. B alone: 1 - 2, so none."""
    book = shop(
        build.a_part("SEAL"),
        build.a_part("KIT", 40, contains="SEAL x 2"),
        operations=[build.an_operation("A", parts="SEAL x 2"), build.an_operation("B", parts="SEAL; KIT")],
    )
    parts = Parts(book, "A", "B")
    assert parts("A") == {"SEAL": (2, 3000)}
    assert parts("B") == {"KIT": (1, 6000)}
    assert parts("A", "B") == {"KIT": (1, 6000), "SEAL": (1, 1500)}


def test_a_kit_of_what_nothing_else_brings_takes_nothing_off() -> None:
    book = shop(
        build.a_part("SEAL"),
        build.a_part("KIT", 40, contains="SEAL x 2"),
        operations=[build.an_operation("A", parts="KIT")],
    )
    assert Parts(book, "A")("A") == {"KIT": (1, 6000)}


def test_kits_in_kits_are_taken_off_by_the_quantities_before_any_kit() -> None:
    """The large kit contains the small one, which contains a seal: 1 - 1 small kit; the small kit that is not
    charged still takes its seal off: 2 - 1 = 1 seal."""
    book = shop(
        build.a_part("SEAL"),
        build.a_part("SMALL", 20, contains="SEAL"),
        build.a_part("LARGE", 40, contains="SMALL"),
        operations=[build.an_operation("A", parts="SEAL x 2; SMALL"), build.an_operation("B", parts="LARGE")],
    )
    parts = Parts(book, "A", "B")
    assert parts("A") == {"SEAL": (1, 1500), "SMALL": (1, 3000)}
    assert parts("A", "B") == {"LARGE": (1, 6000), "SEAL": (1, 1500)}


def test_a_kit_of_fractions() -> None:
    """1 l of oil less a kit with 0.25 l: 0.75 l at 15.00 = 11.25."""
    book = shop(
        build.a_part("OIL"),
        build.a_part("KIT", 40, contains="OIL x 0.25"),
        operations=[build.an_operation("A", parts="OIL"), build.an_operation("B", parts="KIT")],
    )
    assert Parts(book, "A", "B")("A", "B") == {"KIT": (1, 6000), "OIL": (0.75, 1125)}


def test_a_replaced_part_and_its_successor_are_one_part() -> None:
    """A asks for the old seal, B for the new one; belts need a clip each."""
    book = shop(
        build.a_part("SEAL", replaced_by="SEAL-2"),
        build.a_part("SEAL-2", 12),
        build.a_part("BELT", 20, also_needs="CLIP x 2"),
        build.a_part("CLIP", 1),
        operations=[build.an_operation("A", parts="SEAL"), build.an_operation("B", parts="SEAL-2; BELT")],
    )
    parts = Parts(book, "A", "B")
    assert parts("A", "B") == {"BELT": (1, 3000), "CLIP": (2, 300), "SEAL-2": (2, 3600)}


def test_the_customers_own_part_is_fitted_for_nothing() -> None:
    parts = Parts(shop(), "A", "B", job=build.a_job(own_parts=("SEAL",)))
    assert parts("A", "B") == {"BELT": (1, 3000), "SEAL": (3, 0)}
    assert parts.line("SEAL").own and not parts.line("BELT").own
    assert parts.line("SEAL").supplier == ""


def test_core_charges_where_the_customer_keeps_the_old_parts() -> None:
    """12.505 a starter: 12.51 for one, 25.01 for two."""
    book = shop(
        build.a_part("STARTER", core_charge="12.505"),
        operations=[build.an_operation("A", parts="STARTER"), build.an_operation("B", parts="STARTER")],
    )
    kept = Parts(book, "A", "B", job=build.a_job(old_parts="keep"))
    assert (kept.cores("A"), kept.cores("A", "B")) == ({"STARTER": 1251}, {"STARTER": 2501})
    assert Parts(book, "A", "B").cores("A", "B") == {}
    own = Parts(book, "A", "B", job=build.a_job(old_parts="keep", own_parts=("STARTER",)))
    assert own.cores("A", "B") == {}


@pytest.mark.parametrize(
    ("line", "quantity", "cents"),
    [
        ({"unit_price": "7.505", "quantity": 2}, 1, 1502),
        ({"unit_cost": "10", "quantity": 3}, 1, 4500),
        ({"unit_price": "4", "quantity": "0.5"}, 1, 200),
    ],
)
def test_a_one_off_part(line: dict[str, Any], quantity: int, cents: int) -> None:
    """At its price, rounded to 7.51 and then doubled; at its cost with the markup: 3 x 15.00. It is there or not."""
    one_off = build.a_one_off(kind="part", supplier="NORTH", **line)
    parts = Parts(shop(), "ONEOFF-1", job=build.a_job(one_off=(one_off,)))
    assert parts("ONEOFF-1") == {"ONEOFF-1": (quantity, cents)}
    assert parts() == {}
    assert (parts.line("ONEOFF-1").part, parts.line("ONEOFF-1").supplier) == (None, "NORTH")


def test_the_charge_word_that_taxes_a_part() -> None:
    parts = Parts(shop(build.a_part("SEAL", taxed_as="labour"), build.a_part("BELT")), "B")
    assert (parts.line("SEAL").taxed_as, parts.line("BELT").taxed_as) == ("labour", "parts")


def test_amounts_in_minor_units_of_the_currency() -> None:
    """15 yen; 15.000 dinars."""
    for currency, amount in (("JPY", 15), ("KWD", 15000)):
        book = shop(settings=build.settings(currency=currency))
        assert Parts(book, "B")("B")["SEAL"] == (1, amount)
