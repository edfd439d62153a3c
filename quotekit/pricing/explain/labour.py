"""Labour, the minimum line, supplies: the money of hours as trees (5.5 items 1 and 5)."""

from __future__ import annotations

from quotekit.model.explanation import Explanation
from quotekit.money import round_to
from quotekit.pricing.explain import hours
from quotekit.pricing.explain.told import Told, of_row


def labour(told: Told) -> Explanation:
    """`amounts.labour`: every labour line and the minimum line."""
    rule = "Every labour line and the minimum line (rules 5.5 item 1)."
    return told.once(
        "amounts.labour",
        lambda: told.money.sum_of(told.name("amounts.labour"), told.charges.labour_total, lines(told), rule),
    )


def lines(told: Told) -> list[Explanation]:
    """The labour lines, and the minimum line where there is one."""
    found = [line_at(told, rate) for rate in told.charges.labour]
    return [*found, minimum_line(told)] if told.charges.minimum else found


def line_at(told: Told, rate: str) -> Explanation:
    """round(billed hours x rate)."""
    return told.once(f"labour at {rate}", lambda: _line(told, rate))


def minimum_line(told: Told) -> Explanation:
    """What is missing to the minimum, at the default rate."""
    return told.once("minimum", lambda: _minimum(told))


def rate_per_hour(told: Told, rate: str) -> Explanation:
    """The selling rate in force."""
    row = told.basis.rates[rate]
    in_force = "" if row.in_force_from is None else f", in force from {row.in_force_from.isoformat()}"
    return of_row(
        f"Rate per hour of {rate}", row.rate_per_hour, row.source, "Rate per hour", "In force from", form="money",
        rule=f"The rate of {rate}{in_force} (rules 3, Labour rates).",
    )  # fmt: skip


def supplies(told: Told) -> Explanation:
    """`amounts.supplies`: percent of the labour lines, at most the cap."""
    return told.once("amounts.supplies", lambda: _supplies(told))


def _line(told: Told, rate: str) -> Explanation:
    inputs = (hours.billed(told, rate), rate_per_hour(told, rate))
    rule = "Billed hours x rate per hour, once for each labour rate (rules 5.5 item 1)."
    return told.money.rounded(told.name(f"labour at {rate}"), told.charges.labour[rate], "product", inputs, rule)


def _minimum(told: Told) -> Explanation:
    inputs = (hours.minimum_added(told), rate_per_hour(told, told.basis.default_rate))
    rule = "The hours missing to the minimum x the default rate (rules 5.3)."
    return told.money.rounded(told.name("minimum labour"), told.charges.minimum, "product", inputs, rule)


def _supplies(told: Told) -> Explanation:
    settings, money = told.basis.book.settings, told.money
    name, amount = told.name("amounts.supplies"), told.charges.supplies
    if settings.supplies_shown_as == "off":
        cells = told.setting_cells("Supplies shown as")
        return money.settled(name, amount, "The shop charges no supplies: shown as off (rules 3.1).", cells)
    percent = told.setting("Supplies percent of labour", "supplies_percent_of_labour", "percent")
    of_labour = round_to(settings.supplies_percent_of_labour * told.charges.labour_total, money.digits)
    rule = "The shop's percent of the labour lines, before savings (rules 5.5 item 5)."
    if settings.supplies_cap is None:
        return money.rounded(name, amount, "product", (percent, labour(told)), rule)
    part = money.rounded("percent of labour", of_labour, "product", (percent, labour(told)), rule)
    cap = told.setting("Supplies cap", "supplies_cap", "money")
    capped = money.rounded("cap", round_to(settings.supplies_cap, money.digits), "same", (cap,), "The most of a job.")
    rule = "The shop's percent of the labour lines, before savings, at most the cap (rules 5.5 item 5)."
    return money.node(name, amount, "least", (part, capped), rule)
