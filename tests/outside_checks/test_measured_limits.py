"""Outside checks of group 4 once more, from real workbooks: a limit in the shop book, a measurement in the job.

On the limit passes, one micrometre beyond is a fault, and a measurement typed in inches is converted exactly (1 in =
25.4 mm). Sources as in test_fits_and_bearings: pressfit 0.1.0, ISO 286 values (4.03, 4.04, 4.06); Machinery's Handbook,
31st edition (4.10); a rolling-bearing handbook, ISO 492 class 0 (4.17); three radial clearance charts, ISO 5753 (4.16).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.model.job import FoundFinding
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.cli.small_shop import job, shop_book, write_book

LIMITS = [
    ("CLEARANCE-25-H7-G6", "mm", "above", 0.041),
    ("CLEARANCE-17-H7-G6", "mm", "above", 0.035),
    ("CLEARANCE-25-H7-H6", "mm", "above", 0.034),
    ("CLEARANCE-RC4", "in", "above", 0.0028),
    ("CLEARANCE-C3", "um", "above", 28),
    ("BORE-25", "mm", "below", 24.990),
]

CASES = [
    ("CLEARANCE-25-H7-G6", 0.041, "mm", False),
    ("CLEARANCE-25-H7-G6", 0.042, "mm", True),
    ("CLEARANCE-17-H7-G6", 35, "um", False),
    ("CLEARANCE-17-H7-G6", 36, "um", True),
    ("CLEARANCE-25-H7-H6", 0.034, None, False),
    ("CLEARANCE-25-H7-H6", 0.0014, "in", True),
    ("CLEARANCE-RC4", 0.07112, "mm", False),
    ("CLEARANCE-RC4", 0.07113, "mm", True),
    ("CLEARANCE-RC4", 2.8, "thou", False),
    ("CLEARANCE-RC4", 2.9, "thou", True),
    ("CLEARANCE-C3", 0.028, "mm", False),
    ("CLEARANCE-C3", 0.029, "mm", True),
    ("BORE-25", 24.990, "mm", False),
    ("BORE-25", 24.989, "mm", True),
    ("BORE-25", 0.98386, "in", False),
    ("BORE-25", 0.98385, "in", True),
]


@pytest.fixture(scope="module")
def book_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop book whose findings have these limits."""
    sheets = shop_book()
    header, *_ = sheets["Findings"]
    rows = [[code, code.title(), "needed", "size", unit, when, limit] for code, unit, when, limit in LIMITS]
    sheets["Findings"] = [header, *rows]
    sheets["Remedies"][1:] = [["NEWBUSH", "New bushing", "replace", LIMITS[0][0], "BELTING", 5]]
    return write_book(tmp_path_factory.mktemp("limits") / "book.xlsx", sheets)


def recorded(book_path: Path, folder: Path, code: str, value: float, unit: str | None) -> FoundFinding:
    """The one finding of a job workbook, read in the light of the shop book."""
    sheets = job()
    sheets["Findings"] = [["Finding", "Measured", "Unit"], [code, value, unit]]
    book, _ = read_shop_book(book_path)
    assert book is not None
    read, problems = read_job(write_book(folder / "job.xlsx", sheets), book)
    assert [problem for problem in problems if problem.severity == "error"] == []
    assert read is not None
    (finding,) = read.findings
    return finding


@pytest.mark.parametrize(("code", "value", "unit", "fault"), CASES)
def test_on_the_limit_passes(
    book_path: Path, tmp_path: Path, code: str, value: float, unit: str | None, fault: bool
) -> None:
    """24.990 mm is 0.983858... in: 0.98386 in passes a lower limit of it, 0.98385 in does not."""
    finding = recorded(book_path, tmp_path, code, value, unit)
    assert (finding.fault, finding.judged) == (fault, False)
    assert finding.severity == ("needed" if fault else "watch")
