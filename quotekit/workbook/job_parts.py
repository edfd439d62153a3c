"""The job's Parts sheet: a row stands for that code on this job only, and is held to the same rules (DESIGN.md 4)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from quotekit.model.shop_book import Part, ShopBook
from quotekit.problems import Problem, warning
from quotekit.workbook.book_records import build_part, is_unread, left_out_of
from quotekit.workbook.check_cycles import check_part_loops
from quotekit.workbook.check_markup import Band, check_part_prices
from quotekit.workbook.check_taxes import taxed_as_problems
from quotekit.workbook.names import code_key, did_you_mean
from quotekit.workbook.rows import Row


def read_job_parts(
    rows: Iterable[Row], book: ShopBook, bands: Sequence[Band] | None
) -> tuple[dict[str, Part], list[Problem]]:
    """Parts of this job by code, spelled as in the shop book."""
    parts: dict[str, Part] = {}
    for row in rows:
        if row.sound:
            part = build_part(**row.values, source=row.source)
            parts.setdefault(part.code, part)
    if not parts:
        return {}, []
    together = replace(book, parts={**book.parts, **parts})
    problems = [
        *check_part_prices(parts.values(), bands),
        *taxed_as_problems(replace(book, parts=parts)),
        *(problem for problem in check_part_loops(together) if problem.place.file != book.file),
        *_used_by_nothing(book, parts),
    ]
    return parts, problems


def _used_by_nothing(book: ShopBook, parts: dict[str, Part]) -> list[Problem]:
    if is_unread(book, "Parts"):
        return []
    named = {part.replaced_by for part in parts.values()}
    named |= {entry.code for part in parts.values() for entry in (*part.also_needs, *part.contains)}
    lost = left_out_of(book, "Parts")
    return [
        warning(
            part.source.place("Code"),
            "job-part-unused",
            f"{part.code} is not a part of the shop book, so this row stands for nothing",
            f"{did_you_mean(part.code, book.parts)}Use the code of the part it stands for, or list it on One-off.",
            part.code,
        )
        for part in parts.values()
        if part.code not in book.parts and part.code not in named and code_key(part.code) not in lost
    ]
