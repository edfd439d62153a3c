"""Bundle savings and the discount of any choice (DESIGN.md 5.5 item 4), the same rules as `pricing/bundles`."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.model.expression import Expression, all_of, any_of, least, minus, none_of, rounded, times, total, weighted
from quotekit.model.shop_book import Bundle
from quotekit.money import round_to
from quotekit.pricing.bundles import in_force
from quotekit.pricing.live.parts import Uses, add_uses, places_of, priced
from quotekit.pricing.live.taken import Taken
from quotekit.pricing.live.work import LiveWork
from quotekit.pricing.live.working import Working, decimals, whole
from quotekit.record import record

BundleFlags = list[tuple[Bundle, Expression]]


@record
class LiveSaving:
    """What is taken off a charge, positive, in minor units."""

    charge: str
    amount: Expression


def bundle_flags(working: Working, taken: Sequence[Taken]) -> BundleFlags:
    """Bundles in force that some choice can complete, each with the flag that it is on, in book order."""
    found: BundleFlags = []
    for bundle in in_force(working.basis):
        members = [any_of(one.flag for one in _of_code(taken, code)) for code in bundle.members]
        flag = working.step("bundle on", all_of(*members))
        if flag != 0:
            found.append((bundle, flag))
    return found


def hours_off_of(flags: BundleFlags) -> list[tuple[Decimal, Expression]]:
    """Hours that bundles take off, with their flags."""
    return [(bundle.value, flag) for bundle, flag in flags if bundle.saving == "hours off"]


def live_savings(
    working: Working, work: LiveWork, flags: BundleFlags, labour: Expression, parts: Expression
) -> list[LiveSaving]:
    """Each bundle's saving, never more than what is left of its charge, then the discount on what bundles left."""
    left = {"labour": labour, "parts": parts}
    found: list[LiveSaving] = []
    for bundle, flag in flags:
        if bundle.saving == "hours off":
            continue
        charge = "labour" if bundle.saving == "labour amount off" else "parts"
        amount = working.step("saving", least(_wanted(working, work, bundle, flag), left[charge]))
        left[charge] = working.step("left after the saving", minus(left[charge], amount), left[charge])
        found.append(LiveSaving(charge=charge, amount=amount))
    percent = working.basis.job.discount_percent
    if percent:
        places = decimals([percent])
        for charge, base in left.items():
            amount = rounded(times(base, whole(percent, places)), 10**places)
            found.append(LiveSaving(charge=charge, amount=working.step("discount", amount)))
    return found


def _of_code(taken: Sequence[Taken], code: str) -> list[Taken]:
    return [one for one in taken if one.item.code == code and one.item.kind in ("remedy", "extra")]


def _wanted(working: Working, work: LiveWork, bundle: Bundle, flag: Expression) -> Expression:
    if bundle.saving != "percent off parts":
        return times(flag, working.minor(round_to(bundle.value, working.basis.digits)))
    places = decimals([bundle.value])
    base = working.step("parts of the bundle", _base(working, work, bundle))
    amount = working.step("percent of its parts", rounded(times(base, whole(bundle.value, places)), 10**places))
    return times(flag, amount)


def _base(working: Working, work: LiveWork, bundle: Bundle) -> Expression:
    """What the members' parts come to, whole and before kits, Always work apart."""
    uses = _member_uses(work, [one for code in bundle.members for one in _of_code(work.taken, code)])
    places = places_of(uses)
    amounts = []
    for code in sorted(uses):
        if code not in working.basis.own_parts:
            quantity = weighted((whole(amount, places), flag) for amount, flag in uses[code])
            amounts.append(working.step("part of the bundle", priced(working, code, quantity, places)))
    return total(*amounts)


def _member_uses(work: LiveWork, members: Sequence[Taken]) -> Uses:
    uses: Uses = {}
    steps: dict[str, list[Expression]] = {}
    for op in work.operations:
        brought = any_of(work.brought(one, op.key) for one in members if op.key in one.item.wanted)
        if brought == 0:
            continue
        for step in sorted(op.steps):
            steps.setdefault(step, []).append(brought)
        if op.parts:
            flag = all_of(brought, none_of(work.always_brings(op.key)))
            add_uses(uses, op.parts, work.working.step("operation of the bundle", flag))
    for key, flags in steps.items():
        parts = work.basis.step_named(key).parts
        if parts:
            always = any_of(work.always_brings(op.key) for op in work.operations if key in op.steps)
            flag = all_of(any_of(flags), none_of(always))
            add_uses(uses, parts, work.working.step("access of the bundle", flag))
    for one in members:
        if one.item.parts:
            add_uses(uses, one.item.parts, work.effective(one))
    return uses
