"""What was found, and what each option puts right: measurement with its limit, what may follow, a picture beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from quotekit.documents.customer_grid import Grid
from quotekit.documents.sheet import Picture, Row, blank, picture, text
from quotekit.documents.wording import SEVERITIES_EXPLAINED, finding_name, in_words, sentence
from quotekit.model.job import FoundFinding
from quotekit.model.quote import Quote

_PICTURE_HEIGHT, _TIGHT_HEIGHT = 54.0, 39.0


def finding_rows(quote: Quote, grid: Grid, photos: Mapping[str, Picture]) -> Iterator[Row]:
    """All findings of the job in their order."""
    yield from grid.section("What we found")
    findings = quote.job.findings
    if not findings:
        yield from grid.paragraph("Nothing was found that is out of order.")
        return
    yield from grid.paragraph(severity_words(findings), "quiet", keep=True)
    for number, found in enumerate(findings, start=1):
        yield from grid.whole(_finding(number, found, quote, grid, photos.get(found.photo)))


def severity_words(findings: tuple[FoundFinding, ...]) -> str:
    """What the severities met here mean."""
    return " ".join(words for severity, words in SEVERITIES_EXPLAINED.items() if _has(findings, severity))


def _has(findings: tuple[FoundFinding, ...], severity: str) -> bool:
    return any(found.severity == severity for found in findings)


def _finding(number: int, found: FoundFinding, quote: Quote, grid: Grid, photo: Picture | None) -> Iterator[Row]:
    language = quote.book.settings.language
    title = f"{number}. {finding_name(found)} ({found.severity})"
    words = " ".join(finding_sentences(found, language))
    if found.fault:
        answers = [text(_answer(found.key in tier.fixed), "answer") for tier in quote.offered]
        yield from grid.line(title, (*answers, text(_answer(False), "answer")), "finding", keep=True)
    else:
        words = f"{title}: {words}"
    if photo is None:
        yield from grid.paragraph(words, "inset" if found.fault else "fact")
    else:
        yield from _with_picture(words, replace(photo, alt=_alt(number, found, language)), grid)


def _answer(fixed: bool) -> str:
    return "Fixed" if fixed else "Not fixed"


def finding_sentences(found: FoundFinding, language: str) -> list[str]:
    """What was found, how it was judged and what may follow."""
    noted = found.code.startswith("OTHER-") or found.severity_typed
    note = found.note if noted and found.note not in (found.name, found.customer_wording) else ""
    lines = (
        sentence(found.customer_wording) if found.fault else "",
        in_words(found, language),
        f"Note: {sentence(note)}" if note else "",
        f"If left: {sentence(found.if_left)}" if found.if_left and found.fault else "",
    )
    return [line for line in lines if line]


def _with_picture(words: str, photo: Picture, grid: Grid) -> Iterator[Row]:
    """The text in the left columns, the picture in the right ones, as tall as the taller of both."""
    right = 2
    first, *more = grid.beside((words,), (grid.columns - right,), ("inset",), keep=True)
    height = max(first.height or 0.0, _TIGHT_HEIGHT if grid.tight else _PICTURE_HEIGHT)
    yield replace(first, cells=(*first.cells, picture(photo, right, "picture")), height=height)
    for row in more:
        yield replace(row, cells=(*row.cells, blank("picture", right)))


def _alt(number: int, found: FoundFinding, language: str) -> str:
    return f"Photograph of finding {number}: {finding_name(found)}. {in_words(found, language)}"
