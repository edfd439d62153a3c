"""Which lists are compared, and whose they are."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.price_lists import chosen_lists, supplier_in
from quotekit.model.shop_book import ShopBook
from tests.build import a_part, a_supplier, by_code
from tests.pricing.proposals.rows import book_of, offer, part

COLUMNS = '[columns]\nnumber = "Number"\ncost = "Cost"\n'


def shop() -> ShopBook:
    """NORTH sells a part, LAKE offers one, SOUTH has terms and no part."""
    suppliers = by_code(
        [
            a_supplier("NORTH", supplier="North County Parts"),
            a_supplier("LAKE", supplier="Lakeside"),
            a_supplier("SOUTH", supplier="Southern"),
        ]
    )
    return book_of(part("SEAL", "10"), suppliers=suppliers, offers=(offer("SEAL", "9"),))


def mapping(folder: Path, supplier: str, *, named: str | None = None) -> Path:
    """A mapping beside the book; it may say another supplier than its name does."""
    path = folder / f"{supplier} price list.toml"
    path.write_text(f'supplier = "{supplier if named is None else named}"\n{COLUMNS}')
    return path


def lists(folder: Path, *names: str) -> None:
    """Files that are lists, the first the oldest."""
    for place, name in enumerate(names):
        (folder / name).write_text("Number,Cost\n")
        os.utime(folder / name, ns=(10**18 + place, 10**18 + place))


def options(folder: Path, **given: Any) -> argparse.Namespace:
    (folder / "shop book.xlsx").touch()
    named = {"book": folder / "shop book.xlsx", "list": [], "supplier": [], "mapping": []}
    return argparse.Namespace(**(named | given))


def chosen(folder: Path, **given: Any) -> list[tuple[str, str]]:
    """File and supplier of each list; problems would be a surprise."""
    found, problems = chosen_lists(options(folder, **given), shop())
    assert problems == []
    return [(one.path.name, one.supplier) for one in found]


def codes(folder: Path, **given: Any) -> list[str]:
    return [problem.code for problem in chosen_lists(options(folder, **given), shop())[1]]


@pytest.mark.parametrize(
    ("names", "expected", "why"),
    [
        (["NORTH 2025.csv", "NORTH 2026.csv"], "NORTH 2026.csv", "changed last"),
        (["NORTH 2026.csv", "NORTH 2025.csv"], "NORTH 2025.csv", "changed last, whatever its name"),
        (["north-2026.TXT"], "north-2026.TXT", "case and ending do not matter"),
        (["NORTH.csv"], "NORTH.csv", "the name alone"),
        (["NORTH 2026.csv", "NORTHERN 2026.csv"], "NORTH 2026.csv", "another name that begins alike"),
        (["NORTH 2026.csv", "NORTH terms.pdf"], "NORTH 2026.csv", "no list by its ending"),
        (["NORTH 2026.csv", "NORTH shop book price proposals 2026-12-01.xlsx"], "NORTH 2026.csv", "written by us"),
    ],
)
def test_the_newest_list_of_a_mapping(tmp_path: Path, names: list[str], expected: str, why: str) -> None:
    mapping(tmp_path, "NORTH")
    lists(tmp_path, *names)
    assert chosen(tmp_path) == [(expected, "NORTH")], why


def test_a_shop_book_that_begins_like_a_supplier_is_no_list(tmp_path: Path) -> None:
    mapping(tmp_path, "NORTH")
    lists(tmp_path, "NORTH 2026.csv", "NORTH shop.xlsx")
    assert chosen(tmp_path, book=tmp_path / "NORTH shop.xlsx") == [("NORTH 2026.csv", "NORTH")]


def test_every_mapping_with_a_list(tmp_path: Path) -> None:
    """SOUTH has a mapping and no list, and is passed over."""
    for supplier in ("NORTH", "LAKE", "SOUTH"):
        mapping(tmp_path, supplier)
    lists(tmp_path, "LAKE.csv", "NORTH.csv")
    assert chosen(tmp_path) == [("LAKE.csv", "LAKE"), ("NORTH.csv", "NORTH")]
    assert chosen(tmp_path, supplier=["LAKE"]) == [("LAKE.csv", "LAKE")]
    assert chosen(tmp_path, mapping=[tmp_path / "NORTH price list.toml"]) == [("NORTH.csv", "NORTH")]


def test_the_mapping_says_whose_list_it_is(tmp_path: Path) -> None:
    mapping(tmp_path, "county", named="North County Parts")
    lists(tmp_path, "county 2026.csv")
    assert chosen(tmp_path) == [("county 2026.csv", "NORTH")]
    assert chosen(tmp_path, list=[tmp_path / "county 2026.csv"]) == [("county 2026.csv", "NORTH")]


def test_lists_and_suppliers_go_in_pairs(tmp_path: Path) -> None:
    for supplier in ("NORTH", "LAKE"):
        mapping(tmp_path, supplier)
    lists(tmp_path, "a.csv", "b.csv")
    pairs = {"list": [tmp_path / "a.csv", tmp_path / "b.csv"], "supplier": ["LAKE", "NORTH"]}
    assert chosen(tmp_path, **pairs) == [("a.csv", "LAKE"), ("b.csv", "NORTH")]


@pytest.mark.parametrize(
    ("given", "expected", "why"),
    [
        ({}, ["no-price-list"], "nothing beside the book"),
        ({"list": [Path("a.csv")]}, ["no-price-mapping"], "no mapping of that name"),
        ({"list": [Path("a.csv")], "supplier": ["NORTH"]}, ["no-price-mapping"], "no mapping of that supplier"),
        ({"supplier": ["NORTH"]}, ["no-price-list"], "no list of that supplier"),
    ],
)
def test_nothing_to_compare(tmp_path: Path, given: dict[str, Any], expected: list[str], why: str) -> None:
    assert codes(tmp_path, **given) == expected, why


def test_a_supplier_without_a_part(tmp_path: Path) -> None:
    mapping(tmp_path, "SOUTH")
    lists(tmp_path, "SOUTH.csv")
    assert codes(tmp_path) == ["unknown-supplier"]


def test_two_lists_of_one_supplier(tmp_path: Path) -> None:
    mapping(tmp_path, "NORTH")
    mapping(tmp_path, "county", named="North County Parts")
    lists(tmp_path, "NORTH.csv", "county.csv")
    assert codes(tmp_path) == ["supplier-twice"]


def test_a_mapping_that_can_not_be_read(tmp_path: Path) -> None:
    (tmp_path / "NORTH price list.toml").write_text("supplier = ")
    lists(tmp_path, "NORTH.csv")
    assert codes(tmp_path) == ["bad-price-mapping"]


@pytest.mark.parametrize(
    ("name", "expected"),
    [("NORTH", "NORTH"), (" north ", "NORTH"), ("North County Parts", "NORTH"), ("lakeside", "LAKE"), ("SOUTH", None)],
)
def test_a_supplier_by_code_or_name(name: str, expected: str | None) -> None:
    code, problem = supplier_in(shop(), name)
    assert (code, problem is None) == (expected or "", expected is not None)


def test_a_near_name_is_named() -> None:
    _, problem = supplier_in(shop(), "NORHT")
    assert problem is not None and "NORTH" in problem.remedy


def test_a_book_without_the_sheet_of_suppliers() -> None:
    """Suppliers are free text there."""
    book = book_of(a_part("SEAL", 10, supplier="Acme Inc"), suppliers=None)
    assert supplier_in(book, "acme inc") == ("Acme Inc", None)
