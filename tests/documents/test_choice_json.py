"""A choice as JSON: all fields of a tier where it was priced, the same fields with nothing in them where not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quotekit.documents.choice_json import lay_out_choice_json, lay_out_refused_choice_json
from quotekit.documents.quote_json import problem_json, tier_json
from quotekit.model.quote import PricedTier
from quotekit.pricing import build_quote
from quotekit.problems import Place, Problem
from tests.pricing.explain.small import a_shop, job_of


def a_tier() -> PricedTier:
    return build_quote(book := a_shop(), job_of(book)).tiers[0]


PROBLEM = Problem(
    code="life-not-stated",
    severity="warning",
    place=Place("book.xlsx", "Remedies", "G4"),
    message="No life is stated.",
    remedy="Type one.",
)


@pytest.mark.parametrize(("currency", "total"), [("USD", "115.00"), ("JPY", "115"), ("KWD", "115.000")])
def test_a_priced_choice_is_the_tier_with_the_digits_of_the_currency(currency: str, total: str) -> None:
    """An hour at 100 and a seal at 15; a yen has no cents, a dinar has a thousand parts."""
    tier = replace(a_tier(), total=a_tier().total.quantize(1))
    found = lay_out_choice_json(tier, currency, [])
    assert found["total"] == total and found["problems"] == []


def test_what_is_wrong_with_it_stands_beside_it() -> None:
    found = lay_out_choice_json(a_tier(), "USD", [PROBLEM])
    assert found["problems"] == [problem_json(PROBLEM)]
    assert {name: value for name, value in found.items() if name != "problems"} == tier_json(a_tier(), 2)


def test_a_refused_choice_has_every_field_of_a_priced_one() -> None:
    """A program that reads the one can read the other: the same names, lists where there are lists."""
    priced, refused = lay_out_choice_json(a_tier(), "USD", []), lay_out_refused_choice_json(None, [PROBLEM])
    assert set(priced) == set(refused)
    lists = {name for name, value in priced.items() if isinstance(value, list)}
    assert {name for name, value in refused.items() if value == []} == lists - {"problems"}
    assert {name for name, value in refused.items() if value is None} == set(priced) - lists
    assert refused["problems"] == [problem_json(PROBLEM)]


def test_the_tier_that_was_meant_is_told() -> None:
    tier = replace(a_tier(), offered=False, reason="it is the same work as Basic")
    refused = lay_out_refused_choice_json(tier, [])
    known = {name: value for name, value in refused.items() if value not in (None, [])}
    assert known == {
        "code": "good",
        "name": "Good",
        "offered": False,
        "reason": "it is the same work as Basic",
    }
