"""A job with one cell typed anew, to show on both sides of a break-even what each choice comes to.

The tree of such a choice says at that cell that the value is supposed.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from quotekit.model.explanation import Explanation
from quotekit.model.job import Job
from quotekit.model.shop_book import Part, ShopBook
from quotekit.model.why import BreakEven
from quotekit.pricing.setup import Setup, set_up

FIXED, PACK, HOURS, LIFE = "Fixed price each", "Pack cost", "Net hours", "Life years"


def column_of(found: BreakEven) -> str:
    """The column whose cell a break-even is typed into; a selling price is typed as a fixed price."""
    return FIXED if "price" in found.figure else HOURS if "hours" in found.figure else LIFE


def supposed(setup: Setup, found: BreakEven, column: str, value: Decimal) -> Setup:
    """The same job with the value in that column of the break-even's row."""
    book, job, code = setup.basis.book, setup.basis.job, found.of.key.partition("@")[0]
    if column in (FIXED, PACK):
        return set_up(*_with_part(book, job, code, column, value))
    if column == HOURS:
        operation = replace(book.operations[code], net_hours=value)
        return set_up(replace(book, operations={**book.operations, code: operation}), job)
    remedy = replace(book.remedies[code], life_years=value)
    return set_up(replace(book, remedies={**book.remedies, code: remedy}), job)


def _with_part(book: ShopBook, job: Job, code: str, column: str, value: Decimal) -> tuple[ShopBook, Job]:
    def changed(part: Part) -> Part:
        return replace(part, fixed_price_each=value) if column == FIXED else replace(part, pack_cost=value)

    if code in job.parts:
        return book, replace(job, parts={**job.parts, code: changed(job.parts[code])})
    return replace(book, parts={**book.parts, code: changed(book.parts[code])}), job


def marked(tree: Explanation, found: BreakEven, column: str, value: Decimal) -> Explanation:
    """The tree with the rule of what is supposed at the leaf that reads it; shared nodes stay shared."""
    place = found.source.place(column) if column in found.source.columns else None
    made: dict[int, Explanation] = {}

    def is_it(node: Explanation) -> bool:
        if node.inputs or node.operation != "given" or node.number != value:
            return False
        return place in node.cells if place is not None else node.figure.startswith(column)

    def again(node: Explanation) -> Explanation:
        known = made.get(id(node))
        if known is None:
            if is_it(node):
                known = replace(node, rule="Supposed: as if this were typed.")
            else:
                inputs = tuple(again(one) for one in node.inputs)
                same = all(new is old for new, old in zip(inputs, node.inputs, strict=True))
                known = node if same else replace(node, inputs=inputs)
            made[id(node)] = known
        return known

    return again(tree)
