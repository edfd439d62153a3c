"""Who pays for shared work (DESIGN.md 5.6), to the minor unit."""

from __future__ import annotations

from fractions import Fraction

from tests.oracle.exact import half_up, share_out
from tests.oracle.parts import raw_by_item, users
from tests.oracle.price import ZERO, Priced
from tests.oracle.work import World, written


def labour_shares(world: World, priced: Priced) -> dict[str, dict[str, Fraction]]:
    """Each labour line split by exact hours at its rate, the minimum line by total hours."""
    names = _payers(priced)
    found = {}
    for line, amount in priced.labour.amounts.items():
        if line == "MINIMUM":
            weights = [priced.labour.item_total(name) for name in names]
        else:
            weights = [priced.labour.item_hours(name, line) for name in names]
        found[line] = dict(zip(names, share_out(amount, weights, world.digits), strict=True))
    return found


def _payers(priced: Priced) -> list[str]:
    return priced.doing.payers


def parts_shares(world: World, priced: Priced) -> list[dict[str, Fraction]]:
    """Each part line split by the quantities the items bring, before kits."""
    names = _payers(priced)
    raw = raw_by_item(world, priced.items, priced.doing)
    found = []
    for line in priced.parts:
        weights = [raw[name].get(line.part, ZERO) for name in names]
        if line.part in names:
            weights = [Fraction(name == line.part) for name in names]
        found.append(dict(zip(names, share_out(line.amount, weights, world.digits), strict=True)))
    return found


def sublet_shares(world: World, priced: Priced) -> list[dict[str, Fraction]]:
    """Each sublet line equally among the items that bring it."""
    by_text = {written(key): key for key in priced.doing.operations}
    found = []
    for text, amount in priced.sublet.items():
        names = [text] if text not in by_text else users(priced.doing, priced.doing.brings, by_text[text])
        found.append(dict(zip(names, share_out(amount, [Fraction(1)] * len(names), world.digits), strict=True)))
    return found


def shares_of(world: World, priced: Priced) -> dict[str, dict[str, Fraction]]:
    """Hours, labour, parts, sublet and amount by item, in order."""
    splits = {
        "labour": list(labour_shares(world, priced).values()),
        "parts": parts_shares(world, priced),
        "sublet": sublet_shares(world, priced),
    }
    shares = {}
    for item in priced.items:
        mine = {kind: sum((split.get(item.key, ZERO) for split in found), ZERO) for kind, found in splits.items()}
        hours = half_up(priced.labour.item_total(item.key), 4) if item.key in _payers(priced) else ZERO
        shares[item.key] = {"hours": hours, **mine, "amount": sum(mine.values(), ZERO)}
    return shares
