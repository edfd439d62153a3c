"""What a person reads: the changed cells by number, the options in order, and what can't be said is not said."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.documents.compare_json import lay_out_compare_json
from quotekit.documents.compare_text import MOST_BY_THE_BOOK, MOST_CAUSES, MOST_IDLE, compare_lines
from quotekit.documents.compare_words import cell_words, difference_text, figure_words, is_money, value_text
from quotekit.model.comparison import ChangedCell, Comparison, FigureName, MovedFigure
from quotekit.problems import Place


def cell(address: str, old: str | None = "1", new: str | None = "2", **values: Any) -> ChangedCell:
    place = Place("b.xlsx", "Parts", address)
    return ChangedCell(what=f"cell {address}", old=old, new=new, place_old=place, place_new=place, **values)


RATE, COST, IDLE = cell("A1"), cell("B1"), cell("C1")


def moved(
    figure: str, old: str | None, new: str | None, *because: ChangedCell, tier: str | None = "good", **values: Any
) -> MovedFigure:
    difference = Decimal(new) - Decimal(old) if old and new and old[0].isdigit() else None
    given = {"name": FigureName("117" if tier else None, tier, figure), "difference": difference, **values}
    return MovedFigure(old=old, new=new, because=because, **given)


def comparison(*figures: MovedFigure, cells: tuple[ChangedCell, ...] = (), **values: Any) -> Comparison:
    given = {"kind": "shop books", "old": "old.xlsx", "new": "new.xlsx", "currency": "USD", **values}
    return Comparison(cells=cells, figures=figures, **given)


def lines(*figures: MovedFigure, cells: tuple[ChangedCell, ...] = (), **values: Any) -> list[str]:
    return list(compare_lines(comparison(*figures, cells=cells, **values)))


def test_the_whole_text() -> None:
    total = moved(
        "total", "100.00", "131.00", COST, RATE, alone={RATE.place: Decimal(20), COST.place: Decimal(10)},
        together=Decimal(1),
    )  # fmt: skip
    labour = moved("amounts.labour", "80.00", "100.00", RATE, alone={RATE.place: Decimal(20)}, together=Decimal(0))
    assert lines(labour, total, cells=(IDLE, COST, RATE), notes=("Only this.",)) == [
        "old.xlsx -> new.xlsx",
        "",
        "What was changed and moves a figure:",
        "  [1] b.xlsx:Parts!A1  cell A1: 1 -> 2",
        "  [2] b.xlsx:Parts!B1  cell B1: 1 -> 2",
        "",
        "What was changed and moves no figure here:",
        "  b.xlsx:Parts!C1  cell C1: 1 -> 2",
        "",
        "Job 117, option good:",
        "  Total to pay: $100.00 -> $131.00 (+$31.00)  because of [1] +$20.00, [2] +$10.00, +$1.00 only together",
        "  Labour: $80.00 -> $100.00 (+$20.00)  because of [1]",
        "",
        "Note: Only this.",
    ]


def test_nothing_changed() -> None:
    assert lines() == ["old.xlsx -> new.xlsx", "Nothing changed that counts."]


def test_the_options_stand_in_their_order_then_the_job_and_the_book() -> None:
    """An owner looks for good first, however little it moved; two jobs do not mix."""
    figures = (
        moved("parts.SEAL.unit_price", "1.00", "9.00", tier=None),
        moved("total", "1.00", "2.00", name=FigureName("118", "best", "total")),
        moved("due", "1.00", "9.00", name=FigureName("117", None, "declined.total")),
        moved("total", "1.00", "2.00", tier="good"),
        moved("total", "1.00", "9.00", tier="better"),
        moved("total", "1.00", "5.00", tier="best"),
        moved("amounts.parts", "1.00", "7.00", tier="good"),
    )
    assert [line for line in lines(*figures) if line.endswith(":")] == [
        "Job 117, option good:",
        "Job 117, option better:",
        "Job 117, option best:",
        "Job 117, whatever the option:",
        "Job 118, option best:",
        "By the shop book alone:",
    ]


def test_what_is_offered_and_done_comes_before_amounts() -> None:
    """A choice that turned is what the owner wants to see first; the costs and extras come last."""
    figures = (
        moved("extras.BUSH.at_most", "1.00", "90.00"),
        moved("amounts.labour", "1.00", "2.00"),
        moved("amounts.parts", "1.00", "4.00"),
        moved("not_permitted.CAP.why", None, "too worn"),
        moved("total", "1.00", "6.00"),
        moved("items", "A", "B"),
        moved("offered", "yes", "no"),
    )
    starts = [line.strip().split(":")[0] for line in lines(*figures)[3:]]
    assert starts == [
        "What is done", "Offered to the customer", "Total to pay", "Not permitted", "Parts", "Labour",
        "Extra BUSH, at most",
    ]  # fmt: skip


def test_what_only_follows_is_counted() -> None:
    """A changed price moves a hundred figures; an owner wants to read those that are asked for."""
    figures = (
        moved("total", "1.00", "6.00"),
        moved("due", "1.00", "6.00"),
        moved("shares.BUSH.labour", "1.00", "90.00"),
        moved("extras.BELT.total", "1.00", "7.00"),
        moved("over_years.cost", "1.00", "8.00"),
    )
    assert lines(*figures)[3:] == [
        "  Total to pay: $1.00 -> $6.00 (+$5.00)",
        "  and 4 more figures (--json has them all)",
    ]
    assert lines(*figures[:2])[4:] == ["  and 1 more figure (--json has them all)"]


def test_what_is_still_due_is_told_where_it_moved_by_itself() -> None:
    """What was paid so far changed: the total stands, or moved by something else."""
    assert "Still due" in lines(moved("due", "1.00", "6.00"))[3]
    assert "Still due" in lines(moved("total", "1.00", "2.00"), moved("due", "1.00", "6.00"))[4]


def test_figures_that_follow_are_told_where_nothing_else_moved() -> None:
    said = lines(moved("shares.BUSH.labour", "1.00", "90.00"))
    assert said[3] == "  Share of BUSH, labour: $1.00 -> $90.00 (+$89.00)"


def test_figures_without_causes_do_not_call_the_cells_idle() -> None:
    """Old costings do not say which figure hangs on which cell: then nothing is said of it."""
    said = lines(moved("total", "1.00", "2.00"), cells=(RATE,))
    assert "What was changed:" in said and not any("no figure" in line for line in said)


def test_long_lists_are_cut_and_say_so() -> None:
    many = tuple(cell(f"A{row}") for row in range(1, MOST_IDLE + 11))
    causes = many[: MOST_CAUSES + 3]
    by_book = [
        moved(f"parts.P{number}.unit_price", "1.00", "2.00", tier=None) for number in range(MOST_BY_THE_BOOK + 4)
    ]
    said = "\n".join(lines(moved("total", "1.00", "2.00", *causes), *by_book, cells=many))
    assert "3 more\n" in said and "and 4 more figures (--json has them all)" in said
    assert f"and {len(many) - len(causes) - MOST_IDLE} more" in said or len(many) - len(causes) <= MOST_IDLE


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        (cell("A1"), "cell A1: 1 -> 2"),
        (cell("A1", None, "2"), "cell A1: blank -> 2"),
        (cell("A1", "1", None), "cell A1: 1 -> blank"),
        (cell("A1", None, "Cost 2", extent="row"), "cell A1: new row: Cost 2"),
        (cell("A1", "Cost 2", None, extent="row"), "cell A1: row gone: Cost 2"),
    ],
)
def test_a_change_in_words(changed: ChangedCell, words: str) -> None:
    assert cell_words(changed) == words


@pytest.mark.parametrize(
    ("figure", "words"),
    [
        ("total", "Total to pay"),
        ("amounts.labour", "Labour"),
        ("parts.SEAL-19.amount", "Part SEAL-19, amount"),
        ("parts.A.B.amount", "Part A.B, amount"),
        ("remedies.BUSH.alone", "Remedy BUSH, by itself, one side, before tax"),
        ("labour.MAIN.rate_per_hour", "Labour rate MAIN, per hour"),
        ("not_permitted.CAP@left.why", "Not permitted: CAP@left"),
        ("cost.labour", "Cost of labour"),
        ("hours.billed.MAIN", "Hours, billed, MAIN"),
        ("opening_amount", "Opening amount"),
        ("repair_or_replace.keep", "Repair or replace, keep"),
        ("sensitivity.interest.words", "What the order of the options hangs on, interest"),
    ],
)
def test_a_figure_in_words(figure: str, words: str) -> None:
    assert figure_words(figure) == words


@pytest.mark.parametrize(
    ("figure", "money"),
    [("total", True), ("hours.net", False), ("parts.A.quantity", False), ("parts.A.amount", True),
     ("ready_days", False), ("shares.A.hours", False), ("horizon_cost", True)],
)  # fmt: skip
def test_what_is_an_amount(figure: str, *, money: bool) -> None:
    assert is_money(FigureName("117", "good", figure)) is money


@pytest.mark.parametrize(
    ("figure", "difference", "currency", "language", "words"),
    [
        ("total", "2.5", "USD", "en_US", "+$2.50"),
        ("total", "-2.5", "USD", "en_US", "-$2.50"),
        ("total", "1500", "EUR", "de_DE", "+1.500,00\u00a0€"),
        ("total", "1500", "JPY", "en_US", "+¥1,500"),
        ("total", "2.5", "", "en_US", "+2.5"),
        ("hours.net", "0.50", "USD", "en_US", "+0.5"),
    ],
)
def test_a_difference_as_the_shop_writes_money(
    figure: str, difference: str, currency: str, language: str, words: str
) -> None:
    assert difference_text(FigureName("117", "good", figure), Decimal(difference), currency, language) == words


@pytest.mark.parametrize(("text", "words"), [(None, "none"), ("", "nothing"), ("A; B", "A; B")])
def test_words_and_what_is_not_there(text: str | None, words: str) -> None:
    assert value_text(FigureName("117", "good", "items"), text, None, "USD", "en_US") == words


def test_the_same_as_json() -> None:
    one = moved("total", "1.00", "2.00", RATE, COST, alone={RATE.place: Decimal("1.00"), COST.place: None})
    gone = ChangedCell(what="row", old="x", new=None, place_old=Place("a.xlsx", "Parts", "A9"), place_new=None)
    laid_out = lay_out_compare_json(comparison(one, cells=(gone,), notes=("A note.",)))
    assert laid_out == {
        "kind": "shop books",
        "old": "old.xlsx",
        "new": "new.xlsx",
        "cells": [
            {
                "cell": "a.xlsx:Parts!A9 (before)",
                "place_old": "a.xlsx:Parts!A9",
                "place_new": None,
                "what": "row",
                "old": "x",
                "new": None,
            }
        ],
        "figures": [
            {
                "job": "117",
                "tier": "good",
                "figure": "total",
                "old": "1.00",
                "new": "2.00",
                "difference": "1.00",
                "because": ["b.xlsx:Parts!A1", "b.xlsx:Parts!B1"],
                "alone": {"b.xlsx:Parts!A1": "1.00", "b.xlsx:Parts!B1": None},
                "together": None,
            }
        ],
        "notes": ["A note."],
        "problems": [],
    }


def test_no_number_is_minus_zero() -> None:
    figures: Any = lay_out_compare_json(comparison(moved("total", "1.00", "2.00", together=Decimal("-0.00"))))[
        "figures"
    ]
    assert figures[0]["together"] == "0.00"
