"""A list written in any usual way, mapped by guessing and read: every amount is the one that was written."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotekit.suppliers.guess import Guess, guess_mapping
from quotekit.suppliers.mapping import mapping_of
from quotekit.suppliers.mapping_text import mapping_text
from quotekit.suppliers.price_list import PriceList
from quotekit.suppliers.read_list import read_list
from tests.suppliers.lists import DAY, write_list

HEADERS = (
    ("Part No", "Description", "Net price", "List price"),
    ("Artikel-Nr.", "Bezeichnung", "EK-Preis", "Listenpreis"),
    ("Référence", "Désignation", "Prix net", "Prix public"),
)
STYLES = ((".", ","), (",", "."), (",", " "), (",", "\u202f"), (".", "'"), (".", ""), (",", ""))
WORDS = ("Belt", "Öldichtung", "Câble d'accélérateur", "Seal; black", "Bolt, M8", 'Hose 3/4"', "")

amounts = st.decimals(min_value=Decimal("0.01"), max_value=99_999, places=2)
numbers = st.text(alphabet="ABC0123456789-", min_size=1, max_size=8).filter(
    lambda text: text[0] not in "-" and "+" not in text
)
lists = st.lists(
    st.tuples(numbers, st.sampled_from(WORDS), amounts, amounts), min_size=3, max_size=12, unique_by=lambda row: row[0]
)


def in_style(amount: Decimal, style: tuple[str, str]) -> str:
    mark, group = style
    return f"{amount:,.2f}".replace(",", "#").replace(".", mark).replace("#", group)


def mapped(path: Path) -> tuple[Guess, PriceList]:
    """Guessed, written to the mapping's text, read back from it, and the list read under it."""
    guess, problems = guess_mapping(path, "ACME")
    assert guess is not None and problems == []
    again = mapping_of(tomllib.loads(mapping_text(guess.mapping, guess.reasons, guess.doubts)))
    assert again == guess.mapping
    prices, problems = read_list(path, again, "EUR", DAY)
    assert prices is not None and [problem.severity for problem in problems if problem.severity == "error"] == []
    return guess, prices


def check(prices: PriceList, rows: list[tuple[str, str, Decimal, Decimal]]) -> None:
    assert prices.report.fates["in force"] == len(rows)
    found = prices.find([row[0] for row in rows])
    assert [
        (each.how, each.price and each.price.cost, each.price and each.price.list_price) for each in found.values()
    ] == [("exact", cost, listed) for _, _, cost, listed in rows]


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    lists,
    st.sampled_from(HEADERS),
    st.sampled_from(STYLES),
    st.sampled_from("\t;|,"),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
    st.sampled_from(["", "ACME, spring 2026\n\n"]),
)
def test_delimited(
    tmp_path: Path,
    rows: list[tuple[str, str, Decimal, Decimal]],
    headers: tuple[str, ...],
    style: tuple[str, str],
    separator: str,
    encoding: str,
    above: str,
) -> None:
    def field(text: str) -> str:
        return f'"{text.replace(chr(34), chr(34) * 2)}"' if set(text) & {separator, '"'} else text

    lines = [headers, *((row[0], row[1], in_style(row[2], style), in_style(row[3], style)) for row in rows)]
    text = above + "".join(separator.join(map(field, line)) + "\n" for line in lines)
    _, prices = mapped(write_list(tmp_path, text.encode(encoding)))
    check(prices, rows)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(lists, st.sampled_from(HEADERS))
def test_workbook(tmp_path: Path, rows: list[tuple[str, str, Decimal, Decimal]], headers: tuple[str, ...]) -> None:
    path = tmp_path / "acme.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("Prices")
    sheet.write_row(0, 0, headers)
    for at, (number, text, cost, listed) in enumerate(rows, start=1):
        sheet.write_string(at, 0, number)
        sheet.write_string(at, 1, text)
        sheet.write_number(at, 2, float(cost))
        sheet.write_number(at, 3, float(listed))
    book.close()
    _, prices = mapped(path)
    check(prices, rows)
