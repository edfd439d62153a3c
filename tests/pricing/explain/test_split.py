"""A piece of an amount that is split in proportion: what the cents of the largest remainders leave to explain."""

from __future__ import annotations

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.explanation import Explanation
from quotekit.money import allocate
from quotekit.pricing.explain.split import piece, rounded_toward_zero
from quotekit.pricing.explain.told import Told
from quotekit.pricing.setup import set_up
from tests.build import a_book, a_job, settings
from tests.pricing.explain.small import said


def three(whole: str, own: str, together: str) -> tuple[Explanation, Explanation, Explanation]:
    """An amount, a weight, and all weights."""
    named = zip(("whole", "own", "together"), (whole, own, together), strict=True)
    made = [Explanation(figure=name, value=text, rule="", number=D(text)) for name, text in named]
    return made[0], made[1], made[2]


@pytest.mark.parametrize(
    ("of", "digits", "amount"),
    [
        (("10.00", "1", "3"), 2, "3.33"),
        (("10.00", "2", "3"), 2, "6.66"),
        (("10.00", "3", "3"), 2, "10.00"),
        (("10.00", "0", "3"), 2, "0.00"),
        (("-10.00", "2", "3"), 2, "-6.66"),
        (("10.00", "-2", "3"), 2, "-6.66"),
        (("100", "2", "3"), 0, "66"),
        (("10.000", "2", "3"), 3, "6.666"),
        (("10.00", "5", "0"), 2, "0.00"),
    ],
    ids=["a third", "two thirds", "all of it", "no weight", "a saving", "a weight below zero", "no cents",
         "mils", "nothing to share by"],
)  # fmt: skip
def test_what_is_certain_before_the_cents_are_given_out(of: tuple[str, str, str], digits: int, amount: str) -> None:
    """Toward zero: a saving is split as its opposite is, so that a quote and its reversal match to the cent."""
    found = rounded_toward_zero(three(*of), digits)
    assert f"{found:f}" == amount


def told(currency: str = "USD") -> Told:
    setup = set_up(a_book(settings=settings(currency=currency)), a_job())
    return Told(setup=setup, charges=setup.price([]))


@pytest.mark.parametrize(
    ("amount", "cent", "rule"),
    [
        ("6.66", "0.00", "No cent that rounding leaves falls to it"),
        ("6.67", "0.01", "goes by cents to the largest remainders, the earlier first"),
    ],
)
def test_a_cent_of_the_rounding_is_an_input_of_its_own(amount: str, cent: str, rule: str) -> None:
    """Whoever works the piece out again must see where the cent is from."""
    made = piece(told(), "share", D(amount), three("10.00", "2", "3"), "Split.")
    left = made.inputs[3]
    assert said(made) == f"{amount} = share(whole 10.00, own 2, together 3, of what rounding leaves {cent})"
    assert rule in left.rule and made.rule == "Split."


@given(
    amount=st.integers(-10_000, 10_000).map(lambda cents: D(cents).scaleb(-2)),
    weights=st.lists(st.integers(0, 50).map(D), min_size=1, max_size=5).filter(any),
)
def test_each_share_that_is_given_out_is_within_a_cent_of_what_is_certain(amount: D, weights: list[D]) -> None:
    """Largest remainder gives each at most one unit more: a larger difference would be another rule."""
    together = str(sum(weights))
    for own, share in zip(weights, allocate(amount, weights, 2), strict=True):
        left = share - rounded_toward_zero(three(str(amount), str(own), together), 2)
        assert left in (D(0), D("0.01").copy_sign(amount))
