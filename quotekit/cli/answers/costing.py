"""Request `costing`: the costing and the quote of the open job or quote, and whether they may be out of date."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from quotekit.cli.answers.request import Refused, Words, document


def answer(words: Words) -> dict[str, Any]:
    """`{"document", "of": "job" or "quote", "book": path or null}` gives number, version, and the files beside it.

    `older_than` names what was saved after the costing was written: a change of a file's date is no proof that a figure
    changed, only that it may have.
    """
    opened = document(words, "document")
    folder = opened.folder
    number, version = _of_quote(opened.copy) if words.get("of") == "quote" else _of_job(opened.copy)
    costing, quote = (_beside(folder, number, version, what) for what in ("costing", "quote"))
    sources = [opened.path if words.get("of") != "quote" else None, Path(words["book"]) if words.get("book") else None]
    return {
        "job": number,
        "version": version,
        "costing": None if costing is None else str(costing),
        "quote": None if quote is None else str(quote),
        "older_than": [] if costing is None else _newer(costing, filter(None, sources)),
    }


def _of_job(path: Path) -> tuple[str, int]:
    from quotekit.workbook.job_identity import read_job_identity

    known, problems = read_job_identity(path)
    if known is None:
        raise Refused(problems)
    return known


def _of_quote(path: Path) -> tuple[str, int]:
    from quotekit.workbook.read_returned import read_quote

    quote, problems = read_quote(path)
    if quote is None or quote.version is None:
        raise Refused(problems)
    return quote.number, quote.version


def _beside(folder: Path, number: str, version: int, what: str) -> Path | None:
    from quotekit.cli.output_files import file_start

    path = folder / f"{file_start(number, version)} {what}.xlsx"
    return path if path.is_file() else None


def _newer(costing: Path, sources: Iterable[Path]) -> list[str]:
    """Which of the sources were saved after the costing was written."""
    written = costing.stat().st_mtime_ns
    return [source.name for source in sources if source.is_file() and source.stat().st_mtime_ns > written]
