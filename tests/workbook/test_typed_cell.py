"""A cell somebody points at: what it belongs to, what is read in it, who names its code."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.problems import Place
from quotekit.workbook.column import Column, Field
from quotekit.workbook.typed_cell import Tables, read_tables, references, typed_cell
from tests.cli.small_shop import job, shop_book, write_book

FILE = "shop book.xlsx"


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> Tables:
    """A shop book with the owner's own column, row and sheet, and a bundle."""
    sheets = shop_book()
    sheets["Parts"][0].append("Shelf place")
    sheets["Parts"].insert(0, ["Parts as bought", *[""] * 5])
    sheets["Shop"].append(["Coffee", "black"])
    sheets["Bundles"] = [
        ["Code", "Bundle", "Members", "Saving", "Value"],
        ["BOTH", "Both at once", "NEWBUSH; NEWBELT", "percent off parts", 0.1],
        ["TIME", "Both at once", "NEWBUSH; NEWBELT", "hours off", 0.2],
    ]
    sheets["Notes"] = [["to do"]]
    found, problems = read_tables(write_book(tmp_path_factory.mktemp("book") / FILE, sheets), "shop book")
    assert not problems
    return found


@pytest.mark.parametrize(
    ("sheet", "cell", "where", "declared", "of", "value"),
    [
        ("Parts", "D3", "cell", "Pack cost", "BUSHING", Decimal(22)),
        ("parts", "D3", "cell", "Pack cost", "BUSHING", Decimal(22)),
        ("Parts", "D2", "header", "Pack cost", "", None),
        ("Parts", "A1", "above", "", "", None),
        ("Parts", "F3", "own column", "", "", None),
        ("Parts", "Z900", "own column", "", "", None),
        ("Notes", "A1", "own sheet", "", "", None),
        ("Shop", "B4", "cell", "Minimum labour hours", "", Decimal(1)),
        ("Shop", "A4", "name", "Minimum labour hours", "", Decimal(1)),
        ("Shop", "B5", "own name", "", "", None),
        ("Markup", "C2", "cell", "Markup", "", Decimal("0.5")),
        ("Operations", "E4", "cell", "Parts", "SEALING", None),
        ("Bundles", "E2", "cell", "Value", "BOTH", Decimal("0.1")),
        ("Bundles", "E3", "cell", "Value", "TIME", Decimal("0.2")),
        ("Parts", "D900", "cell", "Pack cost", "", None),
    ],
)  # fmt: skip
def test_what_a_cell_is(
    tables: Tables, sheet: str, cell: str, where: str, declared: str, of: str, value: object
) -> None:
    """Known columns, settings, headers, and all that is the owner's own."""
    found = typed_cell(tables, Place(FILE, sheet, cell))
    name = found.declared.name if isinstance(found.declared, Field) else getattr(found.declared, "header", "")
    assert (found.where, name, found.code) == (where, declared, of)
    if value is not None:
        assert found.value == value


def test_the_value_of_a_bundle_is_what_its_saving_says(tables: Tables) -> None:
    """Of one and the same column, a percentage in one row and hours in the next."""
    kinds = [typed_cell(tables, Place(FILE, "Bundles", cell)).declared for cell in ("E2", "E3")]
    assert [one.kind for one in kinds if isinstance(one, Column)] == ["percent", "hours"]


def test_who_names_a_code(tables: Tables) -> None:
    """Lists, quantity lists and single codes; the case of letters does not matter."""
    found = [(one.place.cell, one.sheet, one.header, one.of) for one in references(tables, "Remedies", "newbush")]
    assert found == [
        ("C2", "Bundles", "Members", "BOTH Both at once"),
        ("C3", "Bundles", "Members", "TIME Both at once"),
    ]
    parts = [(one.sheet, one.header, one.of) for one in references(tables, "Parts", "SEAL")]
    assert parts == [("Operations", "Parts", "SEALING Change the seal")]
    assert not list(references(tables, "Parts", "SEA"))


def test_a_job_names_codes_in_its_fields(tmp_path: Path) -> None:
    """A field such as Fees is looked through like a column."""
    sheets = job()
    sheets["Job"].append(["Fees", "PICKUP x 12"])
    found, problems = read_tables(write_book(tmp_path / "job.xlsx", sheets), "job")
    assert not problems
    assert [(one.header, one.of) for one in references(found, "Fees", "PICKUP")] == [("Fees", "")]
    assert [one.header for one in references(found, "Findings", "WORN")] == ["Finding"]


def test_what_is_no_workbook_is_a_problem(tmp_path: Path) -> None:
    path = tmp_path / "x.xlsx"
    path.write_bytes(b"no")
    found, problems = read_tables(path, "job")
    assert (dict(found), len(problems)) == ({}, 1)
