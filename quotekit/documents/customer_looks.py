"""How the customer's documents look: one sans serif face, black on white, one quiet accent, thin rules."""

from __future__ import annotations

from collections.abc import Mapping

from quotekit.documents.sheet import Look

_INK = "#1C1C1C"
_QUIET = "#4A4A4A"
_ACCENT = "#1F3B4D"
_PALE = "#F1F3F4"

LOOKS: Mapping[str, Look] = {
    "shop": Look(size=17, bold=True, colour=_ACCENT, upright="bottom"),
    "kind": Look(size=17, colour=_ACCENT, align="right", upright="bottom"),
    "contact": Look(size=8.5, colour=_QUIET),
    "contact rule": Look(size=8.5, colour=_QUIET, below="medium"),
    "heading": Look(size=11.5, bold=True, colour=_ACCENT, below="thin", upright="bottom"),
    "gap": Look(size=6),
    "body": Look(size=9.5, colour=_INK, upright="middle"),
    "strong": Look(size=9.5, bold=True, colour=_INK, upright="middle"),
    "quiet": Look(size=8.5, colour=_QUIET, upright="middle"),
    "inset": Look(size=9.5, colour=_INK, indent=1, upright="middle"),
    "beside": Look(size=9.5, colour=_INK, indent=1),
    "inset quiet": Look(size=8.5, colour=_QUIET, indent=1, upright="middle"),
    "label": Look(size=9.5, colour=_QUIET),
    "fact": Look(size=9.5, colour=_INK),
    "fact strong": Look(size=9.5, bold=True, colour=_INK),
    "quoted": Look(size=10, italic=True, colour=_INK),
    "finding": Look(size=9.5, bold=True, colour=_INK, above="thin", upright="middle"),
    "severity": Look(size=9.5, bold=True, colour=_INK, above="thin", align="right", upright="middle"),
    "picture": Look(size=8.5),
    "column": Look(size=9.5, bold=True, colour=_INK, align="right", above="medium", below="medium", upright="bottom"),
    "column left": Look(size=9.5, bold=True, colour=_INK, above="medium", below="medium", upright="bottom"),
    "section": Look(size=9.5, bold=True, colour=_ACCENT, below="thin", upright="bottom"),
    "section right": Look(size=8.5, colour=_QUIET, below="thin", align="right", upright="bottom"),
    "line": Look(size=9.5, colour=_INK, upright="middle"),
    "answer": Look(size=9.5, colour=_INK, align="right", upright="middle"),
    "money": Look(size=9.5, colour=_INK, align="right", upright="middle"),
    "sum label": Look(size=9.5, bold=True, colour=_INK, above="thin", upright="middle"),
    "sum": Look(size=9.5, bold=True, colour=_INK, above="thin", align="right", upright="middle"),
    "total label": Look(size=11, bold=True, colour=_INK, fill=_PALE, above="medium", below="medium", upright="middle"),
    "total": Look(
        size=10.5, bold=True, colour=_INK, fill=_PALE, above="medium", below="medium", align="right", upright="middle"
    ),
    "tick": Look(size=9.5, colour=_INK, align="right"),
    "tick box": Look(size=11, colour=_INK, align="right", upright="middle"),
    "choice": Look(size=10.5, colour=_INK, upright="middle"),
    "to fill": Look(size=9.5, colour=_INK, below="thin", upright="bottom"),
    "to fill label": Look(size=8.5, colour=_QUIET, upright="bottom"),
}
