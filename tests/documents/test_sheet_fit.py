"""How tall a row must be, where a page ends, and how money and dates are written."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from babel import Locale
from babel.numbers import format_currency
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.customer_grid import Grid
from quotekit.documents.customer_looks import LOOKS
from quotekit.documents.money_text import date_text, money_format, money_text, number_text, paper_of, percent_text
from quotekit.documents.page_breaks import pages_of, with_page_breaks
from quotekit.documents.sheet import Look, Page, Row, placed, row, text
from quotekit.documents.text_fit import MOST_LINES, characters_for, height_of, in_pieces, lines_of, width_of

D = Decimal
LOOK = Look(size=10)


@given(st.text(alphabet="abc WM.,\n\u65e5\u672c", max_size=300), st.integers(12, 400))
def test_breaking_into_lines_loses_nothing(content: str, width: int) -> None:
    """Only spaces and breaks may go where a line ends."""
    kept = "".join(lines_of(content, D(width), LOOK)).replace(" ", "").replace("\n", "")
    assert kept == content.replace(" ", "").replace("\n", "")


@given(st.text(alphabet="abc WM.,", max_size=2000), st.integers(40, 300))
def test_pieces_hold_the_whole_text_and_no_more_lines_than_a_row(content: str, width: int) -> None:
    pieces = list(in_pieces(content, D(width), LOOK))
    assert "".join(pieces).replace(" ", "") == content.replace(" ", "")
    assert all(len(lines_of(piece, D(width), LOOK)) <= MOST_LINES for piece in pieces)


def test_bold_large_and_wide_characters_need_more_lines() -> None:
    content = "The bearing sleeve that carries the auger has worn oval"
    plain = len(lines_of(content, D(120), LOOK))
    assert len(lines_of(content, D(120), Look(size=14, bold=True))) > plain
    assert len(lines_of("\u8ef8\u53d7\u306e\u6469\u8017" * 8, D(120), LOOK)) > len(
        lines_of("bearing" * 4, D(120), LOOK)
    )


def test_a_word_longer_than_its_line_is_cut() -> None:
    assert len(lines_of("W" * 40, D(100), LOOK)) > 3


def test_the_tallest_row_stays_under_what_a_workbook_holds() -> None:
    assert all(height_of(MOST_LINES, look) <= 409 for look in LOOKS.values())


@pytest.mark.parametrize("content", ["$1,234,567.89", "KWD 1,234.567", "-\u20ac12.00"])
def test_a_column_made_for_an_amount_shows_it_on_one_line(content: str) -> None:
    look = LOOKS["total"]
    assert len(lines_of(content.replace(" ", "\u00a0"), width_of(characters_for(content, look)), look)) == 1


def test_a_wide_amount_takes_its_room_from_the_label() -> None:
    usual, wide = Grid(options=3).widths, Grid(options=3, least=15).widths
    assert wide[-1] > usual[-1] and sum(wide) == pytest.approx(sum(usual))


def test_cells_of_a_row_follow_each_other() -> None:
    line = row(text("a", across=2), text("b"))
    assert [(column, cell.content) for column, cell in placed(line)] == [(0, "a"), (2, "b")]


def rows(*heights: float, keep: bool = False) -> list[Row]:
    """Plain rows of these heights."""
    return [Row(cells=(text("x"),), height=height, keep_with_next=keep) for height in heights]


def breaks(pages: tuple[Row, ...]) -> list[int]:
    """The rows that start a page."""
    return [number for number, line in enumerate(pages) if line.break_before]


def test_a_block_that_fits_on_a_page_is_not_cut() -> None:
    block = [*rows(*[20.0] * 9, keep=True), *rows(20.0)]
    assert breaks(with_page_breaks([*rows(*[50.0] * 12), *block], Page())) == [12]


def test_a_block_too_tall_for_a_page_keeps_its_title_with_its_text() -> None:
    block = [*rows(20.0, 300.0, 300.0, keep=True), *rows(300.0)]
    assert breaks(with_page_breaks([*rows(500.0), *block], Page())) == [1, 4]


def test_a_header_is_said_again_where_a_page_starts_inside_its_table() -> None:
    lines = rows(90.0, *[30.0] * 60)
    done = with_page_breaks(lines, Page(), [range(len(lines))])
    first, second, *_ = breaks(done)
    assert second - first == first
    assert done[first].height == done[second].height == 90.0
    assert len(done) == len(lines) + len(breaks(done))


def test_no_header_is_said_again_where_a_page_starts_after_its_table() -> None:
    lines = rows(90.0, *[30.0] * 20, *[300.0] * 2)
    done = with_page_breaks(lines, Page(), [range(21)])
    assert [done[number].height for number in breaks(done)] == [300.0]
    assert pages_of(done) == 2


def test_no_rows_no_breaks() -> None:
    assert with_page_breaks([], Page()) == ()


@pytest.mark.parametrize("language", ["en_US", "de_DE", "fr_CA", "ja_JP", "en_GB", "nl_NL", "de_CH", "en_IN", "pt_BR"])
@pytest.mark.parametrize("amount", ["0.00", "1234567.89", "-0.50"])
def test_dollars_and_euros_are_written_as_babel_writes_them(language: str, amount: str) -> None:
    """Outside check: Babel's own currency format, where its minor units are those of ISO 4217."""
    expected = format_currency(D(amount), "EUR", locale=Locale.parse(language))
    assert money_text(D(amount), "EUR", language) == expected


@pytest.mark.parametrize(
    ("currency", "amount", "expected"),
    [
        ("JPY", "1234.5", "\u00a51,235"),
        ("KWD", "1.0005", "KWD\u00a01.001"),
        ("UGX", "1000", "UGX\u00a01,000"),
        ("USD", "-12.345", "-$12.35"),
        ("ISK", "10", "ISK\u00a010"),
    ],
)
def test_minor_units_are_the_standards_and_rounding_is_half_up(currency: str, amount: str, expected: str) -> None:
    assert money_text(D(amount), currency, "en_US") == expected


@pytest.mark.parametrize(
    ("language", "currency", "expected"),
    [
        ("en_US", "USD", '"$"#,##0.00;"-$"#,##0.00'),
        ("de_DE", "EUR", '#,##0.00"\u00a0\u20ac";"-"#,##0.00"\u00a0\u20ac"'),
        ("fr_CA", "CAD", '#,##0.00"\u00a0$";"-"#,##0.00"\u00a0$"'),
        ("ja_JP", "JPY", '"\uffe5"#,##0;"-\uffe5"#,##0'),
    ],
)
def test_the_symbol_of_a_money_cell_is_a_literal(language: str, currency: str, expected: str) -> None:
    assert money_format(currency, language) == expected


def test_dates_numbers_and_percentages() -> None:
    assert date_text(date(2026, 3, 4), "de_DE") == "4. M\u00e4rz 2026"
    assert number_text(D("1234.50"), "de_DE") == "1.234,5"
    assert percent_text(D("0.0725"), "en_US") == "7.25%"


@pytest.mark.parametrize(
    ("language", "paper"),
    [("en_US", "Letter"), ("en_CA", "Letter"), ("es_MX", "Letter"), ("de_DE", "A4"), ("ja_JP", "A4"), ("fr", "A4")],
)
def test_paper_follows_the_territory(language: str, paper: str) -> None:
    assert paper_of(language) == paper
