"""The workbook of price proposals as a value: what stands on each sheet, for the shop only, and nothing ticked."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from quotekit.documents.fingerprint import MARKS
from quotekit.documents.price_proposals import lay_out_price_proposals
from quotekit.documents.price_proposals_effect import cost_sum, largest, price_sum
from quotekit.documents.price_proposals_json import lay_out_proposals_json
from quotekit.documents.price_proposals_style import LOOKS
from quotekit.documents.price_proposals_text import lay_out_proposals_text
from quotekit.documents.price_proposals_ticks import TICK_NAME
from quotekit.documents.sheet import Cell, Sheet, WorkbookValue, placed
from quotekit.documents.text_fit import characters_for
from quotekit.model.open_quotes import OpenTier
from quotekit.model.proposed_prices import ProposedPrices
from quotekit.money import round_to
from quotekit.pricing.proposals.propose import propose_prices
from tests.build import settings
from tests.pricing.proposals.a_shop import everything, gives_way
from tests.pricing.proposals.rows import DAY, book_of, compared, exact, found, listed, part, unpriced

USED = {"pin": 100, "seal": 10}


def sheet(name: str, told: ProposedPrices | None = None) -> Sheet:
    """One sheet of the workbook."""
    return next(one for one in lay_out_price_proposals(told or everything(USED)).sheets if one.name == name)


def lines(page: Sheet) -> list[list[Any]]:
    """What the cells of each row say, blanks left out."""
    return [[cell.content for _, cell in placed(line) if cell.content is not None] for line in page.rows]


def line_of(page: Sheet, start: str, place: int = 0) -> list[Any]:
    """The row with a text at its place."""
    return next(line for line in lines(page) if len(line) > place and line[place] == start)


def texts(page: Sheet) -> str:
    return "\n".join(str(content) for line in lines(page) for content in line)


def small(*answers: Any, codes: tuple[str, ...] = ("SEAL",), **values: Any) -> ProposedPrices:
    """Proposals for a few parts of 10.00."""
    book = book_of(*(part(code, "10.00", row=place + 2) for place, code in enumerate(codes)), **values)
    return propose_prices(book, [compared(found(*answers))], DAY, Decimal("0.2"))


def test_a_row_of_the_sheet_to_tick() -> None:
    """Old beside new, margins by price, and what ten units in a year come to."""
    assert line_of(sheet("Proposals"), "SEAL")[:15] == [
        "SEAL", "Seal", "Parts 2",
        Decimal("10"), Decimal("11"), Decimal("0.1"),
        Decimal("15.00"), Decimal("16.50"), Decimal("0.3333"), Decimal("0.3333"),
        Decimal("10"), Decimal("10.00"), Decimal("15.00"), "open quotes: 117-2",
    ]  # fmt: skip


def test_an_offer_has_no_price_and_no_effect() -> None:
    line = next(line for line in lines(sheet("Proposals")) if "Offers 3" in line)
    assert line[3:6] == [Decimal("9.5"), Decimal("9.9"), Decimal("0.0421")]
    assert line[6:13] == ["-"] * 7 and "an offer of LAKE: it sells nothing" in line[13]


def test_only_the_boxes_can_be_typed_in() -> None:
    """One for each row, a second one where it is wanted, and all of them blank."""
    value = lay_out_price_proposals(everything(USED))
    boxes = [
        (page.name, row, column, cell)
        for page in value.sheets
        for row, column, cell in _cells(page)
        if _open(cell, value)
    ]
    assert all(cell.content is None and cell.choices == "Yes,No" for *_, cell in boxes)
    assert [(name, row + 1, column) for name, row, column, _ in boxes] == [
        ("Proposals", 8, 0), ("Proposals", 8, 1), ("Proposals", 9, 0), ("Proposals", 12, 0), ("Proposals", 13, 0),
        ("Proposals", 14, 0),
    ]  # fmt: skip
    assert all(page.protected for page in value.sheets if not page.hidden)


def _cells(page: Sheet) -> list[tuple[int, int, Cell]]:
    return [(row, column, cell) for row, line in enumerate(page.rows) for column, cell in placed(line)]


def _open(cell: Cell, value: WorkbookValue) -> bool:
    return value.looks[cell.style].unlocked


def test_the_name_of_the_boxes_covers_them_all() -> None:
    value = lay_out_price_proposals(everything(USED))
    (name,) = [one for one in value.names if one.name == TICK_NAME]
    assert (name.first_row, name.last_row, name.first_column, name.last_column) == (7, 13, 0, 1)
    assert MARKS in {one.name for one in value.names}


def test_two_groups_where_a_ledger_tells_one_where_none_does() -> None:
    words = texts(sheet("Proposals"))
    assert words.index("Used since 2025-12-02") < words.index("SEAL") < words.index("Not used since then")
    assert "Used since" not in texts(sheet("Proposals", everything()))


def test_effect_sums_and_chart() -> None:
    """PIN 30.00 and SEAL 10.00 more to pay, 60.00 and 15.00 more to sell for: 35.00 more is left."""
    page = sheet("Effect")
    assert line_of(page, "More to pay to suppliers")[1] == Decimal("40.00")
    assert line_of(page, "More to sell for, at the shop's own markup")[1] == Decimal("75.00")
    assert line_of(page, "More left to the shop")[1] == Decimal("35.00")
    (chart,) = page.charts
    head = next(number for number, line in enumerate(page.rows) if line.cells[0].content == "PIN")
    assert chart.categories == f"='Effect'!$A${head + 1}:$A${head + 2}"
    assert [series.values[-7:] for series in chart.series] == [
        f"${one}${head + 1}:${one}${head + 2}"[-7:] for one in "EF"
    ]


def test_a_part_that_gave_way_before_is_told() -> None:
    book = book_of(part("BELT", "20.00", replaced_by="LONG"), part("LONG", "22.00"))
    told = propose_prices(book, [compared(found(exact("N-BELT", "29.00"), exact("N-LONG", "22")))], DAY, Decimal("0.2"))
    assert "quotes hold LONG in its place already" in line_of(sheet("Proposals", told), "BELT")[-1]


def test_a_part_that_gives_way_is_told_and_counted() -> None:
    """Ten belts at 23.00 for 20.00; its own cost of one does not change, so the sheet Effect shows what it becomes."""
    told = gives_way({"belt": 10})
    row = line_of(sheet("Proposals", told), "BELT")
    assert "quotes then hold LONG" in row[-1] and Decimal("30.00") in row
    assert line_of(sheet("Effect", told), "BELT")[3] == Decimal("0.15")
    unused = line_of(sheet("Effect", gives_way()), "BELT")
    assert unused[2:4] == [Decimal("0.15"), Decimal("0.15")]


def test_sums_are_rounded_once() -> None:
    """Three effects of a third of a cent are a cent."""
    told = everything(USED)
    thirds = [replace(one, cost_effect=Fraction(1, 300), price_effect=Fraction(0)) for one in told.proposals[:3]]
    told = replace(told, proposals=tuple(thirds))
    total = cost_sum(told)
    assert total == Fraction(1, 100) and round_to(total, 2) == Decimal("0.01") and price_sum(told) == 0
    assert line_of(sheet("Effect", told), "More to pay to suppliers")[1] == Decimal("0.01")


def test_the_chart_has_ten_parts_at_most() -> None:
    told = everything(USED)
    many = tuple(replace(told.proposals[0], cost_effect=Fraction(place)) for place in range(14, 0, -1))
    assert [one.cost_effect for one in largest(replace(told, proposals=many))] == list(range(14, 4, -1))


def test_without_a_ledger_the_chart_shows_changes() -> None:
    page = sheet("Effect", everything())
    assert "The largest changes in the cost of one" in texts(page) and "there is no ledger here" in texts(page)
    assert len(page.charts) == 1 and page.charts[0].below_zero, "the belt became cheaper"


def test_with_nothing_proposed_there_is_no_chart() -> None:
    told = small(exact("N-SEAL", "10"))
    assert told.proposals == () and told.same == 1
    assert sheet("Effect", told).charts == ()
    assert "Nothing is proposed" in texts(sheet("Proposals", told))
    assert all(name.name != TICK_NAME for name in lay_out_price_proposals(told).names)


def test_open_quotes() -> None:
    """Offered at 70.00; today 2 seals of 15.00 and half an hour at 100.00: 80.00; new 83.00; held 70.00 - 42.00."""
    page = sheet("Open quotes")
    assert line_of(page, "117-2") == [
        "117-2", "R. Alder", date(2026, 12, 9), "Good",
        Decimal("70.00"), Decimal("80.00"), Decimal("83.00"), Decimal("40.00"), Decimal("41.00"), Decimal("28.00"),
        "no", "SEAL",
    ]  # fmt: skip
    assert line_of(page, "90-1")[3] == "can't be priced again: no sheet Job"


def offers_an_extra() -> ProposedPrices:
    """Quote 117-2 holds the seal no more; it would hold the pin with an extra."""
    told = everything(USED)
    quotes = tuple(replace(quote, parts=(), extra_parts=("PIN",)) if quote.tiers else quote for quote in told.quotes)
    pin, seal, *others = told.proposals
    proposals = (replace(pin, extra_quotes=("117-2",)), replace(seal, quotes=()), *others)
    return replace(told, quotes=quotes, proposals=proposals)


def test_a_quote_that_only_offers_a_part_as_an_extra() -> None:
    """It is told apart on every sheet: no total has the part in it."""
    told = offers_an_extra()
    assert line_of(sheet("Open quotes", told), "117-2")[-1] == "as an extra: PIN"
    assert line_of(sheet("Proposals", told), "PIN")[-1].endswith("open quotes: 117-2 (extra)")
    assert line_of(sheet("Where used", told), "PIN")[5] == "117-2 (extra)"
    assert line_of(sheet("Effect", told), "Hold a part that would change")[1] == 0
    assert line_of(sheet("Effect", told), "Offer one as an extra only")[1] == 1
    assert "open quotes that offer such parts as an extra: 117-2" in lay_out_proposals_text(told)
    page = lay_out_proposals_json(told, [], [])
    assert (page["open_quotes"][1]["parts"], page["open_quotes"][1]["parts_as_extra"]) == ([], ["PIN"])
    assert (page["proposals"][0]["open_quotes"], page["proposals"][0]["open_quotes_as_extra"]) == ([], ["117-2"])


def test_parts_of_an_option_and_of_an_extra_stand_one_under_the_other() -> None:
    told = everything(USED)
    quotes = tuple(replace(quote, extra_parts=("PIN",)) if quote.tiers else quote for quote in told.quotes)
    assert line_of(sheet("Open quotes", replace(told, quotes=quotes)), "117-2")[-1] == "SEAL\nas an extra: PIN"
    assert "Offer one as an extra only" not in texts(sheet("Effect", replace(told, quotes=quotes)))


def test_a_quote_that_would_lose_money_is_loud() -> None:
    told = everything(USED)
    quote = next(one for one in told.quotes if one.tiers)
    tier = replace(quote.tiers[0], margin_held=Decimal("-5.00"), same_work=False)
    told = replace(told, quotes=(replace(quote, tiers=(tier,)),))
    assert line_of(sheet("Open quotes", told), "117-2")[-2] == "YES"
    assert "Good *" in texts(sheet("Open quotes", told))
    assert line_of(sheet("Effect", told), "Options that would lose money if held")[1] == 1


@pytest.mark.parametrize(("held", "words"), [(None, "not known"), (Decimal(0), "no"), (Decimal("-0.01"), "YES")])
def test_would_lose_money(held: Decimal | None, words: str) -> None:
    told = everything(USED)
    quote = next(one for one in told.quotes if one.tiers)
    tiers: tuple[OpenTier, ...] = (replace(quote.tiers[0], margin_held=held),)
    assert line_of(sheet("Open quotes", replace(told, quotes=(replace(quote, tiers=tiers),))), "117-2")[-2] == words


def test_figures_old_beside_new() -> None:
    line = line_of(sheet("Figures"), "PIN")
    assert line[:8] == ["PIN", "N-PIN", 1, 1, Decimal("1"), Decimal("1.3"), Decimal("1"), Decimal("1.3")]
    assert line[8:] == [
        Decimal("0.3"), "-", "-", Decimal("2"), Decimal("2.6"), Decimal("0.3"),
        Decimal("1"), Decimal("1.3"), Decimal("0.5"), Decimal("0.5"), "-", "-",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "figure"), [("Figures", "1,234,567.123457"), ("Figures", "12.00"), ("Proposals", "1,234,567.123457")]
)
def test_a_column_has_room_for_its_longest_figure(name: str, figure: str) -> None:
    """A figure without room shows as ###: 2,469,134.246914 for two, and what one of many digits costs and leaves."""
    cost = "2469134.246914" if "," in figure else "24"
    told = propose_prices(
        book_of(part("SEAL", "10.00", "2")), [compared(found(exact("N-SEAL", cost, cost_for="2")))], DAY, Decimal("0.2")
    )
    page = sheet(name, told)
    (column,) = {
        place for line in page.rows for place, cell in placed(line)
        if cell.content == Decimal(figure.replace(",", "")) and cell.kind == "number" and "new" in title_of(page, place)
        and title_of(page, place).startswith("Cost of one")
    }  # fmt: skip
    assert page.widths[column] >= max(characters_for(figure, LOOKS["number"]), 7.5)


def title_of(page: Sheet, column: int) -> str:
    """The title above a column."""
    titles = next(line for line in page.rows if line.cells[0].content in ("Part", "Take"))
    return str(titles.cells[column].content)


def test_where_parts_are_used() -> None:
    assert line_of(sheet("Where used"), "SEAL") == ["SEAL", "Seal", "Parts 2", 7, 10, "117-2", "REPAIR"]
    assert line_of(sheet("Where used"), "CAP")[-2:] == ["-", "-"]


def test_many_remedies_are_counted() -> None:
    told = everything(USED)
    many = replace(told.proposals[0], remedies=tuple(f"R-{place}" for place in range(43)))
    words = texts(sheet("Where used", replace(told, proposals=(many,))))
    assert "R-39 and 3 more" in words and "R-40" not in words


def test_what_is_not_proposed_says_why_and_what_to_do() -> None:
    codes = ("SEAL", "PIN", "CAP", "NUT")
    told = small(
        unpriced("N-SEAL", "not found", nearest=("N-SEAM",)),
        unpriced("N-PIN", "contradicted", *(listed("N-PIN", cost, fate="contradicted") for cost in ("1.00", "2.00"))),
        unpriced("N-CAP", "no price", listed("N-CAP", "0", fate="zero cost", superseded_by="N-9")),
        exact("N-NUT", "10"),
        codes=codes,
    )  # fmt: skip
    page = sheet("Not proposed", told)
    words = texts(page)
    assert line_of(page, "SEAL")[-1] == "look at N-SEAM"
    assert line_of(page, "PIN")[-1].splitlines() == [
        "N-PIN: contradicted, 1.00 USD for 1 (row 7)", "N-PIN: contradicted, 2.00 USD for 1 (row 7)",
    ]  # fmt: skip
    assert line_of(page, "CAP")[-1].splitlines()[0] == "the list replaces it by N-9"
    assert words.index("Not in the list") < words.index("The list says two things of it") < words.index("no row of it")
    assert "Ask the supplier which row is right." in words


def test_numbers_of_the_list_that_the_book_lacks_are_counted() -> None:
    told = everything(USED)
    used = replace(told.lists[0], not_in_book=1234)
    assert "1,234 numbers in force are in no row of the book; none is added" in texts(
        sheet("Not proposed", replace(told, lists=(used,)))
    )


def test_about() -> None:
    page = sheet("About")
    assert line_of(page, "Shop book") == ["Shop book", "book.xlsx"]
    assert line_of(page, "SHA-256 of the shop book")[1] == "b" * 64
    assert line_of(page, "NORTH") == ["NORTH", "north.csv", "a" * 64]
    assert line_of(page, "Second tick above")[1] == "20%"
    assert line_of(page, "Units used counted")[1] == "from 2025-12-02 to 2026-12-01"
    assert 'quotekit prices apply "book.xlsx"' in texts(page)
    counts = [
        line[1]
        for line in lines(page)
        if line and line[0] in ("in force on the day", "above the table, the header too")
    ]
    assert counts[:2] == [3, 1] and line_of(page, "in all")[1] == 4


def test_every_cell_that_would_change_is_listed() -> None:
    """With each new cost its pack and its number, which have to say then what they say now."""
    told = everything(USED)
    page = sheet("Cells")
    rows = lines(page)[4:]
    assert [line[5] for line in rows] == ["Pack cost", "Pack quantity", "Supplier's number"] * len(told.proposals)
    written = [line[4:8] for line in rows if line[6] != line[7]]
    assert len(written) == sum(len(one.changes) for one in told.proposals)
    assert line_of(page, "SEAL", 1)[:8] == [
        9,
        "SEAL",
        "NORTH",
        "Parts",
        "E2",
        "Pack cost",
        Decimal("10.00"),
        Decimal("11"),
    ]


def test_papers_and_language_of_the_shop() -> None:
    letter = sheet("Proposals")
    assert letter.page.paper == "Letter" and letter.page.landscape and letter.page.fit_wide == 1
    told = small(exact("N-SEAL", "11"), settings=settings(currency="EUR", language="de_DE"))
    value = lay_out_price_proposals(told)
    assert {page.page.paper for page in value.sheets if not page.hidden} == {"A4"}
    assert value.formats["money"].endswith('€"')


@pytest.mark.parametrize("name", ["Proposals", "Open quotes", "Figures", "Where used", "Not proposed", "Cells"])
def test_titles_stay_in_sight_and_are_repeated(name: str) -> None:
    page = sheet(name)
    assert page.frozen_rows == page.page.repeat_from + 1 and page.page.repeat_rows == 1
    assert page.rows[page.page.repeat_from].cells[0].style.startswith("head")


def test_a_text_that_looks_like_a_formula_stays_a_text() -> None:
    told = small(unpriced("N-SEAL", "not found", nearest=("=1+1",)))
    value = lay_out_price_proposals(told)
    assert all(not cell.formula for page in value.sheets for _, _, cell in _cells(page))
