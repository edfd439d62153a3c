"""The columns of the workbook of proposed times: written by the review, ticked by the owner, read back."""

from __future__ import annotations

from quotekit.workbook.column import Column, SheetColumns

PROPOSALS = SheetColumns(
    name="Proposals",
    help="One row for each cell of the shop book that the season speaks against.",
    needed=True,
    columns=(
        Column(header="Take over", kind="yes/no", help="Yes to take the new value over."),
        Column(header="Sheet", required=True, help="The sheet of the shop book."),
        Column(header="Code", kind="code", required=True, help="The row's code."),
        Column(header="Column", required=True, help="The column."),
        Column(header="Now", kind="hours", required=True, help="What the shop book says now."),
        Column(header="New", kind="hours", required=True, help="What is proposed; it may be typed over."),
    ),
)
