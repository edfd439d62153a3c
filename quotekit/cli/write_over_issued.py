"""Writes a quote over an earlier one of its version as `--replace` asks; what was issued is kept beside, as a copy.

Replacing is what was asked for (DESIGN.md 7), but a version that a ledger issued is what the customer has: the file as
it stands, perhaps with a choice made in it, is worth more than the new one. It goes under another name, all together
with the new files or not at all.

    117-1 quote.xlsx  ->  117-1 quote before 2026-12-01.xlsx, and the new 117-1 quote.xlsx
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.output_files import WriteTo, put_in_place, staged_together
from quotekit.problems import Place, Problem, warning

if TYPE_CHECKING:
    from quotekit.model.quote import Quote


def write_over_issued(writers: Mapping[Path, WriteTo], quote: Quote, book: Path, day: date) -> list[Problem]:
    """Write every file, all or none; a warning that names the copies where something that was issued stood there."""
    said = _issued_words(quote, book) if any(target.exists() for target in writers) else None
    with staged_together(writers) as staged:
        kept = {} if said is None else _copies(staged, day)
        put_in_place(kept | dict(staged))
    return [_kept_problem(next(iter(writers)).parent, said, kept)] if said is not None and kept else []


def _issued_words(quote: Quote, book: Path) -> str | None:
    """Why what stands there is kept: it was issued, or no ledger can say that it was not."""
    from quotekit.cli.issued_version import version_in_ledger
    from quotekit.ledger.fault import LedgerFault

    job = quote.job
    try:
        issued = version_in_ledger(quote, book)
    except LedgerFault as fault:
        return f"The ledger can't say whether this quote was issued ({fault.problem.message.rstrip('.')})"
    if issued is None:
        return None
    return f"Version {job.version} of job {job.job_number} was issued on {issued.day.isoformat()}"


def _copies(staged: Mapping[Path, Path], day: date) -> dict[Path, Path]:
    """Of each file that the new one differs from a copy in the hidden folder, by the name that it gets."""
    kept: dict[Path, Path] = {}
    for target, finished in staged.items():
        if not target.exists():
            continue
        stands = target.read_bytes()
        if stands != finished.read_bytes() and not _is_kept(target, stands):
            free = _free_name(target, day)
            kept[free] = Path(shutil.copy2(target, finished.with_name(free.name)))
    return kept


def _is_kept(target: Path, data: bytes) -> bool:
    """Whether an earlier copy of the file holds these bytes, those of the file."""
    from quotekit.workbook.kept_copies import is_kept_copy

    beside = (path for path in target.parent.iterdir() if path.name.startswith(target.stem) and is_kept_copy(path.name))
    return any(path.suffix == target.suffix and path.read_bytes() == data for path in beside)


def _free_name(target: Path, day: date) -> Path:
    from quotekit.workbook.kept_copies import copy_paths

    return next(path for path in copy_paths(target, day) if not path.exists())


def _kept_problem(folder: Path, said: str, kept: Iterable[Path]) -> Problem:
    names = " and ".join(f'"{path.name}"' for path in kept)
    remedy = "What was handed over is that copy. A changed quote gets a new Version; after a yes use `quotekit revise`."
    return warning(Place(str(folder)), "issued-kept", f"{said}: what stood here is kept as {names}.", remedy)
