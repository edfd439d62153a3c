"""A tier with one more item: counted from the tier's figures, it is what pricing the whole set gives."""

from __future__ import annotations

from dataclasses import fields
from decimal import localcontext

import pytest
from hypothesis import given, settings

from quotekit.money import EXACT
from quotekit.pricing import price_added as module
from quotekit.pricing.charges import Charges, price_items
from quotekit.pricing.items import Item, extra_item
from quotekit.pricing.price_added import price_added
from quotekit.pricing.setup import Setup, set_up
from quotekit.pricing.sides import is_sided
from quotekit.pricing.tiers import WorkedTier, work_out_tiers
from tests import build
from tests.random_jobs import Case, cases
from tests.solver.big_jobs import STYLES, a_big_case


def that_may_be_added(setup: Setup, tier: WorkedTier) -> list[Item]:
    """Remedies and extras that the tier does not hold, offered beside it or not."""
    basis = setup.basis
    extras = [
        extra_item(basis, extra, side)
        for extra in basis.book.extras.values()
        for side in (basis.job.positions if is_sided(basis.book, extra.operations) else (None,))
    ]
    taken = {(item.kind, item.key) for item in tier.items}
    return [item for item in (*setup.candidates.items.values(), *extras) if (item.kind, item.key) not in taken]


def differences(one: Charges, other: Charges) -> list[str]:
    """Figures that are not the same."""
    return [part.name for part in fields(one) if getattr(one, part.name) != getattr(other, part.name)]


def compare(case: Case) -> int:
    """Add each item to each tier, and a second one to that; how many were compared."""
    compared = 0
    with localcontext(EXACT):
        setup = set_up(*case)
        for tier in work_out_tiers(setup):
            if not isinstance(tier, WorkedTier):
                continue
            items = that_may_be_added(setup, tier)[:40]
            for item, second in zip(items, items[1:] + items[:1], strict=True):
                with_one = price_added(setup.basis, tier.charges, item, tier.charges)
                whole = price_items(setup.basis, [*tier.items, item], setup.always, beside=tier.charges)
                assert not differences(with_one, whole), (tier.tier.code, item.key)
                if second is not item:
                    with_two = price_added(setup.basis, with_one, second, tier.charges)
                    added = [*tier.items, item, second]
                    assert not differences(
                        with_two, price_items(setup.basis, added, setup.always, beside=tier.charges)
                    ), (tier.tier.code, item.key, second.key)
                compared += 1
    return compared


@settings(max_examples=25, deadline=None)
@given(cases())
def test_random_jobs_come_out_as_the_whole(case: Case) -> None:
    """Kits, inclusions, requirements, sides, bundles, fees, freight and one-off lines, drawn at random."""
    compare(case)


@pytest.mark.parametrize("style", STYLES)
def test_each_style_of_a_larger_job_comes_out_as_the_whole(style: str) -> None:
    """Twelve findings with four remedies: every style strains another part of the sum."""
    assert compare(a_big_case(12, style, 3)) > 10


def a_tier_and_an_item(operation: dict[str, object], item_parts: str = "") -> tuple[Setup, Charges, Item]:
    """A tier that does WORK on the left, and another remedy whose operation is drawn up here."""
    book = build.a_book(
        operations=[
            build.an_operation("WORK", "0.5", each_side=True, second_side_hours="0.3", includes=["SMALL"]),
            build.an_operation("SMALL", "0.1"),
            build.an_operation("MORE", "0.4", **operation),
        ],
        parts=[build.a_part("SEAL"), build.a_part("KIT", 20, contains="SEAL x 2")],
        findings=[build.a_finding("ONE"), build.a_finding("TWO")],
        remedies=[
            build.a_remedy("REM-1", ["ONE"], ["WORK"], parts="SEAL x 3"),
            build.a_remedy("REM-2", ["TWO"], ["MORE"], parts=item_parts),
            build.a_remedy("REM-3", ["ONE"], ["WORK"]),
            build.a_remedy("REM-4", ["TWO"], ["SMALL"]),
        ],
    )
    job = build.a_job(build.a_finding_on("ONE", "left"), build.a_finding_on("ONE", "right"), build.a_finding_on("TWO"))
    setup = set_up(book, job)
    return setup, setup.price([setup.candidates.items["REM-1@left"]]), setup.candidates.items["REM-2"]


def whole_sets_priced(monkeypatch: pytest.MonkeyPatch, setup: Setup, charges: Charges, item: Item) -> int:
    """How often the whole set was priced; what comes out is the same anyway."""
    calls: list[int] = []

    def counted(*arguments: object, **named: object) -> Charges:
        calls.append(1)
        return price_items(*arguments, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "price_items", counted)
    found = price_added(setup.basis, charges, item, charges)
    whole = price_items(setup.basis, [*charges.work.items, item], setup.always, beside=charges)
    assert not differences(found, whole)
    return len(calls)


@pytest.mark.parametrize(
    ("operation", "parts", "times"),
    [
        ({}, "", 0),
        ({}, "SEAL x 2", 0),
        ({"labour": "MAIN", "slowed_by_rust": True}, "SEAL", 0),
        ({"includes": ["WORK"]}, "", 1),
        ({}, "KIT", 1),
    ],
)
def test_the_whole_is_priced_only_where_work_or_parts_touch(
    monkeypatch: pytest.MonkeyPatch, operation: dict[str, object], parts: str, times: int
) -> None:
    """Larger work takes away what was charged, and a kit what other lines charge: there the sum starts anew."""
    setup, charges, item = a_tier_and_an_item(operation, parts)
    assert whole_sets_priced(monkeypatch, setup, charges, item) == times


@pytest.mark.parametrize(("key", "what"), [("REM-3@right", "the second side is cheaper"), ("REM-4", "it is included")])
def test_a_further_side_and_included_work_are_priced_whole(
    monkeypatch: pytest.MonkeyPatch, key: str, what: str
) -> None:
    """Which side counts in full hangs on all sides; included work adds nothing."""
    setup, charges, _ = a_tier_and_an_item({})
    assert whole_sets_priced(monkeypatch, setup, charges, setup.candidates.items[key]) == 1, what
