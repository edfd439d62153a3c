"""A cell of a costing or of a customer's quote, told: the figure in it, its rule, what went into it, and the cells.

The job and the shop book are priced again as they are now; where the figure is another by now, that is said first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from quotekit.cli.answers.figure_words import figure_words
from quotekit.cli.answers.request import Document, Refused
from quotekit.cli.answers.told_cell import Spot, ToldCell, told_cell
from quotekit.problems import Place

if TYPE_CHECKING:
    from quotekit.cli.answers.input_cell import Workbooks
    from quotekit.model.explanation import Explanation
    from quotekit.model.quote import PricedTier, Quote
    from quotekit.workbook.addresses import Position
    from quotekit.workbook.returned_cells import RawCell

NO_FIGURE = "No figure stands in this cell. Select an amount, hours, or a cell that names other cells."

MOST_FIGURES = 4
"""Of a group of figures, such as the hours of each rate."""


def of_costing(place: Place, costing: Document, others: Sequence[Document]) -> dict[str, Any]:
    """What a cell of a costing is."""
    from quotekit.cli.answers.explain_cell import read_workbooks
    from quotekit.cli.answers.inputs_near import named_inputs
    from quotekit.workbook.costing_cells import costing_cell
    from quotekit.workbook.read_costing import read_costing
    from quotekit.workbook.returned_cells import read_raw

    read, problems = read_costing(costing.copy)
    raw, _ = read_raw(costing.copy)
    if read is None or raw is None:
        raise Refused(problems)
    book, job = named_inputs(costing, others, read.book_file, read.job_file)
    known = read_workbooks(book, job)
    quote = _priced(known)
    at = _position(place)
    found = costing_cell(raw, place.sheet, at, {})
    tier = next((one for one in quote.tiers if one.code == found.tier), None)
    if tier is not None:
        found = costing_cell(raw, place.sheet, at, lines_of_money(quote, tier))
    if found.places:
        places = [one for text in found.places if (one := _named(text, book, job)) is not None]
        return told_cell(_of_places(place, places, known), [book, job], job)
    if not found.figure:
        return told_cell(ToldCell(title=_at(place), paragraphs=(NO_FIGURE,)), [])
    told = _of_figure(place, quote, tier, found.figure, known, found.cell)
    return told_cell(told, [book, job], job)


def of_quote(place: Place, document: Document, others: Sequence[Document]) -> dict[str, Any]:
    """What a cell of a quote for a customer is; only the shop sees this, it is not in the quote."""
    from quotekit.cli.answers.explain_cell import read_workbooks
    from quotekit.cli.answers.inputs_near import job_of_number, only_book
    from quotekit.workbook.read_quote_figures import quote_figure_at
    from quotekit.workbook.returned_cells import read_raw
    from quotekit.workbook.returned_facts import cell_at, returned_quote

    raw, problems = read_raw(document.copy)
    returned, more = returned_quote(raw) if raw is not None else (None, [])
    if raw is None or returned is None:
        raise Refused([*problems, *more])
    at = _position(place)
    found = quote_figure_at(returned, place.sheet, at)
    if found is None:
        return told_cell(ToldCell(title=_at(place), paragraphs=(NO_FIGURE,)), [])
    name, label = found
    job = job_of_number(document, others, returned.number)
    book = only_book(document, others)
    known = read_workbooks(book, job)
    quote = _priced(known)
    tier = next((one for one in quote.tiers if one.code == name.tier), None)
    told = _of_figure(place, quote, tier, name.figure, known, cell_at(raw, place.sheet, at), label)
    return told_cell(told, [book, job], job)


def _priced(known: Workbooks) -> Quote:
    from quotekit.pricing import build_quote
    from quotekit.problems import has_errors

    inputs = known.inputs
    if inputs.book is None or inputs.job is None or has_errors(known.problems):
        raise Refused(known.problems)
    return build_quote(inputs.book, inputs.job)


def _of_figure(
    place: Place,
    quote: Quote,
    tier: PricedTier | None,
    figure: str,
    known: Workbooks,
    cell: RawCell | None,
    label: str = "",
) -> ToldCell:
    from quotekit.documents.explanation_figures import meant_by, named_figures
    from quotekit.documents.explanation_text import explanation_lines
    from quotekit.workbook.costing_cells import PART_OF

    of = tier or next((one for one in quote.tiers if one.priced), None)
    if of is None or not of.priced:
        return ToldCell(title=_at(place), paragraphs=("This option could not be worked out, so it has no figures.",))
    whole, part_of, line = figure.partition(PART_OF)
    names = meant_by(whole, named_figures(quote, of))
    if not names:
        words = f"`{label or figure_words(whole)}` is no figure of its own; select the amounts it is made of."
        return ToldCell(title=_at(place), paragraphs=(words,))
    trees = _trees(quote, of, names)[:MOST_FIGURES]
    inner = next((one for one in trees[0].inputs if one.figure == line), None) if line else None
    trees, exact = ((inner,), True) if inner is not None else (trees, not part_of and len(trees) == 1)
    start = f"{of.name} ({of.code}), " if tier is not None else ""
    files = {quote.book.file: "", quote.job.file: "job "}
    paragraphs = [
        *([f"This is one line of `{figure_words(whole)}`, which is:"] if part_of and not exact else []),
        *(_short(tree, quote) for tree in trees),
        *_changed(trees[0], cell if exact else None),
        "In full:",
        *("\n".join(explanation_lines(tree, files)) for tree in trees),
    ]
    title = f"{_at(place)}: {start}{figure_words(trees[0].figure if exact else whole)}"
    return ToldCell(title=title, paragraphs=tuple(paragraphs), spots=tuple(_spots(trees, known)))


def _trees(quote: Quote, tier: PricedTier, names: Sequence[str]) -> tuple[Explanation, ...]:
    """The figures with all they hang on, as the command `explain` tells them."""
    from quotekit.cli.explain import explained_figures

    return explained_figures(quote, tier, names)


def _short(tree: Explanation, quote: Quote) -> str:
    """A figure, its rule, and what went straight into it."""
    from quotekit.documents.explanation_text import value_words, without_section

    money = f" {quote.currency}" if tree.form == "money" else ""
    lines = [f"{figure_words(tree.figure)}: {value_words(tree)}{money}", without_section(tree.rule)]
    lines += [f"  {figure_words(one.figure)}: {value_words(one)}" for one in tree.inputs[:20]]
    if tree.rounding:
        lines.append(f"Rounded {tree.rounding}.")
    return "\n".join(lines)


def _changed(tree: Explanation, cell: RawCell | None) -> Iterator[str]:
    """That the figure is another by now than the document says."""
    value = cell.value if cell is not None else None
    if isinstance(value, Decimal) and isinstance(tree.number, int | Decimal) and tree.number != value:
        yield (
            f"Here stands {value:f}; with the job and the shop book as they are now it is {tree.value}. "
            "Price the job again to bring the document up to date."
        )


def _spots(trees: Sequence[Explanation], known: Workbooks) -> Iterator[Spot]:
    """The cells that the figures are worked out from, then those that decide without going into them."""
    from quotekit.cli.answers.input_cell import short_words
    from quotekit.model.explanation import all_cells, cells_of_tree, in_order

    into = in_order(place for tree in trees for place in cells_of_tree(tree) if place.cell)
    also = in_order(place for tree in trees for place in all_cells(tree) if place.cell and place not in set(into))
    for place in into:
        yield Spot(place=place, words=short_words(place, known))
    for place in also:
        words = short_words(place, known)
        yield Spot(place=place, words=f"decides: {words}" if words else "decides")


def _of_places(at: Place, places: Sequence[Place], known: Workbooks) -> ToldCell:
    """A cell that names others: each with what it is; one alone is told as if it had been selected."""
    from quotekit.cli.answers.input_cell import short_words, tell_input_cell

    spots = tuple(Spot(place=place, words=short_words(place, known)) for place in places)
    if len(places) == 1:
        told = tell_input_cell(places[0], known)
        return ToldCell(title=told.title, paragraphs=told.paragraphs, spots=(*spots, *told.spots))
    lines = "\n".join(f"  {place.sheet}!{place.cell}: {spot.words}" for place, spot in zip(places, spots, strict=True))
    return ToldCell(title=_at(at), paragraphs=(f"This names the cells:\n{lines}",), spots=spots)


def _named(text: str, book: Document, job: Document) -> Place | None:
    """A place as a costing spells it: `Parts!D14`, `job Job!B8`."""
    of, spot = (job, text[4:]) if text.startswith("job ") else (book, text)
    sheet, _, cell = spot.rpartition("!")
    return Place(of.copy.name, sheet, cell) if sheet else None


def lines_of_money(quote: Quote, tier: PricedTier) -> dict[str, str]:
    """Figures of the lines of money by their names, as the costing writes them."""
    from quotekit.documents.costing_sources import rate_of

    found = {line.name: "amounts.fees > " for line in tier.fee_lines}
    found |= {line.name: f"bundles.{line.key}.amount" for line in tier.saving_lines}
    found |= {line.name: "amounts.sublet > " for line in tier.sublet_lines}
    found |= {f"{line.name}, on labour": "amounts.savings > " for line in tier.saving_lines}
    found |= {f"{line.name}, on parts": "amounts.savings > " for line in tier.saving_lines}
    found |= {line.tax: f"taxes.{line.tax}.amount" for line in tier.taxes}
    for part in tier.part_lines:
        found |= dict.fromkeys(_part_words(part.name, part.part), f"parts.{part.part}")
    for line in tier.labour_lines:
        rate = rate_of(quote, line.rate)
        name = rate.name or line.rate if rate is not None else line.rate
        found[f"Labour, {name}"] = f"hours.billed.{line.rate}"
    return found


def _part_words(name: str, code: str) -> tuple[str, str]:
    return f"{name} ({code})", f"{name} ({code}), the customer’s own"


def _position(place: Place) -> Position:
    from quotekit.workbook.addresses import column_number
    from quotekit.workbook.reading_order import cell_parts

    letters, row = cell_parts(place.cell)
    return row, column_number(letters)


def _at(place: Place) -> str:
    return f"{place.sheet}!{place.cell}"
