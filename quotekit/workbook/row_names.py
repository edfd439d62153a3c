"""How a row is called in a sentence: by its code and name, or by what it is about."""

from __future__ import annotations

from typing import Any

from quotekit.documents.costing_input_line import value_words
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.columns import JOB_WORKBOOK
from quotekit.workbook.rows import Row, field_of

_FORMS = {
    "Parts used": "{part} used by {used_by}",
    "Offers": "{part} from {supplier}",
    "Markup": "the band over {cost_over}",
    "Fits only if": "{remedy}, fits only if {finding}",
    "Taxes": "{tax} on {charges}",
    "Findings": "{finding} {side}",
    "Extras": "{extra} {side}",
    "One-off": "{line}",
    "Plan": "{item} {side} in {tier}",
    "Labour rates": "{code} {in_force_from}",
}
_OF_JOB = frozenset({"Findings", "Extras"})
"""Sheets of both workbooks: the form is for the job's."""


def row_name(declared: SheetColumns, row: Row) -> str:
    """The name of a row for people: `SEAL-19 (Oil seal)`, `SEAL-19 used by BUSH-FIT`."""
    of_job = declared in JOB_WORKBOOK
    form = _FORMS.get(declared.name)
    if form is not None and (of_job or declared.name not in _OF_JOB):
        said = {field_of(column): value_words(row.values.get(field_of(column))) for column in declared.columns}
        return " ".join(form.format(**said).split())
    first, second = declared.columns[0], declared.columns[1]
    code, name = (_text(row.values.get(field_of(column))) for column in (first, second))
    named = second.kind == "text" and name and name != code
    return f"{code} ({name})" if named else code


def _text(value: Any) -> str:
    return value_words(value)
