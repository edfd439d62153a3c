"""What each new repair of a changed job adds: in order, shared work with the first, together what all of them add."""

from __future__ import annotations

from decimal import Decimal
from itertools import permutations
from typing import Any

import pytest

from quotekit.model.agreed import Agreed
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.agreed import agreed_of
from quotekit.pricing.build_quote import build_quote
from quotekit.pricing.consent.what_it_adds import what_each_adds
from tests import build

HOURS = {"BELT": "0.4", "CAP": "0.2", "SEAL": "0.3"}


def a_change(one_off: tuple[Any, ...] = (), **settings: Any) -> tuple[ShopBook, Job, Agreed]:
    """Belt and seal behind one cover (0.5 h) at 100.00 an hour, and a cap that needs none; all of them taken."""
    operations = [
        build.an_operation(code, hours, access=() if code == "CAP" else ("COVER",)) for code, hours in HOURS.items()
    ]
    book = build.a_book(
        operations=operations,
        access=[build.a_step("COVER", "0.3", "0.2")],
        findings=[build.a_finding(code) for code in HOURS],
        remedies=[build.a_remedy(f"NEW-{code}", [code], [code]) for code in HOURS],
        settings=build.settings(**{"minimum_labour_hours": Decimal(0), **settings}),
    )
    job = build.a_job(*(build.a_finding_on(code) for code in HOURS), one_off=one_off)
    return book, job, agreed_of(book, job, build_quote(book, job).tiers[0])


@pytest.mark.parametrize(
    ("new", "expected"),
    [
        (["NEW-BELT", "NEW-SEAL"], ["90.00", "30.00"]),
        (["NEW-SEAL", "NEW-BELT"], ["80.00", "40.00"]),
        (["NEW-SEAL"], ["30.00"]),
        (["NEW-CAP"], ["20.00"]),
        ([], []),
    ],
)
def test_shared_work_counts_with_the_first(new: list[str], expected: list[str]) -> None:
    """The seal alone adds 30.00: the cover is open for the belt, which was agreed."""
    book, job, now = a_change()
    assert list(what_each_adds(book, job, now, new).items()) == list(zip(new, map(Decimal, expected), strict=True))


def test_within_the_minimum_a_repair_adds_nothing() -> None:
    """The belt, the cover and the cap are 1.1 h; with a minimum of two hours the seal costs no more."""
    book, job, now = a_change(minimum_labour_hours=Decimal(2))
    assert what_each_adds(book, job, now, ["NEW-SEAL"]) == {"NEW-SEAL": Decimal("0.00")}


def test_a_one_off_charge_is_what_it_adds() -> None:
    bolt = build.a_one_off(1, "charge", 1, line="Seized bolt", unit_price=Decimal("90.00"))
    book, job, now = a_change((bolt,))
    assert what_each_adds(book, job, now, ["ONEOFF-1"]) == {"ONEOFF-1": Decimal("90.00")}


@pytest.mark.parametrize("order", list(permutations(["NEW-BELT", "NEW-CAP", "NEW-SEAL"])))
@pytest.mark.parametrize("supplies", ["0", "0.05"])
def test_together_they_are_what_all_adds(order: tuple[str, ...], supplies: str) -> None:
    """In any order, to the cent, supplies and all."""
    book, job, now = a_change(supplies_percent_of_labour=Decimal(supplies))
    assert sum(what_each_adds(book, job, now, order).values()) == now.subtotal
