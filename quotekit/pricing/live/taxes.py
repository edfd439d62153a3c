"""Each tax of any choice (DESIGN.md 5.5 item 9 and 5.9), the same rules as `pricing/taxes`.

Invoice basis: one rounding of the weighted sum of the lines. Line basis: each line rounded, then added up.
Every line has a fixed sign, so that a saving is rounded by its size and then taken off: half away from zero.
"""

from __future__ import annotations

from collections.abc import Sequence

from quotekit.model.expression import (
    Expression,
    Step,
    floor,
    if_more,
    least,
    minus,
    most,
    rest,
    rounded,
    times,
    total,
    weighted,
)
from quotekit.model.shop_book import Tax
from quotekit.pricing.basis import ZERO
from quotekit.pricing.live.working import Working, decimals, whole
from quotekit.pricing.taxes import UPGRADE, ChargeLine, rate_on, taxes_in_force
from quotekit.record import record


@record
class LiveLine:
    """A line that may be taxed: an amount that is not negative, and its sign."""

    charge: str
    amount: Expression
    sign: int = 1
    fee: str = ""
    of_labour: bool = False


def live_taxes(working: Working, lines: Sequence[LiveLine], upgrade: Expression) -> list[tuple[str, Step]]:
    """Each tax in force with its amount; `upgrade` is the upgrade labour of the option chosen."""
    named = [line for line in lines if line.amount != 0]
    found = []
    for tax, rows in taxes_in_force(working.basis).items():
        split = _split_upgrade(working, named, upgrade) if any(UPGRADE in row.charges for row in rows) else named
        found.append((tax, working.line("tax", _tax(working, rows, split))))
    return found


def _tax(working: Working, rows: Sequence[Tax], lines: Sequence[LiveLine]) -> Expression:
    places = decimals(row.rate for row in rows)
    rated = [(_rate(rows, line, places), line) for line in lines]
    taxable = [(rate, line) for rate, line in rated if rate]
    if working.basis.book.settings.tax_rounding == "line":
        pieces = [
            (line.sign, working.step("tax of a line", rounded(times(line.amount, rate), 10**places)))
            for rate, line in taxable
        ]
        amount = most(0, weighted(pieces))
    else:
        product = weighted((rate * line.sign, line.amount) for rate, line in taxable)
        amount = rounded(most(0, product), 10**places)
        if len({rate for rate, _ in taxable}) == 1:
            return amount
    base = working.step("taxable", weighted((line.sign, line.amount) for _, line in taxable))
    return if_more(base, 0, amount, 0)


def _rate(rows: Sequence[Tax], line: LiveLine, places: int) -> int:
    rate = rate_on(rows, ChargeLine(line.charge, ZERO, line.fee, line.of_labour))
    return whole(rate, places)


def _split_upgrade(working: Working, lines: Sequence[LiveLine], upgrade: Expression) -> list[LiveLine]:
    """Part of each labour line as upgrade labour, in proportion, by largest remainder."""
    charged = [line for line in lines if line.of_labour and line.sign > 0]
    whole_labour = working.step("labour in all", total(*(line.amount for line in charged)))
    part = working.step("upgrade labour", least(upgrade, whole_labour))
    parts = iter(_allocated(working, part, [line.amount for line in charged], whole_labour))
    split: list[LiveLine] = []
    for line in lines:
        if not line.of_labour:
            split.append(line)
            continue
        of_upgrade = next(parts) if line.sign > 0 else _in_proportion(working, line.amount, part, whole_labour)
        others = working.step("labour not of upgrades", minus(line.amount, of_upgrade), line.amount)
        split.append(LiveLine(charge="labour", amount=others, sign=line.sign, of_labour=True))
        split.append(LiveLine(charge=UPGRADE, amount=of_upgrade, sign=line.sign, of_labour=True))
    return split


def _in_proportion(working: Working, amount: Expression, part: Expression, of: Expression) -> Expression:
    """A saving split in two by largest remainder, ties to the part that is no upgrade: half down."""
    twice = total(times(times(amount, part), 2), most(1, of), -1)
    return working.step("saving on upgrades", floor(twice, times(most(1, of), 2)), amount)


def _allocated(working: Working, amount: Expression, weights: Sequence[Expression], of: Expression) -> list[Expression]:
    """An amount split by weights that add up to `of`: the largest remainders get what is left, ties to the earlier."""
    if len(weights) == 1:
        return [amount]
    by = most(1, of)
    shares = [working.step("share", floor(times(amount, weight), by), amount) for weight in weights]
    rests = [working.step("rest", rest(times(amount, weight), by)) for weight in weights]
    left = working.step("left to share", minus(amount, total(*shares)), len(shares))
    found = []
    for n, (weight, share, own) in enumerate(zip(weights, shares, rests, strict=True)):
        before = [if_more(own, other, 0, 1) for other in rests[:n]]
        after = [if_more(other, own, 1, 0) for other in rests[n + 1 :]]
        one_more = if_more(left, total(*before, *after), 1, 0)
        found.append(working.step("share", total(share, one_more), weight))
    return found
