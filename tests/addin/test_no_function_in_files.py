"""No file that is written holds one of the functions: a customer's spreadsheet would show an error, and tell of us."""

from __future__ import annotations

import io
import re
import zipfile
from html import unescape

import pytest

from quotekit.addin.office.cell_reasons import METHODS
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.pricing import build_quote
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.written import customer_quotes, shop_workbooks
from tests.workbook.hostile import everywhere

FORMULAS = re.compile(r"<(?:f|formula\d?|definedName)\b[^>]*>([^<]*)<")
NAMES = [*METHODS, *METHODS.values(), "SHOPFUNCTIONS"]
LOOKS_LIKE_ONE = '=SELLING_PRICE(12.5;"x")'


def formulas(data: bytes) -> list[str]:
    """Every formula of a workbook: in cells, drop-downs, conditions and names."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        parts = [package.read(name).decode() for name in package.namelist() if name.endswith(".xml")]
    return [unescape(found) for part in parts for found in FORMULAS.findall(part)]


def with_functions(data: bytes) -> list[str]:
    """Formulas that call one of the functions."""
    return [one for one in formulas(data) if any(name in one.upper() for name in NAMES)]


@pytest.mark.parametrize("kind", ["customer", "shop"])
def test_no_document_holds_one(kind: str) -> None:
    """Quotes of every example and of random jobs, costings, books to fill in, filled templates."""
    files = customer_quotes() if kind == "customer" else shop_workbooks()
    assert len(files) > 10 and sum(len(formulas(data)) for data in files.values()) > 100
    assert {name: found for name, data in files.items() if (found := with_functions(data))} == {}


def test_a_text_that_looks_like_one_stays_a_text() -> None:
    """Typed into any cell of the shop book and the job that the quote shows."""
    quote = build_quote(*everywhere(LOOKS_LIKE_ONE))
    data = workbook_bytes(lay_out_customer_quote(quote, {}))
    assert with_functions(data) == []
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        texts = unescape(package.read("xl/sharedStrings.xml").decode())
    assert texts.count(LOOKS_LIKE_ONE) > 3


def test_the_search_finds_one() -> None:
    """A search that can't fail proves nothing."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        package.writestr("xl/worksheets/sheet1.xml", "<c><f>ROUND(ORG.QUOTEKIT.SHOPFUNCTIONS.TAXON(A1),0)</f></c>")
    assert len(with_functions(held.getvalue())) == 1
