"""What is declared fits the records it is read into, so that a column cannot be read and lost."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest
from iso4217 import Currency

from quotekit.model import shop_book as model
from quotekit.model.job import Job, OneOff
from quotekit.model.rate import RateLine
from quotekit.workbook.book_rows import read_typed_rows
from quotekit.workbook.column import Column, Field, SheetColumns
from quotekit.workbook.columns import JOB_FIELDS, JOB_WORKBOOK, ONE_OFF, SHOP_BOOK, SHOP_SETTINGS
from quotekit.workbook.currencies import CURRENCIES
from quotekit.workbook.grid import read_grid
from quotekit.workbook.job_fields import field_attribute
from quotekit.workbook.names import name_key
from quotekit.workbook.read_settings import setting_attribute
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.rows import field_of
from quotekit.workbook.tables import find_tables
from tests.problem_catalogue.workbooks import Rows, write

RECORDS = {
    "Labour rates": model.LabourRate,
    "Conditions": model.Condition,
    "Machines": model.MachineClass,
    "Access": model.AccessStep,
    "Operations": model.Operation,
    "Parts": model.Part,
    "Parts used": model.PartUsed,
    "Offers": model.Offer,
    "Suppliers": model.Supplier,
    "Markup": model.MarkupBand,
    "Findings": model.Finding,
    "Remedies": model.Remedy,
    "Fits only if": model.FitsOnlyIf,
    "Extras": model.Extra,
    "Bundles": model.Bundle,
    "Fees": model.Fee,
    "Taxes": model.Tax,
    "Tiers": model.Tier,
    "Cautions": model.Caution,
    "Rate builder": RateLine,
}


def names_of(record: type) -> set[str]:
    return {each.name for each in fields(record)}


@pytest.mark.parametrize("sheet", SHOP_BOOK[1:], ids=lambda sheet: sheet.name)
def test_every_column_fills_a_field_and_every_field_has_a_column(sheet: SheetColumns) -> None:
    columns = {field_of(column) for column in sheet.columns}
    assert columns == names_of(RECORDS[sheet.name]) - {"source", "always" if sheet.name == "Fees" else ""}


def test_every_setting_fills_a_field() -> None:
    assert {setting_attribute(each.name) for each in SHOP_SETTINGS} == names_of(model.Settings) - {"sources"}


def test_every_job_field_fills_a_field() -> None:
    assert {field_attribute(each.name) for each in JOB_FIELDS} <= names_of(Job)


def test_every_one_off_column_fills_a_field() -> None:
    assert {field_of(column) for column in ONE_OFF.columns} - {"tier"} == names_of(OneOff) - {"code", "tiers", "source"}


def test_references_lead_to_sheets_that_are_declared() -> None:
    known = {sheet.name for sheet in SHOP_BOOK}
    columns: list[Column] = [column for sheet in (*SHOP_BOOK, *JOB_WORKBOOK) for column in sheet.columns]
    assert {name for column in columns for name in column.refers_to} <= known


def test_headers_of_a_sheet_differ() -> None:
    for sheet in (*SHOP_BOOK, *JOB_WORKBOOK):
        keys = [name_key(column.header) for column in sheet.columns]
        assert len(keys) == len(set(keys)), sheet.name


def test_a_declared_default_is_what_a_blank_means(tmp_path: Path) -> None:
    """The blank workbook shows these defaults: typed in, they must read as the settings that nobody typed."""
    rows: Rows = [["Setting", "Value"], ["Shop name", "x"], ["Currency", "USD"], ["Minimum labour hours", 0]]
    with_defaults: Rows = rows + [[each.name, _typed(each)] for each in SHOP_SETTINGS if each.default]
    settings = [_settings(tmp_path / f"{i}.xlsx", each) for i, each in enumerate((rows, with_defaults))]
    assert settings[0] == settings[1]


def _typed(declared: Field) -> float | str:
    return float(declared.default) if declared.kind in ("hours", "money", "whole", "years") else declared.default


def _settings(path: Path, rows: Rows) -> model.Settings:
    needed = [sheet for sheet in SHOP_BOOK if sheet.needed]
    empty: dict[str, Rows] = {sheet.name: [[column.header for column in sheet.columns]] for sheet in needed}
    write(path, {**empty, "Shop": rows}, {"merge": {}, "hide": {}})
    book, problems = read_shop_book(path)
    assert [problem.code for problem in problems] == ["no-labour-rate"]
    assert book is not None
    return book.settings


def test_currencies_are_those_of_the_standard() -> None:
    """ISO 4217 list one, as the iso4217 package has it, without metals, funds and test codes."""
    listed = {currency.code for currency in Currency}
    assert listed >= CURRENCIES
    assert {code for code in listed - CURRENCIES if not code.startswith("X")} <= {
        "BGN", "BOV", "CHE", "CHW", "COU", "MXV", "USN", "VED",
    }  # fmt: skip


def test_american_headers_are_read(tmp_path: Path) -> None:
    rows: dict[str, Rows] = {"Labor rates": [["code", "RATE PER HOUR", "Cost  per hour"], ["MAIN", 80, 40]]}
    grid, _ = read_grid(write(tmp_path / "book.xlsx", rows, {"merge": {}, "hide": {}}))
    assert grid is not None
    tables, _ = find_tables(grid, SHOP_BOOK)
    found, problems = read_typed_rows(tables)
    assert problems == []
    assert found["Labour rates"][0].values["cost_per_hour"] == 40
