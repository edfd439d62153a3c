"""Choices worked out from the workbook's formulas by a Python package: a check that needs no spreadsheet program."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from itertools import islice
from pathlib import Path
from random import Random
from typing import Any

import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import WorkbookValue
from quotekit.workbook.write_sheet import write_workbook
from tests.recalculation.combinations import choices, figures_of, live_cases, priced
from tests.recalculation.figures import NOTHING, figure_cells, named_cells
from tests.recalculation.office import Value

CASES, CHOICES = 2, 8


class PackageWorkbook:
    """A workbook whose formulas the package works out."""

    def __init__(self, value: WorkbookValue, path: Path) -> None:
        from formulas import ExcelModel

        write_workbook(value, path)
        self._model = ExcelModel().loads(str(path)).finish()
        self._file = path.name
        self._named = named_cells(value)

    def shown(self, typed: Mapping[str, Value], wanted: list[str]) -> list[Any]:
        """What cells show once others were filled by name."""
        inputs = {self._key(self._named[name]): _typed(value) for name, value in typed.items()}
        solution = self._model.calculate(inputs=inputs)
        return [solution[self._key(cell)].value.ravel()[0] for cell in wanted]

    def _key(self, cell: str) -> str:
        sheet, address = cell.split("!")
        return f"'[{self._file}]{sheet.upper()}'!{address}"


def _typed(value: Value) -> Any:
    """A value as the package takes it."""
    import numpy
    from formulas.functions import XlError
    from formulas.tokens.operand import Error
    from schedula import EMPTY

    if value is None:
        return numpy.array([[EMPTY]], object)
    if isinstance(value, dict):
        known: dict[str, object] = {"=TRUE()": True, '="Yes"': "Yes", "=NA()": Error.errors["#N/A"]}
        found = known[value["formula"]]
        assert isinstance(found, (bool, str, XlError))
        return found
    return value


@pytest.mark.parametrize("first", [800_000, 800_100, 800_201])
def test_every_figure_of_a_few_choices(first: int, tmp_path: Path) -> None:
    differing, compared = [], 0
    for seed, case, quote in islice(live_cases(first), CASES):
        value = lay_out_customer_quote(quote)
        workbook = PackageWorkbook(value, tmp_path / f"quote{seed}.xlsx")
        cells = figure_cells(value, quote)
        for choice in choices(quote, Random(seed), CHOICES)[:CHOICES]:
            expected = figures_of(priced(*case, choice))
            for (cell, names), shown in zip(cells.items(), workbook.shown(choice.typed, list(cells)), strict=True):
                amount = sum(expected.get(name, Decimal(0)) for name in names)
                compared += 1
                if shown != float(amount):
                    differing.append((seed, choice, cell, names, shown, amount))
    assert differing == []
    assert compared > 20


def test_nothing_chosen_shows_no_money(tmp_path: Path) -> None:
    _, _, quote = next(live_cases(800_400))
    value = lay_out_customer_quote(quote)
    workbook = PackageWorkbook(value, tmp_path / "quote.xlsx")
    wanted = list(figure_cells(value, quote))
    for text in ("", "g*", None, 1):
        assert set(workbook.shown({"chosen_tier": text}, wanted)) == {NOTHING}
