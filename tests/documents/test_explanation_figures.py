"""Which figures a word means, and what is answered for those that have no tree: on figures made by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.explanation_figures import (
    MAIN,
    NamedFigure,
    group_names,
    main_figures,
    meant_by,
    named_figures,
    why_of,
    with_all,
    within_tier,
)
from quotekit.model.explanation import Explanation
from quotekit.model.figure_names import Leaf
from quotekit.pricing import build_quote
from tests.pricing.explain.small import a_shop, job_of


def figure(name: str, place: str = "", value: Leaf = "1.00") -> NamedFigure:
    return NamedFigure(name=name, place=place or name, value=value)


KNOWN = [
    figure("total"),
    figure("tax"),
    figure("taxes.State levy.base", "taxes[0].base"),
    figure("taxes.State levy.amount", "taxes[0].amount"),
    figure("taxes.City.base", "taxes[1].base"),
    figure("left", "left", ("A@left", "B")),
    figure("left.A@left", "left[0]", "A@left"),
    figure("left.B", "left[1]", "B"),
    figure("hours.billed.MAIN"),
]
LEVY = ["taxes.State levy.base", "taxes.State levy.amount"]


@pytest.mark.parametrize(
    ("word", "names"),
    [
        ("total", ["total"]),
        ("TOTAL", ["total"]),
        ("  total ", ["total"]),
        ("tax", ["tax"]),
        ("taxes", [*LEVY, "taxes.City.base"]),
        ("taxes.State levy", LEVY),
        ("taxes.state  LEVY", LEVY),
        ("taxes.State", []),
        ("taxes[0]", LEVY),
        ("taxes.0", LEVY),
        ("taxes.1.base", ["taxes.City.base"]),
        ("taxes[1].base", ["taxes.City.base"]),
        ("left", ["left"]),
        ("left[0]", ["left.A@left"]),
        ("left.b", ["left.B"]),
        ("hours", ["hours.billed.MAIN"]),
        ("hours.bill", []),
        ("totals", []),
        ("base", []),
        ("", []),
        (".", []),
    ],
)
def test_a_word_means_one_figure_else_a_whole_group(word: str, names: list[str]) -> None:
    """A list of texts is a figure itself, so `left` is that one; half a word is none."""
    assert meant_by(word, KNOWN) == names


def test_of_two_figures_of_one_name_the_first_is_meant() -> None:
    """A code that is a number reads as a place: `taxes.1` is the tax called 1, where it comes first."""
    twice = [figure("taxes.1.base", "taxes[0].base"), figure("taxes.City.base", "taxes[1].base")]
    assert meant_by("taxes.1.base", twice) == ["taxes.1.base"]
    assert meant_by("taxes.0.base", twice) == ["taxes.1.base"]


@given(st.sampled_from(KNOWN), st.sampled_from(["name", "place", "dots"]), st.booleans())
def test_each_spelling_means_its_figure(one: NamedFigure, spelling: str, loud: bool) -> None:
    word = {"name": one.name, "place": one.place, "dots": one.place.replace("[", ".").replace("]", "")}[spelling]
    assert meant_by(word.upper() if loud else word, KNOWN) == [one.name]


QUOTE = build_quote(BOOK := a_shop(), job_of(BOOK))
GOOD = QUOTE.tiers[0]
TWO = replace(QUOTE, tiers=(replace(GOOD, code="least"), GOOD))


@pytest.mark.parametrize(
    ("word", "figure_name"),
    [
        ("tiers[1].total", "total"),
        ("tiers.1.total", "total"),
        ("tiers.good.total", "total"),
        ("TIERS.Good.Total", "Total"),
        (" tiers[1].parts[0].amount ", "parts[0].amount"),
        ("tiers[0].total", "tiers[0].total"),
        ("tiers.least.total", "tiers.least.total"),
        ("tiers.goodness.total", "tiers.goodness.total"),
        ("total", "total"),
    ],
)
def test_a_figure_named_from_the_top_of_the_quote(word: str, figure_name: str) -> None:
    """Only where the second option, good, is named: another option's total is not this one's."""
    assert within_tier(word, TWO, TWO.tiers[1]) == figure_name


def test_the_main_figures_stand_in_the_order_of_money() -> None:
    """What is paid, what it is made of, hours, what the shop earns; zeros and what is not known are left out."""
    values: dict[str, Leaf] = {
        "amounts.parts": "15.00",
        "amounts.cores": "0.00",
        "amounts.savings": "-0.00",
        "amounts.labour": "100.00",
        "amounts.fees": "-5.00",
        "hours.net": "1",
        "hours.billed.MAIN": "0",
        "margin": None,
        "cost.total": "50.00",
        "horizon_cost": "0.00",
        "due": "1.00",
        "work": "115.00",
        "total": "115.00",
        "parts.SEAL.amount": "15.00",
    }
    assert main_figures([figure(name, value=value) for name, value in values.items()]) == [
        "total", "work", "amounts.parts", "amounts.labour", "amounts.fees", "hours.billed.MAIN", "due", "horizon_cost",
        "cost.total",
    ]  # fmt: skip
    assert MAIN[:4] == ("total", "tax", "subtotal", "work") and MAIN[-2:] == ("cost.total", "margin")


def test_of_an_option_without_figures_the_names_are_shown_all_the_same() -> None:
    """One that could not be worked out: each of them says why there is nothing."""
    assert main_figures([figure("total", value=None), figure("work", value=None)]) == ["total", "work"]


def test_groups_are_the_first_words_each_once() -> None:
    assert group_names(KNOWN) == ["total", "tax", "taxes", "left", "hours"]


def test_all_figures_of_the_option_come_first_and_then_those_of_the_job() -> None:
    names = [one.name for one in named_figures(QUOTE, GOOD)]
    assert names.index("total") < names.index("job") < names.index("declined.total")
    assert {"parts.SEAL.amount", "valid_until", "version"} <= set(names)
    assert not [name for name in names if name.partition(".")[0] in ("tiers", "problems", "files")]
    values = {one.name: one.value for one in named_figures(QUOTE, GOOD)}
    assert (values["total"], values["job"]) == ("115.00", "J-1")


def test_why_is_that_of_the_options_json() -> None:
    """An hour at 100 and a seal at 15 is the only way: 115.00."""
    found = why_of(QUOTE, GOOD)
    assert found is not None and found["aim"] == "lowest price"
    assert why_of(QUOTE, replace(GOOD, why=None)) is None


def test_wanted_figures_in_their_order_with_a_tree_or_with_their_value() -> None:
    tree = Explanation(figure="total", value="115.00", rule="A rule.")
    known = [figure("total", value="115.00"), figure("why.planned", value=False), figure("job", value="J-1")]
    found = with_all([tree], known, ["job", "total", "why.planned"])
    assert found[1] is tree
    assert [(one.figure, one.value, one.rule) for one in (found[0], found[2])] == [
        ("job", "J-1", "Worked out from the figures of this tier and the cells it hangs on."),
        ("why.planned", False, "Yes where the job's plan says what the tier takes (rules 4, Plan)."),
    ]
