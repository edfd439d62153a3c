"""The sheet for a changed job passes the Open XML SDK's validator and the lint, with hostile and long texts too."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.documents.consent_sheet import lay_out_consent_sheet
from quotekit.workbook.printable import printable
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.lint import faults
from tests.conformity.open_xml import errors_of, program_in
from tests.conformity.written import offered_quotes
from tests.documents.changed_jobs import a_changed_job

SHOWN = ("quote of two options", "quote of hostile texts", "quote of euros in German")


def sheet(name: str, *, asks: bool = True) -> bytes:
    """The sheet for a change of one of these quotes."""
    return workbook_bytes(lay_out_consent_sheet(a_changed_job(offered_quotes()[name], asks=asks)))


def engine_made() -> list[str]:
    """Quotes that the engine priced, so that another choice of them can be priced too."""
    return sorted(name for name, quote in offered_quotes().items() if quote.live is not None)


@pytest.mark.parametrize("name", engine_made())
def test_no_fault_that_a_validator_misses(name: str) -> None:
    """No formula but the drop-down's range, no link, no comment, no property but the shop's name."""
    shop = printable(offered_quotes()[name].book.settings.shop_name)
    assert faults(sheet(name), shop=shop) == []
    assert faults(sheet(name, asks=False), shop=shop) == []


def test_the_open_xml_sdk_finds_no_fault(npm_folder: Path, tmp_path: Path) -> None:
    known = [name for name in SHOWN if name in engine_made()] or engine_made()[:2]
    sheets = {name: sheet(name) for name in known} | {"told": sheet(known[0], asks=False)}
    assert errors_of(program_in(npm_folder), sheets, tmp_path) == {}
