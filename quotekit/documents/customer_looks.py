"""How the customer's documents look: one sans serif face, black on white, one quiet accent, thin rules.

All sizes follow the body text, so that a long quote can be set a little smaller as a whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from functools import cache

from quotekit.documents.sheet import Look

SIZES = (9.5, 9.0, 8.5, 8.0)
"""Body text in points, the largest first; none smaller, so that it can be read on paper."""

_INK = "#1C1C1C"
_QUIET = "#4A4A4A"
_ACCENT = "#1F3B4D"
_PALE = "#F1F3F4"
_FIELD = "#FBF7E6"
_BODY = Look(colour=_INK)
_STRONG = replace(_BODY, bold=True)
_SECTION = replace(_BODY, bold=True, colour=_ACCENT, below="thin", upright="bottom")
_COLUMN = replace(_STRONG, above="medium", below="medium", upright="bottom")
_TOTAL = replace(_STRONG, fill=_PALE, above="medium", below="medium", upright="middle")

_LOOKS: Mapping[str, tuple[float, Look]] = {
    "shop": (7, replace(_STRONG, colour=_ACCENT, upright="bottom")),
    "kind": (7, Look(colour=_ACCENT, align="right", upright="bottom")),
    "contact rule": (0, Look(colour=_QUIET, below="medium")),
    "gap": (-2, Look()),
    "body": (0, replace(_BODY, upright="middle")),
    "quiet": (0, Look(colour=_QUIET, upright="middle")),
    "label": (0, Look(colour=_QUIET)),
    "fact": (0, _BODY),
    "fact strong": (0, _STRONG),
    "quoted": (0, replace(_BODY, italic=True)),
    "heading": (1.5, replace(_SECTION, colour=_ACCENT)),
    "column": (0, replace(_COLUMN, align="right")),
    "column left": (1, replace(_COLUMN, colour=_ACCENT)),
    "section": (0.5, _SECTION),
    "section right": (0, Look(colour=_QUIET, below="thin", align="right", upright="bottom")),
    "section sum": (0, replace(_STRONG, below="thin", align="right", upright="bottom")),
    "finding": (0, replace(_STRONG, upright="middle")),
    "inset": (0, replace(_BODY, indent=1)),
    "picture": (0, Look()),
    "chart space": (0, Look()),
    "line": (0, replace(_BODY, upright="middle")),
    "answer": (0, replace(_BODY, align="right", upright="middle")),
    "money": (0, replace(_BODY, align="right", upright="middle")),
    "sum label": (0, replace(_STRONG, upright="middle")),
    "sum": (0, replace(_STRONG, align="right", upright="middle")),
    "subtotal label": (0, replace(_STRONG, above="thin", upright="middle")),
    "subtotal": (0, replace(_STRONG, above="thin", align="right", upright="middle")),
    "total label": (1.5, _TOTAL),
    "total": (1, replace(_TOTAL, align="right")),
    "tick box": (1, replace(_BODY, align="right", upright="middle")),
    "tick": (0.5, replace(_BODY, align="right", upright="middle", fill=_FIELD, unlocked=True)),
    "pick label": (1, replace(_COLUMN, colour=_ACCENT)),
    "pick": (0.5, replace(_STRONG, above="medium", below="medium", upright="bottom", fill=_FIELD, unlocked=True)),
    "box": (0.5, replace(_BODY, align="right", upright="middle")),
    "screen": (0, Look(colour=_QUIET, upright="middle", indent=1)),
    "screen money": (0, replace(_BODY, align="right", upright="middle")),
    "screen title": (0, replace(_STRONG, colour=_QUIET, align="right", upright="bottom")),
    "choice": (0.5, replace(_BODY, upright="middle")),
    "to fill": (0, replace(_BODY, below="thin", upright="bottom")),
}


@cache
def looks_at(size: float) -> Mapping[str, Look]:
    """The styles with a body text of so many points.

    >>> looks_at(9.0)["body"].size, looks_at(8.0)["total"].size
    (9.0, 9.0)
    """
    return {
        name: replace(look, size=float(Decimal(str(size)) + Decimal(str(more))))
        for name, (more, look) in _LOOKS.items()
    }


LOOKS = looks_at(SIZES[0])
