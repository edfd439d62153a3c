"""Problems in words: the count, the lines of the list, the notes and whose they are, the cells they belong to."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.addin.office.problem_words import (
    END,
    LONGEST_LINE,
    MARK,
    Problem,
    Spot,
    by_spot,
    counted,
    errors_first,
    is_ours,
    line,
    note_text,
    place_words,
    range_of,
    sentence,
    spot_of,
    whole,
)


def problem(**more: str) -> Problem:
    given_: Problem = {
        "file": "book.xlsx",
        "sheet": "Parts",
        "cell": "D14",
        "code": "blank-required",
        "severity": "error",
        "message": "Pack cost is blank",
        "remedy": "Fill it in.",
        "text": "",
    }
    return {**given_, **more}


@pytest.mark.parametrize(
    ("errors", "warnings", "said"),
    [
        (0, 0, "No problems found."),
        (1, 0, "1 error."),
        (0, 1, "1 warning."),
        (3, 12, "3 errors and 12 warnings."),
        (2000, 0, "2,000 errors."),
    ],
)
def test_how_many(errors: int, warnings: int, said: str) -> None:
    assert counted([problem()] * errors + [problem(severity="warning")] * warnings) == said


def test_errors_come_first_and_each_kind_in_reading_order() -> None:
    listed = [problem(cell=cell, severity=kind) for cell, kind in (("A1", "warning"), ("B2", "error"), ("A3", "error"))]
    assert [one["cell"] for one in errors_first(listed)] == ["B2", "A3", "A1"]


@pytest.mark.parametrize(
    ("more", "file", "said"),
    [
        ({}, "", "Error   Parts!D14: Pack cost is blank"),
        ({"severity": "warning"}, "book.xlsx", "Warning   book.xlsx: Parts!D14: Pack cost is blank"),
        ({"cell": ""}, "", "Error   Parts: Pack cost is blank"),
        ({"sheet": "", "cell": ""}, "", "Error   Pack cost is blank"),
        ({"message": "two\nlines"}, "", "Error   Parts!D14: two lines"),
        ({"cell": "B3:B7"}, "", "Error   Parts!B3:B7: Pack cost is blank"),
    ],
)
def test_a_line_of_the_list(more: dict[str, str], file: str, said: str) -> None:
    """One line each, whatever the message holds; the file where it is another workbook's."""
    assert line(problem(**more), file) == said


def test_a_long_message_is_cut_and_told_in_full_beneath() -> None:
    words = "much too long " * 40
    assert len(line(problem(message=words))) <= LONGEST_LINE + len("Error   ")
    assert line(problem(message=words)).endswith("…")
    assert words.strip()[1:] in whole(problem(message=words))


def test_the_whole_text_has_the_remedy_and_what_the_cell_holds() -> None:
    assert whole(problem(text="$12", message="pack cost is text")) == (
        "Error in Parts!D14\nPack cost is text.\nThe cell holds: $12\n\nFill it in."
    )
    assert whole(problem(sheet="", cell="", remedy="")) == "Error in the workbook\nPack cost is blank."


def test_one_note_for_all_problems_of_a_cell() -> None:
    """Each once, each with what to do."""
    note = note_text([problem(), problem(), problem(message="it is red", remedy="")])
    assert note.split("\n") == [MARK, "Pack cost is blank. Fill it in.", "It is red.", END]


@pytest.mark.parametrize(
    ("note", "ours"),
    [
        (note_text([problem()]), True),
        (note_text([problem()]).replace("\n", "\r\n"), True),
        (f"{note_text([problem()])}\n", True),
        (f"{note_text([problem()])}\nAsk Bob.", False),
        (f"Ask Bob.\n{note_text([problem()])}", False),
        ("To mend: the hinge", False),
        (MARK, False),
        ("", False),
    ],
)
def test_whose_a_note_is(note: str, ours: bool) -> None:
    """An owner's note is never taken for ours, nor one of ours that an owner wrote beneath."""
    assert is_ours(note) is ours


@given(st.text(), st.text())
def test_every_note_of_ours_is_known_again(message: str, remedy: str) -> None:
    assert is_ours(note_text([problem(message=message, remedy=remedy)]))


@pytest.mark.parametrize(
    ("sheet", "cell", "spot"),
    [
        ("Parts", "A1", Spot("Parts", 0, 0)),
        ("Parts", "XFD1048576", Spot("Parts", 16383, 1048575)),
        ("Parts", "AA10", Spot("Parts", 26, 9)),
        ("Parts", "B3:B7", Spot("Parts", 1, 2)),
        ("Parts", "$B$3", Spot("Parts", 1, 2)),
        ("Parts", "", None),
        ("Parts", "C", None),
        ("Parts", "3", None),
        ("Parts", "A0", None),
        ("", "A1", None),
        ("", "--figure", None),
    ],
)
def test_the_cell_a_note_goes_on(sheet: str, cell: str, spot: Spot | None) -> None:
    """Whole sheets and files get none."""
    assert spot_of(sheet, cell) == spot


def test_problems_of_one_cell_stand_together() -> None:
    found = by_spot([problem(), problem(cell="E1"), problem(message="another"), problem(cell="")])
    assert {spot: len(problems) for spot, problems in found.items()} == {
        Spot("Parts", 3, 13): 2,
        Spot("Parts", 4, 0): 1,
    }


@pytest.mark.parametrize(("cell", "said"), [("D14", "D14"), ("B3:B7", "B3:B7"), ("C", "C1"), ("C:D", "C1"), ("", "")])
def test_what_is_selected(cell: str, said: str) -> None:
    assert range_of(cell) == said


@pytest.mark.parametrize(("text", "said"), [("it is so", "It is so."), ("Is it?", "Is it?"), ("  ", ""), ("x:", "X:")])
def test_sentences(text: str, said: str) -> None:
    assert sentence(text) == said


def test_a_place_may_be_empty() -> None:
    assert place_words(problem(sheet="", cell="")) == ""
