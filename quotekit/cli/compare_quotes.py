"""Two quotes of a job, as files: the figures in them that moved, and why, as far as the files or the books can tell."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.compare_costings import causes_in_costings, changed_inputs
from quotekit.cli.compare_priced import different_jobs, quote_figures, read_pair
from quotekit.model.comparison import ChangedCell, ComparedKind, Comparison, Figure, FigureName, Figures, MovedFigure
from quotekit.money import minor_digits
from quotekit.problems import Place, Problem, has_errors, warning

if TYPE_CHECKING:
    from quotekit.cli.compare_files import Request
    from quotekit.cli.compare_priced import PricedPair
    from quotekit.workbook.read_costing import ReadCosting

_NO_BOOKS = (
    "These files do not say which cells the figures came from. Give the shop book and the job of each "
    "(--old-book, --new-book, --old-job, --new-job, or --book and --job where one stands for both)"
)
_MOST_SHOWN = 5
"""Cells named that differ from what was sent."""


@dataclass(frozen=True, kw_only=True)
class QuoteFile:
    """What one file says of a quote."""

    path: Path
    job: str
    figures: Figures
    currency: str = ""
    language: str = "en_US"
    costing: ReadCosting | None = None


def compare_quotes(asked: Request, kind: ComparedKind) -> Comparison:
    """What moved between two quotes, costings or outputs of quote --json of one job."""
    read = _READERS[kind]
    old, problems = read(asked.old)
    new, found = read(asked.new)
    problems = [*problems, *found]
    if old is None or new is None or has_errors(problems):
        return asked.refused(kind, problems)
    if old.job != new.job:
        return asked.refused(kind, [different_jobs(new.path.name, old.job, new.job)])
    edited = problems
    cells, figures, notes, problems = _with_causes(asked, old, new)
    if has_errors(problems):
        return asked.refused(kind, problems)
    return Comparison(
        kind=kind,
        old=str(asked.old),
        new=str(asked.new),
        cells=cells,
        figures=tuple(figures),
        currency=new.currency,
        language=new.language,
        notes=notes,
        problems=(*edited, *problems),
    )


_Causes = tuple[tuple[ChangedCell, ...], list[MovedFigure], tuple[str, ...], list[Problem]]


def _with_causes(asked: Request, old: QuoteFile, new: QuoteFile) -> _Causes:
    """Figures that moved, with causes from the books and jobs if they are given, else from the costings."""
    from quotekit.pricing.compare import figures_that_moved

    old, new = _in_one_form(old), _in_one_form(new)
    moved = figures_that_moved(old.figures, new.figures)
    jobs = _jobs(asked)
    if asked.books[0] is not None and asked.books[1] is not None and jobs is not None:
        pair, problems = read_pair((asked.books[0], asked.books[1]), jobs)
        if pair is None or has_errors(problems):
            return (), [], (), problems
        return _from_books(pair, old, new, moved)
    if old.costing is not None and new.costing is not None:
        cells, notes = changed_inputs(old.costing, new.costing)
        return cells, causes_in_costings(moved, cells, (old.costing, new.costing)), notes if moved else (), []
    return (), moved, (f"{_NO_BOOKS}.",) if moved else (), []


def _jobs(asked: Request) -> tuple[Path, Path] | None:
    """The job workbook of each file."""
    shared = asked.jobs[0] if len(asked.jobs) == 1 else None
    old, new = (job or shared for job in asked.jobs_of)
    return None if old is None or new is None else (old, new)


def _from_books(pair: PricedPair, old: QuoteFile, new: QuoteFile, moved: list[MovedFigure]) -> _Causes:
    """Causes as the shop books and jobs give them, and a warning where they give other figures than the file's."""
    known = {one.name: one for one in pair.moved()}
    problems = [
        problem
        for file, quote in zip((old, new), pair.quotes, strict=True)
        for problem in _figures_differ(file, quote_figures(quote))
    ]
    figures = [_as_known(one, known.get(one.name)) for one in moved]
    return pair.cells, figures, (), problems


def _as_known(moved: MovedFigure, known: MovedFigure | None) -> MovedFigure:
    if known is None or known.difference != moved.difference:
        return moved
    return replace(known, old=moved.old, new=moved.new)


def _figures_differ(file: QuoteFile, priced: Figures) -> list[Problem]:
    common = [(name, said, priced[name]) for name, said in file.figures.items() if name in priced]
    other = [
        (name, said, now)
        for name, said, now in common
        if said.number is not None and now.number is not None and said.number != now.number
    ]
    if not other:
        return []
    name, said, now = other[0]
    message = (
        f"{len(other)} of its figures are not what this shop book and job give now: {name.figure} of {name.tier} "
        f"is {said.text} here and {now.text} there"
    )
    remedy = "Give the shop book and the job as they were when it was written; causes are told of figures that agree."
    return [warning(Place(file.path.name), "figures-differ", message, remedy)]


def _in_one_form(file: QuoteFile) -> QuoteFile:
    """Amounts of a workbook with the currency's digits."""
    if not file.currency:
        return file
    digits = minor_digits(file.currency)
    return replace(file, figures={name: _spelled(name, one, digits) for name, one in file.figures.items()})


def _spelled(name: FigureName, figure: Figure, digits: int) -> Figure:
    from quotekit.documents.compare_figures import number_of
    from quotekit.documents.compare_words import is_money
    from quotekit.documents.quote_json import money

    if figure.number is None or not is_money(name):
        return figure
    text = money(figure.number, digits)
    return replace(figure, text=text, number=number_of(text))


def _read_json(path: Path) -> tuple[QuoteFile | None, list[Problem]]:
    from quotekit.cli.compare_json_file import read_quote_json
    from quotekit.documents.compare_figures import figures_of

    quote, problems = read_quote_json(path)
    if quote is None:
        return None, problems
    figures = figures_of(quote)
    return QuoteFile(path=path, job=str(quote["job"]), figures=figures, currency=str(quote.get("currency") or "")), []


def _read_costing(path: Path) -> tuple[QuoteFile | None, list[Problem]]:
    from quotekit.workbook.read_costing import read_costing

    costing, problems = read_costing(path)
    if costing is None:
        return None, problems
    language = costing.setting("Language") or "en_US"
    return QuoteFile(
        path=path,
        job=costing.job,
        figures=costing.figures,
        currency=costing.setting("Currency"),
        language=language,
        costing=costing,
    ), []


def _read_quote(path: Path) -> tuple[QuoteFile | None, list[Problem]]:
    """A customer's quote, and the costing beside it if there is one of the same name, job and version."""
    from quotekit.workbook.read_costing import read_costing
    from quotekit.workbook.read_quote_figures import quote_figures_of
    from quotekit.workbook.read_returned import choice_of, read_quote

    quote, problems = read_quote(path)
    if quote is None:
        return None, problems
    problems = _edited(path, choice_of(quote, date.min)[0].changed)
    file = QuoteFile(path=path, job=quote.number, figures=quote_figures_of(quote))
    beside = path.with_name(path.name.replace(" quote.xlsx", " costing.xlsx"))
    if beside == path or not beside.is_file():
        return file, problems
    costing, _ = read_costing(beside)
    if costing is None or (costing.job, costing.version) != (quote.number, str(quote.version)):
        return file, problems
    currency, language = costing.setting("Currency"), costing.setting("Language") or "en_US"
    return replace(file, costing=costing, currency=currency, language=language), problems


def _edited(path: Path, changed: Sequence[str]) -> list[Problem]:
    """A warning where a quote does not say what was sent: what is compared is what stands in the file."""
    if not changed:
        return []
    shown = ", ".join(changed[:_MOST_SHOWN]) + (" and others" if len(changed) > _MOST_SHOWN else "")
    message = f"it does not say what was sent: {shown}"
    remedy = "What stands in it now is compared. Give the quote as it was sent if that is meant."
    return [warning(Place(path.name), "quote-changed", message, remedy)]


_READERS: Mapping[ComparedKind, Callable[[Path], tuple[QuoteFile | None, list[Problem]]]] = {
    "json": _read_json,
    "costings": _read_costing,
    "quotes": _read_quote,
}
