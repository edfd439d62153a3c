"""Each item's fair share as trees: hours, labour, parts, work sent out (5.6).

The amounts that are split stand under their own names: a share shows its own weight and the whole.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.explanation import Explanation
from quotekit.model.quote import Share
from quotekit.money import allocate
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import charges as of_charges
from quotekit.pricing.explain import hours, labour, part_uses, parts
from quotekit.pricing.explain.split import piece
from quotekit.pricing.explain.told import Told, Use, elsewhere, leaf, number, words
from quotekit.pricing.work import in_order_of_sides


def share_figures(told: Told, share: Share) -> dict[str, Callable[[], Explanation]]:
    """`shares.ITEM.*`."""
    start = f"shares.{share.item}"
    return {
        f"{start}.item": lambda: words(f"{start}.item", share.item, "An item of this tier (rules 5.6)."),
        f"{start}.hours": lambda: _hours(told, share),
        f"{start}.labour": lambda: told.once(f"{start}.labour", lambda: _labour(told, share)),
        f"{start}.parts": lambda: told.once(f"{start}.parts", lambda: _parts(told, share)),
        f"{start}.sublet": lambda: told.once(f"{start}.sublet", lambda: _sublet(told, share)),
        f"{start}.amount": lambda: _amount(told, share),
    }


def labour_share(told: Told, share: Share) -> Explanation:
    """An item's share of labour, for upgrade labour."""
    return share_figures(told, share)[f"shares.{share.item}.labour"]()


def _hours(told: Told, share: Share) -> Explanation:
    at_rates = [_weight(told, share.item, rate) for rate in told.charges.hours.by_rate]
    rule = "Its equal part of each step and operation it needs, and of the allowance, to four decimals (rules 5.6)."
    return number(f"shares.{share.item}.hours", share.hours, "sum", at_rates, rule, rounding="half up to four decimals")


def _weight(told: Told, key: str, rate: str) -> Explanation:
    """An item's exact hours at a rate, before hours off and rounding up."""
    return told.once(f"hours of {key} at {rate}", lambda: _make_weight(told, key, rate))


def _make_weight(told: Told, key: str, rate: str) -> Explanation:
    basis, users = told.basis, told.users
    found: list[Explanation] = []
    slowed: list[Explanation] = []
    for op in in_order_of_sides(basis, told.charges.work.present):
        took = told.charges.hours.of_operation[op.key]
        if op.rate == rate and took and key in users.of_operation[op.key]:
            node = _part_of(told, op.key, took, len(users.of_operation[op.key]), hours.operation_hours(told, op))
            found.append(node)
            slowed += [node] if op.slowed else []
    for step_key in sorted(told.charges.work.steps):
        step = basis.step_named(step_key)
        if step.rate == rate and step.hours and key in users.of_step[step_key]:
            found.append(
                _part_of(told, step_key, step.hours, len(users.of_step[step_key]), hours.step_hours(told, step))
            )
    if slowed and told.charges.hours.allowance:
        found.append(_of_allowance(told, key, slowed))
    total = sum((Fraction(node.number or 0) for node in found), Fraction(0))
    rule = "Its part of each step and operation at this rate, and of the allowance (rules 5.6)."
    return number(f"hours of {key} at {rate}", total, "sum", found, rule)


def _part_of(told: Told, what: str, took: Decimal, users: int, node: Explanation) -> Explanation:
    if users == 1:
        return node
    rule = f"An equal part for each of the {users} items that need it (rules 5.6)."
    by = leaf("items that need it", users, cells=(), rule="Counted in this tier.")
    made = number(f"a part of {what}", Fraction(took) / users, "quotient", (node, by), rule)
    return told.once(f"part of {what}", lambda: made)


def _of_allowance(told: Told, key: str, slowed: Sequence[Explanation]) -> Explanation:
    own = sum((Fraction(node.number or 0) for node in slowed), Fraction(0))
    mine = number(f"hours of {key} slowed by rust", own, "sum", slowed, "Its hours slowed by rust (rules 5.6).")
    per_hour = Fraction(told.charges.hours.allowance) / Fraction(told.charges.hours.slowed)
    inputs = (hours.allowance(told), hours.slowed(told))
    each = number("allowance for each hour slowed", per_hour, "quotient", inputs, "Allowance over the hours slowed.")
    rule = "The allowance is split by the hours slowed by rust (rules 5.6)."
    return number(f"allowance of {key}", own * per_hour, "product", (mine, each), rule)


def _labour(told: Told, share: Share) -> Explanation:
    found = [
        node
        for rate, amount in told.charges.labour.items()
        if (node := _at_rate(told, share.item, rate, amount)) is not None
    ]
    found += [_of_minimum(told, share.item, told.charges.minimum)] if told.charges.minimum else []
    rule = "Each labour line split by the items' hours, to the cent, largest remainder (rules 5.6)."
    return told.money.sum_of(f"shares.{share.item}.labour", share.labour, found, rule)


def _at_rate(told: Told, key: str, rate: str, amount: Decimal) -> Explanation | None:
    own = _weight(told, key, rate)
    if not own.number:
        return None
    whole = _whole(told, f"hours of all items at {rate}", [_weight(told, one, rate) for one in _keys(told)])
    of = (elsewhere(told, labour.line_at(told, rate)), own, whole)
    return _piece(told, f"{key}: labour at {rate}", amount, of, key, lambda one: _weight(told, one, rate))


def _of_minimum(told: Told, key: str, amount: Decimal) -> Explanation:
    def weight(one: str) -> Explanation:
        return told.once(f"all hours of {one}", lambda: _all_hours(told, one))

    if not any(weight(one).number for one in _keys(told)):
        return _equally(told, f"{key}: minimum labour", amount, labour.minimum_line(told), key, told.users.everyone)
    whole = _whole(told, "hours of all items", [weight(one) for one in _keys(told)])
    of = (elsewhere(told, labour.minimum_line(told)), weight(key), whole)
    return _piece(told, f"{key}: minimum labour", amount, of, key, weight)


def _all_hours(told: Told, key: str) -> Explanation:
    at_rates = [_weight(told, key, rate) for rate in told.charges.hours.by_rate]
    total = sum((Fraction(node.number or 0) for node in at_rates), Fraction(0))
    return number(f"hours of {key}", total, "sum", at_rates, "Its hours at every rate (rules 5.6).")


def _parts(told: Told, share: Share) -> Explanation:
    key, found = share.item, []
    for line in told.charges.parts:
        node = parts.amount(told, line)
        if line.one_off is not None:
            found += [elsewhere(told, node)] if line.code == key else []
        elif line.amount and _brought(told, line.code, key).number:
            found.append(_of_part(told, key, line.code, line.amount, node))
    rule = "Each part line split by the quantities the items bring, before kits (rules 5.6)."
    return told.money.sum_of(f"shares.{key}.parts", share.parts, found, rule)


def _of_part(told: Told, key: str, code: str, amount: Decimal, node: Explanation) -> Explanation:
    def weight(one: str) -> Explanation:
        return _brought(told, code, one)

    every = _whole(told, f"{code} brought by all", [weight(one) for one in _keys(told)])
    return _piece(told, f"{key}: {code}", amount, (elsewhere(told, node), weight(key), every), key, weight)


def _brought(told: Told, code: str, key: str) -> Explanation:
    """How many of a part an item brings; what several need is theirs in equal parts."""
    return told.once(f"{code} brought by {key}", lambda: _make_brought(told, code, key))


def _make_brought(told: Told, code: str, key: str) -> Explanation:
    found: list[Explanation] = []
    for use in part_uses.uses_of(told)[code]:
        users = _users(told, use)
        if key in users:
            found.append(use.told if len(users) == 1 else _equal_part(use, len(users)))
    total = sum((Fraction(node.number or 0) for node in found), Fraction(0))
    rule = "What it brings; what several items need is theirs in equal parts (rules 5.6)."
    return number(f"{code} brought by {key}", total, "sum", found, rule)


def _equal_part(use: Use, users: int) -> Explanation:
    by = leaf("items that need it", users, cells=(), rule="Counted in this tier.")
    rule = f"An equal part for each of the {users} items that need it (rules 5.6)."
    return number(f"a part of {use.told.figure}", Fraction(use.quantity) / users, "quotient", (use.told, by), rule)


def _users(told: Told, use: Use) -> Sequence[str]:
    if use.kind == "operation":
        return told.users.of_operation[use.by]
    return told.users.of_step[use.by] if use.kind == "step" else (use.by,)


def _sublet(told: Told, share: Share) -> Explanation:
    found = []
    for key, amount in told.charges.sublet.items():
        users = told.users.of_operation[key]
        if share.item in users:
            node = of_charges.sublet_line(told, key)
            found.append(_equally(told, f"{share.item}: sent out {key}", amount, node, share.item, users))
    rule = "Each piece of work sent out in equal parts among the items that bring it (rules 5.6)."
    return told.money.sum_of(f"shares.{share.item}.sublet", share.sublet, found, rule)


def _equally(
    told: Told, figure: str, amount: Decimal, node: Explanation, key: str, users: Sequence[str]
) -> Explanation:
    """An equal part among the items that need it, nothing for any other."""

    def weight(one: str) -> Explanation:
        return leaf(one, 1 if one in users else 0, cells=(), rule="Counts once for each item that needs it.")

    whole = leaf("items that need it", len(users), cells=(), rule="Counted in this tier.")
    return _piece(told, figure, amount, (elsewhere(told, node), weight(key), whole), key, weight)


def _piece(
    told: Told,
    figure: str,
    amount: Decimal,
    of: tuple[Explanation, Explanation, Explanation],
    key: str,
    weight: Callable[[str], Explanation],
) -> Explanation:
    """An item's piece of an amount, as the engine splits it over all items of the tier."""
    keys = _keys(told)
    weights = [weight(one).number or ZERO for one in keys]
    split = dict(zip(keys, allocate(amount, weights, told.money.digits), strict=True))
    rule = "The line x its own weight / all weights, to the cent by largest remainder (rules 5.6)."
    return piece(told, figure, split[key], of, rule)


def _whole(told: Told, figure: str, weights: Sequence[Explanation]) -> Explanation:
    total = sum((Fraction(node.number or 0) for node in weights), Fraction(0))
    short = [elsewhere(told, node) for node in weights if node.number]
    return told.once(figure, lambda: number(figure, total, "sum", short, "The items' weights together (rules 5.6)."))


def _amount(told: Told, share: Share) -> Explanation:
    figures = share_figures(told, share)
    inputs = [figures[f"shares.{share.item}.{name}"]() for name in ("labour", "parts", "sublet")]
    rule = "Its labour, parts and work sent out (rules 5.6)."
    return told.money.sum_of(f"shares.{share.item}.amount", share.amount, inputs, rule)


def _keys(told: Told) -> list[str]:
    return [item.key for item in told.charges.work.items]
