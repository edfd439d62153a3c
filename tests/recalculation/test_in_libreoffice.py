"""Choices made in LibreOffice, as a person would make them: every figure is the engine's, to the cent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from random import Random

import pytest
from openpyxl import load_workbook

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import Cell, WorkbookValue
from quotekit.model.live import LiveExtra
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.workbook.write_sheet import write_customer_quote, write_workbook
from tests.random_jobs import Case
from tests.recalculation.combinations import NO_TICKS, NO_TIERS, TICKS, a_case_with_extras, choices, live_cases
from tests.recalculation.examples import EXAMPLES, an_example
from tests.recalculation.figures import NAMED, NOTHING, Tally, cells_of, compare, figure_cells, named_cells
from tests.recalculation.office import Office, Value

CHOICES, LEAST = 32, 100
"""Of one workbook at most; of one test at least."""
LOOKED_THROUGH, AGAIN = 3, 8
"""Workbooks of a test whose stored values are compared, and of whose choices so many are worked out anew as well."""


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name} {path.stem}")
def test_choices_of_an_example(path: Path, office: Office, tmp_path: Path) -> None:
    """Every one of a job with few; worked out anew after each choice, it stays the same."""
    case, tally = an_example(path), Tally()
    quote = build_quote(*case)
    assert quote.live is not None, quote.not_live
    compare(office, tmp_path, 0, case, quote, choices(quote, Random(1), CHOICES), tally, again=CHOICES)
    assert tally.differences == []
    assert tally.combinations >= len(quote.offered)


@pytest.mark.parametrize("first", range(500_000, 500_400, 100))
def test_random_choices_on_random_quotes(first: int, office: Office, tmp_path: Path) -> None:
    """Choices ticked in every form that a spreadsheet saves; a hundred at least, four times.

    Of the first workbooks, as sent, every formula cell stores what LibreOffice works out: a program that trusts what is
    stored shows the same. And some choices are worked out anew each time as well, which must give the same.
    `python -m tests.recalculation.many` makes a hundred thousand.
    """
    tally, formulas = Tally(), 0
    for seed, case, quote in live_cases(first):
        drawn, looked_through = choices(quote, Random(seed), CHOICES), tally.workbooks < LOOKED_THROUGH
        formulas += compare(
            office, tmp_path, seed, case, quote, drawn, tally,
            again=AGAIN if looked_through else 0, stored=stored if looked_through else None,
        )  # fmt: skip
        if tally.combinations >= LEAST:
            break
    assert tally.differences == []
    assert tally.workbooks >= 3 and formulas > 60


@pytest.mark.parametrize("count", [40, 70])
def test_a_quote_with_many_extras(count: int, office: Office, tmp_path: Path) -> None:
    """Random ticks on each, worked out anew after each as well."""
    seed, case, quote = next(found for found in with_extras(count) if found[2].live and offers(found[2]) >= count)
    tally = Tally()
    compare(office, tmp_path, seed, case, quote, choices(quote, Random(seed), 25), tally, again=25)
    assert tally.differences == []
    assert tally.combinations == 25


def with_extras(count: int) -> Iterator[tuple[int, Case, Quote]]:
    """Cases with more extras than that on their lists, and their quotes: some come to nothing that is not done yet."""
    for seed in range(1000):
        case = a_case_with_extras(seed, count + 10)
        yield seed, case, build_quote(*case)


def offers(quote: Quote) -> int:
    """How many things there are to tick."""
    return len(quote.live.extras) if quote.live else 0


def stored(path: Path) -> dict[str, Value]:
    """Every formula cell's stored value, as `Sheet!A1`."""
    formulas, values = load_workbook(path), load_workbook(path, data_only=True)
    return {
        f"{sheet.title}!{cell.coordinate}": values[sheet.title][cell.coordinate].value
        for sheet in formulas.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


@cache
def a_quote_where(wanted: str) -> tuple[Quote, LiveExtra]:
    """A random quote that offers something for a price with one option and not with another: `included`, `none`."""
    return next(
        (quote, extra)
        for _, _, quote in live_cases(0)
        for extra in (quote.live.extras if quote.live else ())
        if wanted in extra.place and any(extra.price)
    )


def test_only_the_forms_of_a_yes_are_ticks(office: Office, tmp_path: Path) -> None:
    """`YES ` with a space, 2, the text TRUE and an error are not: the figures are those without the tick."""
    quote, extra = a_quote_where("included")
    live = quote.live
    assert live is not None
    option = live.options[extra.place.index("offered")]
    value = lay_out_customer_quote(quote)
    write_workbook(value, tmp_path / "quote.xlsx")
    wanted = list(figure_cells(value, quote))
    with office.opened(tmp_path / "quote.xlsx") as workbook:
        plain = workbook.shown({"chosen_tier": option.label}, wanted)
        ticked = [workbook.shown({extra.defined_name: tick}, wanted) for tick in TICKS]
        unticked = [workbook.shown({extra.defined_name: tick}, wanted) for tick in NO_TICKS]
    assert all(isinstance(amount, float) for amount in plain.values())
    assert all(shown == ticked[0] for shown in ticked)
    assert ticked[0] != plain
    assert all(shown == plain for shown in unticked)


def test_answers_from_the_keyboard(office: Office, tmp_path: Path) -> None:
    """Typed into the protected sheet: the program itself reads numbers and truth values into the keys."""
    quote, extra = a_quote_where("included")
    live = quote.live
    assert live is not None
    option = live.options[next(n for n, price in enumerate(extra.price) if price)]
    write_customer_quote(quote, tmp_path / "quote.xlsx")
    tick, total = extra.defined_name, ["total_to_pay"]
    with office.opened(tmp_path / "quote.xlsx") as workbook:
        plain = workbook.shown({"chosen_tier": {"keys": option.label}}, total)
        ticked = [
            workbook.shown({tick: {"keys": keys}}, total) for keys in ("TRUE", "true", "1", "yes", "☑", "=TRUE()")
        ]
        unticked = [workbook.shown({tick: {"keys": keys}}, total) for keys in ("2", "'TRUE", "No", "☐", "", "=1/0")]
        lost = workbook.shown({"chosen_tier": {"keys": "something else"}}, total)
    assert isinstance(plain["total_to_pay"], float)
    assert plain not in ticked and all(shown == ticked[0] for shown in ticked)
    assert all(shown == plain for shown in unticked)
    assert lost == {"total_to_pay": NOTHING}


@pytest.mark.parametrize("place", ["included", "none"])
def test_a_tick_on_what_an_option_does_not_offer_counts_as_nothing(place: str, office: Office, tmp_path: Path) -> None:
    quote, extra = a_quote_where(place)
    live = quote.live
    assert live is not None
    without, offering = (live.options[extra.place.index(where)].label for where in (place, "offered"))
    write_customer_quote(quote, tmp_path / "quote.xlsx")
    with office.opened(tmp_path / "quote.xlsx") as workbook:
        plain = [workbook.shown({"chosen_tier": option}, list(NAMED)) for option in (without, offering)]
        workbook.shown({extra.defined_name: "Yes"}, list(NAMED))
        ticked = [workbook.shown({"chosen_tier": option}, list(NAMED)) for option in (without, offering)]
    assert ticked[0] == plain[0]
    assert ticked[1] != plain[1]


def test_an_unknown_option_shows_no_money(office: Office, tmp_path: Path) -> None:
    """Nothing chosen, another text, a wildcard, a number, an error: dashes, never another option's figures."""
    quote, _ = a_quote_where("included")
    live = quote.live
    assert live is not None
    value = lay_out_customer_quote(quote)
    write_workbook(value, tmp_path / "quote.xlsx")
    wanted = list(figure_cells(value, quote))
    first, chosen = live.options[0], named_cells(value)["chosen_tier"]
    near = [first.code.upper(), first.label.upper(), first.label + " ", first.label[0] + "*", first.code[:-1] + "?"]
    with office.opened(tmp_path / "quote.xlsx") as workbook:
        workbook.shown({extra.defined_name: "Yes" for extra in live.extras}, wanted)
        texts = [*NO_TIERS, *near]
        for text, shown in zip(texts, workbook.tried([{"chosen_tier": text} for text in texts], wanted), strict=True):
            assert set(shown) == {NOTHING}, text
        for text in (None, {"formula": "=NA()"}, near[0]):
            assert set(workbook.shown({"chosen_tier": text}, wanted).values()) == {NOTHING}, text
            errors = {cell for cell, what in workbook.formulas().items() if isinstance(what, dict)}
            assert errors <= {chosen}, text


def with_subtotal(value: WorkbookValue, **changes: object) -> WorkbookValue:
    """The same workbook with a fault in the cell of the subtotal."""

    def faulty(cell: Cell) -> Cell:
        return replace(cell, **changes) if cell.name == "subtotal" else cell  # type: ignore[arg-type]

    sheets = [
        replace(sheet, rows=tuple(replace(row, cells=tuple(map(faulty, row.cells))) for row in sheet.rows))
        for sheet in value.sheets
    ]
    return replace(value, sheets=tuple(sheets))


def test_a_planted_cent_is_found(office: Office, tmp_path: Path) -> None:
    """A test of the comparison: one cent too much in one formula."""
    seed, case, quote = next(live_cases(900_000))
    value = lay_out_customer_quote(quote)
    formula = next(cell.formula for _, cell in cells_of(value) if cell.name == "subtotal")
    planted, tally = with_subtotal(value, formula=formula.replace("/100", "/100+0.01")), Tally()
    assert planted != value
    compare(office, tmp_path, seed, case, quote, choices(quote, Random(1), 5), tally, value=planted)
    assert len(tally.differences) == tally.minor_units == tally.combinations


def test_a_planted_stored_value_is_found(office: Office, tmp_path: Path) -> None:
    """A test of the comparison of stored values: 999 where nothing is chosen."""
    seed, case, quote = next(live_cases(900_000))
    planted = with_subtotal(lay_out_customer_quote(quote), content=Decimal(999), kind="money")
    place, tally = named_cells(planted)["subtotal"], Tally()
    assert compare(office, tmp_path, seed, case, quote, [], tally, value=planted, stored=stored) > 20
    assert tally.differences == [f"seed {seed} as sent: {place} stores 999, LibreOffice says {NOTHING}"]
