"""Random choices worked out by other programs than LibreOffice, compared with the engine to the cent; run by hand.

    python -m tests.recalculation.other_programs gnumeric [COMBINATIONS] [FIRST SEED]
    python -m tests.recalculation.other_programs hyperformula [COMBINATIONS] [FIRST SEED]

Gnumeric is the Debian package gnumeric; `hyperformula` is an npm package, found through NODE_PATH.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tempfile
import time
import warnings
from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from random import Random

from openpyxl import load_workbook

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import Cell, Sheet, WorkbookValue, placed
from quotekit.workbook.write_sheet import write_workbook
from tests.recalculation.combinations import choices, live_cases
from tests.recalculation.figures import Tally, check, figure_cells, named_cells, working_cells
from tests.recalculation.many import report
from tests.recalculation.office import Value

MOST_OF_ONE = 12
Typed = Mapping[str, Value]
WorkedOut = Callable[[WorkbookValue, list[Typed], list[str]], list[list[Value]]]


def by_gnumeric(value: WorkbookValue, fillings: list[Typed], wanted: list[str]) -> list[list[Value]]:
    """A workbook a filling, recalculated and saved by Gnumeric, then read."""
    shown: list[list[Value]] = []
    with tempfile.TemporaryDirectory() as name:
        sent, saved = Path(name) / "sent.xlsx", Path(name) / "saved.xlsx"
        for typed in fillings:
            write_workbook(filled(value, typed), sent)
            subprocess.run(["ssconvert", "--recalc", str(sent), str(saved)], check=True, capture_output=True)
            with warnings.catch_warnings(action="ignore"):
                book = load_workbook(saved, data_only=True)
            shown.append([_read(book[sheet][address].value) for sheet, address in (one.split("!") for one in wanted)])
    return shown


def filled(value: WorkbookValue, typed: Typed) -> WorkbookValue:
    """The workbook as if these cells had been typed into before it was sent."""

    def cell_with(cell: Cell) -> Cell:
        if cell.name not in typed:
            return cell
        said = typed[cell.name]
        if said is None:
            return replace(cell, content=None, kind="blank", formula="")
        if isinstance(said, (bool, dict)):
            formula = said["formula"] if isinstance(said, dict) else f"={said!s}()".upper()
            return replace(cell, content="to be worked out", kind="text", formula=formula)
        if isinstance(said, str):
            return replace(cell, content=said, kind="text", formula="")
        return replace(cell, content=Decimal(said), kind="number", formula="")

    def sheet_with(sheet: Sheet) -> Sheet:
        rows = (replace(row, cells=tuple(map(cell_with, row.cells))) for row in sheet.rows)
        return replace(sheet, rows=tuple(rows))

    return replace(value, sheets=tuple(map(sheet_with, value.sheets)))


class HyperFormula:
    """A running engine of the web."""

    def __init__(self) -> None:
        script = Path(__file__).with_name("hyperformula.cjs")
        self._process = subprocess.Popen(
            ["node", str(script)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )

    def __call__(self, value: WorkbookValue, fillings: list[Typed], wanted: list[str]) -> list[list[Value]]:
        named = named_cells(value)
        job = {
            "sheets": {sheet.name: _raw(sheet) for sheet in value.sheets},
            "names": {name: "=" + re.sub(r"!([A-Z]+)(\d+)", r"!$\1$\2", cell) for name, cell in named.items()},
            "fillings": [{named[name]: _entered(said) for name, said in typed.items()} for typed in fillings],
            "wanted": wanted,
        }
        assert self._process.stdin is not None and self._process.stdout is not None
        self._process.stdin.write(json.dumps(job) + "\n")
        self._process.stdin.flush()
        return [[_read(one) for one in values] for values in json.loads(self._process.stdout.readline())]


def _raw(sheet: Sheet) -> list[list[object]]:
    rows = []
    for row in sheet.rows:
        line: list[object] = []
        for column, cell in placed(row):
            line += [None] * (column - len(line))
            content = cell.content
            line.append(cell.formula or (float(content) if isinstance(content, (Decimal, int)) else _entered(content)))
        rows.append(line)
    return rows


def _entered(value: object) -> object:
    """A text is marked as one, so that nothing else is read into it."""
    if isinstance(value, dict):
        return value["formula"]
    return f"'{value}" if isinstance(value, str) else value if isinstance(value, (bool, int, float)) else None


def _read(value: object) -> Value:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(value)
    assert value is None or isinstance(value, (str, bool, dict))
    return value


def main(program: str, wanted: int = 1000, first: int = 0) -> int:
    """Until so many combinations were compared; 1 where any figure differs."""
    worked_out: WorkedOut = by_gnumeric if program == "gnumeric" else HyperFormula()
    tally, start, seed = Tally(), time.monotonic(), first
    for seed, case, quote in live_cases(first):
        value = lay_out_customer_quote(quote)
        visible = figure_cells(value, quote)
        hidden = working_cells(quote)
        cells = [*visible, *hidden]
        made = choices(quote, Random(seed), MOST_OF_ONE)
        for choice, shown in zip(made, worked_out(value, [one.typed for one in made], cells), strict=True):
            check(seed, case, quote, choice, dict(zip(cells, shown, strict=True)), visible, hidden, tally)
        tally.workbooks += 1
        if tally.combinations >= wanted:
            break
    for line in tally.differences[:20]:
        print(line)
    report(tally, first, seed, time.monotonic() - start)
    return 1 if tally.differences else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], *(int(argument.replace(",", "")) for argument in sys.argv[2:])))
