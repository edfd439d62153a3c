"""Explained figures for people and programs: ranges of cells, names, text, JSON, and the sheet of the costing."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.cell_links import linked
from quotekit.documents.cell_ranges import boxes, range_words
from quotekit.documents.column_letters import column_letters
from quotekit.documents.costing import lay_out_costing, sheet_names
from quotekit.documents.costing_explained import lay_out_explained, shown
from quotekit.documents.explanation_figures import main_figures, meant_by, named_figures, with_all, within_tier
from quotekit.documents.explanation_json import figure_json
from quotekit.documents.explanation_text import explained_tier_lines, explanation_lines
from quotekit.documents.sheet import Cell, Sheet, placed
from quotekit.model.explanation import Condition, Explanation
from quotekit.pricing.explain import explain_priced, explain_quote
from quotekit.problems import Place
from tests.pricing.explain.cases import EXAMPLES, example_quote

QUOTE = example_quote(EXAMPLES[0])
GOOD = QUOTE.tiers[0]
KNOWN = named_figures(QUOTE, GOOD)


@given(st.sets(st.tuples(st.integers(1, 6), st.integers(1, 8)), max_size=30))
def test_ranges_hold_the_cells_and_no_other(spots: set[tuple[int, int]]) -> None:
    """A person who reads a range may change any cell outside of it."""
    found = boxes(f"{column_letters(column)}{row}" for column, row in spots)
    cells = [(c, r) for a, b, e, d in found for c in range(a, e + 1) for r in range(b, d + 1)]
    assert len(cells) == len(set(cells))
    assert set(cells) == spots


def test_files_and_sheets_are_said_once() -> None:
    places = [Place("b.xlsx", "Parts", "D3"), Place("b.xlsx", "Parts", "D4"), Place("b.xlsx", "Shop", "B2")]
    assert range_words([*places, Place("j.xlsx", "Job", "B4")]) == "b.xlsx: Parts!D3:D4; Shop!B2; j.xlsx: Job!B4"
    assert range_words([Place("b.xlsx"), Place("b.xlsx", "Fees")]) == "b.xlsx: Fees"
    assert range_words([Place("b.xlsx")]) == "b.xlsx"


@pytest.mark.parametrize(
    ("word", "names"),
    [
        ("total", ["total"]),
        ("  Hours.Billed.main ", ["hours.billed.MAIN"]),
        ("hours.billed", ["hours.billed.LIGHT", "hours.billed.MAIN"]),
        ("taxes[1].amount", ["taxes.Used oil levy.amount"]),
        ("taxes.1.amount", ["taxes.Used oil levy.amount"]),
        ("tot", []),
        ("", []),
        ("parts.", []),
    ],
)
def test_a_word_means_a_figure_a_place_or_a_group(word: str, names: list[str]) -> None:
    """`tax` is the sum, never the group `taxes`; half a name means nothing."""
    assert meant_by(word, KNOWN) == names


@pytest.mark.parametrize(
    ("word", "figure"),
    [
        ("tiers[0].total", "total"),
        ("tiers.0.parts[0].amount", "parts[0].amount"),
        (" Tiers.GOOD.total", "total"),
        ("total", "total"),
        ("tiers[1].total", "tiers[1].total"),
        ("tiers.better.total", "tiers.better.total"),
    ],
)
def test_a_figure_may_be_named_from_the_top_of_the_json(word: str, figure: str) -> None:
    """Another option's figure is never explained in place of the one asked for."""
    assert within_tier(word, QUOTE, GOOD) == figure


def test_every_name_and_every_place_means_its_own_figure() -> None:
    for one in KNOWN:
        assert meant_by(one.name, KNOWN) == [one.name]
        assert meant_by(one.place, KNOWN)[:1] == [one.name]


def test_the_main_figures_begin_with_the_total_and_leave_out_zeros() -> None:
    names = main_figures(KNOWN)
    assert names[:4] == ["total", "tax", "subtotal", "work"]
    assert "amounts.labour" in names
    assert "amounts.cores" not in names


def test_a_figure_without_a_tree_is_answered_by_its_value() -> None:
    (only,) = with_all((), KNOWN, ["proof.method"])
    assert (only.figure, only.value, only.inputs) == ("proof.method", "enumeration", ())


def test_text_shows_a_shared_part_of_a_tree_once() -> None:
    """`work` is in the subtotal and in what a tax is on; the second time its name and value are enough."""
    (total,) = explain_priced(QUOTE, GOOD, lambda name: name == "total")
    lines = list(explanation_lines(total, {}))
    assert sum("= Pack cost: 18" in line or "= Pack cost: 14.8" in line for line in lines) <= 2
    assert any(line.strip().endswith("(see above)") for line in lines)
    assert max(map(len, lines)) < 200


def test_text_says_percent_and_nothing_as_people_do() -> None:
    lines = list(explained_tier_lines(QUOTE, GOOD, explain_priced(QUOTE, GOOD), in_short=False))
    assert any("Rate of Sales tax: 6.5 %" in line for line in lines)
    assert "reason: nothing" in lines
    assert "offered: yes" in lines


def test_conditions_are_one_line_each() -> None:
    cells = (Place("b.xlsx", "Tiers", "C2"), Place("b.xlsx", "Tiers", "C3"))
    condition = Condition(why="which remedies are taken", cells=cells)
    tree = Explanation(figure="total", value="1.00", rule="A rule.", conditions=(condition,))
    assert list(explanation_lines(tree, {"b.xlsx": ""}))[-1] == "  - which remedies are taken: Tiers!C2:C3"
    assert figure_json(tree)["cells"] == ["b.xlsx:Tiers!C2", "b.xlsx:Tiers!C3"]


def test_json_is_nested_and_writes_each_cell_singly() -> None:
    (price,) = explain_priced(QUOTE, GOOD, lambda name: name == "parts.AUG-BUSH.unit_price")
    told = json.loads(json.dumps(figure_json(price)))
    assert told["rounding"] == "half up to cents"
    assert told["value"] == "8.69"
    assert "shop book.xlsx:Parts!E3" in told["cells"]
    assert not any(":" in cell.partition("!")[2] for cell in told["cells"])
    assert told["inputs"][0]["inputs"][0]["rounding"] is None


def sheet_of(addresses: dict[str, str]) -> Sheet:
    """The sheet of every number of the first example."""
    return lay_out_explained(QUOTE, explain_quote(QUOTE, shown), "Every number", addresses)


def cells_of(sheet: Sheet) -> list[Cell]:
    """Its cells that say something."""
    return [cell for line in sheet.rows for _, cell in placed(line) if cell.content is not None]


def test_the_sheet_tells_what_the_customer_pays_and_where_it_comes_from() -> None:
    said = [cell.content for cell in cells_of(sheet_of({}))]
    for words in (
        "Put right",
        "total",
        "461.31",
        "parts.AUG-BUSH.amount",
        "Parts!E3",
        "Subtotal and tax: the total to pay.",
    ):
        assert words in said
    assert not any(str(words).startswith(("cost.", "margin", "shares.")) for words in said)


def test_links_change_no_text_and_come_from_places_alone() -> None:
    """A part whose code looks like an address is a text; only cells that were read lead anywhere."""
    plain, with_links = cells_of(sheet_of({})), cells_of(sheet_of({"shop book.xlsx": "shop%20book.xlsx"}))
    assert [cell.content for cell in plain][2:] == [cell.content for cell in with_links][2:]
    assert {cell.link for cell in plain} == {""}
    links = {cell.link: cell.content for cell in with_links if cell.link}
    assert all(link == f"shop%20book.xlsx#'{str(words).replace('!', chr(39) + '!')}" for link, words in links.items())


def test_a_cell_without_an_address_keeps_its_look() -> None:
    place = Place("b.xlsx", "Parts", "D3")
    assert linked(place, "Parts!D3", {}).style == "cell"
    assert linked(place, "Parts!D3", {"b.xlsx": "b.xlsx"}).style == "link"


def test_the_sheet_stands_in_the_costing_and_its_name_is_taken() -> None:
    value = lay_out_costing(QUOTE, trees=explain_quote(QUOTE, shown))
    assert [sheet.name for sheet in value.sheets].count("Every number") == 1
    assert sheet_names(["Every number"]) == ["Every number 2"]
