"""A step of a story that looks back: the review's sums, made again from its lines and from what was written down."""

from __future__ import annotations

from decimal import Decimal
from random import Random
from typing import Any

from tests.after.life import DONE, Life
from tests.after.rules import ZERO
from tests.after.run import Ran, run
from tests.after.told import Known

CENT = Decimal("0.01")
COSTS = ("parts", "labour", "sublet", "freight")


def review(life: Life, random: Random) -> None:
    """The whole season, at any time."""
    if not life.ledger.exists():
        return
    days = ("--from", "2026-11-01", "--to", "2026-11-30")
    out = f"review {len(life.commands)}"
    ran = life.tell("review", *days, "--out", out, expect=DONE, because="a review can always be made", on=False)
    if ran.code != 0:
        return
    told = {one["job"]: one for one in ran.json["jobs"]}
    closed = {number for number, job in life.jobs.items() if job.done and job.last_yes() is not None}
    for number in closed - set(told):
        life.differ(ran, f"{number} is closed and agreed, and not in the review")
    for number, one in told.items():
        _look_at_job(life, ran, life.jobs[number], one)
    _look_at_sums(life, ran, list(told.values()))


def _look_at_job(life: Life, ran: Ran, job: Known, one: dict[str, Any]) -> None:
    name = job.file.number
    if not job.done:
        life.differ(ran, f"{name} is in the review and was never closed")
        return
    subtotals = [Decimal(bill.told["subtotal"]) for bill in job.bills]
    invoiced = sum(subtotals, ZERO) if subtotals else None
    life.same(ran, f"invoiced on {name}", _amount(one["invoiced"]), invoiced)
    life.same(ran, f"hours of {name}", _amount(one["actual_hours"]), job.done[-1].hours)
    if not job.done[-1].hours and one["profit"] is not None:
        life.differ(ran, f"{name} has a profit though nobody wrote down an hour")
    choice = job.in_force()
    if choice is not None and job.closed_since() is not None:
        life.same(ran, f"agreed on {name}", _amount(one["agreed"]), choice.subtotal)
    _look_at_comebacks(life, ran, name, one)
    if one["profit"] is None:
        return
    costs = {cost: Decimal(one[cost]) for cost in COSTS}
    _near(life, ran, f"profit of {name}", Decimal(one["profit"]), Decimal(one["invoiced"]) - sum(costs.values()))
    left = Decimal(one["invoiced"]) - sum(costs[cost] for cost in COSTS if cost != "labour")
    _near(life, ran, f"contribution of {name}", Decimal(one["contribution"]), left)


def _look_at_comebacks(life: Life, ran: Ran, name: str, one: dict[str, Any]) -> None:
    """A comeback is charged to its first job: what it left is added to what the first job left."""
    told = {each["job"]: each for each in ran.json["jobs"]}
    came = [told[job] for job in one["comebacks"] if job in told]
    for each in came:
        life.same(ran, f"first job of {each['job']}", each["first_job"], name)
    if one["first_job"] and one["first_job"] in told and name not in told[one["first_job"]]["comebacks"]:
        life.differ(ran, f"{name} came back to {one['first_job']}, which does not bear it")
    if one["profit"] is not None and one["comebacks_result"] is not None:
        left = Decimal(one["profit"]) + Decimal(one["comebacks_result"])
        life.same(ran, f"{name} after its comebacks", _amount(one["after_comebacks"]), left)
        if all(each["profit"] is not None and not each["comebacks"] for each in came):
            result = sum((Decimal(each["profit"]) for each in came), ZERO)
            life.same(ran, f"what comebacks of {name} left", Decimal(one["comebacks_result"]), result)


def _look_at_sums(life: Life, ran: Ran, jobs: list[dict[str, Any]]) -> None:
    totals, months = ran.json["totals"], ran.json["months"]
    known = [one for one in jobs if one["profit"] is not None]
    life.same(ran, "jobs", totals["jobs"], len(jobs))
    life.same(ran, "jobs whose profit is known", totals["known"], len(known))
    for what in ("invoiced", "profit", "contribution", *COSTS):
        life.same(ran, f"{what} of all", Decimal(totals[what]), sum((Decimal(one[what]) for one in known), ZERO))
    hours = sum((Decimal(one["actual_hours"]) for one in known), ZERO)
    if hours and totals["per_bench_hour"] is not None:
        exact = Decimal(totals["contribution"]) / hours
        _near(life, ran, "contribution of a bench hour", Decimal(totals["per_bench_hour"]), exact)
    for what in ("invoiced", "profit"):
        life.same(ran, f"{what} by month", sum((Decimal(one[what]) for one in months), ZERO), Decimal(totals[what]))
    life.same(ran, "jobs by month", sum(one["jobs"] for one in months), len(jobs))
    for tier in ran.json["wins"]:
        ended = sum(tier[how] for how in ("open", "chosen", "other_chosen", "declined", "lapsed"))
        life.same(ran, f"quotes that showed {tier['tier']}", tier["shown"], ended)


def _near(life: Life, ran: Ran, what: str, told: Decimal, expected: Decimal) -> None:
    """Each figure is rounded once by itself, so sums of rounded figures may be some cents off."""
    if abs(told - expected) > 3 * CENT:
        life.differ(ran, f"{what}: program {told}, second implementation {expected}")


def _amount(told: str | None) -> Decimal | None:
    return None if told is None else Decimal(told)


def jobs(life: Life, random: Random) -> None:
    """Where each job stands: what was paid, which version is agreed; and a copy of the ledger verifies too."""
    if not life.ledger.exists():
        return
    ran = life.tell("jobs", expect=DONE, because="a list can always be made", on=False)
    told = {one["job"]: one for one in ran.json["jobs"]}
    life.same(ran, "jobs", set(told), {number for number, job in life.jobs.items() if job.versions})
    for number, one in told.items():
        job = life.jobs[number]
        life.same(ran, f"paid on {number}", Decimal(one["paid"]), job.paid_so_far)
        life.same(ran, f"version of {number}", one["version"], len(job.versions))
        if one["state"].startswith("billed"):
            due = sum((each.total for each in job.bills), ZERO) - job.paid_so_far
            words = f"{due:f} to pay" if due > 0 else f"{-due:f} to give back"
            life.same(ran, f"state of {number}", one["state"], f"billed, {words}" if due else "billed and paid")
        elif job.pending() is not None:
            life.same(ran, f"{number} waits", one["state"].startswith(f"version {len(job.versions)} waits"), True)
        agreed = job.version_in_force().number if job.last_yes() is not None else None
        life.same(ran, f"version agreed of {number}", one["accepted_version"], agreed)
    if random.random() < 0.5:
        copy = f"copy {len(life.commands)}.db"
        life.tell("ledger", "backup", copy, expect=DONE, because="a copy can always be made", on=False)
        checked = run(life.folder, "ledger", "check", "--ledger", copy)
        life.same(checked, "check of a copy", checked.code, 0)
