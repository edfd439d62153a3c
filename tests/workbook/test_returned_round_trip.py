"""Saved by LibreOffice and by openpyxl, a quote that nobody changed reads as unchanged, and the choice is read."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.workbook.write_sheet import workbook_bytes
from tests.documents import quotes
from tests.random_jobs import a_random_case
from tests.workbook.returned import (
    BELT,
    BUSHING,
    SENT,
    address_of,
    as_openpyxl,
    cell_of,
    changed,
    read,
    returned,
    saved_by_libreoffice,
    sent,
    sent_bytes,
    small_quote,
    with_part,
)

TICKS: dict[str, object] = {
    "boolean": True, "number": 1, "formula": "=TRUE()", "sum": "=1=1", "box": "☑", "yes": "Yes", "text": "TRUE",
    "german": "WAHR", "mark": "✓",
}  # fmt: skip
SPREAD_ODDLY = "a\u2028b  c\td\n\ne_x0041_ _x000D_ \u202eRTL \U0001f69c  "

QUOTES: dict[str, Callable[[], Quote]] = {
    "three options": quotes.three,
    "long texts": quotes.long_texts,
    "positions": quotes.positions,
    "findings": quotes.many_findings,
    "euros in German": lambda: quotes.quote(language="de_DE", currency="EUR"),
    "yen": lambda: quotes.quote(language="ja_JP", currency="JPY"),
    **{f"random {seed}": lambda seed=seed: build_quote(*a_random_case(seed)) for seed in (3, 7, 12, 19)},  # type: ignore[misc]
}


def written(folder: Path) -> list[Path]:
    """Quotes of every kind as files."""
    folder.mkdir()
    paths = []
    for name, make in QUOTES.items():
        quote = make()
        if quote.offered:
            paths.append(folder / f"{name}.xlsx")
            paths[-1].write_bytes(workbook_bytes(lay_out_customer_quote(quote)))
    return paths


def assert_as_sent(path: Path) -> None:
    choice, _ = read(path)
    assert choice.unchanged and choice.changed == (), path.name


def test_every_quote_saved_by_openpyxl_is_unchanged(tmp_path: Path) -> None:
    for path in written(tmp_path / "sent"):
        assert_as_sent(path)
        openpyxl.load_workbook(path).save(path)
        assert_as_sent(path)


WRONG: dict[str, tuple[dict[str, object], str, str]] = {
    "price": ({"chosen_tier": "good", "total_to_pay": 1}, "quote-changed", "total_to_pay"),
    "error": ({"chosen_tier": "good", BELT: "=1/0"}, "unknown-tick", BELT),
    "both": ({"chosen_tier": "good; better"}, "two-options-ticked", "chosen_tier"),
    "wild": ({"chosen_tier": "g*"}, "unknown-option", "chosen_tier"),
}


@pytest.fixture(scope="module")
def saved(soffice: str, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Many quotes, as LibreOffice saves them, in one run."""
    folder = tmp_path_factory.mktemp("saved")
    paths = [*written(folder / "sent"), sent(folder), sent(folder, "plain.xlsx", live=False), odd_texts(folder)]
    for name, value in TICKS.items():
        paths.append(returned(folder, {"chosen_tier": "Put right", BELT: value, BUSHING: "☐"}, f"tick {name}.xlsx"))
    for name, (typed, _, _) in WRONG.items():
        paths.append(returned(folder, typed, f"wrong {name}.xlsx"))
    paths.append(changed(folder, lambda book: book.create_sheet("Pasted"), "pasted.xlsx"))
    return {path.stem: path for path in saved_by_libreoffice(soffice, paths, folder)}


def test_every_quote_saved_by_libreoffice_is_unchanged(saved: dict[str, Path]) -> None:
    as_sent = [path for name, path in saved.items() if not name.startswith(("tick", "wrong", "pasted"))]
    assert len(as_sent) >= len(QUOTES)
    for path in as_sent:
        assert_as_sent(path)
        openpyxl.load_workbook(path).save(path)
        assert_as_sent(path)


@pytest.mark.parametrize("tick", TICKS)
def test_a_tick_after_libreoffice_saved_it(tick: str, saved: dict[str, Path]) -> None:
    choice, problems = read(saved[f"tick {tick}"])
    assert (choice.tier, choice.extras, choice.unchanged) == ("good", ("BELT-NEW",), True)
    assert {code for code, _ in problems} <= {"tick-not-counted"}


@pytest.mark.parametrize("wrong", WRONG)
def test_what_is_wrong_is_still_found_after_libreoffice_saved_it(wrong: str, saved: dict[str, Path]) -> None:
    _, code, where = WRONG[wrong]
    assert read(saved[f"wrong {wrong}"])[1] == [(code, address_of(where))]


def test_a_pasted_sheet_is_found_after_libreoffice_saved_it(saved: dict[str, Path]) -> None:
    assert ("sheet-added", "Pasted!") in read(saved["pasted"])[1]


def test_a_way_over_another_format_changes_nothing(soffice: str, tmp_path: Path) -> None:
    [other] = saved_by_libreoffice(soffice, [returned(tmp_path, {"chosen_tier": "good", BELT: "☑"})], tmp_path, "ods")
    [back] = saved_by_libreoffice(soffice, [other], tmp_path)
    choice, problems = read(back)
    assert (choice.tier, choice.extras, choice.unchanged, problems) == ("good", ("BELT-NEW",), True, [])


def test_the_totals_it_shows_are_never_read(tmp_path: Path) -> None:
    """Stored results may be anything: no part of the choice, of the marks or of a problem comes from them."""
    path = with_part(returned(tmp_path, {"chosen_tier": "good"}), "xl/worksheets/sheet1.xml", lie)
    choice, problems = read(path)
    assert (choice.unchanged, problems) == (True, [])
    assert "4711" not in repr(choice)


def lie(xml: str) -> str:
    return re.sub(r"</f><v ?/>", "</f><v>4711</v>", xml)


def odd_texts(folder: Path) -> Path:
    """A quote whose texts libraries spell differently."""
    quote = small_quote()
    odd = replace(quote, job=replace(quote.job, customers_words=SPREAD_ODDLY, customer="=1+1 'x"))
    path = folder / "odd.xlsx"
    path.write_bytes(workbook_bytes(lay_out_customer_quote(odd)))
    return path


def test_odd_texts_are_the_same_however_saved(tmp_path: Path) -> None:
    path = odd_texts(tmp_path)
    openpyxl.load_workbook(path).save(path)
    assert_as_sent(path)


def test_the_marks_are_few_and_the_file_stays_small() -> None:
    sheet = as_openpyxl()["Working"]
    first = cell_of(as_openpyxl(), "content_marks").row
    marks = [str(row[0].value) for row in sheet.iter_rows(min_row=first)]
    assert len(marks) <= 6 and max(map(len, marks)) < 8_200
    assert len(sent_bytes()) < 30_000, SENT
