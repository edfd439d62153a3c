"""Upgrade labour as trees: the part of labour lines that a tax treats apart (5.5 item 9 and 5.9)."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.model.explanation import Explanation
from quotekit.model.shop_book import Tax
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain.split import piece
from quotekit.pricing.explain.told import Told
from quotekit.pricing.taxes import UPGRADE, ChargeLine, split_upgrade

Line = tuple[ChargeLine, Explanation]


def split_lines(told: Told, lines: Sequence[Line], rows: Sequence[Tax], upgrade: Explanation) -> list[Line]:
    """The pieces of `split_upgrade`, in the same order, each with its tree."""
    amount = upgrade.number
    assert isinstance(amount, Decimal)
    pieces = list(split_upgrade([line for line, _ in lines], amount, rows, told.money.digits))
    if len(pieces) == len(lines) and all(one is line for one, (line, _) in zip(pieces, lines, strict=True)):
        return list(lines)
    whole = _whole(told, lines)
    apart = _at_most(told, upgrade, whole)
    found: list[Line] = []
    waiting = iter(pieces)
    for line, node in lines:
        if not line.of_labour:
            found.append((next(waiting), node))
            continue
        rest, part = next(waiting), next(waiting)
        assert part.charge == UPGRADE
        own = _part(told, node, part.amount, whole, apart)
        rule = "What of the line is no upgrade labour (rules 5.9, Taxes)."
        found.append(
            (rest, told.money.node(f"{node.figure}, no upgrade", rest.amount, "difference", (node, own), rule))
        )
        found.append((part, own))
    return found


def _whole(told: Told, lines: Sequence[Line]) -> Explanation:
    charged = [(line, node) for line, node in lines if line.of_labour and line.amount > 0]
    total = sum((line.amount for line, _ in charged), ZERO)
    return told.money.node("labour lines", total, "sum", [node for _, node in charged], "The labour lines (rules 5.9).")


def _at_most(told: Told, upgrade: Explanation, whole: Explanation) -> Explanation:
    assert isinstance(upgrade.number, Decimal) and isinstance(whole.number, Decimal)
    rule = "Upgrade labour, at most the labour there is (rules 5.9, Taxes)."
    return told.money.node("upgrade labour", min(upgrade.number, whole.number), "least", (upgrade, whole), rule)


def _part(told: Told, node: Explanation, amount: Decimal, whole: Explanation, apart: Explanation) -> Explanation:
    """A line's part of the upgrade labour, or the upgrade's part of a saving."""
    assert isinstance(node.number, Decimal)
    figure = f"{node.figure}, upgrade labour"
    if node.number > 0:
        rule = "Upgrade labour over the labour lines, in proportion (rules 5.9, Taxes)."
        return piece(told, figure, amount, (apart, node, whole), rule)
    rule = "A saving on labour in the proportion of upgrade labour (rules 5.9, Taxes)."
    return piece(told, figure, amount, (node, apart, whole), rule)
