"""Menu: check this workbook."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .copies import Copies
from .pipe import Line
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk


def run(desk: Desk) -> None:
    """Every problem of the workbook in front."""
    document = desk.document
    copies = Copies()

    def done(answer: Line) -> None:
        copies.away()
        problems = answer.get("problems") or answer["done"]["problems"]
        tell(
            desk,
            "\n".join(f"{one['sheet']}!{one['cell']}: {one['message']}" for one in problems) or "No problems found.",
        )

    desk.ask({"do": "check", "document": copies.of(document)}, "Checking the workbook", done, document)
