"""The options side by side with a last column for a no: the short answer, what is done, parts, what each leaves."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.money_text import money_text
from quotekit.documents.sheet import Cell, Row, blank, money, text
from quotekit.documents.text_fit import characters_for
from quotekit.documents.wording import (
    DECLINE,
    NONE,
    at_side_words,
    finding_name,
    item_words,
    joined,
    part_words,
    promise_words,
    ready_words,
    sentence,
)
from quotekit.model.quote import PartLine, PricedTier, Quote, TierItem


def header_row(quote: Quote, grid: Grid) -> Row:
    """The names of the options; said again where a page starts inside the table."""
    names = [text(option_title(quote, tier), "column") for tier in quote.offered]
    title = "The options side by side" if len(quote.offered) > 1 else "What we offer"
    return grid.fit(label_cell(title, "column left"), *names, text(DECLINE, "column"), keep=True)


def numbers_row(quote: Quote, grid: Grid) -> Row:
    """The same by numbers alone, where paper is short."""
    numbers = [text(option_number(quote, tier), "column") for tier in quote.offered]
    return grid.fit(label_cell("The options, continued", "column left"), *numbers, text(DECLINE, "column"), keep=True)


def option_title(quote: Quote, tier: PricedTier) -> str:
    """`Option 1` over the owner's name of it."""
    return f"{option_number(quote, tier)}\n{tier.name}"


def option_number(quote: Quote, tier: PricedTier) -> str:
    """`Option 1`, in the order offered."""
    return f"Option {quote.offered.index(tier) + 1}"


def short_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """The short answer: the total, whether it is within the limit, and when it is ready."""
    totals = [money(tier.total, "sum") for tier in quote.offered]
    no = money(quote.declined.total, "sum")
    yield from grid.line("Total to pay, tax included", (*totals, no), "sum label", keep=True)
    yield from _limit_row(quote, grid)
    yield from _answers("Ready, in working days from your yes", lambda tier: ready_words(tier.ready_days), quote, grid)


def _limit_row(quote: Quote, grid: Grid) -> Iterator[Row]:
    """Within the customer's spending limit, or over it by how much, on two lines where one is too long."""
    limit = quote.job.spending_limit
    if limit is None:
        return
    language, currency = quote.book.settings.language, quote.currency

    def answer(tier: PricedTier, between: str = " ") -> str:
        over = tier.total - limit
        return f"{money_text(over, currency, language)}{between}over" if over > 0 else "Within"

    room, look = grid.widths[-1], grid.looks["answer"]
    tight = any(characters_for(answer(tier), look) > room for tier in quote.offered)
    shown = partial(answer, between="\n" if tight else " ")
    yield from _answers(f"Your limit of {money_text(limit, currency, language)}", shown, quote, grid, keep=True)


def _answers(
    label: str, answer: Callable[[PricedTier], str], quote: Quote, grid: Grid, *, keep: bool = False
) -> Iterator[Row]:
    """A row of words, one for each option; a no has none."""
    cells = [text(answer(tier), "answer") for tier in quote.offered]
    yield from grid.line(label, (*cells, blank("answer")), keep=keep)


def item_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """The work of each option; a repair on several sides is one line where all is the same."""
    yield from grid.section("The work")
    rows: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
    promised = [_promised(tier, quote) for tier in quote.offered]
    for key, item in {item.key: item for tier in quote.offered for item in tier.items}.items():
        for words in dict.fromkeys(words for of_tier in promised for words in of_tier.get(key, ())):
            answers = tuple(of_tier.get(key, {}).get(words, NONE) for of_tier in promised)
            rows.setdefault((item.wording or item.name, words, answers), []).append(item.side or "")
    for (name, words, answers), sides in rows.items():
        label = item_words(at_side_words(name, joined(sides)), words)
        yield from grid.line(label, (*(text(answer, "answer") for answer in answers), blank("answer")))


def _promised(tier: PricedTier, quote: Quote) -> dict[str, dict[str, str]]:
    """What an option promises of each repair, in case it is not the same in all, with its answer."""
    found: dict[str, dict[str, str]] = {}
    for item in tier.items:
        words = promise_words(item, quote.book.settings.language)
        found.setdefault(item.key, {}).setdefault(words, _included(item))
    return found


def _included(item: TierItem) -> str:
    if item.done_by_larger_work:
        return "Done by the larger work"
    return "As you asked" if item.asked else "Included"


def part_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """Parts with what they come to together, then each."""
    tiers = [_parts_by_words(tier, quote) for tier in quote.offered]
    labels = list(dict.fromkeys(label for parts in tiers for label in parts))
    if not labels:
        return
    sums = [money(tier.amounts.parts, "section sum") for tier in quote.offered]
    yield from grid.titled("Parts", (*sums, blank("section sum")))
    for label in labels:
        cells = [_part_cell(parts.get(label)) for parts in tiers]
        yield from grid.line(label, (*cells, blank("answer")))


def _parts_by_words(tier: PricedTier, quote: Quote) -> dict[str, PartLine]:
    """A tier's parts by the words they are printed with, the first where two read alike."""
    found: dict[str, PartLine] = {}
    for part in tier.part_lines:
        found.setdefault(part_words(part, quote), part)
    return found


def _part_cell(part: PartLine | None) -> Cell:
    return text(NONE, "answer") if part is None else money(part.amount)


def left_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """What each option leaves, then what a no leaves; what that may lead to stands with each finding."""
    leads = any(found.fault and found.if_left for found in quote.job.findings)
    where = " (what that may lead to is said above, with each finding)" if leads else ""
    yield from grid.heading(f"What each option leaves{where}")
    for tier in quote.offered:
        yield from grid.pairs(option_number(quote, tier), left_words(quote, tier))
    yield from grid.pairs(DECLINE, words_after_a_no(quote))


def left_words(quote: Quote, tier: PricedTier) -> str:
    """What an option leaves, in sentences."""
    lines = [*_left_lines(quote, tier.left), *_leaves_lines(tier)]
    return " ".join(map(sentence, lines)) or "All that was found and calls for work is put right."


def _leaves_lines(tier: PricedTier) -> list[str]:
    """What repairs do not put right, each said once for all its sides."""
    said: dict[tuple[str, str], list[str]] = {}
    for item in tier.items:
        if item.leaves:
            said.setdefault((item.wording or item.name, item.leaves), []).append(item.side or "")
    return [f"{at_side_words(name, joined(sides))}: {leaves}" for (name, leaves), sides in said.items()]


def _left_lines(quote: Quote, keys: tuple[str, ...]) -> list[str]:
    """Safety matters first, then the others, by the numbers under which they are described above."""
    named = {found.key: (n, found) for n, found in enumerate(quote.job.findings, start=1)}
    safety = [key for key in keys if named[key][1].severity == "safety"]
    lines = []
    for start, group in (("A safety matter stays", safety), ("Not put right", [k for k in keys if k not in safety])):
        names = [f"{finding_name(named[key][1])} ({named[key][0]})" for key in group]
        if names:
            lines.append(f"{start}: {'; '.join(names)}")
    return lines


def words_after_a_no(quote: Quote) -> str:
    """What stays where the customer declines."""
    faults = [found for found in quote.job.findings if found.fault]
    if not faults:
        return "The machine stays as it is."
    stay = f"all {len(faults)} findings stay" if len(faults) > 1 else "the finding stays"
    keys = tuple(found.key for found in faults if found.severity == "safety")
    return " ".join(map(sentence, (f"Nothing is put right: {stay}", *_left_lines(quote, keys))))
