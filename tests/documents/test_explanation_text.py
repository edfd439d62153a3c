"""A tree as lines for a person: what joins the inputs, what was shown, ranges of cells, and where a line ends."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.documents.explanation_text import (
    MOST_LETTERS,
    WIDTH,
    explained_tier_lines,
    explanation_lines,
    value_words,
    without_section,
)
from quotekit.model.explanation import Condition, Explanation
from quotekit.problems import Place
from tests.documents.sample_quote import GOOD, QUOTE


def node(figure: str, value: Any, *inputs: Explanation, operation: Any = "sum", **more: Any) -> Explanation:
    """A number on the way; without inputs it was typed."""
    named: dict[str, Any] = {
        "rule": "As typed." if not inputs else f"How {figure} comes about.",
        "number": D(str(value)),
    }
    how: Any = operation if inputs else "given"
    return Explanation(figure=figure, value=value, operation=how, inputs=inputs, **named | more)


def cell(address: str, sheet: str = "Parts", file: str = "book.xlsx") -> Place:
    return Place(file, sheet, address)


A, B, C = node("a", "1", cells=(cell("D3"),)), node("b", "2"), node("c", "3")


def lines(tree: Explanation) -> list[str]:
    """With the book's name left out, as where it is said above."""
    return list(explanation_lines(tree, {"book.xlsx": "", "job.xlsx": "job "}))


@pytest.mark.parametrize(
    ("operation", "inputs", "signs"),
    [
        ("sum", (A, B, C), "=++"),
        ("product", (A, B), "=x"),
        ("quotient", (A, B), "=/"),
        ("difference", (A, B, C), "=--"),
        ("less", (A, B), "--"),
        ("least", (A, B), "**"),
        ("most", (A, B), "**"),
        ("share", (A, B, C), "=**"),
        ("same", (A,), "="),
        ("up to a step", (A, B), "=*"),
    ],
)
def test_a_sign_says_what_joins_an_input_to_the_ones_before(operation: str, inputs: Any, signs: str) -> None:
    """`less` takes all away; of the least and the most none comes first."""
    told = lines(node("t", "9", *inputs, operation=operation))
    starts = [line.strip().split()[0] for line in told[2:]]
    assert "".join(starts) == signs


def test_one_plus_says_so() -> None:
    assert lines(node("1 + markup", "1.4", A, operation="one plus"))[2].startswith("  1 + a: 1")


def test_a_tree_is_indented_with_the_rule_below_its_name() -> None:
    tree = node("total", "6", node("work", "3", A, B), C, rounding="half up to cents")
    assert lines(tree) == [
        "total: 6",
        "  How total comes about. Rounded half up to cents.",
        "  = work: 3",
        "      How work comes about.",
        "      = a: 1 [Parts!D3]",
        "      + b: 2",
        "  + c: 3",
    ]


def test_what_was_shown_is_not_shown_again() -> None:
    """Its name and value are enough; a cell is so short that it may be said twice."""
    work = node("work", "3", A, B)
    told = lines(node("t", "6", work, work, A, A))
    assert [line.strip() for line in told if "see above" in line] == ["+ work: 3 (see above)"]
    assert sum("a: 1 [Parts!D3]" in line for line in told) == 3


def test_what_is_said_of_a_figure_is_not_said_of_its_inputs_again() -> None:
    """`(with BELT)` stands at the figure."""
    inner = node("work (with BELT)", "3", node("labour (with BELT)", "2"), node("parts", "1"))
    told = lines(node("t", "3", inner, operation="same"))
    assert [line.strip() for line in told if ":" in line][1:] == ["= work (with BELT): 3", "= labour: 2", "+ parts: 1"]


def test_what_is_counted_is_named_and_no_more() -> None:
    choices = [Explanation(figure=f"choice {n}", value=("A",), rule="A complete choice.") for n in (1, 2)]
    told = lines(node("choices", "2", *choices, operation="count"))
    assert [line.strip() for line in told[2:]] == ["= choice 1: A", "* choice 2: A"]


def test_a_word_shows_what_it_was_decided_by_and_no_deeper() -> None:
    tree = Explanation(figure="offered", value=True, rule="It may be.", inputs=(node("work", "3", A, B),))
    assert lines(tree) == ["offered: yes", "  It may be.", "  = work: 3", "      How work comes about."]


def test_a_leaf_that_was_not_typed_says_its_rule_beside_it() -> None:
    turn = node("turn", "2", rule="The 2. time it comes round (rules 5.7).")
    assert lines(node("t", "2", turn, A))[2] == "  = turn: 2 The 2. time it comes round."


def test_a_leaf_too_long_for_its_line_goes_on_below() -> None:
    words = " ".join(["word"] * 30)
    told = lines(node("t", "2", node("turn", "2", rule=words), A))
    assert told[2] == "  = turn: 2" and told[3].startswith("      word") and max(map(len, told)) <= WIDTH


@pytest.mark.parametrize(
    ("value", "more", "words"),
    [
        (None, {}, "nothing"),
        (True, {}, "yes"),
        (False, {}, "no"),
        ((), {}, "none"),
        (("A", "B"), {}, "A; B"),
        (7, {}, "7"),
        ("0.065", {"number": D("0.065"), "form": "percent"}, "6.5 %"),
        ("0.065", {"number": D("0.065"), "form": "number"}, "0.065"),
    ],
)
def test_a_value_as_people_write_it(value: Any, more: dict[str, Any], words: str) -> None:
    assert value_words(Explanation(figure="x", value=value, rule="A rule.", **more)) == words


@pytest.mark.parametrize(
    ("rule", "plain"),
    [
        ("Labour (rules 5.5).", "Labour."),
        ("Labour (rules 5.5) and parts.", "Labour and parts."),
        ("As typed.", "As typed."),
        ("Labour (at MAIN).", "Labour (at MAIN)."),
    ],
)
def test_a_rule_without_its_section(rule: str, plain: str) -> None:
    assert without_section(rule) == plain


def decided_by(*conditions: Condition) -> Explanation:
    return Explanation(figure="t", value="1", rule="A rule.", conditions=conditions)


def test_conditions_tell_their_cells_once() -> None:
    """The second figure that hangs on the same says so."""
    one = Condition(why="which work is present", cells=(cell("B2", "Tiers"), cell("B4", "Job", "job.xlsx")))
    told: set[Condition] = set()
    first, second = (
        list(explanation_lines(decided_by(one), {"book.xlsx": "", "job.xlsx": "job "}, told)) for _ in "ab"
    )
    assert first[2:] == ["  What else decides it:", "  - which work is present: Tiers!B2; job Job!B4"]
    assert second[2:] == ["  What else decides it:", "  - which work is present: the same cells as above"]


def test_more_cells_than_can_be_read_are_counted() -> None:
    """Every second row of two sheets: no range holds them together."""
    some = tuple(cell(f"B{row}", sheet) for sheet in ("Parts", "Fees") for row in range(2, 100, 2))
    (line,) = [line for line in lines(decided_by(Condition(why="prices", cells=some))) if "prices" in line]
    assert line == "  - prices: 98 cells of Parts, Fees; --json names each"
    few = tuple(cell(f"B{row}") for row in range(2, 20, 2))
    (line,) = [line for line in lines(decided_by(Condition(why="prices", cells=few))) if "prices" in line]
    assert line.endswith("B18") and len(line) < MOST_LETTERS


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"priced": False, "reason": "a life is missing"}, "It could not be worked out: a life is missing."),
        ({"offered": False, "reason": "it is dearer"}, "It is priced, but not offered to the customer: it is dearer."),
    ],
)
def test_the_heading_says_what_became_of_the_tier(changes: dict[str, Any], words: str) -> None:
    told = list(explained_tier_lines(QUOTE, replace(GOOD, **changes), [], in_short=False))
    assert told[1] == words
    assert words not in list(explained_tier_lines(QUOTE, GOOD, [], in_short=False))


def test_the_heading_says_whose_cells_they_are() -> None:
    """Where the files have names, and not the same one."""
    files = replace(QUOTE, book=replace(QUOTE.book, file="book.xlsx"), job=replace(QUOTE.job, file="job.xlsx"))
    about = "Cells are those of book.xlsx; `job` before a sheet means job.xlsx."
    assert about in list(explained_tier_lines(files, GOOD, [], in_short=False))
    alike = replace(files, job=replace(QUOTE.job, file="book.xlsx"))
    assert not any(line.startswith("Cells are") for line in explained_tier_lines(alike, GOOD, [], in_short=False))


def test_in_short_only_what_goes_straight_into_it() -> None:
    """With a cell only where nothing is below it."""
    tree = node("total", "6", node("work", "3", A, B), A)
    told = list(explained_tier_lines(QUOTE, GOOD, [tree], in_short=True))
    at = told.index("total: 6")
    assert told[at : at + 4] == [
        "total: 6", "  How total comes about.", "  = work: 3", "  + a: 1 [Parts!D3]",
    ]  # fmt: skip
    assert told[-1].startswith("One figure down to its cells: --figure NAME")
    assert not any(line.startswith("One figure") for line in explained_tier_lines(QUOTE, GOOD, [tree], in_short=False))
