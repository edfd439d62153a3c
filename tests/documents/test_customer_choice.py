"""The cells in which a customer chooses, and every figure that follows, worked out by a spreadsheet of our own."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from quotekit.documents.customer_choice import TICKS, figures
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.page_breaks import pages_of
from quotekit.documents.sheet import Cell, Sheet, WorkbookValue, placed
from quotekit.documents.working_sheet import lay_out_working
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote, price_combination
from tests import build
from tests.documents import quotes
from tests.documents.sheet_formulas import Recalculated, Value
from tests.many_extras import job_with_extras
from tests.pricing.live.belt_shop import job, shop

FIGURES = ("subtotal", "tax_total", "total_to_pay", "amount_due", "deposit")


def quoted(currency: str = "USD", **shop_values: object) -> Quote:
    """Good and better; a belt, two seals and tuning to tick."""
    settings = build.settings(currency=currency, deposit_on_ordered_parts="0.5")
    return build_quote(shop(**({"settings": settings} | shop_values)), job())


@cache
def sent() -> WorkbookValue:
    """The document as it is sent."""
    return lay_out_customer_quote(quoted())


def chosen(value: WorkbookValue, **typed: Value) -> Recalculated:
    """The document with these answers."""
    return Recalculated(value, **typed)


def named(value: WorkbookValue) -> dict[str, Cell]:
    """Cells of the visible sheet by name."""
    return {cell.name: cell for row in value.sheets[0].rows for cell in row.cells if cell.name}


def money(sheet: Recalculated, *names: str) -> list[str]:
    """Figures in units of the currency, or what stands in their place."""
    return [shown(sheet.at(name)) for name in names]


def shown(value: Value) -> str:
    return f"{float(value):.2f}" if isinstance(value, Fraction) else str(value)


def test_the_names_other_programs_find() -> None:
    extras = ("extra_NEW_BELT", "extra_SEALED_left", "extra_SEALED_right", "extra_TUNED")
    assert sorted(named(sent())) == sorted(("chosen_tier", *extras, *FIGURES))


def test_nothing_is_chosen_as_it_is_sent() -> None:
    """No option, empty boxes, and a dash for every figure: as stored, and as worked out."""
    cells, sheet = named(sent()), chosen(sent())
    assert cells["chosen_tier"].content is None
    assert {cell.content for name, cell in cells.items() if name.startswith("extra_")} == {"☐"}
    assert [cells[name].content for name in FIGURES] == ["–"] * 5 == money(sheet, *FIGURES)


def test_every_stored_value_is_what_the_formula_comes_to() -> None:
    """A program that does not recalculate shows the truth."""
    sheet = chosen(sent())
    formulas = {address: cell for address, cell in sheet.cells.items() if cell.formula}
    assert len(formulas) > 30
    for address, cell in formulas.items():
        stored = cell.content if isinstance(cell.content, str) else Fraction(str(cell.content))
        assert sheet.value(address) == stored, address


CHOICES: list[tuple[dict[str, Value], list[str]]] = [
    # 1.1 h and a bushing: 125.00, 7 % of 15.00, half of the 15.00
    ({"chosen_tier": "Good"}, ["125.00", "1.05", "126.05", "126.05", "7.50"]),
    # 1.5 h and 45.00 of parts
    ({"chosen_tier": "Better"}, ["195.00", "3.15", "198.15", "198.15", "22.50"]),
    # good and the belt is better
    ({"chosen_tier": "Good", "extra_NEW_BELT": "Yes"}, ["195.00", "3.15", "198.15", "198.15", "22.50"]),
    # 0.3 h more
    ({"chosen_tier": "Good", "extra_TUNED": "☑"}, ["155.00", "1.05", "156.05", "156.05", "7.50"]),
    # a seal on each side: 0.4 h and 30.00
    (
        {"chosen_tier": "Option 1", "extra_SEALED_left": True, "extra_SEALED_right": Fraction(1)},
        ["195.00", "3.15", "198.15", "198.15", "22.50"],
    ),
    ({"chosen_tier": "Best"}, ["–"] * 5),
    ({"extra_TUNED": "Yes"}, ["–"] * 5),
]


@pytest.mark.parametrize(("typed", "expected"), CHOICES)
def test_every_figure_follows_the_choice(typed: dict[str, Value], expected: list[str]) -> None:
    assert money(chosen(sent(), **typed), *FIGURES) == expected


def beside(value: WorkbookValue, name: str) -> list[str]:
    """Addresses of the two cells on screen beside a box: what it adds, and a remark."""
    line = next(
        n for n, row in enumerate(value.sheets[0].rows, start=1) if any(cell.name == name for cell in row.cells)
    )
    return [f"Quote!{column}{line}" for column in ("G", "H")]


@pytest.mark.parametrize(
    ("typed", "adds", "remark"),
    [
        ({}, "–", "–"),
        ({"chosen_tier": "Good"}, "70.00", "–"),
        ({"chosen_tier": "Good", "extra_NEW_BELT": "Yes"}, "70.00", "–"),
        ({"chosen_tier": "Better"}, "included", "–"),
        ({"chosen_tier": "Better", "extra_NEW_BELT": "Yes"}, "included", "Nothing to add: the option includes it."),
        ({"extra_NEW_BELT": "Yes"}, "–", "–"),
        ({"chosen_tier": "Good", "extra_NEW_BELT": "x"}, "70.00", "Not understood, so not added: answer Yes or No."),
    ],
)
def test_beside_each_box_what_it_adds_exactly(typed: dict[str, Value], adds: str, remark: str) -> None:
    sheet = chosen(sent(), **typed)
    exact, said = beside(sent(), "extra_NEW_BELT")
    assert [shown(sheet.value(exact)), shown(sheet.value(said))] == [adds, remark]


def test_a_tick_for_what_the_option_does_not_offer_is_said() -> None:
    """Oiling behind the guard, which better alone opens."""
    value = lay_out_customer_quote(
        quoted(
            access=[build.a_step("COVER"), build.a_step("GUARD")],
            operations=[
                build.an_operation("FIT-BUSHING", access=["COVER"]),
                build.an_operation("FIT-BELT", access=["GUARD"]),
                build.an_operation("OIL", access=["GUARD"]),
                build.an_operation("TUNE"),
                build.an_operation("FIT-SEAL", each_side=True),
            ],
            extras=[
                build.an_extra("OILED", ["OIL"]),
                build.an_extra("TUNED", ["TUNE"]),
                build.an_extra("SEALED", ["FIT-SEAL"]),
            ],
        )
    )
    sheet = chosen(value, chosen_tier="Good", extra_OILED="Yes")
    assert [sheet.value(address) for address in beside(value, "extra_OILED")] == [
        "not offered",
        "Not added: the option does not offer it.",
    ]


def status(sheet: Recalculated) -> Value:
    """The line above the options in the decision."""
    address = next(
        address for address, cell in sheet.cells.items() if address.startswith("Quote!A") and "follow" in cell.formula
    )
    return sheet.value(address)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, "Nothing is chosen yet: pick an option above, or tick one here on paper."),
        ({"chosen_tier": ""}, "Nothing is chosen yet: pick an option above, or tick one here on paper."),
        ({"chosen_tier": "Good"}, "These figures follow your choice, to the cent."),
        ({"chosen_tier": "Best"}, "No option has this name: pick one from the list."),
        ({"chosen_tier": "Good", "extra_NEW_BELT": "x"}, "One answer is not understood: see beside it."),
        ({"chosen_tier": "Good", "extra_SEALED_right": "x"}, "One answer is not understood: see beside it."),
        ({"chosen_tier": "Good", "extra_TUNED": "x"}, "One answer is not understood: see beside it."),
        ({"extra_TUNED": "x"}, "Nothing is chosen yet: pick an option above, or tick one here on paper."),
    ],
)
def test_a_line_says_whether_the_figures_hold(typed: dict[str, Value], words: str) -> None:
    assert status(chosen(sent(), **typed)) == words


@pytest.mark.parametrize(("option", "boxes"), [(None, "☐☐"), ("Good", "☑☐"), ("better", "☐☑"), ("Best", "☐☐")])
def test_the_paper_boxes_follow_the_option(option: str | None, boxes: str) -> None:
    sheet = chosen(sent(), chosen_tier=option)
    found = [address for address, cell in sheet.cells.items() if cell.style == "box" and cell.formula]
    assert "".join(str(sheet.value(address)) for address in found) == boxes


def test_the_option_is_picked_from_the_labels_and_each_box_from_four_answers() -> None:
    """No value is forbidden: paper habits and other programs write other things."""
    cells = named(sent())
    assert cells["chosen_tier"].choices == lay_out_working(quoted()).labels
    assert cells["extra_TUNED"].choices == TICKS == "☐,☑,Yes,No"
    assert cells["chosen_tier"].prompt == "Pick an option here, and every figure below follows."


def test_a_reader_on_screen_is_told_where_to_choose() -> None:
    """In the first row, beside the page: it is not printed."""
    sheet = sent().sheets[0]
    found = [(column, cell.content) for column, cell in placed(sheet.rows[0]) if column >= sheet.printed_columns]
    assert any("Your decision" in content for _, content in found if isinstance(content, str))


def test_only_the_choice_cells_can_be_typed_in() -> None:
    """The sheets are protected without a password, and the looks of these cells are unlocked."""
    value = sent()
    assert [sheet.protected for sheet in value.sheets] == [True, True]
    unlocked = {
        cell.name
        for sheet in value.sheets
        for row in sheet.rows
        for cell in row.cells
        if value.looks[cell.style].unlocked
    }
    assert unlocked == {name for name in named(value) if name == "chosen_tier" or name.startswith("extra_")}


def test_choice_cells_do_not_turn_answers_into_numbers_or_dates() -> None:
    """The option is text whatever is typed; a box may hold TRUE or 1, so it is of no format."""
    cells = named(sent())
    assert (cells["chosen_tier"].format, cells["extra_TUNED"].format) == ("@", "General")


@pytest.mark.parametrize(
    ("currency", "form", "total"), [("USD", '"$"#,##0.00', "126.05"), ("JPY", '"¥"#,##0', "126.00")]
)
def test_figures_are_money_in_the_currencys_units(currency: str, form: str, total: str) -> None:
    value = lay_out_customer_quote(quoted(currency))
    assert all(named(value)[name].format.startswith(form) for name in FIGURES)
    assert money(chosen(value, chosen_tier="Good"), "total_to_pay") == [total]


def test_a_currency_with_three_decimals() -> None:
    """7 % of 15.000 dinars = 1.050."""
    value = lay_out_customer_quote(quoted("KWD"))
    assert "/1000" in named(value)["total_to_pay"].formula
    assert chosen(value, chosen_tier="Good").at("total_to_pay") == Fraction("126.05")


def test_the_screens_columns_are_beside_the_paper() -> None:
    sheet = sent().sheets[0]
    assert (sheet.printed_columns, len(sheet.widths)) == (5, 8)
    assert on_screen_only(sheet) >= {"screen title", "screen money", "screen"}
    assert on_screen_only(sheet).isdisjoint({"money", "total", "tick", "pick", "box"})


def on_screen_only(sheet: Sheet) -> set[str]:
    """Styles of cells that are not printed."""
    found = (cell.style for row in sheet.rows for column, cell in placed(row) if column >= sheet.printed_columns)
    return set(found)


def test_it_prints_on_two_pages_with_ten_things_to_tick() -> None:
    value = lay_out_customer_quote(build_quote(*job_with_extras(10)))
    assert pages_of(value.sheets[0].rows) == 2


def test_labels_of_the_figures() -> None:
    """Labour and parts always; what no choice can bring is left out; one tax has the name of the whole."""
    quote = quoted()
    found = [(figure.label, figure.name) for figure in figures(quote, lay_out_working(quote))]
    assert found == [
        ("Labor", ""),
        ("Parts", ""),
        ("Subtotal before tax", "subtotal"),
        ("TAX", "tax_total"),
        ("TOTAL TO PAY", "total_to_pay"),
        ("Still due", "amount_due"),
        ("Deposit", "deposit"),
    ]


def test_two_taxes_have_a_line_each_and_one_together() -> None:
    quote = quoted(taxes=[build.a_tax("STATE", "0.07", ["parts"]), build.a_tax("CITY", "0.02")])
    found = {figure.label: figure.name for figure in figures(quote, lay_out_working(quote))}
    assert (found["STATE"], found["CITY"], found["Taxes together"]) == ("", "", "tax_total")
    sheet = chosen(lay_out_customer_quote(quote), chosen_tier="Good")
    # 7 % of 15.00 = 1.05, and 2 % of 125.00 = 2.50
    assert money(sheet, "tax_total", "total_to_pay") == ["3.55", "128.55"]


def test_without_a_tax_the_name_is_still_there() -> None:
    quote = quoted(taxes=[])
    assert ("Tax", "tax_total") in [(one.label, one.name) for one in figures(quote, lay_out_working(quote))]
    sheet = chosen(lay_out_customer_quote(quote), chosen_tier="Good")
    assert money(sheet, "tax_total", "total_to_pay") == ["0.00", "125.00"]


def test_inspection_and_its_credit_are_one_line() -> None:
    settings = build.settings(inspection_fee=45, inspection_fee_credited=Decimal(150))
    quote = quoted(settings=settings)
    labels = [figure.label for figure in figures(quote, lay_out_working(quote))]
    assert "Inspection, less credit" in labels
    value = lay_out_customer_quote(quote)
    line = figure_beside(value, "Inspection, less credit")
    # 125.00 of work is below 150.00: the 45.00 stay; better's 195.00 give them back
    assert money(chosen(value, chosen_tier="Good"), line, "subtotal") == ["45.00", "170.00"]
    assert money(chosen(value, chosen_tier="Better"), line, "subtotal") == ["0.00", "195.00"]
    assert money(chosen(value), line, "subtotal") == ["–", "–"]


def figure_beside(value: WorkbookValue, label: str) -> str:
    """Address of the figure that follows the choice beside a label."""
    return next(
        f"Quote!{chr(65 + column)}{line}"
        for line, row in enumerate(value.sheets[0].rows, start=1)
        if any(cell.content == label for cell in row.cells)
        for column, cell in placed(row)
        if "IF(" in cell.formula and cell.style == "money"
    )


def test_labour_and_parts_are_lines_that_follow() -> None:
    """Good: 1.1 h and a bushing; a seal more: 0.2 h and 15.00."""
    labour, parts = (figure_beside(sent(), label) for label in ("Labor", "Parts"))
    assert money(chosen(sent(), chosen_tier="Good"), labour, parts) == ["110.00", "15.00"]
    assert money(chosen(sent(), chosen_tier="Good", extra_SEALED_left="Yes"), labour, parts) == ["130.00", "30.00"]


def test_every_row_is_as_wide_as_the_paper_or_as_the_screen() -> None:
    sheet = sent().sheets[0]
    assert {sum(cell.across for cell in row.cells) for row in sheet.rows} == {sheet.printed_columns, len(sheet.widths)}


def test_what_has_been_paid_is_taken_off_what_is_due() -> None:
    quote = build_quote(shop(), job(paid_so_far=Decimal("26.05")))
    value = lay_out_customer_quote(quote)
    assert money(chosen(value, chosen_tier="Good"), "total_to_pay", "amount_due") == ["126.05", "100.00"]
    labels = [cell.content for row in value.sheets[0].rows for cell in row.cells]
    assert "Still due, after what you have paid" in labels


def test_a_plain_quote_has_no_formula_no_name_and_no_box_to_fill_on_screen() -> None:
    value = lay_out_customer_quote(quotes.three())
    cells = [cell for sheet in value.sheets for row in sheet.rows for cell in row.cells]
    assert [cell for cell in cells if cell.formula or cell.name or cell.choices] == []
    assert len(value.sheets[0].widths) == value.sheets[0].printed_columns


def test_forty_things_to_tick_and_all_of_them_ticked() -> None:
    """The figure of the sheet is the engine's, and no formula passes a spreadsheet's limits."""
    book, with_forty = job_with_extras(40)
    quote = build_quote(book, with_forty)
    assert quote.live is not None
    value = lay_out_customer_quote(quote)
    keys = [extra.key for extra in quote.live.extras if extra.place[0] == "offered"]
    names: Mapping[str, Value] = {extra.defined_name: "Yes" for extra in quote.live.extras}
    sheet = chosen(value, chosen_tier=quote.live.options[0].label, **names)
    expected = price_combination(book, with_forty, quote.offered[0].code, keys)
    assert sheet.at("total_to_pay") == Fraction(str(expected.total))
    formulas = [cell.formula for page in value.sheets for row in page.rows for cell in row.cells]
    assert max(map(len, formulas)) < 8000


@pytest.mark.parametrize("text", ['Say "good"', "=1+1", "O'Brien's", "A,B;C", "100 %", "☑", "Größe"])
def test_an_option_of_any_name_can_be_picked(text: str) -> None:
    """The label is compared with a cell, so that no name stands inside a formula."""
    tiers = [build.a_tier("good", tier=text), build.a_tier("better", ["safety", "needed", "advised"])]
    value = lay_out_customer_quote(quoted(tiers=tiers))
    assert money(chosen(value, chosen_tier=text), "total_to_pay") == ["126.05"]
    formulas = [cell.formula for page in value.sheets for row in page.rows for cell in row.cells]
    assert not any(re.search(re.escape(text), formula) for formula in formulas if len(text) > 1)
