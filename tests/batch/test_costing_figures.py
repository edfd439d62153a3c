"""A costing beside the jobs as the quote that was given."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.batch.costing_figures import costing_figures, given_in
from quotekit.cli.main import main
from quotekit.workbook.package import held_package
from tests.batch.small_folder import Folder, small_folder


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    made = small_folder(tmp_path_factory.mktemp("shop"), 1)
    assert main(["quote", str(made.book), str(made.jobs / "job 001.xlsx")]) == 0
    return made


def figures_of(path: Path) -> str:
    package, _ = held_package(path.name, path.read_bytes())
    assert package is not None
    return costing_figures(package)


def test_its_options_by_number_and_version(folder: Folder) -> None:
    """By hand: a bushing at 22.00 / 4 x 1.5 = 8.25, a belt at 19.50 x 1.5 = 29.25, an hour at 90.00, 7 % on parts."""
    found = given_in(figures_of(folder.jobs / "1-1 costing.xlsx"))
    assert found is not None
    key, given = found
    assert (key, given.origin, given.open, given.currency) == (("1", 1), "its costing", True, "USD")
    assert {code: (tier.subtotal, tier.total, sorted(tier.items or ())) for code, tier in given.tiers.items()} == {
        "good": (Decimal("98.25"), Decimal("98.83"), ["NEWBUSH@left"]),
        "better": (Decimal("127.50"), Decimal("130.13"), ["NEWBELT", "NEWBUSH@left"]),
    }


def test_what_is_no_costing_tells_nothing(folder: Folder) -> None:
    assert figures_of(folder.jobs / "1-1 quote.xlsx") == ""
    assert given_in("") is None
    assert given_in('["1", 1, "", "USD", {}]') is None
