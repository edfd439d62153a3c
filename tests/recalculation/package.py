"""A workbook's formulas worked out by the package `formulas`, where there is no spreadsheet program."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from quotekit.documents.sheet import WorkbookValue
from quotekit.workbook.write_sheet import write_workbook
from tests.recalculation.figures import named_cells
from tests.recalculation.office import Value


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
