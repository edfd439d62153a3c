"""The hidden sheet: what the quote is, what can be picked, and the whole numbers of every choice."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from quotekit.documents.sheet import Cell, NamedRange, Sheet, WorkbookValue, row
from quotekit.documents.working_sheet import Working, lay_out_working
from quotekit.model.expression import evaluate
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests import build
from tests.documents import quotes
from tests.documents.sheet_formulas import Recalculated, Value, addresses
from tests.pricing.live.belt_shop import job, shop
from tests.random_jobs import a_random_case

SEEDS = [2, 3, 4, 5, 17, 20, 21, 23]
"""Random jobs with options, and at least two things to tick."""


def quoted(**shop_values: object) -> Quote:
    """Good and better; a belt, two seals and tuning to tick."""
    return build_quote(shop(**shop_values), job())


def filled(quote: Quote, working: Working, **typed: Value) -> Recalculated:
    """The hidden sheet with the choice cells as if on a sheet of their own; what is not given is as sent."""
    names = ["chosen_tier", *(extra.defined_name for extra in (quote.live.extras if quote.live else ()))]
    desk = Sheet(name="Desk", rows=tuple(row(Cell(name=name)) for name in names), widths=(10,))
    value = WorkbookValue(sheets=(desk, working.sheet), properties=None, names=working.names)  # type: ignore[arg-type]
    sent: dict[str, Value] = dict.fromkeys(names[1:], "☐")
    return Recalculated(value, **(sent | typed))


def calculated(quote: Quote, **typed: Value) -> tuple[Working, Recalculated]:
    working = lay_out_working(quote)
    return working, filled(quote, working, **typed)


def place(reference: str) -> str:
    """An address without its dollars."""
    return next(addresses(reference, "Working"))


def named(working: Working, name: str) -> list[list[object]]:
    """What stands in a named range."""
    area = next(area for area in working.names if area.name == name)
    lines = working.sheet.rows[area.first_row : area.last_row + 1]
    return [[cell.content for cell in line.cells[area.first_column : area.last_column + 1]] for line in lines]


FACTS = {
    "quote_number": "J-1",
    "quote_version": 1,
    "quote_date": date(2026, 3, 2),
    "quote_valid_until": date(2026, 4, 1),
    "quote_shop": "Test Shop",
}


@pytest.mark.parametrize("name", FACTS)
def test_what_the_quote_is(name: str) -> None:
    """30 days from 2 March 2026 is 1 April."""
    working = lay_out_working(quoted())
    area = next(area for area in working.names if area.name == name)
    assert named(working, name) == [[FACTS[name]]]
    assert (area.first_row, area.first_column) == (area.last_row, area.last_column)


def test_the_names_are_each_a_range_of_this_sheet() -> None:
    working = lay_out_working(quoted())
    names = [area.name for area in working.names]
    assert names == [*FACTS, "offered_options", "offered_extras"]
    assert {area.sheet for area in working.names} == {"Working"} == {working.sheet.name}
    assert working.sheet.hidden and working.sheet.protected


def test_options_by_code_and_label() -> None:
    assert named(lay_out_working(quoted()), "offered_options") == [["good", "Good"], ["better", "Better"]]


def test_extras_by_key_and_name_and_where_each_is_offered() -> None:
    """o offered, i included: the belt is inside better."""
    assert named(lay_out_working(quoted()), "offered_extras") == [
        ["NEW-BELT", "extra_NEW_BELT", "oi"],
        ["SEALED@left", "extra_SEALED_left", "oo"],
        ["SEALED@right", "extra_SEALED_right", "oo"],
        ["TUNED", "extra_TUNED", "oo"],
    ]


def test_n_where_an_option_does_not_have_it() -> None:
    """Oiling behind the guard, which better alone opens."""
    book = shop(
        access=[build.a_step("COVER"), build.a_step("GUARD")],
        operations=[
            build.an_operation("FIT-BUSHING", access=["COVER"]),
            build.an_operation("FIT-BELT", access=["GUARD"]),
            build.an_operation("OIL", access=["GUARD"]),
        ],
        extras=[build.an_extra("OILED", ["OIL"])],
    )
    working = lay_out_working(build_quote(book, job(extras=())))
    assert [line[2] for line in named(working, "offered_extras")] == ["oi", "no"]


def test_without_extras_there_is_no_such_range() -> None:
    quote = build_quote(shop(extras=[], tiers=[build.a_tier("good")]), build.a_job(build.a_finding_on("WORN")))
    assert "offered_extras" not in [area.name for area in lay_out_working(quote).names]


def test_the_drop_down_lists_the_labels() -> None:
    working = lay_out_working(quoted())
    options = next(area for area in working.names if area.name == "offered_options")
    assert working.labels == f"=Working!$B${options.first_row + 1}:$B${options.last_row + 1}"


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_but_whole_numbers(seed: int) -> None:
    """Below the facts: no point in a formula, no fraction in a value; and no figure but one with a sum behind it."""
    quote = build_quote(*a_random_case(seed))
    working = lay_out_working(quote)
    figures = [line for line in working.sheet.rows[6:] if line.cells[0].content != "Years"]
    counted = [cell for line in figures for cell in line.cells if cell.kind == "number"]
    assert all(cell.content == int(cell.content) for cell in counted if isinstance(cell.content, (int, Decimal)))
    formulas = [cell.formula for cell in counted if cell.formula]
    assert all("." not in re.sub(r'extra_[\w.]+|"[^"]*"', "", formula) for formula in formulas)


def test_every_formula_looks_up_the_sheet_never_down() -> None:
    """A program that works from top to bottom needs one pass."""
    working = lay_out_working(quoted())
    for line, cells in enumerate(working.sheet.rows, start=1):
        for cell in cells.cells:
            found = re.findall(r"(?<![\w!\"])[A-H](\d+)\b", re.sub(r'"[^"]*"', "", cell.formula))
            assert all(int(number) <= line for number in found), cell.formula


@pytest.mark.parametrize("seed", SEEDS)
def test_every_cell_carries_its_value_as_sent(seed: int) -> None:
    """With nothing picked, each formula comes to what is stored beside it."""
    quote = build_quote(*a_random_case(seed))
    working, sheet = calculated(quote)
    for address, cell in sheet.cells.items():
        if address.startswith("Working!") and cell.formula:
            assert sheet.value(address) == Fraction(str(cell.content)), (address, cell.formula)
    assert working.known is not None and working.known.sent == 0


@pytest.mark.parametrize(
    ("typed", "chosen"),
    [
        ("Good", [1, 0]),
        ("good", [1, 0]),
        ("Option 1", [1, 0]),
        ("Better", [0, 1]),
        ("better", [0, 1]),
        ("Option 2", [0, 1]),
        ("BETTER", [0, 0]),
        ("option 2", [0, 0]),
        ("Better ", [0, 0]),
        ("Option 3", [0, 0]),
        ("", [0, 0]),
        (None, [0, 0]),
        (Fraction(1), [0, 0]),
        (True, [0, 0]),
    ],
)
def test_the_option_by_label_code_or_number(typed: Value, chosen: list[int]) -> None:
    """Exactly as written: what matches none, or nothing at all, chooses none."""
    working, sheet = calculated(quoted(), chosen_tier=typed)
    assert [sheet.value(place(one.reference)) for one in working.chosen] == chosen
    assert working.known is not None
    assert sheet.value(place(working.known.reference)) == sum(chosen)


def test_names_that_clash_are_labels_with_numbers() -> None:
    """Both are called Mend: the label tells them apart, and the bare name chooses neither, as it could be both."""
    tiers = [build.a_tier("good", tier="Mend"), build.a_tier("better", ["safety", "needed", "advised"], tier="Mend")]
    quote = quoted(tiers=tiers)
    working = lay_out_working(quote)
    assert named(working, "offered_options") == [["good", "Option 1: Mend"], ["better", "Option 2: Mend"]]
    for typed, expected in (("Option 1: Mend", 1), ("Option 2: Mend", 1), ("better", 1), ("Mend", 0)):
        sheet = filled(quote, working, chosen_tier=typed)
        assert working.known is not None and sheet.value(place(working.known.reference)) == expected


def test_the_owners_name_is_understood_where_the_label_has_a_number() -> None:
    """The names differ but for case, so that each still says which."""
    tiers = [build.a_tier("good", tier="Mend"), build.a_tier("better", ["safety", "needed", "advised"], tier="MEND")]
    working, sheet = calculated(quoted(tiers=tiers), chosen_tier="MEND")
    assert [sheet.value(place(one.reference)) for one in working.chosen] == [0, 1]


YES: list[Value] = ["Yes", "yes", "YES", "☑", True, Fraction(1)]
NO: list[Value] = ["☐", "No", "no", "", None, False, Fraction(0)]
UNCLEAR: list[Value] = ["x", "maybe", "Yes!", " Yes", Fraction(2), Fraction(-1), "☒", "TRUE"]


@pytest.mark.parametrize(
    ("typed", "ticked", "unclear"),
    [*((typed, 1, 0) for typed in YES), *((typed, 0, 0) for typed in NO), *((typed, 0, 1) for typed in UNCLEAR)],
)
def test_a_tick_a_no_and_what_is_neither(typed: Value, ticked: int, unclear: int) -> None:
    """What is not understood is not added, and said."""
    working, sheet = calculated(quoted(), chosen_tier="Good", extra_TUNED=typed)
    assert working.extras is not None
    tuned = working.extras["TUNED"]
    assert sheet.value(place(tuned.ticked.reference)) == ticked
    assert sheet.value(place(tuned.unclear.reference)) == unclear


@pytest.mark.parametrize(
    ("option", "price", "offered", "included"), [("Good", 7000, 1, 0), ("Better", 0, 0, 1), ("", 0, 0, 0)]
)
def test_what_the_belt_adds_to_the_option_chosen(option: str, price: int, offered: int, included: int) -> None:
    """Beside good 0.4 h and 30.00 = 70.00; better includes it."""
    working, sheet = calculated(quoted(), chosen_tier=option)
    assert working.extras is not None
    belt = working.extras["NEW-BELT"]
    found = [sheet.value(place(one.reference)) for one in (belt.price, belt.offered, belt.included)]
    assert found == [price, offered, included]


@pytest.mark.parametrize(
    ("typed", "total"),
    [
        ({"chosen_tier": "Good"}, 12605),
        ({"chosen_tier": "Better"}, 19815),
        ({"chosen_tier": "Good", "extra_NEW_BELT": "Yes"}, 19815),
        ({"chosen_tier": "Better", "extra_NEW_BELT": "Yes"}, 19815),
        ({"chosen_tier": "Good", "extra_TUNED": True}, 15605),
        ({"chosen_tier": "Good", "extra_SEALED_left": Fraction(1), "extra_SEALED_right": "☑"}, 19815),
    ],
)
def test_the_total_of_a_choice_in_cents(typed: dict[str, Value], total: int) -> None:
    """Good 110.00 + 15.00 + 1.05; the belt 40.00 + 30.00 + 2.10; tuning 30.00; two seals 40.00 + 30.00 + 2.10."""
    working, sheet = calculated(quoted(), **typed)
    assert working.figures is not None
    assert sheet.value(place(working.figures["total"].reference)) == total


@pytest.mark.parametrize("seed", SEEDS)
def test_the_sheet_comes_to_what_the_sums_come_to(seed: int) -> None:
    """Random jobs, each option with random ticks: every line of the sheet, by a spreadsheet of our own."""
    quote, random = build_quote(*a_random_case(seed)), Random(seed)
    assert quote.live is not None
    working = lay_out_working(quote)
    for option in quote.live.options:
        ticks = {extra: random.randint(0, 1) for extra in quote.live.extras}
        typed = {extra.defined_name: "Yes" if tick else "No" for extra, tick in ticks.items()}
        sheet = filled(quote, working, chosen_tier=option.label, **typed)
        values = evaluate(quote.live.steps, {option.chosen: 1, **{extra.ticked: tick for extra, tick in ticks.items()}})
        assert working.figures is not None
        found = {name: sheet.value(place(one.reference)) for name, one in working.figures.items()}
        assert found == {name: values[step] for name, step in quote.live.figures.items()}
        assert [sheet.value(place(one.reference)) for _, one in working.taxes] == [
            values[step] for _, step in quote.live.taxes
        ]


def test_figures_that_no_choice_can_bring_are_known() -> None:
    """No freight, no savings and no supplies in this shop; parts and tax in every choice."""
    possible = lay_out_working(quoted()).possible
    assert {"labour", "parts", "work", "subtotal", "tax", "total", "due"} == possible


def test_a_plain_quote_has_its_facts_and_options_and_no_formula() -> None:
    working = lay_out_working(quotes.three())
    assert [cell.formula for line in working.sheet.rows for cell in line.cells if cell.formula] == []
    assert [area.name for area in working.names] == [*FACTS, "offered_options"]
    assert [line[1] for line in named(working, "offered_options")] == [tier.name for tier in quotes.three().offered]
    assert (working.known, working.extras, working.figures, working.chosen) == (None, None, None, ())


def test_no_name_of_the_sheet_reads_as_a_number_or_a_formula() -> None:
    """What people wrote is text: an option named =1+1 stays one."""
    tiers = [build.a_tier("good", tier="=1+1"), build.a_tier("better", ["safety", "needed", "advised"], tier="+A1")]
    working = lay_out_working(quoted(tiers=tiers))
    options = next(area for area in working.names if area.name == "offered_options")
    cells = [working.sheet.rows[line].cells[1] for line in range(options.first_row, options.last_row + 1)]
    assert [(cell.kind, cell.formula, cell.content) for cell in cells] == [("text", "", "=1+1"), ("text", "", "+A1")]


def test_ranges_are_on_the_sheet() -> None:
    working = lay_out_working(quoted())
    assert all(inside(area, working) for area in working.names)


def inside(area: NamedRange, working: Working) -> bool:
    """True for a range within the rows."""
    return 0 <= area.first_row <= area.last_row < len(working.sheet.rows) and area.first_column <= area.last_column
