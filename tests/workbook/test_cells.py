"""One cell to one value or one problem: a table of what people put into cells, and what is made of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.problems import Place, Problem
from quotekit.workbook.cells import (
    clean,
    is_blank,
    read_code,
    read_date,
    read_list,
    read_number,
    read_percent,
    read_quantities,
    read_text,
    read_word,
    read_yes_no,
)
from quotekit.workbook.grid import Cell, Value, shown

PLACE = Place("prices.xlsx", "Parts", "D14")


def cell(value: Value | int, *, percent: bool = False) -> Cell:
    """A cell as the grid gives it."""
    held = Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value
    return Cell("D14", held, shown(held, percent=percent), percent, 14, 4)


def told(read: tuple[Any, Problem | None]) -> str:
    """The code of a problem; it names the cell, what to do, and the text, and gives no value with an error."""
    value, problem = read
    assert problem is not None and problem.place == PLACE and problem.message and problem.remedy
    assert (value is None) == (problem.severity == "error")
    return problem.code


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (" BELT ", "BELT"),
        ("\u00a0BELT\u202f", "BELT"),
        ("\ufeffBELT", "BELT"),
        ("BE\u200bLT", "BELT"),
        ("\r\n BELT\t", "BELT"),
        ("SEAL\u00a019", "SEAL 19"),
        ("\u00a0", ""),
    ],
)
def test_spaces_that_nobody_sees_are_left_out(text: str, expected: str) -> None:
    """Copied text brings spaces that do not break and marks without width; a code must match all the same."""
    assert clean(text) == expected
    assert is_blank(cell(text)) == (expected == "")


def test_only_text_can_be_blank() -> None:
    """Zero and No are values."""
    assert not is_blank(cell(0)) and not is_blank(cell(False)) and is_blank(cell(" \u00a0\u200b"))


@pytest.mark.parametrize(
    ("value", "expected"),
    [("  two words ", "two words"), (12, "12"), (Decimal("12.50"), "12.50"), (True, "TRUE"), ("a\nb", "a\nb")],
)
def test_text_is_what_the_owner_sees(value: Value | int, expected: str) -> None:
    assert read_text(cell(value), PLACE) == (expected, None)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("SEAL-19", "SEAL-19"),
        (" seal  19 ", "seal 19"),
        ("0417", "0417"),
        (417, "417"),
        (Decimal("1E+3"), "1000"),
        ("A/B #2", "A/B #2"),
    ],
)
def test_codes_are_text_or_the_digits_of_a_number(value: Value | int, expected: str) -> None:
    """A code of digits alone is stored as a number in most workbooks."""
    assert read_code(cell(value), PLACE) == (expected, None)


@pytest.mark.parametrize("value", [True, dt.date(2026, 3, 1), dt.time(1, 30), dt.timedelta(hours=30), "A;B", "A@left"])
def test_what_a_spreadsheet_made_of_a_code(value: Value) -> None:
    """`3-1` becomes the first of March as it is typed; `;` and `@` part codes from each other and from sides."""
    assert told(read_code(cell(value), PLACE)) == "not-a-code"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A; B;C", ["A", "B", "C"]),
        ("A;;B; ", ["A", "B"]),
        ("A；B", ["A", "B"]),
        (" two  words ; B", ["two words", "B"]),
        (";", []),
        ("A, B", ["A, B"]),
    ],
)
def test_lists_are_parted_by_semicolons(text: str, expected: list[str]) -> None:
    assert read_list(cell(text), PLACE) == (expected, None)


QUANTITIES: list[tuple[str, list[tuple[str, str]]]] = [
    ("SEAL-19", [("SEAL-19", "1")]),
    ("SEAL-19 x 2; GASKET", [("SEAL-19", "2"), ("GASKET", "1")]),
    ("SEAL-19 X 2", [("SEAL-19", "2")]),
    ("SEAL-19×2", [("SEAL-19", "2")]),
    ("SEAL-19 * 2", [("SEAL-19", "2")]),
    ("GREASE x 0.2", [("GREASE", "0.2")]),
    ("GREASE x .2", [("GREASE", "0.2")]),
    ("BOX-X x 3", [("BOX-X", "3")]),
    ("BOX x", [("BOX x", "1")]),
    ("A x B x 2", [("A x B", "2")]),
    ("LUX2", [("LUX2", "1")]),
    ("BOLT M8x25 x 4", [("BOLT M8x25", "4")]),
]


@pytest.mark.parametrize(("text", "expected"), QUANTITIES)
def test_quantity_lists(text: str, expected: list[tuple[str, str]]) -> None:
    """An x in a code is no times sign: only one with a space before it, or a sign of its own, counts."""
    found, problem = read_quantities(cell(text), PLACE)
    assert problem is None and found == [(code, Decimal(many)) for code, many in expected]


@pytest.mark.parametrize(
    "text",
    [
        "SEAL x two", "SEAL x -1", "SEAL x 0", "SEAL x 1,5", "SEAL x 1e3", "SEAL x ٣", "SEAL x 1/2", "SEAL x NaN",
        "SEAL * inf", "SEAL x 9999999999999", "SEAL x 1.2.3", "GOOD x 1; SEAL x much",
    ],
)  # fmt: skip
def test_quantities_that_are_no_number(text: str) -> None:
    assert told(read_quantities(cell(text), PLACE)) == "bad-quantity-list"


def test_a_quantity_of_zero_only_where_it_may_be() -> None:
    """A fee can be left out of one job with x 0."""
    assert read_quantities(cell("PICKUP x 0"), PLACE, allow_zero=True) == ([("PICKUP", Decimal(0))], None)


@pytest.mark.parametrize("value", [0, 12, Decimal("0.1"), Decimal("-3"), Decimal("999999999999.99")])
def test_numbers_pass_as_they_are(value: Decimal | int) -> None:
    assert read_number(cell(value), PLACE) == (Decimal(value), None)


NOT_NUMBERS: list[tuple[Value, str, str]] = [
    ("12.50", "text-number", "12.50"),
    ("$12.50", "text-number", "12.50"),
    ("1,250", "text-number", "1250 or 1.250"),
    ("1 1/2", "text-number", "1.5"),
    ("\u00a012,50\u00a0", "text-number", "12.50"),
    ("ask", "not-a-number", "plain number"),
    ("", "not-a-number", "plain number"),
    (True, "not-a-number", "plain number"),
    (dt.date(2026, 3, 1), "not-a-number", "plain number"),
    (dt.datetime(2026, 3, 1, 12), "not-a-number", "plain number"),
    (dt.time(1, 30), "time-not-hours", "type 1.5"),
    (dt.timedelta(hours=30), "time-not-hours", "type 30"),
    (dt.timedelta(minutes=20), "time-not-hours", "type 0.3333"),
]


@pytest.mark.parametrize(("value", "code", "remedy"), NOT_NUMBERS)
def test_what_is_no_number_is_never_made_one(value: Value, code: str, remedy: str) -> None:
    """1:30 in a cell is 0.0625 of a day to a spreadsheet; read as hours it would be a sixteenth."""
    read = read_number(cell(value), PLACE, what="Net hours")
    assert told(read) == code and read[1] is not None and remedy in read[1].remedy
    assert read[1].text == cell(value).text


BOUNDS: list[tuple[str, dict[str, Any], str]] = [
    ("-0.01", {"minimum": Decimal(0)}, "negative"),
    ("1", {"minimum": Decimal(2)}, "too-small"),
    ("3", {"maximum": Decimal(2)}, "too-big"),
    ("2.5", {"whole": True}, "not-whole"),
]


@pytest.mark.parametrize(("value", "bounds", "code"), BOUNDS)
def test_bounds_of_a_number(value: str, bounds: dict[str, Any], code: str) -> None:
    assert told(read_number(cell(Decimal(value)), PLACE, **bounds)) == code


def test_a_number_at_its_bounds_is_good() -> None:
    bounds: dict[str, Any] = {"minimum": Decimal(0), "maximum": Decimal(2), "whole": True}
    for value in (Decimal(0), Decimal("2.00")):
        assert read_number(cell(value), PLACE, **bounds) == (value, None)


PERCENTS: list[tuple[Value, bool, str]] = [
    (Decimal("0.45"), True, "0.45"),
    (Decimal("0.45"), False, "0.45"),
    (Decimal("1.5"), True, "1.5"),
    (Decimal(1), False, "1"),
    (Decimal(0), False, "0"),
    ("45%", False, "0.45"),
    ("45 %", False, "0.45"),
    (" 7.25\u00a0% ", False, "0.0725"),
    (".5%", False, "0.005"),
    ("150%", False, "1.5"),
    ("0%", False, "0"),
]


@pytest.mark.parametrize(("value", "percent", "expected"), PERCENTS)
def test_percentages_that_can_mean_one_thing(value: Value, percent: bool, expected: str) -> None:
    """With the format of a percentage, as text with its sign, or as a fraction up to 1."""
    assert read_percent(cell(value, percent=percent), PLACE, maximum=Decimal(10)) == (Decimal(expected), None)


NO_PERCENTS: list[tuple[Value, bool, str]] = [
    (Decimal(45), False, "percent-unclear"),
    (Decimal("1.5"), False, "percent-unclear"),
    (Decimal("0.5"), True, "percent-too-big"),
    ("45%", False, "percent-too-big"),
    (Decimal("-0.1"), True, "negative"),
    ("-10%", False, "negative"),
    ("45", False, "text-number"),
    ("7,25 %", False, "text-number"),
    ("45 percent", False, "text-number"),
    ("half", False, "not-a-number"),
    ("%", False, "not-a-number"),
    ("5%5%", False, "not-a-number"),
    (True, False, "not-a-number"),
    (dt.date(2026, 3, 1), False, "not-a-number"),
    (dt.time(1), False, "not-a-number"),
]


@pytest.mark.parametrize(("value", "percent", "code"), NO_PERCENTS)
def test_percentages_that_are_unclear_or_wrong(value: Value, percent: bool, code: str) -> None:
    """45 may be 45 % or 4500 %: asked, never guessed."""
    assert told(read_percent(cell(value, percent=percent), PLACE, maximum=Decimal("0.4"))) == code


def test_an_unclear_percentage_names_both_readings() -> None:
    problem = read_percent(cell(Decimal("45.0")), PLACE, maximum=Decimal(1))[1]
    assert problem is not None and "45%" in problem.remedy and "4500%" in problem.remedy


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (True, True), (1, True), ("Yes", True), (" YES ", True), ("true", True), ("☑", True), ("1", True),
        (False, False), (0, False), ("no", False), ("FALSE", False), ("☐", False), ("0", False),
    ],
)  # fmt: skip
def test_ticks_in_every_form_a_spreadsheet_saves_them(value: Value | int, expected: bool) -> None:
    assert read_yes_no(cell(value), PLACE) == (expected, None)


@pytest.mark.parametrize("value", ["x", "maybe", 2, Decimal("0.5"), dt.date(2026, 3, 1), "yes please"])
def test_what_is_neither_yes_nor_no(value: Value | int) -> None:
    """A stray x may mean either; a quote does not depend on it."""
    assert told(read_yes_no(cell(value), PLACE)) == "not-yes-no"


@pytest.mark.parametrize(
    ("text", "expected"),
    [("labour", "labour"), ("Labor", "labour"), (" New  Original ", "new original"), ("NEEDED", "needed")],
)
def test_words_in_either_spelling(text: str, expected: str) -> None:
    assert read_word(cell(text), PLACE, ["labour", "new original", "needed"]) == (expected, None)


def test_another_word_is_answered_with_the_nearest() -> None:
    read = read_word(cell("neded"), PLACE, ["needed", "advised"])
    assert told(read) == "not-a-word" and read[1] is not None and "Did you mean needed?" in read[1].remedy


DATES: list[tuple[Value, dt.date, bool]] = [
    (dt.date(2026, 3, 15), dt.date(2026, 3, 15), False),
    (dt.datetime(2026, 3, 15, 16, 30), dt.date(2026, 3, 15), False),
    ("2026-03-15", dt.date(2026, 3, 15), True),
    ("2026/3/5", dt.date(2026, 3, 5), True),
    ("15.3.2026", dt.date(2026, 3, 15), True),
    ("3/15/2026", dt.date(2026, 3, 15), True),
    ("5/5/2026", dt.date(2026, 5, 5), True),
    ("29-02-2028", dt.date(2028, 2, 29), True),
]


@pytest.mark.parametrize(("value", "expected", "warned"), DATES)
def test_dates_that_can_be_read_one_way_only(value: Value, expected: dt.date, warned: bool) -> None:
    """A text that is one day however it is read is taken, with a warning."""
    found, problem = read_date(cell(value), PLACE)
    assert found == expected and type(found) is dt.date
    assert (problem.code, problem.severity) == ("text-date", "warning") if warned and problem else not warned


NO_DATES: list[tuple[Value, str]] = [
    ("3/4/2026", "ambiguous-date"),
    ("04.03.2026", "ambiguous-date"),
    ("31.2.2026", "not-a-date"),
    ("29-02-2026", "not-a-date"),
    ("13/13/2026", "not-a-date"),
    ("0000-01-01", "not-a-date"),
    ("3/15/26", "not-a-date"),
    ("2026-03/15", "not-a-date"),
    ("March 15", "not-a-date"),
    ("٢٠٢٦-٠٣-١٥", "not-a-date"),
    (Decimal(46096), "not-a-date"),
    (True, "not-a-date"),
    (dt.time(12), "not-a-date"),
    (dt.timedelta(days=2), "not-a-date"),
]


@pytest.mark.parametrize(("value", "code"), NO_DATES)
def test_dates_that_are_unclear_or_none(value: Value, code: str) -> None:
    """3/4/2026 is March or April: the answer names both days."""
    assert told(read_date(cell(value), PLACE)) == code


def test_an_unclear_date_names_both_days() -> None:
    problem = read_date(cell("3/4/2026"), PLACE)[1]
    assert problem is not None and "2026-04-03" in problem.message and "2026-03-04" in problem.message


READERS: dict[str, Callable[[Cell], tuple[Any, Problem | None]]] = {
    "text": lambda of: read_text(of, PLACE),
    "code": lambda of: read_code(of, PLACE),
    "list": lambda of: read_list(of, PLACE),
    "quantities": lambda of: read_quantities(of, PLACE),
    "number": lambda of: read_number(of, PLACE, minimum=Decimal(0), maximum=Decimal(100), whole=True),
    "percent": lambda of: read_percent(of, PLACE, maximum=Decimal(1)),
    "yes/no": lambda of: read_yes_no(of, PLACE),
    "word": lambda of: read_word(of, PLACE, ["above", "below"]),
    "date": lambda of: read_date(of, PLACE),
}
_ANY: st.SearchStrategy[Value] = st.one_of(
    st.text(max_size=30),
    st.text(alphabet="0123456789.,-/:%x*; @$€½\u00a0", max_size=20),
    st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**15), max_value=10**15),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.times(),
    st.timedeltas(),
)


@pytest.mark.parametrize("name", READERS)
@given(value=_ANY, percent=st.booleans())
def test_every_reader_answers_every_cell(name: str, value: Value, percent: bool) -> None:
    """A value or an error for anything a cell can hold: no exception, and never both or neither."""
    of = cell(value, percent=percent)
    found, problem = READERS[name](of)
    if problem is None:
        assert found is not None
    else:
        assert told((found, problem)) and len(problem.message) < 300 and len(problem.remedy) < 300


@pytest.mark.parametrize("name", READERS)
def test_endless_text_gives_a_short_answer(name: str) -> None:
    """A page pasted into a cell must not fill the screen or keep a pattern busy."""
    for text in ("9" * 30_000, "A x 2; " * 5_000, " x" * 15_000, "1/" * 15_000, "a" * 32_767):
        problem = READERS[name](cell(text))[1]
        assert problem is None or len(problem.message) + len(problem.remedy) < 400
