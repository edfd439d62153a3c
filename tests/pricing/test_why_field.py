"""What a tier could have taken: complete choices only, each remedy's own alternatives, and swaps in large groups."""

from __future__ import annotations

from decimal import localcontext
from itertools import product
from typing import Any

import pytest
from hypothesis import given

from quotekit.model.shop_book import Remedy, ShopBook
from quotekit.money import EXACT
from quotekit.pricing import why_field
from quotekit.pricing.aims import value_of
from quotekit.pricing.covers import groups_and_tangles
from quotekit.pricing.setup import Setup, fixed_by, set_up
from quotekit.pricing.tiers import WorkedTier, work_out_tiers
from quotekit.pricing.why_field import Field, Known, Option, parts_brought
from quotekit.pricing.why_missing import tier_before
from tests import build
from tests.pricing.priced import items_named
from tests.random_jobs import Case, cases


def fields_of(case: Case) -> list[Field]:
    """A field for each tier that was chosen by its aim."""
    with localcontext(EXACT):
        setup = set_up(*case)
        worked = work_out_tiers(setup)
        known, fields = Known(), []
        for place, tier in enumerate(worked):
            if isinstance(tier, WorkedTier) and not tier.planned:
                before = tier_before(worked, place)
                fields.append(Field(setup, tier, before.fixed if before else frozenset(), known))
        return fields


def a_shop(findings: str, each: int) -> Case:
    """So many findings, each with so many remedies, the n-th of n tenths of an hour."""
    book = build.a_book(
        operations=[build.an_operation(f"{f}{i}", f"0.{i + 1}") for f in findings for i in range(each)],
        findings=[build.a_finding(code) for code in findings],
        remedies=[build.a_remedy(f"R-{f}{i}", [f], [f"{f}{i}"]) for f in findings for i in range(each)],
        tiers=[build.a_tier("good")],
    )
    return book, build.a_job(*(build.a_finding_on(code) for code in findings))


def keys_of(options: list[Option]) -> list[list[str]]:
    """The remedies of some choices, in order."""
    return sorted(sorted(option.keys) for option in options)


def test_the_alternatives_of_a_remedy_leave_all_else_as_it_is() -> None:
    (field,) = fields_of(a_shop("AB", 3))
    first, second = field.tier.remedies
    with localcontext(EXACT):
        assert sorted(sorted(option.keys) for option in field.alternatives(first)) == [
            ["R-A1", "R-B0"],
            ["R-A2", "R-B0"],
        ]
        assert sorted(sorted(option.keys) for option in field.alternatives(second)) == [
            ["R-A0", "R-B1"],
            ["R-A0", "R-B2"],
        ]


@pytest.mark.parametrize(("findings", "each", "count"), [("AB", 3, 9), ("ABCD", 3, 81), ("ABCDE", 3, 0)])
def test_every_choice_is_priced_up_to_a_hundred(findings: str, each: int, count: int) -> None:
    (field,) = fields_of(a_shop(findings, each))
    with localcontext(EXACT):
        assert len(field.every_choice()) == count


def test_in_a_group_with_too_many_choices_only_swaps_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """TWO fixes both, so its group has {TWO} and nine pairs; from two choices on it counts as too many here."""
    book, job = a_shop("AB", 3)
    two = build.a_remedy("R-TWO", ["A", "B"], ["A2", "B2"])
    case = (build.a_book(**_sheets(book, two)), job)
    (field,) = fields_of(case)
    first = field.tier.remedies[0]
    with localcontext(EXACT):
        assert len(field.alternatives(first)) == 7
        monkeypatch.setattr(why_field, "MOST_IN_A_GROUP", 2)
        (field,) = fields_of(case)
        (group,) = field.groups
        assert group.covers == ()
        assert field.every_choice() == []
        found = [sorted(option.keys) for option in field.alternatives(field.tier.remedies[0])]
        assert found == [["R-A1", "R-B0"], ["R-A2", "R-B0"]]  # TWO would make R-B0 needless


def _sheets(book: ShopBook, extra: Remedy) -> dict[str, Any]:
    return {
        "operations": list(book.operations.values()),
        "findings": list(book.findings.values()),
        "remedies": [*book.remedies.values(), extra],
        "tiers": list(book.tiers),
    }


def test_where_choices_cannot_be_listed_swaps_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(why_field, "MOST_VISITED", 1)
    (field,) = fields_of(a_shop("AB", 2))
    with localcontext(EXACT):
        assert [sorted(one.keys) for one in field.alternatives(field.tier.remedies[0])] == [["R-A1", "R-B0"]]


def complete(setup: Setup, field: Field) -> set[frozenset[str]]:
    """Keys of every complete choice of a tier, by the groups' own lists."""
    lines = [item for item in field.given if item.one_off]
    groups, _ = groups_and_tangles(setup.candidates, field.asked_for, field.kept, lines, 10_000)
    return {
        frozenset(item.key for cover in covers for item in cover.items)
        for covers in product(*(group.covers for group in groups))
    }


@given(cases())
def test_alternatives_are_complete_choices_without_the_remedy(case: Case) -> None:
    for field in fields_of(case):
        with localcontext(EXACT):
            known = complete(field.setup, field)
            assert field.taken.keys in known
            for item in field.tier.remedies:
                for option in field.alternatives(item):
                    assert item.key not in option.keys
                    assert option.keys in known
                    assert option.charges == field.setup.price((*option.remedies, *field.given))


@given(cases())
def test_nothing_beats_what_is_taken(case: Case) -> None:
    for field in fields_of(case):
        with localcontext(EXACT):
            assert all(field.taken.value <= option.value for option in field.every_choice())
            aim = field.tier.tier.aim
            worth = value_of(field.setup, aim, field.tier.remedies, field.tier.covered, field.tier.charges)
            assert field.taken.value == worth


@given(cases())
def test_swaps_are_complete_choices_too(case: Case) -> None:
    """Each swap puts right all that was, fits, and takes nothing needless."""
    for field in fields_of(case):
        candidates = field.setup.candidates
        for group in field.groups:
            for item in group.taken.items:
                for cover in field.swaps(group, item):
                    everything = (*cover.items, *field.given)
                    assert item not in cover.items
                    assert fixed_by(everything) >= fixed_by(group.taken.items) & field.asked_for
                    for other in cover.items:
                        assert not candidates.faulty_limits(other, everything)
                        assert not candidates.missing_needs(other, fixed_by(everything))


def test_parts_brought_are_those_of_the_item_its_operations_and_steps() -> None:
    book = build.a_book(
        access=[build.a_step("COVER", parts="GASKET")],
        operations=[build.an_operation("FIT", parts="RING", access=["COVER"])],
        parts=[build.a_part(code) for code in ("GASKET", "RING", "BUSH", "OTHER")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"], parts="BUSH")],
    )
    setup = set_up(book, build.a_job(build.a_finding_on("WORN")))
    (item,) = items_named(setup, ["NEW"])
    assert parts_brought(setup.basis, item) == {"GASKET", "RING", "BUSH"}
