"""What a workbook of the folder came to, as it travels from who priced it to who tells it, and as it is kept.

The bytes of equal outcomes are equal, wherever they were worked out.
"""

from __future__ import annotations

import json
import zlib
from typing import Literal, NamedTuple

from quotekit.problems import Place
from quotekit.record import record

Kind = Literal["job", "shop book", "quote", "costing", "other"]
"""Only a job is priced; what else lies in the folder is passed over."""

_QUICK = 1
"""How hard zlib tries: a quote as JSON becomes a sixth at once, harder is slower and hardly smaller."""

_ANY_TEXT: Literal["surrogatepass"] = "surrogatepass"
"""Names of files may be no proper text; what they are made of comes back as it was."""


class Task(NamedTuple):
    """One workbook of the folder: its place in the order of names, its name and its bytes."""

    number: int
    file: str
    data: bytes


class Result(NamedTuple):
    """A task that was done: its number, the packed outcome, and whether it may be kept for another run."""

    number: int
    packed: bytes
    keep: bool


@record
class Outcome:
    """What a workbook came to. `line` is the object of `quote --json` on one line, empty where it is no job."""

    file: str
    kind: Kind
    line: str = ""
    customer: str = ""
    machine: str = ""
    photos: tuple[tuple[str, Place], ...] = ()
    """Photos that a quote would show, by name and the cell that names them: whether they are there is seen later."""
    figures: str = ""
    """Of a costing: what its tiers came to, as JSON (`before.py`)."""


def pack(outcome: Outcome) -> bytes:
    """The outcome as bytes, made small. The line stands as it is behind the rest: it is long, and JSON already."""
    told = [outcome.file, outcome.kind, outcome.customer, outcome.machine, outcome.photos, outcome.figures]
    return zlib.compress(f"{json.dumps(told)}\n{outcome.line}".encode(errors=_ANY_TEXT), _QUICK)


def unpack(packed: bytes) -> Outcome:
    """The outcome in such bytes.

    >>> unpack(pack(Outcome(file="a.xlsx", kind="job", photos=(("p.jpg", Place("a.xlsx", "Findings", "G4")),)))).photos
    (('p.jpg', Place(file='a.xlsx', sheet='Findings', cell='G4')),)
    """
    told, _, line = zlib.decompress(packed).decode(errors=_ANY_TEXT).partition("\n")
    file, kind, customer, machine, photos, figures = json.loads(told)
    return Outcome(
        file=file,
        kind=kind,
        line=line,
        customer=customer,
        machine=machine,
        photos=tuple((name, Place(*place)) for name, place in photos),
        figures=figures,
    )
