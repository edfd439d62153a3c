"""LibreOffice prints as many pages as the layout says: rows are tall enough, columns fit, breaks hold."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import WorkbookValue
from quotekit.model.quote import Quote
from quotekit.workbook.photos import shrink
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


def planned_pages(value: WorkbookValue) -> int:
    """One page a sheet, and one more for each break."""
    return sum(1 + sum(row.break_before for row in sheet.rows) for sheet in value.sheets)


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
