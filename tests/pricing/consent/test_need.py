"""Whether a changed job needs consent: rise against threshold, spending limit, a lower total."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.agreed import ConsentRule
from quotekit.pricing.consent.need import need_of_consent
from tests.pricing.consent.made import D, a_rule, an_accepted, an_agreed

TEN_OR_FIFTY = a_rule("0.10", "50", "the lesser")


@pytest.mark.parametrize(
    ("now", "limit", "needed", "over"),
    [
        ("330.00", None, False, "0"),
        ("330.01", None, True, "0.01"),
        ("300.00", None, False, "0"),
        ("250.00", None, False, "0"),
        ("400.00", None, True, "70.00"),
        ("320.00", "320.00", False, "0"),
        ("320.01", "320.00", True, "0"),
        ("330.01", "500.00", True, "0.01"),
        ("310.00", "200.00", False, "0"),
    ],
)
def test_measured_from_what_was_agreed(now: str, limit: str | None, needed: bool, over: str) -> None:
    """A spending limit lets nothing pass and opens nothing; a total agreed above it has taken its place."""
    yes = an_accepted(rule=TEN_OR_FIFTY, spending_limit=None if limit is None else D(limit))
    found = need_of_consent(yes, an_agreed(now), 2)
    assert (found.needed, found.over, found.rise) == (needed, D(over), D(now) - 300)


@pytest.mark.parametrize(
    ("then", "since", "passed"),
    [
        (None, None, None),
        ("305.00", None, "305.00"),
        (None, "305.00", "305.00"),
        ("308.00", "305.00", "305.00"),
        ("305.00", "400.00", "305.00"),
        ("400.00", "305.00", "305.00"),
        (None, "200.00", None),
    ],
)
def test_a_limit_told_with_the_yes_or_since(then: str | None, since: str | None, passed: str | None) -> None:
    """The lowest that is passed is told; raising it in the workbook alone does not lift what the customer said."""
    yes = an_accepted(rule=TEN_OR_FIFTY, spending_limit=then and D(then))
    found = need_of_consent(yes, an_agreed("310.00"), 2, since and D(since))  # type: ignore[arg-type]
    assert (found.limit, found.needed) == (passed and D(passed), passed is not None)


@pytest.mark.parametrize(
    ("rule", "subtotal", "tax", "needed"),
    [
        (a_rule("0.10", "0", "the greater", "before tax"), "110.00", "20.00", False),
        (a_rule("0.10", "0", "the greater", "with tax"), "110.00", "20.00", True),
        (a_rule("0.10", "0", "the greater", "before tax"), "110.01", "0.00", True),
        (a_rule("0.10", "0", "the greater", "with tax"), "110.01", "0.00", False),
    ],
)
def test_tax_counts_only_where_the_rule_says_so(rule: ConsentRule, subtotal: str, tax: str, needed: bool) -> None:
    """Agreed at 100.00 and 7.00 tax: the same change passes one basis and not the other."""
    yes = an_accepted(an_agreed("100.00", "7.00"), rule)
    assert need_of_consent(yes, an_agreed(subtotal, tax), 2).needed is needed


@pytest.mark.parametrize(("now", "needed"), [("300.01", True), ("300.00", False), ("299.99", False)])
def test_with_a_zero_rule_any_rise_needs_consent(now: str, needed: bool) -> None:
    assert need_of_consent(an_accepted(rule=a_rule()), an_agreed(now), 2).needed is needed


def test_no_cents_in_a_currency_without_them() -> None:
    """Ten percent of 1,235 yen is 123.5: 123 may pass."""
    yes = an_accepted(an_agreed("1235"), a_rule("0.1", "0", "the greater"))
    assert [need_of_consent(yes, an_agreed(now), 0).needed for now in ("1358", "1359")] == [False, True]


MONEY = st.integers(0, 1_000_000).map(lambda cents: Decimal(cents).scaleb(-2))


@given(MONEY, MONEY, MONEY)
def test_a_higher_total_never_needs_consent_less(agreed: Decimal, one: Decimal, other: Decimal) -> None:
    yes = an_accepted(an_agreed(str(agreed)), TEN_OR_FIFTY, spending_limit=agreed + 20)
    lower, higher = (need_of_consent(yes, an_agreed(str(now)), 2) for now in sorted((one, other)))
    assert higher.needed or not lower.needed
    assert lower.over <= higher.over
