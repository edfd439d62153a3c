"""Choices worked out from the workbook's formulas by a Python package: a check that needs no spreadsheet program."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from random import Random

import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests.random_jobs import Case
from tests.recalculation.combinations import choices, figures_of, live_cases, priced
from tests.recalculation.examples import EXAMPLES, an_example
from tests.recalculation.figures import NOTHING, figure_cells
from tests.recalculation.package import PackageWorkbook

CHOICES = 8


@pytest.mark.parametrize("first", [800_000, 800_100, 800_201])
def test_every_figure_of_a_few_choices(first: int, tmp_path: Path) -> None:
    """Of three random quotes; reading a workbook's formulas takes this package a second or two."""
    assert differences(*next(live_cases(first)), tmp_path) == []


@pytest.mark.parametrize("path", EXAMPLES[1:3], ids=lambda path: path.stem)
def test_a_few_choices_of_an_example(path: Path, tmp_path: Path) -> None:
    case = an_example(path)
    assert differences(1, case, build_quote(*case), tmp_path) == []


def differences(seed: int, case: Case, quote: Quote, folder: Path) -> list[str]:
    """Where a figure shown is not the engine's, or there is one where nothing is chosen."""
    value = lay_out_customer_quote(quote)
    workbook = PackageWorkbook(value, folder / f"quote{seed}.xlsx")
    cells = figure_cells(value, quote)
    assert len(cells) >= 7
    found = []
    for choice in choices(quote, Random(seed), CHOICES)[:CHOICES]:
        expected = figures_of(priced(*case, choice))
        for (cell, names), shown in zip(cells.items(), workbook.shown(choice.typed, list(cells)), strict=True):
            amount = sum((expected.get(name, Decimal(0)) for name in names), Decimal(0))
            if shown != float(amount):
                found.append(f"seed {seed}: {choice.typed}: {cell} {names} shows {shown}, the engine says {amount}")
    for text in ("", "g*", None, 1):
        shown_at_all = set(workbook.shown({"chosen_tier": text}, list(cells)))
        if shown_at_all != {NOTHING}:
            found.append(f"seed {seed}: nothing chosen ({text!r}) shows {shown_at_all}")
    return found
