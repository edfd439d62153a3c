"""The shop rate as JSON, as text on a screen and as a sheet; one set of words for both."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.documents.rate_book import COLUMNS, lay_out_rate_book, lay_out_rate_sheet
from quotekit.documents.rate_chart import hours, scale_of
from quotekit.documents.rate_json import lay_out_rate_json
from quotekit.documents.rate_text import lay_out_rate_text
from quotekit.documents.rate_words import burden_words, parts_words, profit_words, swing_words
from quotekit.documents.sheet import Cell, Sheet, placed
from quotekit.model.rate import ShopRate
from quotekit.pricing.rate import work_out_rate
from quotekit.problems import Problem
from tests import build
from tests.rate_rows import COSTS, HOURS, PARTS, PROFIT, TRADE, Typed, book_with, without

TODAY = date(2026, 11, 28)
LABOUR_ONLY = (*COSTS, *HOURS)
SALES_UNKNOWN: tuple[Typed, ...] = (*COSTS, *HOURS, ("Parts", 38000, "parts contribution"), *PROFIT)


def worked_out(*rows: Typed, hours: tuple[int, ...] = (), rate: int | None = 55) -> tuple[ShopRate, list[Problem]]:
    """The rate of a shop that sells an hour for so much, and what is said of it."""
    rates = [] if rate is None else [build.a_rate("MAIN", rate, name="Bench", in_force_from=date(2026, 3, 1))]
    found, problems = work_out_rate(book_with(*rows, labour_rates=rates), TODAY, [Decimal(each) for each in hours])
    assert found is not None
    return found, problems


def rate_of(*rows: Typed, rate: int | None = 55) -> ShopRate:
    return worked_out(*rows, rate=rate)[0]


def cells(sheet: Sheet) -> dict[str, Cell]:
    """Cells by address, and the words of the sheet can be looked for in them."""
    return {
        f"{chr(65 + column)}{number}": cell
        for number, line in enumerate(sheet.rows, start=1)
        for column, cell in placed(line)
        if cell.content is not None
    }


def texts(sheet: Sheet) -> list[str]:
    return [cell.content for cell in cells(sheet).values() if isinstance(cell.content, str)]


def test_json_of_the_worked_example() -> None:
    """Every amount a decimal string; the keys other programs read."""
    rate, problems = worked_out(*TRADE, hours=(1400,))
    laid_out = json.loads(json.dumps(lay_out_rate_json(rate, problems, ["shop rate.xlsx"])))
    figures = {name: value for name, value in laid_out.items() if not isinstance(value, list)}
    assert figures == {
        "currency": "USD", "on": "2026-11-28", "cost_to_cover": "136020.00", "clock_hours": "3016",
        "sold_hours": "1709.12", "parts_contribution": "38000.00", "parts_sales": "95000.00",
        "break_even_sales": "98020.00", "break_even_rate": "57.35", "profit_share": "0.1", "profit": "21446.67",
        "labour_sales": "119466.67", "rate_for_profit": "69.90",
        "without_parts": {"break_even_sales": "136020.00", "break_even_rate": "79.58", "labour_sales": "151133.33",
                          "rate_for_profit": "88.43"},
    }  # fmt: skip
    assert laid_out["table"] == [
        {"sold_hours": "1400", "break_even": "70.01", "for_profit": "85.33"},
        {"sold_hours": "1709.12", "break_even": "57.35", "for_profit": "69.90"},
    ]
    assert laid_out["rates_in_force"] == [
        {"code": "MAIN", "rate": "55.00", "in_force_from": "2026-03-01", "below_break_even": True,
         "below_profit": True, "leaves": "-4018.40", "break_even_hours": "1761.2"}
    ]  # fmt: skip
    assert [problem["code"] for problem in laid_out["problems"]] == ["rate-below-break-even"]
    assert laid_out["files"] == ["shop rate.xlsx"]


def test_json_names_the_cell_of_each_cost_and_of_each_persons_hours() -> None:
    laid_out = json.loads(json.dumps(lay_out_rate_json(rate_of(*TRADE), [])))
    assert laid_out["costs"][1] == {
        "line": "Owner", "kind": "burden", "amount": "9300.00", "percent": "0.15", "on": ["Owner"],
        "cell": "book.xlsx:Rate builder!B3",
    }  # fmt: skip
    assert laid_out["hours"][0]["cell"] == "book.xlsx:Rate builder!B16"
    assert [each["sold_hours"] for each in laid_out["hours"]] == ["1149.12", "560"]


def test_json_without_a_profit_and_without_a_rate() -> None:
    """What is not known is null, never zero."""
    nothing_wanted = lay_out_rate_json(rate_of(*LABOUR_ONLY), [])
    for name in ("profit_share", "profit", "labour_sales", "rate_for_profit"):
        assert nothing_wanted[name] is None
    refused = lay_out_rate_json(None, [])
    assert refused.keys() == nothing_wanted.keys()
    assert all(value is None or value == [] for value in refused.values())


@pytest.mark.parametrize(
    ("rows", "parts", "profit"),
    [
        (TRADE, "40% of sales of $95,000.00", "10% of all sales"),
        (SALES_UNKNOWN, "their sales are not known", "10% of labour and what parts leave"),
        ((*LABOUR_ONLY, *PROFIT), "none on the sheet", "10% of labour"),
        ((*LABOUR_ONLY, *PARTS), "40% of sales of $95,000.00", ""),
    ],
    ids=["all sales", "sales unknown", "no parts", "no profit"],
)
def test_what_the_profit_is_a_share_of_is_said(rows: tuple[Typed, ...], parts: str, profit: str) -> None:
    rate = rate_of(*rows)
    assert (parts_words(rate), profit_words(rate)) == (parts, profit)


def test_nothing_is_said_of_what_is_not_there() -> None:
    rate = rate_of(*without(LABOUR_ONLY, "burden"))
    assert (burden_words(rate), swing_words(rate)) == ("", "")


def test_text_of_the_worked_example() -> None:
    lines = lay_out_rate_text(rate_of(*TRADE))
    words = [" ".join(line.split()) for line in lines]
    for said in (
        "Cost to cover $136,020.00",
        "Sold hours 1,709.12 of 3,016 clock hours",
        "Break-even rate $57.35 an hour",
        "Rate with the profit $69.90 an hour, for 10% of all sales",
        "With the profit, without parts $88.43 an hour, for $151,133.33 of labour",
        "Each 1 % fewer hours sold, with the parts that go with them, takes 7.3 % off the wanted profit.",
        "Rates in force on 2026-11-28; hours that cover the year, the parts selling along with them:",
        "MAIN $55.00 below break-even; breaks even at 1,761.2 hours",
    ):
        assert said in words
    bars = [line.count("#") for line in lines if line.endswith("#")]
    assert len(bars) == 12 and bars == sorted(bars, reverse=True) and bars[0] == 40


def test_text_without_profit_rates_or_parts() -> None:
    words = "\n".join(lay_out_rate_text(rate_of(*LABOUR_ONLY, rate=None)))
    assert "there is no row of the kind profit share" in words
    assert "No labour rate is in force on 2026-11-28." in words
    assert "With profit" not in words


def test_text_where_parts_cover_everything() -> None:
    """Rates of zero have bars of nothing."""
    rows: tuple[Typed, ...] = (*COSTS, *HOURS, ("Parts", 200000, "parts contribution"))
    lines = lay_out_rate_text(rate_of(*rows))
    assert any("$0.00" in line for line in lines) and not any("#" in line for line in lines)


def test_the_sheet_holds_what_the_text_says() -> None:
    sheet = lay_out_rate_sheet(*worked_out(*TRADE))
    amounts = {cell.content for cell in cells(sheet).values() if cell.kind == "money"}
    for amount in ("136020.00", "38000.00", "98020.00", "57.35", "119466.67", "69.90", "88.43", "85.33", "9300.00"):
        assert Decimal(amount) in amounts
    assert {"below break-even", "burden, 15% of Owner", "40% of sales of $95,000.00", "B3"} <= set(texts(sheet))
    assert any("below the break-even rate of 57.35" in words for words in texts(sheet))
    assert all(sum(cell.across for cell in line.cells) <= COLUMNS for line in sheet.rows)


@pytest.mark.parametrize(
    ("rows", "rate", "titles"),
    [
        (TRADE, 55, ["Break-even", "With profit", "MAIN now"]),
        (LABOUR_ONLY, 55, ["Break-even", "MAIN now"]),
        (TRADE, None, ["Break-even", "With profit"]),
    ],
)
def test_the_chart_draws_the_columns_of_the_table(rows: tuple[Typed, ...], rate: int | None, titles: list[str]) -> None:
    """Each line's name is a header, its values the cells under it, and sold hours stand where they belong."""
    found = rate_of(*rows, rate=rate)
    sheet = lay_out_rate_sheet(found)
    by_address = cells(sheet)
    (chart,) = sheet.charts
    assert [by_address[_cell(series.name)].content for series in chart.series] == titles
    across = [by_address[address].content for address in _column(chart.categories)]
    assert across == [row.sold_hours for row in found.table]
    first = [by_address[address].content for address in _column(chart.series[0].values)]
    assert first == [row.break_even for row in found.table]
    assert chart.across == (1200, 2200, 200)
    assert by_address[_cell(chart.series[0].name)].style == "head right" and chart.row == _row(chart.series[0].name) - 1


def _cell(formula: str) -> str:
    return formula.split("!")[1].replace("$", "")


def _row(formula: str) -> int:
    return int(_cell(formula)[1:])


def _column(formula: str) -> list[str]:
    first, last = _cell(formula).split(":")
    return [f"{first[0]}{number}" for number in range(int(first[1:]), int(last[1:]) + 1)]


def test_one_number_of_hours_has_no_chart() -> None:
    rate, problems = worked_out(*TRADE)
    alone = [row for row in rate.table if row.sold_hours == Decimal("1709.12")]
    changed = type(rate)(**{**vars(rate), "table": tuple(alone)})
    assert lay_out_rate_sheet(changed, tuple(problems)).charts == ()


def test_the_row_of_the_shops_own_hours_stands_out() -> None:
    sheet = lay_out_rate_sheet(rate_of(*TRADE))
    own = [line for line in sheet.rows if line.cells and line.cells[0].content == Decimal("1709.12")]
    assert [cell.style for cell in own[0].cells] == ["strong money"] * 4


def test_a_usual_sheet_is_one_page_and_a_very_long_one_is_not_shrunk_to_it() -> None:
    many: tuple[Typed, ...] = tuple((f"Cost {number}", 500, "overhead") for number in range(90))
    assert lay_out_rate_sheet(rate_of(*TRADE)).page.fit_tall == 1
    assert lay_out_rate_sheet(rate_of(*TRADE, *many)).page.fit_tall == 0


@pytest.mark.parametrize(
    ("first", "last", "scale"),
    [
        (1200, 2200, (1200, 2200, 200)),
        (1400, 1709.12, (1400, 1800, 100)),
        (425, 675, (400, 700, 50)),
        (1, 9000, (0, 10000, 2000)),
    ],
)
def test_a_scale_holds_both_ends_in_round_steps(first: float, last: float, scale: tuple[int, int, int]) -> None:
    assert scale_of(Decimal(str(first)), Decimal(str(last))) == scale


@pytest.mark.parametrize(("value", "form"), [("1200", "#,##0"), ("1709.12", "#,##0.00"), ("0.00001", "#,##0")])
def test_hours_have_decimals_only_where_there_are_any(value: str, form: str) -> None:
    assert hours(Fraction(value)).format == form


def test_words_of_the_owner_stay_text() -> None:
    """A Line that looks like a formula is written as it stands."""
    rows: tuple[Typed, ...] = (*TRADE, ("=1+1", 500, "overhead"))
    cell = next(cell for cell in cells(lay_out_rate_sheet(rate_of(*rows))).values() if cell.content == "=1+1")
    assert (cell.kind, cell.formula) == ("text", "")


def test_the_same_value_is_laid_out_alike() -> None:
    assert lay_out_rate_book(rate_of(*TRADE)) == lay_out_rate_book(rate_of(*TRADE))
