"""LibreOffice prints as many pages as the layout says: rows are tall enough, columns fit, breaks hold."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import WorkbookValue
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.workbook.photos import read_photos, shrink
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_sheet import write_workbook
from tests.documents import quotes
from tests.workbook.pictures import a_photo

CASES: dict[str, Quote] = {
    "one": quotes.one(),
    "three": quotes.three(),
    "forty": quotes.many_findings(),
    "long": quotes.long_texts(),
    "german": quotes.quote(language="de_DE", currency="EUR"),
}


EXAMPLES = Path(__file__).parents[2] / "examples"
JOBS = sorted(path for path in EXAMPLES.glob("*/*.xlsx") if path.name != "shop book.xlsx")


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
@pytest.mark.parametrize("language", ["en_US", "en_GB"])
def test_each_example_prints_on_two_pages(path: Path, language: str) -> None:
    """On Letter and on A4, its photos beside the findings."""
    book = read_shop_book(path.parent / "shop book.xlsx")[0]
    assert book is not None
    job = read_job(path, book)[0]
    assert job is not None
    quote = build_quote(replace(book, settings=replace(book.settings, language=language)), job)
    photos, _ = read_photos(job, path.parent)
    assert planned_pages(lay_out_customer_quote(quote, photos)) <= 2


def planned_pages(value: WorkbookValue) -> int:
    """One page a sheet that is seen, and one more for each break."""
    return sum(1 + sum(row.break_before for row in sheet.rows) for sheet in value.sheets if not sheet.hidden)


def test_printed_pages_are_those_planned(soffice: str, tmp_path: Path) -> None:
    """A page too many would mean a row that is taller, or a column that is wider, than was thought."""
    photos = {"bushing.jpg": shrink(a_photo(800, 600))}
    planned = {}
    for name, quote in CASES.items():
        value = lay_out_customer_quote(quote, photos)
        planned[name] = planned_pages(value)
        write_workbook(value, tmp_path / f"{name}.xlsx")
    files = [str(tmp_path / f"{name}.xlsx") for name in CASES]
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    command = [soffice, "--headless", profile, "--convert-to", "pdf", "--outdir", str(tmp_path), *files]
    subprocess.run(command, check=True, capture_output=True)
    printed = {name: len(re.findall(rb"/Type/Page\b", (tmp_path / f"{name}.pdf").read_bytes())) for name in CASES}
    assert printed == planned
