"""Numbers as typed on the command line: a point for decimals, nothing below zero, nothing guessed."""

from __future__ import annotations

import argparse
from decimal import Decimal

import pytest

from quotekit.cli.typed_number import typed_count, typed_quantity


@pytest.mark.parametrize(
    ("text", "value"), [("0", "0"), ("2.50", "2.50"), (" 7 ", "7"), ("999999999999", "999999999999")]
)
def test_a_quantity(text: str, value: str) -> None:
    assert str(typed_quantity(text)) == value


@pytest.mark.parametrize("text", ["", "-1", "1,5", "1e3", "two", ".5", "1.2345678", "٣", "1 000", "NaN"])
def test_no_quantity(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError):
        typed_quantity(text)


def test_a_count() -> None:
    assert (typed_count("3"), typed_count(" 12")) == (3, 12)
    assert Decimal(typed_count("3")) == 3


@pytest.mark.parametrize("text", ["0", "", "1.5", "-2", "many"])
def test_no_count(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError):
        typed_count(text)
