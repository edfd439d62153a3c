"""What was found, one block a finding: its severity in words, the measurement with its limit, a picture beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from quotekit.documents.customer_grid import Grid
from quotekit.documents.sheet import Picture, Row, blank, picture, text
from quotekit.documents.wording import SEVERITIES_EXPLAINED, SEVERITY_WORDS, finding_name, in_words, sentence
from quotekit.model.job import FoundFinding
from quotekit.model.quote import Quote

_PICTURE_HEIGHT = 104.0


def finding_rows(quote: Quote, grid: Grid, photos: Mapping[str, Picture]) -> Iterator[Row]:
    """All findings of the job in their order."""
    yield from grid.heading("What we found")
    if not quote.job.findings:
        yield from grid.paragraph("Nothing was found that is out of order.")
        return
    yield from grid.paragraph(SEVERITIES_EXPLAINED, "quiet", keep=True)
    language = quote.book.settings.language
    for number, found in enumerate(quote.job.findings, start=1):
        yield from _finding(number, found, grid, language, photos.get(found.photo))


def _finding(number: int, found: FoundFinding, grid: Grid, language: str, photo: Picture | None) -> Iterator[Row]:
    title = f"{number}. {finding_name(found)}" if found.fault else f"{number}. Within its limit: {finding_name(found)}"
    yield grid.fit(
        text(title, "finding", grid.columns - 1),
        text(SEVERITY_WORDS[found.severity], "severity"),
        keep=True,
    )
    sentences = _sentences(found, language)
    if photo is None:
        yield from _closed(grid.beside(("\n".join(sentences),), (grid.columns,), ("inset",)))
    else:
        yield from _closed(_with_picture(sentences, replace(photo, alt=_alt(number, found, language)), grid))


def _sentences(found: FoundFinding, language: str) -> list[str]:
    note = "" if found.note in (found.name, found.customer_wording) else found.note
    return [
        line
        for line in (
            sentence(found.customer_wording) if found.fault else "",
            in_words(found, language),
            f"Note: {sentence(note)}" if note else "",
            f"If left: {sentence(found.if_left)}" if found.if_left and found.fault else "",
        )
        if line
    ]


def _with_picture(sentences: list[str], photo: Picture, grid: Grid) -> Iterator[Row]:
    """The text in the left columns, the picture in the right ones, as tall as the taller of both."""
    right = 2
    left = grid.columns - right
    first, *more = grid.beside(("\n".join(sentences),), (left,), ("beside",), keep=True)
    height = max(first.height or 0.0, _PICTURE_HEIGHT)
    yield replace(first, cells=(*first.cells, picture(photo, right, "picture")), height=height)
    for row in more:
        yield replace(row, cells=(*row.cells, blank("picture", right)))


def _alt(number: int, found: FoundFinding, language: str) -> str:
    return f"Photograph of finding {number}: {finding_name(found)}. {in_words(found, language)}"


def _closed(rows: Iterator[Row]) -> Iterator[Row]:
    """The rows kept together, the last one free to end a page."""
    held = list(rows)
    for row in held[:-1]:
        yield replace(row, keep_with_next=True)
    for row in held[-1:]:
        yield replace(row, keep_with_next=False)
