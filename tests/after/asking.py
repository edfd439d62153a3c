"""Steps of a story up to the yes: issue, accept, decline, pay, revise; sensible ones and senseless ones."""

from __future__ import annotations

import re
import shutil
from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import openpyxl

from tests.after.life import DONE, EITHER, REFUSED, Life
from tests.after.rules import number
from tests.after.shops import changed_job
from tests.after.told import Choice, Known, No, Version, Yes

UNKNOWN = "9999-99"


def issue(life: Life, random: Random) -> None:
    """A new version of a job; now and then of a job workbook that was changed."""
    job = random.choice(list(life.jobs.values()))
    issue_job(life, job)


def issue_job(life: Life, job: Known) -> None:
    """A new version of this job."""
    aside = life.put_aside(job.file.path)
    out = f"papers {len(life.commands)}"
    ran = life.tell(
        "issue", life.shop.book.name, job.file.path.name, "--out", out, expect=DONE, because="it can be quoted"
    )
    if ran.code != 0:
        return
    told = ran.json
    life.same(ran, "version", told["version"], len(job.versions) + 1)
    life.same(ran, "replaces", told["replaces"], len(job.versions) or None)
    job.typed = _typed_paid(job)
    version = Version(told["version"], date.fromisoformat(told["valid_until"]), told, aside, life.place())
    version.quote["folder"] = out
    job.versions.append(version)
    for tier in version.offered():
        life.same(ran, f"due of {tier['code']}", Decimal(tier["due"]), Decimal(tier["total"]) - job.paid_so_far)


def accept(life: Life, random: Random) -> None:
    """A yes by word of mouth, whole or with something missing."""
    job = life.a_job(random, lambda one: one.versions)
    current = job.current
    if current is not None and current.change is not None:
        tier, extras = current.change.tier, current.change.extras
        wrong = random.random() < 0.1
        named = ("--tier", "nonsense" if wrong else tier) if wrong or random.random() < 0.5 else ()
    else:
        wrong = False
        tier, extras = _draw_choice(random, current)
        named = ("--tier", tier, *(word for extra in extras for word in ("--extra", extra)))
    who = {"--by": random.choice(["phone", "in-person", "message"]), "--who": "R. Alder", "--phone": "555-0100"}
    who |= {"--note": random.choice(["go ahead", "yes, do it"]), "--at": "09:15"}
    missing = random.choice(list(who)) if random.random() < 0.12 else ""
    given = [word for name, value in who.items() if name != missing for word in (name, value)]
    hold = random.random() < 0.3
    given += ["--hold-expired", "They asked in time"] if hold else []
    expect, because = _may_accept(life, job, tier, extras, hold)
    if missing:
        needed = not (missing == "--phone" and who["--by"] != "phone")
        expect, because = (REFUSED, f"{missing} is missing") if needed else (expect, because)
    if wrong and current is not None:
        expect, because = REFUSED, "no such option in the change"
    ran = life.tell("accept", "--job", job.file.number, *named, *given, expect=expect, because=because)
    _took(life, job, ran, Choice(tier, extras, {}), (*sorted(f"{k}{v}" for k, v in who.items() if k != missing),))


def accept_returned(life: Life, random: Random) -> None:
    """A quote sent back with an option picked; sometimes an older version, or one with a changed amount."""
    job = life.a_job(random, lambda one: one.versions)
    quotes = [version for version in job.versions if version.change is None]
    if not quotes:
        life.tell("accept", "no such file.xlsx", expect=frozenset({1, 3}), because="there is no such file")
        return
    version = random.choice([quotes[-1], quotes[-1], random.choice(quotes)])
    tier, extras = _draw_choice(random, version)
    path = life.folder / version.quote["folder"] / f"{job.file.number}-{version.number} quote.xlsx"
    back = life.folder / f"back {len(life.commands)}.xlsx"
    shutil.copy(path, back)
    changed = random.random() < 0.2
    extras = _fill_in(back, version, tier, extras, changed)
    expect, because = _may_accept(life, job, tier, extras, hold=False)
    if version is not job.current:
        expect, because = REFUSED, "the version was replaced"
    elif changed:
        expect, because = REFUSED, "an amount was changed"
    ran = life.tell("accept", back.name, expect=expect, because=because)
    _took(life, job, ran, Choice(tier, extras, {}), ())


def _fill_in(back: Any, version: Version, tier: str, extras: tuple[str, ...], changed: bool) -> tuple[str, ...]:
    """Type the choice as a customer would; the extras for which there is a box."""
    book, ticked = openpyxl.load_workbook(back), []

    def cell(name: str) -> Any:
        sheet, _, address = str(book.defined_names[name].attr_text).replace("$", "").replace("'", "").rpartition("!")
        return book[sheet][address.partition(":")[0]]

    named = next((each["name"] for each in version.offered() if each["code"] == tier), tier)
    cell("chosen_tier").value = named
    for extra in extras:
        name = "extra_" + re.sub(r"[^A-Za-z0-9]", "_", extra)
        if name in book.defined_names:
            cell(name).value = "Yes"
            ticked.append(extra)
    if changed:
        sheet = book["Quote"]
        spot = next(one for row in sheet for one in row if isinstance(one.value, str) and "Alder Creek" in one.value)
        spot.value = f"{spot.value} and friends"
    book.save(back)
    return tuple(ticked)


def _draw_choice(random: Random, version: Version | None) -> tuple[str, tuple[str, ...]]:
    if version is None:
        return "good", ()
    if random.random() < 0.08:
        return random.choice(["good", "better", "best", "nonsense"]), ()
    tier = random.choice(version.offered())
    extras = [each["extra"] for each in tier["extras"]]
    taken = random.sample(extras, random.randint(0, len(extras))) if random.random() < 0.5 else []
    return tier["code"], (*taken, *(["NO-SUCH"] if random.random() < 0.05 else []))


def _may_accept(life: Life, job: Known, tier: str, extras: tuple[str, ...], hold: bool) -> tuple[frozenset[int], str]:
    current = job.current
    if current is None:
        return REFUSED, "nothing was issued"
    if life.day > current.valid_until and not hold:
        yes = job.last_yes()
        return (REFUSED, "it has expired") if yes is None else (EITHER, "expired, or recorded already")
    if current.change is None and tier not in [each["code"] for each in current.offered()]:
        return REFUSED, f"option {tier} was not offered"
    if current.change is None and _choice(life, current, tier, extras) is None:
        return REFUSED, "an extra was not offered with it"
    return DONE, "it is offered and holds"


def _choice(life: Life, version: Version, tier: str, extras: tuple[str, ...]) -> Choice | None:
    if version.change is not None:
        return version.change
    return life.priced(version.aside, tier, extras)


def _took(life: Life, job: Known, ran: Any, drawn: Choice, words: tuple[str, ...]) -> None:
    """Note a yes, and hold what was printed against the price of the workbooks put aside."""
    if ran.code != 0 or job.current is None:
        return
    choice = _choice(life, job.current, drawn.tier, drawn.extras)
    if choice is None:
        return
    if ran.json["recorded"]:
        job.yes.append(Yes(job.current.number, choice, life.place(), words))
    else:
        yes = job.last_yes()
        life.same(ran, "recorded already", yes is not None and yes.choice.key == choice.key, True)
    authorised = job.rule.of(choice.subtotal, choice.total)
    life.money(ran, "total", choice.total)
    life.money(ran, "deposit", Decimal(choice.told["deposit"]))
    life.money(ran, "authorised", authorised)
    most = authorised + job.rule.threshold(authorised)
    told = Decimal(ran.json["most"])
    if not most - Decimal("0.01") < told <= most:
        life.differ(ran, f"most: program {told}, second implementation {most}")
    life.money(ran, "paid", job.paid_so_far)
    life.money(ran, "due", choice.total - job.paid_so_far)


def decline(life: Life, random: Random) -> None:
    """A no: to a quote, to a change, or to everything."""
    job = life.a_job(random, lambda one: one.versions)
    every = random.random() < 0.2
    words = ["--reason", random.choice(["price", "time", "no-answer"])] + (["--all"] if every else [])
    unknown = random.random() < 0.05
    expect, because = (REFUSED, "unknown job") if unknown or not job.versions else (DONE, "anybody may say no")
    ran = life.tell("decline", UNKNOWN if unknown else job.file.number, *words, expect=expect, because=because)
    if ran.code != 0 or unknown:
        return
    pending, yes = job.pending(), job.last_yes()
    current = job.current
    assert current is not None
    newest = yes is not None and current.at > yes.at and not any(said.at > current.at for said in job.yes)
    waits = newest and (pending is not None or current.change is None or _refused(job, current))
    version = current.number if yes is None or (waits and not every) else None
    if ran.json["recorded"]:
        life.same(ran, "the version that is declined", ran.json["version"], version)
        job.no.append(No(version, life.place()))
    yes = job.last_yes()
    still = ran.json["still_agreed"]
    life.same(ran, "whether something is still agreed", still is not None, yes is not None)
    to_pay = ran.json["to_pay"]
    if yes is None:
        life.same(ran, "what a no costs", to_pay and Decimal(to_pay), life.cost_of_no(current.aside))


def _refused(job: Known, version: Version) -> bool:
    """Whether a no to this version, and no other, was its last answer."""
    return any(no.at > version.at and no.version == version.number for no in job.no)


def pay(life: Life, random: Random) -> None:
    """Money taken or given back; sometimes no amount at all."""
    job = life.a_job(random, lambda one: one.versions)
    amount = random.choice(["60", "25.50", "0.01", "500", f"{random.randint(1, 90000) / 100:.2f}"])
    refund = random.random() < 0.15
    bad = random.choice(["0", "-5", "1.234", "abc", "1e3", "NaN", "", "1,000"]) if random.random() < 0.12 else ""
    expect, because = DONE, "money was taken"
    if not job.versions:
        expect, because = REFUSED, "nothing was issued"
    elif bad:
        expect, because = frozenset({1, 2}), f"{bad!r} is no payment"
    elif refund and number(amount) > job.paid_so_far:
        expect, because = REFUSED, "more is given back than was taken"
    words = ["--for", "refund"] if refund else []
    words += ["--how", random.choice(["cash", "card"])]
    ran = life.tell("pay", job.file.number, bad or amount, *words, expect=expect, because=because)
    if ran.code != 0:
        return
    job.paid.append(-number(amount) if refund else number(amount))
    life.money(ran, "paid", job.paid_so_far)


def revise(life: Life, random: Random) -> None:
    """The changed job, or the same one again, against the last yes."""
    known = list(life.jobs.values())
    job = random.choice([one for one in known if one.last_yes() is not None] or known)
    if random.random() < 0.7:
        _find_more(life, random, job)
    yes, aside, out = job.last_yes(), life.put_aside(job.file.path), f"change {len(life.commands)}"
    change = life.priced(aside, yes.choice.tier, yes.choice.extras) if yes is not None else None
    expect, because = DONE, "something is agreed"
    in_force = [job.versions[yes.version - 1], job.version_in_force()] if yes is not None else []
    if any(_same_files(aside, version.aside) for version in in_force):
        expect, because = EITHER, "nothing is new"
    if yes is None:
        expect, because = REFUSED, "nothing is agreed"
    elif change is None:
        expect, because = EITHER, "the option or an extra is not there any more"
    words = ("revise", life.shop.book.name, job.file.path.name, "--out", out)
    ran = life.tell(*words, expect=expect, because=because)
    if ran.code != 0 or yes is None or change is None:
        return
    authorised, now = job.authorised(), job.rule.of(change.subtotal, change.total)
    assert authorised is not None
    needs = job.rule.needs_consent(authorised, now) or _passes_limit(job, yes.choice.total, change.total)
    if ran.json["recorded"]:
        life.same(ran, "version", ran.json["version"], len(job.versions) + 1)
        valid_until = date.fromisoformat(ran.json["valid_until"])
        version = Version(ran.json["version"], valid_until, ran.json, aside, life.place(), change, needs)
        job.versions.append(version)
        job.typed = _typed_paid(job)
    else:
        return
    life.money(ran, "authorised", authorised)
    life.money(ran, "total", change.total)
    life.money(ran, "now", now)
    life.same(ran, "needs_consent", ran.json["needs_consent"], needs)


def _same_files(one: Path, other: Path) -> bool:
    return all((one / name).read_bytes() == (other / name).read_bytes() for name in ("book.xlsx", "job.xlsx"))


def _passes_limit(job: Known, agreed: Decimal, now: Decimal) -> bool:
    """Over a spending limit that what was agreed was within."""
    typed = [number(row["Value"]) for row in job.file.rows["Job"] if row["Field"] == "Spending limit"]
    return bool(typed) and agreed <= typed[0] < now


def change_prices(life: Life, random: Random) -> None:
    """The owner changes the shop book: what was issued stays as it is."""
    from quotekit.workbook.write_blank import shop_book_bytes

    for row in random.sample(life.shop.rows["Parts"], 10):
        row["Pack cost"] = f"{float(row['Pack cost']) * random.choice([0.9, 1.1, 1.3]):.2f}"
    if random.random() < 0.3:
        for row in life.shop.rows["Labour rates"]:
            row["Rate per hour"] = f"{float(row['Rate per hour']) + 4:.2f}"
    life.shop.book.write_bytes(shop_book_bytes({name: tuple(of) for name, of in life.shop.rows.items()}))
    life.commands.append("(the shop book is changed)")


def wait(life: Life, random: Random) -> None:
    """Days go by."""
    life.pass_days(random.choice([1, 2, 5, 9]))
    life.commands.append(f"(it is {life.day})")


def find_more(life: Life, random: Random) -> None:
    """The technician finds more: the job workbook is changed and saved."""
    job = life.a_job(random, lambda one: one.in_force())
    _find_more(life, random, job)


def _find_more(life: Life, random: Random, job: Known) -> None:
    job.times += 1
    amount = f"{random.choice([1, 5, 12.34, 24.99, 25, 25.01, 40, 90, random.randint(1, 15000) / 100]):.2f}"
    most, choice = job.most(), job.in_force()
    if most is not None and choice is not None and random.random() < 0.4:
        room = most - job.rule.of(choice.subtotal, choice.total) + random.choice([0, 0, 1, -1]) * Decimal("0.01")
        amount = f"{max(room, Decimal('0.01')):.2f}"
    job.file.rows = changed_job(random, job.file, amount, job.times)
    life.shop.write_job(job.file.rows, job.file.path)
    life.commands.append(f"(job {job.file.number} is changed: {job.file.rows['One-off'][-1]})")


def _typed_paid(job: Known) -> Decimal:
    return next((number(row["Value"]) for row in job.file.rows["Job"] if row["Field"] == "Paid so far"), Decimal(0))
