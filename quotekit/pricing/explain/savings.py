"""Bundle savings and the job's discount as trees (5.5 item 4)."""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.explanation import Explanation, Form
from quotekit.model.shop_book import Bundle
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.bundles import Saving, parts_members_bring
from quotekit.pricing.explain import labour, part_uses, parts, prices
from quotekit.pricing.explain.told import Told, Use, listed, of_row
from quotekit.pricing.work import brought_by


def savings(told: Told) -> Explanation:
    """`amounts.savings`: what bundles and the discount take off, as a negative amount."""
    return told.once("amounts.savings", lambda: _savings(told))


def saving_nodes(told: Told) -> list[Explanation]:
    """Each saving as a positive amount, in the engine's order."""
    return [told.once(f"saving {saving.key}", lambda s=saving: _saving(told, s)) for saving in told.charges.savings]  # type: ignore[misc]


def bundle_amount(told: Told, bundle: Bundle) -> Explanation:
    """`bundles.CODE.amount`: negative; none for hours off."""
    name = told.name(f"bundles.{bundle.code}.amount")
    position = next((i for i, saving in enumerate(told.charges.savings) if saving.key == bundle.code), None)
    assert position is not None
    node = saving_nodes(told)[position]
    assert isinstance(node.number, Decimal)
    return told.money.node(
        name, -node.number, "less", (node,), f"Saved by {listed(bundle.members)} together (rules 5.5 item 4)."
    )


def _savings(told: Told) -> Explanation:
    name, money = told.name("amounts.savings"), told.money
    found = saving_nodes(told)
    if not found:
        cells = told.job_cells("Discount percent")
        return money.settled(
            name, ZERO, "No bundle is complete and the job gives no discount (rules 5.5 item 4).", cells
        )
    total = -sum((saving.amount for saving in told.charges.savings), ZERO)
    rule = "What bundles and then the job's discount take off (rules 5.5 item 4)."
    return money.node(name, total, "less", found, rule)


def _saving(told: Told, saving: Saving) -> Explanation:
    if saving.key.startswith("DISCOUNT-"):
        return _discount(told, saving)
    bundle = told.basis.book.bundles[saving.key]
    wanted, rule = (
        _wanted(told, bundle),
        f"{bundle.bundle}, never more than what is left of the {saving.charge} (rules 5.5 item 4).",
    )
    return told.money.node(f"saving of {saving.key}", saving.amount, "least", (wanted, _left_of(told, saving)), rule)


def _left_of(told: Told, saving: Saving) -> Explanation:
    """What earlier savings leave of the charge that a saving reduces."""
    of_labour = saving.charge == "labour"
    whole = labour.labour(told) if of_labour else parts.parts(told)
    before = []
    for earlier, node in zip(told.charges.savings, _earlier_nodes(told, saving), strict=False):
        if earlier.charge == saving.charge:
            before.append(node)
    if not before:
        return whole
    total = told.charges.labour_total if of_labour else told.charges.parts_total
    left = total - sum((node.number for node in before if isinstance(node.number, Decimal)), ZERO)
    rule = "The charge less what earlier savings took off it (rules 5.5 item 4)."
    return told.money.node(f"left of {saving.charge}", left, "difference", (whole, *before), rule)


def _earlier_nodes(told: Told, saving: Saving) -> list[Explanation]:
    position = next(i for i, one in enumerate(told.charges.savings) if one.key == saving.key)
    earlier = told.charges.savings[:position]
    return [told.once(f"saving {one.key}", lambda one=one: _saving(told, one)) for one in earlier]  # type: ignore[misc]


def _discount(told: Told, saving: Saving) -> Explanation:
    job = told.basis.job
    percent = told.job_field("Discount percent", job.discount_percent, "percent")
    rule = f"The job's percent of the {saving.charge} that bundles left, rounded once (rules 5.5 item 4)."
    inputs = (percent, _left_of(told, saving))
    return told.money.rounded(f"discount on {saving.charge}", saving.amount, "product", inputs, rule)


def _wanted(told: Told, bundle: Bundle) -> Explanation:
    """What a bundle would take off, were there enough to take it from."""
    money, digits = told.money, told.money.digits
    members = f"Given when {listed(bundle.members)} are done together (rules 5.5 item 4)."
    form: Form = "percent" if bundle.saving == "percent off parts" else "money"
    value = of_row(f"Value of {bundle.code}", bundle.value, bundle.source, "Value", "Members", "Saving", form=form)
    if bundle.saving != "percent off parts":
        return money.rounded(
            f"{bundle.code}: {bundle.saving}", round_to(bundle.value, digits), "same", (value,), members
        )
    base = _base(told, bundle)
    assert isinstance(base.number, Decimal)
    amount = round_to(bundle.value * base.number, digits)
    rule = "Percent of the parts its members bring, whole and before kits (rules 5.9)."
    return money.rounded(f"{bundle.code}: percent off parts", amount, "product", (value, base), rule)


def _base(told: Told, bundle: Bundle) -> Explanation:
    """What the members' parts come to, each part rounded."""
    basis, money = told.basis, told.money
    uses = _uses_of_members(told, bundle)
    found, total = [], ZERO
    for code, many in sorted(parts_members_bring(basis, told.charges.work, bundle.members).items()):
        if code in basis.own_parts:
            continue
        price = basis.price(code).price
        amount = round_to(price * many, basis.digits)
        quantity = part_uses.together(f"{code} of {bundle.code}", uses[code], "What the members bring (rules 5.9).")
        inputs = (prices.price_of(told, code), quantity)
        found.append(
            money.rounded(f"{code} of {bundle.code} in money", amount, "product", inputs, "Unit price x quantity.")
        )
        total += amount
    return money.node(f"parts of {bundle.code}", total, "sum", found, "The parts that the members bring (rules 5.9).")


def _uses_of_members(told: Told, bundle: Bundle) -> dict[str, list[Use]]:
    """Who of the members brings which part; work that is always done stays out."""
    basis, work = told.basis, told.charges.work
    items = [item for item in work.items if item.code in bundle.members and item.kind in ("remedy", "extra")]
    always = brought_by(work.always, work.present)
    operations = frozenset[str]().union(*(brought_by(item, work.present) for item in items))
    steps = frozenset[str]().union(*(basis.op_named(key).steps for key in operations))
    steps -= frozenset[str]().union(*(basis.op_named(key).steps for key in always))
    active = [item for item in items if not work.is_done_by_larger(item)]
    found: dict[str, list[Use]] = {}
    for use in part_uses.uses_of_work(told, sorted(operations - always), sorted(steps), active):
        found.setdefault(use.part, []).append(use)
    return found
