"""One figure moved: each choice is worth what the engine says on a shop book where the figure is typed so."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from decimal import localcontext

from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.aims import Value, value_of
from quotekit.pricing.setup import set_up
from quotekit.pricing.why_field import Field, Option
from quotekit.pricing.why_levers import Life, NetHours, UnitPrice, named
from tests import build
from tests.pricing.priced import items_named
from tests.pricing.test_why_field import fields_of
from tests.random_jobs import a_random_case, seeds


def worth_on(book: ShopBook, field: Field, option: Option) -> Value:
    """The aim's value of the same choice on another shop book, from nothing."""
    setup = set_up(book, field.setup.basis.job)
    remedies = items_named(setup, sorted(option.keys))
    given_items = setup.in_every(field.tier.tier.code)
    charges = setup.price((*remedies, *given_items))
    return value_of(setup, field.tier.tier.aim, remedies, option.covered, charges)


def options_of(field: Field) -> list[Option]:
    """What is taken, and some of what could have been."""
    others = [option for item in field.tier.remedies for option in field.alternatives(item)]
    return [field.taken, *others][:4]


@given(seeds(), st.integers(1, 9000))
def test_a_price(seed: int, steps: int) -> None:
    """Also with bundles, discounts, kits, companions and stand-alone work."""
    book, job = a_random_case(seed)
    for field in fields_of((book, job)):
        with localcontext(EXACT):
            for option in options_of(field):
                for line in option.charges.parts[:2]:
                    if line.part is None or line.code in job.parts:
                        continue
                    lever = UnitPrice(field, line.code)
                    part = replace(book.parts[line.code], fixed_price_each=steps * lever.step)
                    changed = replace(book, parts={**book.parts, line.code: part})
                    assert lever.value(option, steps) == worth_on(changed, field, option)


@given(seeds(), st.integers(0, 400))
def test_hours(seed: int, steps: int) -> None:
    book, job = a_random_case(seed)
    for field in fields_of((book, job)):
        with localcontext(EXACT):
            for option in options_of(field)[:2]:
                for code in sorted({field.setup.basis.op_named(key).code for key in option.charges.work.present})[:2]:
                    if code not in book.operations:
                        continue
                    operation = replace(book.operations[code], net_hours=steps * D("0.01"))
                    changed = replace(book, operations={**book.operations, code: operation})
                    assert NetHours(field, code).value(option, steps) == worth_on(changed, field, option)


@given(seeds(), st.integers(25, 900))
def test_a_life(seed: int, steps: int) -> None:
    book, job = a_random_case(seed)
    for field in fields_of((book, job)):
        with localcontext(EXACT):
            for option in options_of(field):
                for item in option.remedies:
                    if item.life is None:
                        continue
                    remedy = replace(book.remedies[item.code], life_years=steps * D("0.01"))
                    changed = replace(book, remedies={**book.remedies, item.code: remedy})
                    lever = Life(field, item, taken=True)
                    assert lever.value(option, steps) == worth_on(changed, field, option)


def test_a_lever_knows_its_cell_and_its_limits() -> None:
    """A fixed price is typed where it stands, any other follows from the pack cost; hours stop at the second side's."""
    book = build.a_book(
        operations=[
            build.an_operation("ONE", "0.5", parts="RING", each_side=True, second_side_hours="0.3"),
            build.an_operation("TWO", 1, parts="BOLT"),
        ],
        parts=[build.a_part("RING", 10, fixed_price_each=12), build.a_part("BOLT", 10)],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("A", ["WORN"], ["ONE"]), build.a_remedy("B", ["WORN"], ["TWO"])],
        tiers=[build.a_tier("good", aim="least to own")],
    )
    (field,) = fields_of((book, build.a_job(build.a_finding_on("WORN", "left"))))
    with localcontext(EXACT):
        assert (UnitPrice(field, "RING").column, UnitPrice(field, "BOLT").column) == ("Fixed price each", "Pack cost")
        assert [(str(one.present), one.best) for one in (UnitPrice(field, "RING"), NetHours(field, "ONE"))] == [
            ("12.00", 1),
            ("0.5", 30),
        ]
        (item,) = field.tier.remedies
        assert [Life(field, item, taken=taken).best for taken in (True, False)] == [25, 500]
        assert NetHours(field, "ONE", rise=True).best == 800


def test_an_item_is_called_by_its_owners_name() -> None:
    book = build.a_book(
        operations=[build.an_operation("FIT")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"], remedy="New ring")],
        extras=[build.an_extra("WASH", ["FIT"], extra="Washed")],
    )
    setup = set_up(book, build.a_job(build.a_finding_on("WORN"), one_off=[build.a_one_off(1)]))
    found = [named(item) for item in items_named(setup, ["NEW", "WASH", "ONEOFF-1"])]
    assert [(one.key, one.name) for one in found] == [("NEW", "New ring"), ("WASH", "Washed"), ("ONEOFF-1", "ONEOFF-1")]
