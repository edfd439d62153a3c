"""Times cells in a real office without a window: `time_cells.py EXTENSION BOOK ASKED` prints a line a measure."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from office import Office, values


def formula(name: str, arguments: list) -> str:
    """A function with its arguments as they are typed."""
    words = ["" if one is None else f'"{one}"' if isinstance(one, str) else repr(one) for one in arguments]
    return f"={name}({';'.join(words)})"


def main() -> None:
    """Every function in a column of its own."""
    extension, book, asked = (Path(word) for word in sys.argv[1:4])
    columns = json.loads(asked.read_text(encoding="utf-8"))
    profile = book.parent / "profile"
    with Office(profile, extension=extension) as office:
        document = office.new()
        document.storeAsURL((book.parent / "sums.ods").as_uri(), values(FilterName="calc8"))
        sheet = document.Sheets.getByIndex(0)
        for column, (name, rows) in enumerate(columns.items()):
            cells = sheet.getCellRangeByPosition(column, 0, column, len(rows) - 1)
            start = time.perf_counter()
            cells.setFormulaArray(tuple((formula(name, one),) for one in rows))
            figures = [row[0] for row in cells.getDataArray()]
            first = time.perf_counter() - start
            start = time.perf_counter()
            document.calculateAll()
            again = time.perf_counter() - start
            count = sum(isinstance(one, float) for one in figures)
            print(f"{name:14} {len(rows)} cells, {count} with a figure: first {first:6.2f} s, all again {again:6.2f} s")
        opened = office.open(book)
        last = sheet.getCellByPosition(0, len(columns["SELLING_PRICE"]) - 1)
        before = last.Value
        markup = opened.Sheets.getByName("Markup")
        start = time.perf_counter()
        for row in range(40):
            cell = markup.getCellByPosition(2, row)
            if cell.Type.value == "VALUE":
                cell.Value += 0.5
        stood = until_it_is(lambda: last.Value != before)
        taken = time.perf_counter() - start
        print(f"a change in the open shop book is in all cells after {taken:.2f} s, the office still for {stood:.2f} s")
        opened.close(True)
        document.close(True)


def until_it_is(what) -> float:
    """Ask until it is so; the longest that the office took to answer."""
    longest, end = 0.0, time.perf_counter() + 300
    while time.perf_counter() < end:
        start = time.perf_counter()
        found = what()
        longest = max(longest, time.perf_counter() - start)
        if found:
            return longest
        time.sleep(0.02)
    raise SystemExit("the new figures did not come")


if __name__ == "__main__":
    main()
