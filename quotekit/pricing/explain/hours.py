"""Hours of a set of charges as trees: access, net, allowance, hours off, billed, and what the minimum adds (5.3)."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from quotekit.model.explanation import Explanation
from quotekit.money import shown_hours
from quotekit.pricing.basis import ZERO, Op, Step
from quotekit.pricing.explain.told import Told, leaf, listed, number, of_row
from quotekit.pricing.work import in_order_of_sides

_ONCE = "Opening and closing, once however many operations need it (rules 5.3)"
_BILLED = "Access, net hours and allowance at this rate less hours off, once a rate (rules 5.3)."


def access(told: Told, rate: str | None = None) -> Explanation:
    """`hours.access`: every step once; at one labour rate where it is named."""
    steps = [told.basis.step_named(key) for key in sorted(told.charges.work.steps)]
    nodes = [step_hours(told, step) for step in steps if rate in (None, step.rate)]
    figure = "hours.access" if rate is None else f"access at {rate}"
    total = sum((at.access for name, at in told.charges.hours.by_rate.items() if rate in (None, name)), ZERO)
    return told.once(
        figure, lambda: number(told.name(figure), total, "sum", nodes, "Each step that is opened, once (rules 5.3).")
    )


def net(told: Told, rate: str | None = None) -> Explanation:
    """`hours.net`: every operation; at one labour rate where it is named."""
    ops = in_order_of_sides(told.basis, told.charges.work.present)
    nodes = [
        operation_hours(told, op) for op in ops if rate in (None, op.rate) and told.charges.hours.of_operation[op.key]
    ]
    figure = "hours.net" if rate is None else f"net hours at {rate}"
    total = sum((at.net for name, at in told.charges.hours.by_rate.items() if rate in (None, name)), ZERO)
    rule = "The work itself, each operation that is present (rules 5.3)."
    return told.once(figure, lambda: number(told.name(figure), total, "sum", nodes, rule))


def allowance(told: Told) -> Explanation:
    """`hours.allowance`: percent of the hours slowed by rust, at most the condition's hours."""
    return told.once("hours.allowance", lambda: _allowance(told))


def off(told: Told) -> Explanation:
    """`hours.off`: what bundles take off the default rate."""
    return told.once("hours.off", lambda: _off(told))


def billed(told: Told, rate: str) -> Explanation:
    """`hours.billed.RATE`: rounded up to the step."""
    return told.once(f"hours.billed.{rate}", lambda: _billed(told, rate))


def minimum_added(told: Told) -> Explanation:
    """`hours.minimum_added`: what is missing to the shop's minimum."""
    return told.once("hours.minimum_added", lambda: _minimum_added(told))


def worked(told: Told, rate: str) -> Explanation:
    """Hours at a rate before hours off and rounding up: what the work takes."""
    at = told.charges.hours.by_rate[rate]
    inputs = [access(told, rate), net(told, rate), _allowance_at(told, rate)]
    rule = "What the work takes, before hours off and rounding up (rules 5.3)."
    return told.once(
        f"worked at {rate}", lambda: number(told.name(f"hours worked at {rate}"), at.worked, "sum", inputs, rule)
    )


def slowed(told: Told, rate: str | None = None) -> Explanation:
    """Net hours slowed by rust, over all rates or at one."""
    ops = [op for op in in_order_of_sides(told.basis, told.charges.work.present) if op.slowed]
    nodes = [
        operation_hours(told, op) for op in ops if rate in (None, op.rate) and told.charges.hours.of_operation[op.key]
    ]
    total = told.charges.hours.slowed if rate is None else told.charges.hours.by_rate[rate].slowed
    figure = f"hours slowed by rust{'' if rate is None else f' at {rate}'}"
    rule = "Net hours of the operations that rust slows (rules 5.3)."
    return told.once(figure, lambda: number(told.name(figure), total, "sum", nodes, rule))


def step_hours(told: Told, step: Step) -> Explanation:
    """Opening and closing of a step."""
    source = step.step.source
    users = () if step.key in told.users.always else told.users.of_step[step.key]
    inputs = (
        of_row("Hours to open", step.step.hours_to_open, source, "Hours to open"),
        of_row("Hours to close", step.step.hours_to_close, source, "Hours to close"),
    )
    rule = f"{_ONCE}; for {listed(users, 'every job')}."
    figure = f"{step.step.step} ({step.key})"
    return told.once(f"step {step.key}", lambda: number(figure, step.hours, "sum", inputs, rule))


def operation_hours(told: Told, op: Op) -> Explanation:
    """Net hours of an operation, or those of a further side."""
    return told.once(f"operation {op.key}", _maker(told, op, told.charges.hours.of_operation[op.key]))


def _maker(told: Told, op: Op, hours: Decimal) -> Callable[[], Explanation]:
    users = () if op.key in told.users.always else told.users.of_operation[op.key]
    brought = f"brought by {listed(users)}" if users else "done on every job of this machine class"
    if op.operation is None:
        line = next(one for one in told.basis.job.one_off if one.code == op.key)
        return lambda: of_row(
            f"{line.line} ({op.key})", hours, line.source, "Quantity", rule="Hours of a one-off line."
        )
    further = op.second_side_hours is not None and hours != op.net_hours
    column = "Second side hours" if further else "Net hours"
    rule = f"{column}{', as a further position' if further else ''}; {brought} (rules 5.3)."
    source = op.operation.source
    return lambda: of_row(
        f"{op.operation.operation if op.operation else ''} ({op.key})", hours, source, column, rule=rule
    )


def _allowance(told: Told) -> Explanation:
    name, total = told.name("hours.allowance"), told.charges.hours.allowance
    condition = told.basis.condition
    if condition is None:
        rule = "The job names no condition, so there is no allowance (rules 5.3)."
        return number(name, ZERO, "decided", (), rule, cells=told.job_cells("Condition"))
    percent = of_row(
        f"Allowance of {condition.code}", condition.allowance, condition.source, "Allowance", form="percent"
    )
    wanted = condition.allowance * told.charges.hours.slowed
    rule = "The condition's percent of the net hours slowed by rust (rules 5.3)."
    of_hours = number(name, wanted, "product", (percent, slowed(told)), rule, cells=told.job_cells("Condition"))
    if condition.at_most_hours is None:
        return of_hours
    most = of_row("At most hours", condition.at_most_hours, condition.source, "At most hours")
    part = number("percent of hours slowed", wanted, "product", of_hours.inputs, rule)
    rule = "The condition's percent of the hours slowed by rust, at most its hours for the whole job (rules 5.3)."
    return number(name, total, "least", (part, most), rule, cells=of_hours.cells)


def _allowance_at(told: Told, rate: str) -> Explanation:
    """One rate's part of the allowance, by the hours slowed by rust."""
    at, whole = told.charges.hours.by_rate[rate], told.charges.hours
    if at.allowance == whole.allowance:
        return allowance(told)
    if not at.allowance:
        return number(
            f"allowance at {rate}", ZERO, "decided", (), "No hours at this rate are slowed by rust (rules 5.3)."
        )
    ratio = number(
        f"share of {rate} in the hours slowed",
        Fraction(at.slowed) / Fraction(whole.slowed),
        "quotient",
        (slowed(told, rate), slowed(told)),
        "Hours slowed at this rate over all hours slowed (rules 5.9).",
    )
    rule = "The job's allowance, split over the labour rates by the hours slowed by rust (rules 5.9)."
    return number(f"allowance at {rate}", at.allowance, "product", (allowance(told), ratio), rule)


def _off(told: Told) -> Explanation:
    exact = _exact_off(told)
    if exact.number is None or Fraction(shown_hours(exact.number)) == Fraction(exact.number):
        return exact
    rule = "What bundles take off, to four decimals for people (rules 5.3)."
    total = told.charges.hours.off
    return number(exact.figure, total, "same", (exact,), rule, rounding="half up to four decimals")


def _exact_off(told: Told) -> Explanation:
    return told.once("exact hours off", lambda: _least_off(told))


def _least_off(told: Told) -> Explanation:
    bundles = [bundle for bundle in told.charges.bundles if bundle.saving == "hours off"]
    rate, name = told.basis.default_rate, told.name("hours.off")
    if not bundles:
        return number(name, ZERO, "decided", (), "No bundle in force takes hours off (rules 5.5).")
    if rate not in told.charges.hours.by_rate:
        rule = f"Hours come off the default rate {rate}, which nothing is billed at (rules 5.9)."
        return number(name, ZERO, "decided", (), rule)
    values = [
        of_row(f"Value of {one.code}", one.value, one.source, "Value", rule=f"For {listed(one.members)} together.")
        for one in bundles
    ]
    all_values = sum((one.value for one in bundles), ZERO)
    wanted = number("hours of bundles", all_values, "sum", values, "Bundles whose members are all there (rules 5.5).")
    rule = f"What bundles take off, never more than the hours worked at the default rate {rate} (rules 5.3)."
    return number(name, told.charges.hours.by_rate[rate].off, "least", (wanted, worked(told, rate)), rule)


def _billed(told: Told, rate: str) -> Explanation:
    at, settings = told.charges.hours.by_rate[rate], told.basis.book.settings
    hours = worked(told, rate)
    if at.off:
        left = Fraction(at.worked) - Fraction(at.off)
        rule = "What bundles take off comes off the hours worked (rules 5.3)."
        hours = number(f"hours at {rate} less hours off", left, "difference", (hours, _exact_off(told)), rule)
    step = told.setting("Hours step", "hours_step")
    name = told.name(f"hours.billed.{rate}")
    return number(
        name, at.billed, "up to a step", (hours, step), _BILLED, rounding=f"up to a step of {settings.hours_step:f}"
    )


def _minimum_added(told: Told) -> Explanation:
    hours, minimum = told.charges.hours, told.basis.book.settings.minimum_labour_hours
    all_billed = sum((at.billed for at in hours.by_rate.values()), ZERO)
    lines = [billed(told, rate) for rate in hours.by_rate]
    together = number("hours billed at all rates", all_billed, "sum", lines, "All billed hours together (rules 5.3).")
    missing = number(
        "missing to the minimum",
        minimum - all_billed,
        "difference",
        (told.setting("Minimum labour hours", "minimum_labour_hours"), together),
        "The shop's minimum less what is billed (rules 5.3).",
    )
    none = leaf("none", ZERO, cells=(), rule="Never below zero.")
    rule = "What all billed hours together lack to the minimum, billed at the default rate (rules 5.3)."
    return number(told.name("hours.minimum_added"), hours.minimum_added, "most", (none, missing), rule)
