"""What the Open XML SDK's validator lets through: faults of cells, lists, names and formulas, and what we never write.

    python tests/conformity/lint.py WORKBOOK...

prints each fault as `file: place: fault` and ends with 1 if there is any.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.conformity.lint_formulas import formula_faults
from tests.conformity.lint_package import package_faults
from tests.conformity.lint_sheet import sheet_faults
from tests.conformity.package_parts import Parts


def faults(workbook: bytes, *, shop: str | None = None, any_function: bool = False) -> list[str]:
    """Every fault as `place: what`; with `shop` the properties may hold nothing but that name and fixed dates.

    `any_function`: books the shop fills in use more functions for their drop-downs than a customer's quote may, and
    the shop's own papers may link to its workbooks.
    """
    return [*_each_fault(Parts.of(workbook), shop, any_function)]


def _each_fault(parts: Parts, shop: str | None, any_function: bool) -> Iterator[str]:
    yield from package_faults(parts, shop, may_link=any_function)
    for name, part in parts.sheets.items():
        for fault in sheet_faults(parts.root(part), len(parts.texts)):
            yield f"{name}!{fault}"
    yield from formula_faults(parts, any_function)


def main(paths: list[str]) -> int:
    """Lint the files named on the command line."""
    found = [f"{path}: {fault}" for path in paths for fault in faults(Path(path).read_bytes(), any_function=True)]
    print("\n".join(found) or "no fault")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
