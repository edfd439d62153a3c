"""Steps of a story that end a job: the bill, and a job that comes back."""

from __future__ import annotations

from decimal import Decimal
from random import Random

from tests.after.life import DONE, EITHER, REFUSED, Life
from tests.after.rules import ZERO, number, tax_rows, taxed
from tests.after.run import Ran
from tests.after.told import Bill, Choice, Done, Known

UNKNOWN = "9999-99"


def bill(life: Life, random: Random) -> None:
    """The bill of a job: in time, too early, twice."""
    job = life.a_job(random, lambda one: one.closed_since() or one.no)
    if random.random() < 0.04:
        life.tell("bill", UNKNOWN, expect=REFUSED, because="there is no such job")
        return
    expect, because = _may_bill(life, job)
    ran = life.tell("bill", job.file.number, "--out", f"bill {len(life.commands)}", expect=expect, because=because)
    if ran.code == 0:
        _look_at_bill(life, ran, job)


def _may_bill(life: Life, job: Known) -> tuple[frozenset[int], str]:
    if not job.versions or not (job.yes or job.no):
        return REFUSED, "nobody answered"
    if job.last_yes() is None and job.no[-1].at < job.versions[-1].at:
        return REFUSED, "the last version waits for an answer"
    if job.last_yes() is None:
        return (EITHER, "a no after a bill") if job.bills else (_may_bill_no(life, job), "a no is billed")
    if job.pending() is not None:
        return REFUSED, "a change waits for an answer"
    done = job.closed_since()
    if done is None and job.done:
        return REFUSED, "the work was closed before the last change"
    if (done is not None and done.parts) or _taxes_changed(life, job) or job.comeback_to or job.bills:
        return EITHER, "the bill may pass what is authorised"
    return DONE, "it is agreed and done"


def _may_bill_no(life: Life, job: Known) -> frozenset[int]:
    current = job.current
    assert current is not None
    return DONE if job.no and life.cost_of_no(current.aside) else EITHER


def _look_at_bill(life: Life, ran: Ran, job: Known) -> None:
    told = ran.json
    lines = sum((Decimal(line["amount"]) for line in told["lines"]), ZERO)
    life.same(ran, "subtotal is the sum of the lines", Decimal(told["subtotal"]), lines)
    tax = sum((Decimal(each["amount"]) for each in told["taxes"]), ZERO)
    life.same(ran, "tax is the sum of the taxes", Decimal(told["tax"]), tax)
    life.same(ran, "total", Decimal(told["total"]), lines + tax)
    if not told["recorded"]:
        life.same(ran, "billed again without anything new", told["bill"], job.bills[-1].number if job.bills else None)
        return
    before = sum((each.total for each in job.bills), ZERO)
    life.money(ran, "billed_before", before)
    if not job.bills:
        _look_at_taxes(life, ran, job)
    job.bills.append(Bill(told["bill"], life.place(), told))
    together = before + Decimal(told["total"])
    life.money(ran, "paid", job.paid_so_far)
    life.money(ran, "due", max(ZERO, together - job.paid_so_far))
    life.money(ran, "refund", max(ZERO, job.paid_so_far - together))
    if job.last_yes() is None:
        life.same(ran, "of", told["of"], "no")
        if len(job.bills) == 1 and not _taxes_changed(life, job) and job.current is not None:
            life.money(ran, "total", life.cost_of_no(job.current.aside))
        return
    _look_at_work(life, ran, job, together)


def _look_at_work(life: Life, ran: Ran, job: Known, together: Decimal) -> None:
    """All bills together: what is in force, done or not; never above what is authorised and the threshold."""
    choice, done, most = job.in_force(), job.closed_since() or Done(0), job.most()
    assert choice is not None and most is not None
    subtotals = sum((Decimal(each.told["subtotal"]) for each in job.bills), ZERO)
    if job.rule.of(subtotals, together) > most:
        life.differ(ran, f"billed {together} ({subtotals} before tax) in all, authorised with the threshold is {most}")
    life.money(ran, "authorised", job.authorised())
    mixed = any(each.told["of"] == "no" for each in job.bills)
    if job.comeback_to:
        if not job.charged and subtotals > max(ZERO, _fee_of(life)) and len(job.bills) == 1:
            life.differ(ran, f"a comeback that is not charged is billed {subtotals}")
        return
    if done.parts or mixed:
        return
    expected = _expected(life, job, choice, done)
    if expected is None:
        return
    life.same(ran, "all bills before tax", subtotals, min(expected.subtotal, choice.subtotal))
    if not _taxes_changed(life, job):
        life.same(ran, "all bills", together, min(expected.total, choice.total))


def _expected(life: Life, job: Known, choice: Choice, done: Done) -> Choice | None:
    """What was agreed, without the extras that were not done."""
    if not done.not_done:
        return choice
    left = tuple(extra for extra in choice.extras if extra not in done.not_done)
    return life.priced(job.version_in_force().aside, choice.tier, left)


def _look_at_taxes(life: Life, ran: Ran, job: Known) -> None:
    """The taxes of a first bill are those of its lines by the rows in force on its day."""
    told = ran.json
    aside = job.version_in_force().aside if job.last_yes() is not None else job.versions[-1].aside
    rows = tax_rows(life.books[aside]["Taxes"])
    exempt = any(row["Field"] == "Customer class" and row["Value"] == "exempt" for row in job.file.rows["Job"])
    fees = {row["Code"].casefold() for row in life.books[aside]["Fees"]}
    lines = []
    for line in told["lines"]:
        charge = line["charge"].casefold()
        lines.append(("fees" if charge in fees else charge, Decimal(line["amount"])))
    expected = {} if exempt else taxed(rows, lines, life.day, life.shop.setting("Tax rounding"))
    found = {each["tax"]: (Decimal(each["base"]), Decimal(each["amount"])) for each in told["taxes"]}
    life.same(ran, "taxes", found, expected)


def _taxes_changed(life: Life, job: Known) -> bool:
    """Whether other rows are in force than on the day of the quote."""
    version = job.version_in_force() if job.last_yes() is not None else job.versions[-1]
    rows = tax_rows(life.books[version.aside]["Taxes"])
    return [row for row in rows if row.holds(life.day)] != [row for row in rows if row.holds(job.file.quoted)]


def _fee_of(life: Life) -> Decimal:
    return number(life.shop.setting("Inspection fee"))


def comeback(life: Life, random: Random) -> None:
    """A job that comes back to another; or to itself, or to one nobody knows."""
    job, first = (life.a_job(random, lambda one: one.versions) for _ in range(2))
    unknown = random.random() < 0.1
    charged = random.choice(["", "0", "50%", "0.25", "0.25", random.choice(["150%", "some"])])
    words = ["--cause", random.choice(["workmanship", "part", "training", "other"])]
    words += ["--charged", charged] if charged else []
    expect, because = EITHER, "both are known"
    if charged in ("150%", "some"):
        expect, because = frozenset({2, 1}), "that is no part of a price"
    elif unknown or job is first or not job.versions or not first.versions:
        expect, because = REFUSED, "there are no two such jobs"
    of = UNKNOWN if unknown else first.file.number
    ran = life.tell("comeback", job.file.number, "--of", of, *words, expect=expect, because=because)
    if ran.code == 0:
        job.comeback_to, job.charged = of, number(charged)
