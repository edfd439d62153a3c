"""The sheet of times: what is furthest from its standard, the shop's mean, split hours, every operation and step."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from quotekit.documents.costing_style import head, hours, note, section
from quotekit.documents.review_blocks import Block, Drawing, block, lay_out_blocks
from quotekit.documents.review_words import CIRCUMSTANCE_WORDS, KIND_WORDS, accuracy_words
from quotekit.documents.sheet import Cell, Row, Sheet, number, row, text
from quotekit.model.review import Accuracy, Review

NAME = "Times"
FURTHEST = 12
"""Operations and steps in the chart."""

_WIDTHS = (11.5, 17.5, 10.5, 12.5, 5.0, 7.5, 7.5, 6.0, 6.0, 6.0, 6.0, 6.0, 6.0, 14.0)
_COLUMNS = len(_WIDTHS)


def lay_out_times(review: Review) -> Sheet:
    """The sheet."""
    blocks = []
    far = furthest(review)
    if far:
        blocks.append(_chart(far))
    blocks.append(block([*_shop(review), *_split(review)], _WIDTHS))
    return lay_out_blocks(review, NAME, _WIDTHS, [*blocks, block(_accuracy(review), _WIDTHS)], head=2)


def furthest(review: Review) -> list[Accuracy]:
    """Usual jobs: the operations and steps whose shrunk ratio is furthest from 1, in the order of the distance."""
    usual = [one for one in review.accuracy if one.circumstance == "usual"]
    return sorted(usual, key=lambda one: -abs(one.shrunk - 1))[:FURTHEST]


def _chart(far: list[Accuracy]) -> Block:
    titles = ("Code", "Operation or step", ("Kind", 2), "Jobs", ("Ratio, shrunk", 2), ("From", 2), ("To", 2))
    rows = [*section("Furthest from the standard, usual jobs", _COLUMNS)]
    rows.append(head(*titles, ("", 3), right=(3, 4, 5, 6)))
    for one in far:
        figures = (_wide(one.shrunk), _wide(one.low), _wide(one.high))
        kind = text(KIND_WORDS[one.kind], across=2)
        rows.append(row(text(one.code), text(one.name[:40]), kind, number(one.jobs), *figures, text("", across=3)))
    drawing = Drawing(
        title="Hours worked by standard hours: 1 is as timed",
        head=2,
        count=len(far),
        values=(5,),
        number_format="0.0",
        alt="Bars of the ratio of hours worked to standard hours; 1 is as timed.",
    )
    return block(rows, _WIDTHS, (drawing,), sheet=NAME)


def _wide(value: Decimal) -> Cell:
    return Cell(content=value, kind="number", style="number", across=2, format="0.00")


def _shop(review: Review) -> Iterator[Row]:
    yield from section("The shop's mean, to which small counts are drawn", _COLUMNS)
    titles = ("Jobs", "", ("Operations and steps", 2), ("Jobs", 2), ("Mean ratio", 2))
    yield head(*titles, ("Own ratios vary", 2), ("Jobs vary", 2), ("Mean counts for", 2), right=(2, 3, 4, 5, 6, 7))
    for one in review.shop:
        yield row(
            text(CIRCUMSTANCE_WORDS[one.circumstance], across=2),
            _plain(one.groups),
            _plain(one.jobs),
            _wide(one.mean),
            _or_dash(one.between),
            _or_dash(one.within),
            text("all" if one.prior_jobs is None else f"{one.prior_jobs:f} jobs", "right", 2),
        )
    yield note(
        "Each ratio is a ratio of sums, drawn to the shop's mean by the share of the weight that its jobs lack: "
        "weight = jobs / (jobs + what the mean counts for). All intervals of a kind of job hold together with 95 %. "
        "Rusty hours stand against the standard without its allowance.",
        _COLUMNS,
    )


def _plain(value: int) -> Cell:
    return Cell(content=value, kind="number", style="number", across=2)


def _or_dash(value: Decimal | None) -> Cell:
    return text("-", "right", 2) if value is None else Cell(content=value, kind="number", style="number", across=2)


def _split(review: Review) -> Iterator[Row]:
    if not review.split:
        return
    yield from section("Hours that were split by standard share: no measure of any operation", _COLUMNS)
    yield head(
        "Code", ("Operation or step", 2), "", "Jobs", ("Standard h", 2), ("Split h", 2), ("", 5), right=(3, 4, 5)
    )
    for one in review.split:
        figures = (number(one.jobs), _in_two(one.standard), _in_two(one.hours))
        yield row(text(one.code), text(one.name, across=2), text(""), *figures, text("", across=5))


def _in_two(value: Decimal) -> Cell:
    return Cell(content=value, kind="hours", style="number", across=2)


def _accuracy(review: Review) -> Iterator[Row]:
    yield from section("Every operation and step that was measured", _COLUMNS)
    titles = ("Code", "Operation or step", "Kind", "Of", "Jobs", "Standard h", "Worked h", "Ratio", "Spread", "Weight")
    yield head(*titles, "Shrunk", "From", "To", "", right=range(4, 13))
    for one in sorted(review.accuracy, key=lambda one: (one.code, one.kind)):
        yield _row(one)


def _row(one: Accuracy) -> Row:
    ratios = (one.ratio, one.spread, one.weight, one.shrunk, one.low, one.high)
    said = accuracy_words(one) + (f"; {one.older} under an older time" if one.older else "")
    return row(
        text(one.code),
        text(one.name),
        text(KIND_WORDS[one.kind]),
        text(CIRCUMSTANCE_WORDS[one.circumstance]),
        number(one.jobs),
        hours(one.standard),
        hours(one.actual),
        *(text("", "number") if each is None else _ratio(each) for each in ratios),
        text(said, "beside"),
    )


def _ratio(value: Decimal) -> Cell:
    return Cell(content=value, kind="number", style="number", format="0.00")
