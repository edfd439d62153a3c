"""Somebody types in a cell of the open shop book while cells are to be worked out again: `typed_meanwhile.py FOLDER`.

FOLDER holds `shop book.xlsx` and `plain.oxt`; a real keyboard on a virtual screen. What is seen is printed as JSON.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from mouse import Screen, place_of
from office import Office


def main() -> None:
    """In the cell, and in the line above the cells."""
    folder = Path(sys.argv[1])
    with Screen() as screen, Office(folder / "profile", extension=folder / "plain.oxt", headless=False) as office:
        book = office.open(folder / "shop book.xlsx")
        parts, band = book.Sheets.getByName("Parts"), book.Sheets.getByName("Markup").getCellRangeByName("C2")
        own = parts.getCellRangeByName("J2")
        own.Formula = "=SELLING_PRICE(D2/C2)"
        office.wait_for(lambda: own.Value == 8.25)
        controller = book.CurrentController
        controller.setActiveSheet(parts)
        found = {}
        for number, (how, cell) in enumerate({"in the cell": "L5", "in the line": "L7"}.items(), 1):
            controller.select(parts.getCellRangeByName(cell))
            controller.Frame.ContainerWindow.setFocus()
            time.sleep(2)
            if how == "in the line":
                screen.click(*place_of(office, "Input line"))
            before = own.Value
            band.Value = number
            screen.type("half")
            time.sleep(4)
            found[how] = {"meanwhile": own.Value == before}
            screen.type(" and half")
            screen.key("Return")
            office.wait_for(lambda before=before: own.Value != before)
            found[how] |= {"typed": parts.getCellRangeByName(cell).String, "then": own.Value}
        book.close(True)
    print(json.dumps(found))


if __name__ == "__main__":
    main()
