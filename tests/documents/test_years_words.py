"""The sentences on what the order hangs on, and their JSON: each kind of answer, for quotes of the engine."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from quotekit.documents.years_json import over_years_json, sensitivity_json
from quotekit.documents.years_words import (
    choice_sentences,
    no_ranges_sentence,
    quote_order,
    range_sentence,
    setting_words,
)
from quotekit.model.quote import Quote
from quotekit.model.years import OrderChange, OrderRange, Sensitivity, Setting
from tests import build
from tests.pricing.test_years_sensitivity import quoted, two_tiers


def told(quote: Quote) -> Sensitivity:
    assert quote.sensitivity is not None
    return quote.sensitivity


def words_of(quote: Quote) -> list[str]:
    return [range_sentence(one, quote) for one in told(quote).ranges]


def test_each_range_is_one_sentence_that_names_who_is_least_where() -> None:
    """Good costs 100 and comes round every 2 years, better 260 once, over 5 years without interest."""
    assert words_of(quoted(two_tiers())) == [
        "Interest a year from 0% to 20% (now 0%): the least to own is Better below about 7.83%, then Good beyond.",
        "Years compared from 2.5 to 10 (now 5): the least to own is Good up to 4 years, then Better beyond.",
        "All lives from 50% to 200% of those stated: the least to own is Better below 125%, then Good beyond.",
    ]


def test_an_order_that_stays() -> None:
    """At 900 an option that lasts 20 years is never the least to own."""
    book = two_tiers(operations=[build.an_operation("PATCH", "1"), build.an_operation("RENEW", "9")])
    assert words_of(quoted(book)) == [
        "Interest a year from 0% to 20% (now 0%): the order stays as it is; Good is the least to own throughout.",
        "Years compared from 2.5 to 10 (now 5): the order stays as it is; Good is the least to own throughout.",
        "All lives from 50% to 200% of those stated: the order stays as it is; Good is the least to own throughout.",
    ]


def a_range(setting: Setting, *changes: OrderChange) -> OrderRange:
    return OrderRange(
        setting=setting,
        current=Decimal(5),
        low=Decimal("2.5"),
        high=Decimal(10),
        precision=Decimal(0),
        changes=changes,
    )


def a_change(at: int | str, before: list[str], after: list[str]) -> OrderChange:
    value = Fraction(at)
    return OrderChange(below=Decimal(0), above=Decimal(1), exactly=value, before=tuple(before), after=tuple(after))


def test_the_order_behind_the_least() -> None:
    """Alone, and beside a change of the least."""
    quote = quoted(two_tiers())
    behind = a_change(3, ["good", "better", "x"], ["good", "x", "better"])
    assert range_sentence(a_range("horizon", behind), quote) == (
        "Years compared from 2.5 to 10 (now 5): Good stays the least to own; the order behind it changes at 3 years."
    )
    both = a_range("horizon", behind, a_change(4, ["good", "x", "better"], ["better", "x", "good"]))
    assert range_sentence(both, quote).endswith(
        "is Good up to 4 years, then Better beyond. Behind it the order also changes at 3 years."
    )


@pytest.mark.parametrize(
    ("setting", "value", "exact", "shown"),
    [
        ("horizon", "1", True, "1 year"),
        ("horizon", "2.5", True, "2.5 years"),
        ("lives", "5/8", True, "62.5%"),
        ("lives", "5/9", True, "about 55.56%"),
        ("interest", "0.03", True, "3%"),
        ("interest", "0.0855", False, "about 8.55%"),
    ],
)
def test_values_say_whether_they_are_exact(setting: Setting, value: str, exact: bool, shown: str) -> None:
    assert setting_words(setting, Fraction(value), quoted(two_tiers()), exact=exact) == shown


def least_to_own(**values: Any) -> Quote:
    """One tier that takes what is least to own: BUSH for 130 each 3 years, or BEARING for 240."""
    book = build.a_book(
        operations=[build.an_operation("PRESS", "1.3"), build.an_operation("SEAL", "2.4")],
        findings=[build.a_finding("WORN")],
        remedies=[
            build.a_remedy("BUSH", ["WORN"], ["PRESS"], life_years=3),
            build.a_remedy("BEARING", ["WORN"], ["SEAL"], life_years=8),
        ],
        tiers=[build.a_tier("good", aim="least to own")],
    )
    return quoted(book, **values)


def test_what_a_tier_would_take_instead() -> None:
    """The same swap under two settings is one sentence."""
    quote = least_to_own()
    assert choice_sentences(told(quote), quote) == [
        "Chosen again over 2.5 years, or if all lives were twice as long, Good would take BUSH in place of BEARING."
    ]


def test_a_choice_that_stays_says_what_was_tried() -> None:
    quote = least_to_own(years_to_compare=16)
    assert choice_sentences(told(quote), quote) == [
        "No tier would take anything else over 8 years, over 32 years, if all lives were half as long "
        "and if all lives were twice as long."
    ]


def test_nothing_tried_and_too_many() -> None:
    quote = quoted(two_tiers(tiers=[build.a_tier("good")]))
    assert choice_sentences(told(quote), quote) == ["No tier has a choice that hangs on interest, horizon or lives."]
    crowded = replace(told(quote), too_many=True)
    assert choice_sentences(crowded, quote) == [
        "The choices were not made again under other settings: there are more than 256."
    ]


def test_why_no_order_is_compared() -> None:
    one = quoted(two_tiers(tiers=[build.a_tier("good")]))
    assert no_ranges_sentence(told(one), one) == "One tier is offered, so there is no order to compare."
    none = quoted(two_tiers(), years_to_compare=0)
    assert quote_order(none) and told(none).ranges == ()
    two = quoted(two_tiers())
    assert no_ranges_sentence(told(two), two).startswith("More than 300 repeats")


def test_the_json_of_a_tier_and_of_the_order() -> None:
    """Decimal strings, the years listed, and null where nothing is known."""
    quote = quoted(two_tiers())
    good = quote.tiers[0]
    assert over_years_json(good, 2) == {
        "horizon": "5",
        "cost": "300.00",
        "equivalent_a_year": "60.00",
        "by_year": ["100.00", "100.00", "100.00", "200.00", "200.00", "300.00"],
        "repeats": [{"item": "SHORT", "years": ["2", "4"], "each": "100.00", "together": "200.00"}],
    }
    assert over_years_json(replace(good, years=None), 2) is None
    value = sensitivity_json(quote)
    assert value is not None and value["order"] == ["better", "good"]
    horizon: Any = value["horizon"]
    assert horizon["changes"] == [
        {
            "below": "4",
            "above": "4.000000000001",
            "exactly": "4",
            "before": ["good", "better"],
            "after": ["better", "good"],
        }
    ]
    assert (horizon["order_changes"], horizon["least_changes"]) == (True, True)
    assert sensitivity_json(replace(quote, sensitivity=None)) is None
