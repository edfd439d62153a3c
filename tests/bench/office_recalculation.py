"""LibreOffice's side of the benchmark, under the Python that has `uno`: one request a line, one answer a line, JSON.

    {"open": PATH}                                -> {"load": seconds}
    {"set": CELL, "values": [...], "read": [...]} -> {"rounds": [...], "alone": [...], "values": [[...], ...]}
    {"bridge": COUNT}                             -> {"seconds": of one call that asks for nothing}
    {"close": true}                               -> {}

A round sets the cell, works out everything anew (calculateAll) and reads the cells asked for; `alone` is that alone.
Both are seconds by the clock, taken beside the office, so that writing and reading JSON does not count.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "recalculation"))

from office_driver import Office


def found(document: Any, name: str) -> Any:
    """A cell by `Sheet!A1` or by its defined name."""
    if "!" in name:
        sheet, address = name.rsplit("!", 1)
        return document.Sheets.getByName(sheet).getCellRangeByName(address)
    return document.NamedRanges.getByName(name).getReferredCells().getCellByPosition(0, 0)


def answer(office: Office, held: list[Any], asked: dict[str, Any]) -> dict[str, Any]:
    """One request."""
    if "open" in asked:
        start = time.perf_counter()
        held.append(office.open(asked["open"]))
        return {"load": time.perf_counter() - start}
    document = held[-1]
    if "bridge" in asked:
        start = time.perf_counter()
        for _ in range(asked["bridge"]):
            document.isModified()
        return {"seconds": (time.perf_counter() - start) / asked["bridge"]}
    if "close" in asked:
        held.pop().close(True)
        return {}
    cell, wanted = found(document, asked["set"]), [found(document, name) for name in asked["read"]]
    rounds, alone, values = [], [], []
    for value in asked["values"]:
        start = time.perf_counter()
        if isinstance(value, str):
            cell.String = value
        else:
            cell.Value = value
        before = time.perf_counter()
        document.calculateAll()
        alone.append(time.perf_counter() - before)
        values.append([one.Value for one in wanted])
        rounds.append(time.perf_counter() - start)
    return {"rounds": rounds, "alone": alone, "values": values}


def main() -> None:
    """Until standard input ends."""
    program, profile = sys.argv[1:]
    start = time.perf_counter()
    office = Office(program, profile)
    print(json.dumps({"start": time.perf_counter() - start}), flush=True)
    held: list[Any] = []
    try:
        for line in sys.stdin:
            print(json.dumps(answer(office, held, json.loads(line))), flush=True)
    finally:
        office.end()


if __name__ == "__main__":
    main()
