"""How a node of a tree is made: its text, its cells, what is made once, and names of figures of another choice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction

import pytest

from quotekit.model.explanation import Explanation
from quotekit.model.source import Source
from quotekit.money import Exact
from quotekit.pricing.explain.told import (
    Money,
    Told,
    cell,
    cells_in,
    count,
    elsewhere,
    leaf,
    listed,
    number,
    of_row,
    words,
)
from quotekit.pricing.setup import set_up
from quotekit.problems import Place
from tests import build
from tests.pricing.explain.small import a_shop, job_of, typed

ROW = Source(file="book.xlsx", sheet="Parts", row=7, columns={"Pack cost": "D", "Pack quantity": "C"})
COST, QUANTITY = Place("book.xlsx", "Parts", "D7"), Place("book.xlsx", "Parts", "C7")


def a_told(**settings: object) -> Told:
    """The charges of the small shop's one remedy; only what `settings` says was typed on the sheet Shop."""
    row = Source(file="book.xlsx", sheet="Shop", row=4, columns={"Value": "B"})
    made = replace(build.settings(**settings), sources={"Hours step": row})
    setup = set_up(book := a_shop(settings=made), job_of(book, spending_limit=300))
    return Told(setup=setup, charges=setup.priced([setup.candidates.items["NEW"]]))


@pytest.mark.parametrize(
    ("currency", "half_up", "up"),
    [
        ("USD", "half up to cents", "up to cents"),
        ("JPY", "half up to whole units", "up to whole units"),
        ("KWD", "half up to 3 decimals", "up to 3 decimals"),
    ],
)
def test_a_currency_says_how_it_rounds(currency: str, half_up: str, up: str) -> None:
    money = Money(currency)
    assert (money.half_up, money.up) == (half_up, up)


@pytest.mark.parametrize(
    ("currency", "amount", "text"),
    [
        ("USD", D("2.5"), "2.50"),
        ("USD", D("-2.5"), "-2.50"),
        ("USD", D("-0.00"), "0.00"),
        ("USD", D("2.505"), "2.505"),
        ("USD", Fraction(10, 3), "10/3"),
        ("USD", 3, "3.00"),
        ("JPY", D(250), "250"),
        ("JPY", D("0.5"), "0.5"),
        ("KWD", D("2.5"), "2.500"),
    ],
)
def test_an_amount_is_written_as_money_unless_it_is_none_yet(currency: str, amount: Exact, text: str) -> None:
    """A number on the way that no coin pays is written in full: a reader would take 2.51 for the amount."""
    node = Money(currency).node("total", amount, "sum", (), "A rule.")
    assert (node.value, node.number, node.form, node.rounding) == (text, amount, "money", "")


def test_an_amount_that_was_rounded_says_so() -> None:
    node = Money("USD").rounded("labour", D("2.50"), "product", (), "A rule.", cells=[COST])
    assert (node.operation, node.rounding, node.cells) == ("product", "half up to cents", (COST,))


def test_an_amount_that_a_rule_settles_has_no_inputs() -> None:
    node = Money("USD").settled("supplies", D(0), "No supplies are charged.", [COST])
    assert (node.value, node.operation, node.inputs, node.cells) == ("0.00", "decided", (), (COST,))
    assert Money("USD").sum_of("work", D(1), [node], "Added.").inputs == (node,)


def test_the_text_of_an_amount_has_the_currencys_digits() -> None:
    assert [Money(code).text(D("7.125")) for code in ("USD", "JPY", "KWD")] == ["7.13", "7", "7.125"]


def test_hours_and_factors_are_written_in_full() -> None:
    node = number("hours", Fraction(1, 3), "quotient", (), "A rule.", rounding="up", cells=[COST])
    assert (node.value, node.number, node.form, node.rounding) == ("1/3", Fraction(1, 3), "number", "up")
    assert node.cells == (COST,)


def test_a_count_is_a_whole_number_in_the_json() -> None:
    """Packs and days stand without quotes, hours and money with them."""
    node = count("packs", 2, "quotient", (), "Whole packs.", rounding="up to whole packs", cells=[COST])
    assert (node.value, node.number, node.rounding, node.cells) == (2, 2, "up to whole packs", (COST,))


def test_words_have_no_number_and_name_cells_once_in_reading_order() -> None:
    node = words("items", ("A", "B"), "Chosen.", cells=[COST, QUANTITY, COST], inputs=[words("x", None, "Nothing.")])
    assert (node.value, node.number, node.operation) == (("A", "B"), None, "decided")
    assert node.cells == (QUANTITY, COST)
    assert [one.value for one in node.inputs] == [None]
    assert words("name", "Good", "As typed.", given=True).operation == "given"


@pytest.mark.parametrize(
    ("node", "value", "rule"),
    [
        (leaf("cost", D("2.50"), cells=[COST]), "2.5", "As typed."),
        (leaf("cost", D("2.50"), cells=()), "2.5", "The value that holds where nothing is said (rules 3)."),
        (leaf("cost", D(1), cells=(), rule="Supposed."), "1", "Supposed."),
        (leaf("code", "SEAL", cells=[COST]), "SEAL", "As typed."),
        (leaf("code", None, cells=[COST]), None, "As typed."),
    ],
)
def test_a_leaf_says_whether_somebody_typed_it(node: Explanation, value: str | None, rule: str) -> None:
    """A default that read as typed would send the owner to a cell that is empty."""
    assert (node.value, node.rule, node.operation) == (value, rule, "given")
    assert node.number is None if value in ("SEAL", None) else str(node.number).startswith(str(value)[0])


@pytest.mark.parametrize(("value", "text", "rule"), [(D("18.00"), "18", "As typed."), (None, "0", "Blank: none.")])
def test_a_blank_cell_counts_as_nothing(value: D | None, text: str, rule: str) -> None:
    node = of_row("Pack cost", value, ROW, "Pack cost", "Pack quantity", form="money")
    assert (node.value, node.rule, node.form, node.cells) == (text, rule, "money", (COST, QUANTITY))


def test_a_row_may_have_a_rule_of_its_own() -> None:
    assert of_row("Pack cost", None, ROW, "Pack cost", rule="Not stated.").rule == "Not stated."


@pytest.mark.parametrize(
    ("found", "places"),
    [
        (cell(ROW, "Pack cost"), (COST,)),
        (cell(ROW, "Core charge"), ()),
        (cells_in(ROW, "Pack cost", "Core charge", "Pack quantity"), (COST, QUANTITY)),
    ],
)
def test_a_column_the_sheet_has_not_is_no_cell(found: tuple[Place, ...], places: tuple[Place, ...]) -> None:
    assert found == places


def test_a_setting_names_its_cell_where_it_was_typed() -> None:
    told = a_told(hours_step="0.25", sublet_markup="0.1")
    step, markup = told.setting("Hours step", "hours_step"), told.setting("Sublet markup", "sublet_markup", "percent")
    assert (step.value, step.form, step.cells) == ("0.25", "number", (Place("book.xlsx", "Shop", "B4"),))
    assert (markup.value, markup.form, markup.cells) == ("0.1", "percent", ())
    assert told.setting_cells("Hours step") == step.cells and told.setting_cells("Sublet markup") == ()


def test_a_field_of_the_job_that_is_not_there_is_zero() -> None:
    """With a row for each field the cells are named, one that the sheet has not is left out."""
    told = a_told()
    assert told.job_field("Spending limit", None).value == "0"
    assert told.job_field("Spending limit", D(300), "money").cells == ()
    setup = set_up(typed(book := a_shop()), typed(job_of(book)))
    rows = Told(setup=setup, charges=setup.priced([]))
    assert [place.sheet for place in rows.job_cells("Spending limit", "Deposit")] == ["Spending limit", "Deposit"]
    assert rows.job_field("Spending limit", D(300), "money").value == "300"


def test_a_figure_of_another_choice_has_another_name() -> None:
    """`work` with an extra is a figure of the JSON by its own name; what leads to it says with what it is."""
    told = a_told()
    beside = replace(told, suffix=" (with BELT)", own_names={"work": "extras.BELT.work"})
    assert (told.name("work"), told.name("tax")) == ("work", "tax")
    assert (beside.name("work"), beside.name("tax")) == ("extras.BELT.work", "tax (with BELT)")


def test_a_node_is_made_once() -> None:
    """A tree of thousands of nodes shares what two figures have in common."""
    told, made = a_told(), []

    def make(name: str) -> Callable[[], Explanation]:
        return lambda: made.append(name) or words(name, name, "A rule.")  # type: ignore[func-returns-value]

    assert told.once("a", make("first")) is told.once("a", make("second"))
    assert told.once("b", make("third")).value == "third"
    assert made == ["first", "third"]


def test_what_is_shown_elsewhere_keeps_its_value_and_all_its_cells() -> None:
    told = a_told()
    tree = number("work", D(3), "sum", [leaf("cost", D(3), cells=[COST])], "Added.")
    short = elsewhere(told, tree)
    assert (short.value, short.operation, short.inputs, short.everything) == ("3", "elsewhere", (), (COST,))
    assert elsewhere(told, tree) is short


@pytest.mark.parametrize(
    ("keys", "text"), [([], "nothing"), (["A"], "A"), (["A", "B"], "A and B"), (["A", "B", "C"], "A, B and C")]
)
def test_codes_in_a_sentence(keys: list[str], text: str) -> None:
    assert listed(keys) == text
    assert listed(keys, "none") == (text if keys else "none")


def test_the_users_are_those_of_the_work() -> None:
    """NEW needs FIT and with it the cover."""
    told = a_told()
    assert (told.users.of_operation, told.users.of_step) == ({"FIT": ("NEW",)}, {"COVER": ("NEW",)})
    assert told.basis is told.setup.basis
