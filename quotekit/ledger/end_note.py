"""A note beside a file ledger of its last entry: a chain alone can't show that its end was cut off.

After each recording one line `SEQ HASH` is written to `LEDGER-end`. It may lag behind (a command killed just then), so
it says that *at least* this entry must be there. A line that no longer fits the ledger stays beside the new one, so
that what was cut off or put back from an older copy is told for good, not until the next entry. A ledger on a server
has no such note: there the hash of an earlier check, kept elsewhere, does the same (`quotekit ledger check --last`).
Who changes the ledger can change the note too; it finds mishaps and hasty hands.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

_LINE = re.compile(r"([1-9][0-9]{0,17}) ([0-9a-f]{64})")
_MOST = 20
"""Lines kept of what no longer fits: the oldest tell enough."""


class End(NamedTuple):
    """An entry that was once the last."""

    seq: int
    hash: str


def note_beside(path: Path) -> Path:
    """The file of the note: beside the ledger itself, also where it is reached by a link."""
    real = path.resolve()
    return real.with_name(f"{real.name}-end")


def read_ends(path: Path) -> list[End]:
    """What the note says; nothing where there is none, or for a line that is none."""
    try:
        lines = note_beside(path).read_text(encoding="ascii", errors="replace").splitlines()
    except OSError:
        return []
    return [End(int(found[1]), found[2]) for found in map(_LINE.fullmatch, lines) if found]


def no_longer_fit(ends: Sequence[End], hash_at: Callable[[int], str | None]) -> list[End]:
    """Ends that the ledger does not hold."""
    return [end for end in ends if hash_at(end.seq) != end.hash]


def note_end(path: Path, lost: Sequence[End], last: End) -> None:
    """Write the note anew. A disk that refuses is no fault: what it said before still holds."""
    note = note_beside(path)
    unfinished = note.with_name(f"{note.name}-new")
    lines = "".join(f"{end.seq} {end.hash}\n" for end in (*dict.fromkeys(lost[:_MOST]), last))
    with suppress(OSError):
        unfinished.write_text(lines, encoding="ascii")
        os.replace(unfinished, note)
