"""The example data that comes with the package: a folder a workbook, a text file a sheet, a line a row.

The first line of a file names its columns. Numbers, dates and percents stand as a person would type them.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from importlib.resources import files
from importlib.resources.abc import Traversable

from quotekit.workbook.column import SheetColumns

Rows = tuple[Mapping[str, str], ...]


def example_folder(*names: str) -> Traversable:
    """A folder of the example data."""
    return files("quotekit").joinpath("example_data", *names)


def read_example(folder: Traversable, declared: Iterable[SheetColumns]) -> dict[str, Rows]:
    """The rows of each declared sheet that the folder holds, by sheet name, in declared order."""
    found: dict[str, Rows] = {}
    for sheet in declared:
        file = folder.joinpath(f"{sheet.name}.csv")
        if file.is_file():
            found[sheet.name] = tuple(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
    return found


def folder_names(folder: Traversable) -> list[str]:
    """The folders inside a folder, in order."""
    return sorted(entry.name for entry in folder.iterdir() if entry.is_dir() and not entry.name.startswith(("_", ".")))
