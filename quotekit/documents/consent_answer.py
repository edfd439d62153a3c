"""The answer to a changed job: a yes or a no in a drop-down, a place to sign, and the hidden cells that are read back.

A yes stands for the option that was agreed to, so that a sheet sent back is read as a returned quote is; a no has a
code of its own.
"""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.fingerprint import CHOSEN_TIER, WORKING
from quotekit.documents.money_text import money_text
from quotekit.documents.sheet import Cell, NamedRange, Row, Sheet, day, number, row, text
from quotekit.documents.wording import BOX
from quotekit.model.consent import ChangedJob
from quotekit.record import record

YES, NO = "Yes, do it", "No, leave it as agreed"
NO_CODE = "-"
"""Stands where a code of an option would, for a no."""

_ABOUT = "What this sheet is, so that an answer can be read back."
_ROOM = 20.25
_PICK = "Pick your answer here and send the sheet back, or sign below."


@record
class Answers:
    """The hidden sheet with its names, and the range of the answers for the drop-down; empty where nobody is asked."""

    sheet: Sheet
    names: tuple[NamedRange, ...]
    labels: str


def lay_out_answers(changed: ChangedJob) -> Answers:
    """What the sheet is, and the two answers."""
    quote = changed.quote
    lines: list[tuple[str, str, Cell]] = [
        ("quote number", "quote_number", text(quote.job.job_number)),
        ("version", "quote_version", number(quote.job.version, "body")),
        ("quote date", "quote_date", day(quote.job.quote_date)),
        ("valid until", "quote_valid_until", day(changed.valid_until)),
        ("shop", "quote_shop", text(quote.book.settings.shop_name)),
    ]
    rows = [row(text(_ABOUT, "quiet")), *(row(text(label), cell) for label, _, cell in lines)]
    names = [_named(name, at, 1, at, 1) for at, (_, name, _) in enumerate(lines, start=1)]
    first = len(rows)
    rows += [row(text(changed.revision.tier), text(YES)), row(text(NO_CODE), text(NO))]
    names.append(_named("offered_options", first, 0, first + 1, 1))
    labels = f"={WORKING}!$B${first + 1}:$B${first + 2}"
    sheet = Sheet(name=WORKING, rows=tuple(rows), widths=(30.0, 26.0), hidden=True, protected=True)
    return Answers(sheet=sheet, names=tuple(names), labels=labels)


def answer_rows(changed: ChangedJob, grid: Grid, answers: Answers) -> Iterator[Row]:
    """The answer and who gives it, kept together; nothing where the customer is only told."""
    if not changed.revision.needs_consent:
        return
    quote = changed.quote
    total = money_text(changed.revision.agreed.total, quote.currency, quote.book.settings.language)
    pick = Cell(
        kind="blank",
        style="pick",
        across=grid.columns - 2,
        name=CHOSEN_TIER,
        choices=answers.labels,
        prompt=_PICK,
        format="General",
    )
    yield grid.gap()
    yield grid.fit(label_cell("Your answer", "pick label"), pick, keep=True)
    for words in (f"{YES}, for a total to pay of {total}, tax included.", f"{NO}."):
        yield grid.fit(text(f"{BOX}   {words}", "choice", grid.columns), keep=True)
    how = f"Agreed  {BOX} in person  {BOX} by phone  {BOX} by message, to"
    for left, right in (
        ("Name of who agrees", "Agreed total to pay"),
        (how, "Date and time"),
        ("Signature of the customer", "Taken by, for the shop"),
    ):
        cells = (label_cell(f"{left}:", "to fill"), text(f"{right}:", "to fill", grid.columns - 2))
        yield grid.fit(*cells, keep=True, least=_ROOM)


def _named(name: str, first_row: int, first_column: int, last_row: int, last_column: int) -> NamedRange:
    return NamedRange(
        name=name,
        sheet=WORKING,
        first_row=first_row,
        first_column=first_column,
        last_row=last_row,
        last_column=last_column,
    )
