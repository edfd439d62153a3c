"""The options side by side with a last column for a no: what each puts right, what is done, parts, when it is ready."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from quotekit.documents.customer_amounts import charge_rows, labour_rows, total_rows
from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.money_text import money_text
from quotekit.documents.sheet import Cell, Row, blank, money, text
from quotekit.documents.wording import (
    DECLINE,
    NONE,
    at_side_words,
    finding_name,
    item_words,
    joined,
    part_words,
    ready_words,
    sentence,
)
from quotekit.model.quote import PartLine, PricedTier, Quote, TierItem

_FEW_FINDINGS = 6


def header_row(quote: Quote, grid: Grid) -> Row:
    """The names of the options; repeated on each page."""
    names = [text(option_title(quote, tier), "column") for tier in quote.offered]
    return grid.fit(label_cell("", "column left"), *names, text(DECLINE, "column"), keep=True)


def option_title(quote: Quote, tier: PricedTier) -> str:
    """`Option 1` over the owner's name of it."""
    return f"{option_number(quote, tier)}\n{tier.name}"


def option_number(quote: Quote, tier: PricedTier) -> str:
    """`Option 1`, in the order offered."""
    return f"Option {quote.offered.index(tier) + 1}"


def option_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """The whole table below its header."""
    for section in (_fixed_rows, _item_rows, _part_rows):
        yield from grid.together(section(quote, grid))
    yield from grid.together(labour_rows(quote, grid))
    yield from grid.together((*charge_rows(quote, grid), *total_rows(quote, grid)))
    if not at_a_glance(quote):
        yield from limit_row(quote, grid)
        yield from ready_row(quote, grid)


def limit_row(quote: Quote, grid: Grid) -> Iterator[Row]:
    """Within the customer's spending limit, or over it by how much."""
    limit = quote.job.spending_limit
    if limit is None:
        return
    language, currency = quote.book.settings.language, quote.currency

    def answer(tier: PricedTier) -> str:
        over = tier.total - limit
        return f"Over by {money_text(over, currency, language)}" if over > 0 else "Within"

    yield from answers(f"Your limit of {money_text(limit, currency, language)}", answer, "", quote, grid)


def ready_row(quote: Quote, grid: Grid) -> Iterator[Row]:
    """Working days to ready."""
    yield from answers("Ready, counted from your yes", lambda tier: ready_words(tier.ready_days), "", quote, grid)


def answers(label: str, answer: Callable[[PricedTier], str], declined: str, quote: Quote, grid: Grid) -> Iterator[Row]:
    """A row of words, one for each option and one for a no."""
    cells = [text(answer(tier), "answer") for tier in quote.offered]
    yield from grid.line(label, (*cells, text(declined, "answer")))


def _fixed_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    faults = [(n, found) for n, found in enumerate(quote.job.findings, start=1) if found.fault]
    if faults:
        yield grid.section("What is put right")
    for number, found in faults:
        yield from answers(
            f"{number}. {finding_name(found)} ({found.severity})",
            _fixed(found.key),
            "Not fixed",
            quote,
            grid,
        )


def _fixed(key: str) -> Callable[[PricedTier], str]:
    return lambda tier: "Fixed" if key in tier.fixed else "Not fixed"


def _item_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    language = quote.book.settings.language
    yield grid.section("The work (life: an estimate, not a guarantee)")
    for words in _in_order(quote, lambda tier: [item_words(item, language) for item in tier.items]):
        yield from answers(words, _taken(words, language), NONE, quote, grid)


def _taken(words: str, language: str) -> Callable[[PricedTier], str]:
    def answer(tier: PricedTier) -> str:
        return next((_included(item) for item in tier.items if item_words(item, language) == words), NONE)

    return answer


def _included(item: TierItem) -> str:
    if item.done_by_larger_work:
        return "Done by the larger work"
    return "As you asked" if item.asked else "Included"


def _part_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    labels = _in_order(quote, lambda tier: [part_words(part, quote) for part in tier.part_lines])
    if not labels:
        return
    yield grid.section("Parts")
    for label in labels:
        cells = [_part_cell(_part(tier, label, quote)) for tier in quote.offered]
        yield from grid.line(label, (*cells, text(NONE, "answer")))
    sums = [money(tier.amounts.parts, "sum") for tier in quote.offered]
    yield from grid.line("Parts together", (*sums, blank("sum")), "sum label")


def _part(tier: PricedTier, label: str, quote: Quote) -> PartLine | None:
    return next((part for part in tier.part_lines if part_words(part, quote) == label), None)


def _part_cell(part: PartLine | None) -> Cell:
    return text(NONE, "answer") if part is None else money(part.amount)


def _in_order(quote: Quote, labels: Callable[[PricedTier], list[str]]) -> list[str]:
    """Labels of all options, each once, in the order they first appear."""
    return list(dict.fromkeys(label for tier in quote.offered for label in labels(tier)))


def at_a_glance(quote: Quote) -> bool:
    """The first page has a short table, unless one option and a few findings make it needless."""
    return len(quote.offered) > 1 or len(quote.job.findings) > _FEW_FINDINGS


def glance_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """The short answer on the first page: total, how much is put right, when."""
    yield from grid.heading("The options at a glance")
    yield header_row(quote, grid)
    faults = [found for found in quote.job.findings if found.fault]
    totals = [money(tier.total, "sum") for tier in quote.offered]
    yield from grid.line(
        "Total to pay, tax included", (*totals, money(quote.declined.total, "sum")), "sum label", keep=True
    )
    if faults:
        count = len(faults)
        yield from answers("Put right", lambda tier: f"{len(tier.fixed)} of {count}", f"0 of {count}", quote, grid)
    yield from limit_row(quote, grid)
    yield from ready_row(quote, grid)


def left_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """What each option leaves and what that may lead to, then what a no leaves."""
    yield from grid.heading("What each option leaves, and what that may lead to")
    for tier in quote.offered:
        lines = _left_lines(quote, tier.left) + _leaves_lines(tier)
        yield from _listed(
            option_number(quote, tier), lines or ["All that was found and calls for work is put right"], grid
        )
    safety = tuple(found.key for found in quote.job.findings if found.fault and found.severity == "safety")
    yield from _listed(DECLINE, [_after_a_no(quote), *_left_lines(quote, safety)], grid)


def _listed(label: str, lines: list[str], grid: Grid) -> Iterator[Row]:
    """Sentences one below the other, the label beside the first."""
    for number, line in enumerate(lines):
        yield from grid.pairs("" if number else label, sentence(line))


def _leaves_lines(tier: PricedTier) -> list[str]:
    """What repairs do not put right, each said once for all its sides."""
    said: dict[tuple[str, str], list[str]] = {}
    for item in tier.items:
        if item.leaves:
            said.setdefault((item.wording or item.name, item.leaves), []).append(item.side or "")
    return [f"{at_side_words(name, joined(sides))}: {leaves}" for (name, leaves), sides in said.items()]


def _left_lines(quote: Quote, keys: tuple[str, ...]) -> list[str]:
    by_key = {found.key: found for found in quote.job.findings}
    lines = []
    for key in keys:
        found = by_key[key]
        stays = "A safety matter stays" if found.severity == "safety" else "Not put right"
        may = f" May lead to: {found.if_left}" if found.if_left else ""
        lines.append(f"{stays}: {finding_name(found)}.{may}")
    return lines


def _after_a_no(quote: Quote) -> str:
    faults = [found for found in quote.job.findings if found.fault]
    if not faults:
        return "The machine stays as it is."
    safety = sum(found.severity == "safety" for found in faults)
    said = (
        f"Nothing is put right: all {len(faults)} findings stay"
        if len(faults) > 1
        else "Nothing is put right: the finding stays"
    )
    return f"{said}, {safety} of them a safety matter." if safety and len(faults) > 1 else f"{said}."
