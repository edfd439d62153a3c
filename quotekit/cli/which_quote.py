"""Which quote a choice answers: the one of this job, the latest version, and the file as it was sent, where it lies."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error

if TYPE_CHECKING:
    from quotekit.workbook.returned_facts import ReturnedQuote

_NEWEST = "Send the customer the newer one, or agree that the older one holds."


@dataclass(frozen=True, kw_only=True)
class WhichQuote:
    """Number and version, and where each stands in what came back."""

    number: str
    version: int | None
    number_at: Place
    version_at: Place

    def file_name(self, version: int) -> str:
        """The name under which a version of this quote is written."""
        from quotekit.cli.output_files import file_start

        return f"{file_start(self.number, version)} quote.xlsx"


def against_job(which: WhichQuote, number: str, version: int) -> list[Problem]:
    """That the choice is of another job, or of another version of this one."""
    if which.number.strip().casefold() != number.strip().casefold():
        message = f"This choice is of job {which.number}, not of job {number}."
        remedy = "Give the job workbook it belongs to, or the choice that belongs to this job."
        return [error(which.number_at, "choice-of-another-job", message, remedy, which.number)]
    if which.version is None or which.version == version:
        return []
    if which.version < version:
        return [_older(which, version)]
    message = f"This choice is of version {which.version}; the job workbook is still at version {version}."
    remedy = "Give the job workbook that the quote was made from."
    return [error(which.version_at, "choice-of-newer-version", message, remedy, str(which.version))]


def against_folder(which: WhichQuote, folder: Path) -> list[Problem]:
    """That a newer version of the quote lies in a folder."""
    if which.version is None or not folder.is_dir():
        return []
    before, after = which.file_name(0).rsplit("0", 1)
    pattern = re.compile(rf"{re.escape(before)}([1-9][0-9]{{0,8}}){re.escape(after)}", re.IGNORECASE)
    there = [int(match[1]) for path in folder.iterdir() if (match := pattern.fullmatch(path.name))]
    newest = max(there, default=0)
    return [_older(which, newest)] if newest > which.version else []


def as_sent(which: WhichQuote, folders: Iterable[Path], returned: Path | None) -> ReturnedQuote | None:
    """The quote as it was written for the customer, from the first folder that holds it."""
    from quotekit.workbook.read_returned import read_quote

    for folder in folders:
        path = folder / which.file_name(which.version or 0)
        if which.version is None or not path.is_file() or (returned is not None and path.samefile(returned)):
            continue
        sent, _ = read_quote(path)
        if sent is not None and (sent.number, sent.version) == (which.number, which.version):
            return sent
    return None


def against_sent(fingerprint: str, sent: ReturnedQuote, place: Place) -> list[Problem]:
    """That the marks in a returned quote are not those of the quote as it was sent."""
    if fingerprint == sent.fingerprint:
        return []
    message = (
        f"Its marks are not those of {sent.raw.file} as it lies here: one of the two was written or changed later."
    )
    return [error(place, "quote-changed", message, "Compare the two before you take the choice.", fingerprint[:12])]


def _older(which: WhichQuote, newest: int) -> Problem:
    message = f"This choice is of version {which.version}; there is a version {newest} by now."
    return error(which.version_at, "choice-of-older-version", message, _NEWEST, str(which.version))
