"""Each column of what a row is about tells two rows apart, whatever else of them was typed anew (shop policy)."""

from __future__ import annotations

import pytest

from tests.workbook.test_row_pairs import paired, rows, sheet

ABOUT = {
    "Labour rates": "code in_force_from",
    "Parts used": "used_by part sides machines, used_by part sides, used_by part",
    "Offers": "part supplier suppliers_number, part supplier",
    "Fits only if": "remedy finding from_ to, remedy finding",
    "Taxes": "tax charges machines customer_class in_force_from, "
    "tax machines customer_class in_force_from, tax charges",
    "job Findings": "finding side note, finding side",
    "job Extras": "extra side",
    "One-off": "line kind, kind quantity",
    "Plan": "tier item side, tier item",
}
"""By sheet what a row goes by, and by what after that: each column counts, whatever else was changed."""

STEPS = [
    (name, about.split(), column)
    for name, steps in ABOUT.items()
    for about in steps.split(", ")
    for column in about.split()
]


@pytest.mark.parametrize(("name", "about", "column"), STEPS)
def test_each_column_tells_two_rows_apart(name: str, about: list[str], column: str) -> None:
    """Two rows alike but for one column change places, and all that they do not go by is typed anew."""
    declared = sheet(name.removeprefix("job "), of_job=name.startswith("job ") or name in ("One-off", "Plan"))
    every = {one for step in ABOUT[name].split(", ") for one in step.split()}
    stays = dict.fromkeys(about, "same")
    first, second = (dict.fromkeys(every, f"old {at}") | stays | {column: f"{at}"} for at in (1, 2))
    later, sooner = (dict.fromkeys(every, f"new {at}") | stays | {column: f"{at}"} for at in (2, 1))
    assert paired(declared, rows(first, second), rows(later, sooner)) == ([(1, 0), (0, 1)], [], [])
