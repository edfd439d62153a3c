"""Names to pick by: the options' labels, and the defined names of what can be ticked."""

from __future__ import annotations

import re

import pytest

from quotekit.model.shop_book import Tier
from quotekit.pricing.live.names import defined_names, option_labels
from tests import build


def tiers(*names: str) -> list[Tier]:
    """Options with codes good, better and best, by these names."""
    return [build.a_tier(code, tier=name) for code, name in zip(("good", "better", "best"), names, strict=False)]


def test_an_option_is_called_as_the_owner_calls_it() -> None:
    assert option_labels(tiers("Put right", "Made to last")) == ["Put right", "Made to last"]
    assert option_labels([]) == []


def test_a_name_may_be_the_options_own_code_or_number() -> None:
    """Whoever types it means this option either way."""
    assert option_labels(tiers("Good", "Option 2")) == ["Good", "Option 2"]


def test_spaces_that_nobody_sees_are_one_space() -> None:
    """A list's entry and a typed name would else differ by what can't be seen."""
    assert option_labels(tiers("  Put \n right ", "Made\u00a0to last")) == ["Put right", "Made to last"]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Put right", "Put right"),
        ("Put right", "PUT RIGHT"),
        ("Put right", "Put  right"),
        ("Straße", "STRASSE"),
        ("Better", "Put right"),
        ("Put right", "Good"),
        ("Option 2", "Put right"),
        ("", "Put right"),
    ],
)
def test_names_that_could_be_taken_for_another_get_their_number(one: str, other: str) -> None:
    """Twice the same name but for case; a name that is the other's code or number; no name at all."""
    labels = option_labels(tiers(one, other))
    assert labels == [f"Option 1: {' '.join(one.split())}", f"Option 2: {' '.join(other.split())}"]


def test_a_very_long_name_is_cut_and_numbered() -> None:
    """A drop-down's entry has at most 255 characters."""
    labels = option_labels(tiers("x" * 300, "Made to last"))
    assert labels == ["Option 1: " + "x" * 200, "Option 2: Made to last"]


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("BELT", "extra_BELT"),
        ("SEAL@left", "extra_SEAL_left"),
        ("HUB@left front", "extra_HUB_left_front"),
        ("BELT-4L", "extra_BELT_4L"),
        ("BELT.4L", "extra_BELT.4L"),
        ("A1", "extra_A1"),
        ("1", "extra_1"),
        ("Größe", "extra_Größe"),
        ("a'b\"c=d", "extra_a_b_c_d"),
        ("X" * 300, "extra_" + "X" * 200),
    ],
)
def test_a_defined_name_says_which_extra(key: str, name: str) -> None:
    assert defined_names([key]) == {key: name}


def test_keys_that_come_to_one_name_are_counted() -> None:
    """Names know no case: `belt 4l` comes to the same as `BELT-4L` and `BELT_4L`."""
    names = defined_names(["BELT-4L", "BELT_4L", "belt 4l", "BELT_4L_2"])
    assert list(names.values()) == ["extra_BELT_4L", "extra_BELT_4L_2", "extra_belt_4l_3", "extra_BELT_4L_2_2"]


def test_a_name_is_one_a_spreadsheet_takes_and_each_is_unlike_the_others() -> None:
    keys = ["A B", "A-B", "a_b", "R1C1", "C", "é", "日本", "A" * 255, "A" * 256, "=1+1", "x@links vorne"]
    names = list(defined_names(keys).values())
    assert all(re.fullmatch(r"extra_[\w.]+", name) and len(name) < 255 for name in names)
    assert len({name.casefold() for name in names}) == len(keys)
