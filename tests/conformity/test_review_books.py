"""The review and the proposed times pass the Open XML SDK's validator and the lint, hostile texts too."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from quotekit.documents.review_book import lay_out_review
from quotekit.documents.review_proposals import has_cells, lay_out_proposals
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.lint import faults
from tests.conformity.open_xml import errors_of, program_in
from tests.review.reviews import every

NAMES = sorted(every())


@cache
def written() -> dict[str, bytes]:
    """Every workbook by name."""
    books = {f"review {name}": workbook_bytes(lay_out_review(review)) for name, review in every().items()}
    proposals = {
        f"proposals {name}": workbook_bytes(lay_out_proposals(review))
        for name, review in every().items()
        if has_cells(review)
    }
    assert proposals
    return books | proposals


def test_no_fault_that_a_validator_misses() -> None:
    """No formula, no link, no comment."""
    assert {name: found for name, data in written().items() if (found := faults(data, any_function=True))} == {}


def test_the_open_xml_sdk_finds_no_fault(npm_folder: Path, tmp_path: Path) -> None:
    assert errors_of(program_in(npm_folder), written(), tmp_path) == {}


@pytest.mark.parametrize("name", NAMES)
def test_the_same_review_gives_the_same_bytes(name: str) -> None:
    """No clock is in it."""
    review = every()[name]
    assert workbook_bytes(lay_out_review(review)) == workbook_bytes(lay_out_review(review))
