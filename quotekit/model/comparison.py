"""What moved between two shop books, two jobs or two quotes, and because of which cells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal
from typing import Literal, NamedTuple

from quotekit.problems import Place, Problem
from quotekit.record import record

ComparedKind = Literal["shop books", "jobs", "quotes", "costings", "json"]


class FigureName(NamedTuple):
    """A figure by the job and tier it belongs to and its path in the tier's JSON; None where there is no such thing."""

    job: str | None
    tier: str | None
    figure: str


@record
class Figure:
    """A figure as the JSON writes it; `number` is None for words, and `text` None for what is null."""

    text: str | None
    number: Decimal | None = None


Figures = Mapping[FigureName, Figure]


@record
class ChangedCell:
    """A cell that differs, or a whole row that came, went or was put elsewhere; None is a blank cell or no row."""

    what: str
    old: str | None
    new: str | None
    place_old: Place | None
    place_new: Place | None
    extent: Literal["cell", "row", "sheet"] = "cell"
    """How much of the sheet the change is: a row that came or went stands for each of its cells, a changed order of
    rows for each cell of the sheet."""

    @property
    def place(self) -> str:
        """Where it is now; where it was, and that it was, for what is there no more."""
        return str(self.place_new) if self.place_new is not None else f"{self.place_old or self.what} (before)"


@record
class MovedFigure:
    """A figure that is not what it was.

    `because` names the changed cells it hangs on. `alone` says, for each of them that was put back by itself, how much
    of the difference went with it; None where it can't stand by itself, or no number tells. `together` is what is left
    of the difference after those: the cells bring it only together.
    """

    name: FigureName
    old: str | None
    new: str | None
    difference: Decimal | None = None
    because: tuple[ChangedCell, ...] = ()
    alone: Mapping[str, Decimal | None] = field(default_factory=dict)
    together: Decimal | None = None


@record
class Comparison:
    """The whole answer. `notes` are sentences about what the files can't tell."""

    kind: ComparedKind
    old: str
    new: str
    cells: tuple[ChangedCell, ...]
    figures: tuple[MovedFigure, ...]
    currency: str = ""
    language: str = "en_US"
    notes: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
