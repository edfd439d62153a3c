"""A small shop book whose findings, extras, remedies and positions differ by machine class."""

from __future__ import annotations

from typing import Any

from quotekit.model.shop_book import ShopBook
from tests.build import a_book, a_finding, a_machine, a_remedy, an_extra, an_operation

CLASSES = (
    ("BLOWER", "Snow thrower (two-stage)", ["left", "right"]),
    ("TANDEM", "Trailer, tandem", ["left front", "left rear", "right front", "right rear"]),
    ("10", "Tiller", ["tines"]),
)


def class_shop(**values: Any) -> ShopBook:
    """Three classes; LOOSE can be on any of them, and one extra is for the two with wheels."""
    sheets: dict[str, Any] = {
        "machines": [a_machine(code, machine_class=name, positions=sides) for code, name, sides in CLASSES],
        "operations": [an_operation("FIT"), an_operation("TEST")],
        "findings": [
            a_finding("BORE", machines=["BLOWER"], measure="Bore", unit="in", limit="0.770", fails_when="above"),
            a_finding("HUB", machines=["TANDEM", "BLOWER"], measure="Play", unit="mm"),
            a_finding("LOOSE", finding="Bolts loose"),
        ],
        "remedies": [
            a_remedy("BUSH-NEW", ["BORE"], ["FIT"]),
            a_remedy("HUB-NEW", ["HUB"], ["FIT"]),
            a_remedy("TIGHTEN", ["BORE", "LOOSE"], ["FIT"]),
        ],
        "extras": [an_extra("GREASE", ["FIT"], machines=["TANDEM"]), an_extra("BELT", ["FIT"], machines=["BLOWER"])],
    }
    return a_book(**(sheets | values))
