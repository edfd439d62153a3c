"""Steps of a story that order parts, receive them and put some on the shelf."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from random import Random
from typing import Any

from tests.after.cheapest import Offer, cost_of, least_cost, offers_of, shelf_of, terms_of, usual_cost
from tests.after.life import DONE, EITHER, REFUSED, Life
from tests.after.rules import ZERO
from tests.after.run import Ran
from tests.after.shops import Row, Sheets
from tests.after.told import Known


def order(life: Life, random: Random) -> None:
    """Parts of one, several or all accepted jobs."""
    known = list(life.jobs.values())
    named = random.sample(known, random.randint(1, len(known))) if random.random() < 0.6 else []
    words = [job.file.number for job in named]
    agreed = [job for job in named or known if job.in_force() is not None]
    any_time, today = random.random() < 0.6, random.random() < 0.5 or not agreed
    if random.random() < 0.05:
        words.append("9999-99")
    words += ["--needed-by", "any"] if any_time else []
    words += ["--book", life.shop.book.name] if today else []
    expect, because = EITHER, "some may be done"
    if "9999-99" in words or any(job.in_force() is None for job in named):
        expect, because = REFUSED, "a job that is named is not agreed"
    elif not any(job.done or job.bills for job in known):
        expect, because = DONE, "all that are named are agreed"
    ran = life.tell("order", *words, "--out", f"order {len(life.commands)}", expect=expect, because=because)
    if ran.code != 0 or ran.json.get("order") is None:
        if ran.code == 0:
            _nothing_missing(life, ran, [job for job in agreed if not job.done and not job.bills])
        return
    rows = (
        life.shop.rows if today else _rows_of_last(life, [job for job in known if job.file.number in ran.json["jobs"]])
    )
    look_at_order(life, ran, rows, any_time)
    life.orders.append(ran.json)
    _nothing_missing(life, ran, [job for job in agreed if not job.done and not job.bills])


def _rows_of_last(life: Life, jobs: list[Known]) -> Sheets:
    """The shop book of the last issued of the versions in force."""
    newest = max((job.version_in_force() for job in jobs), key=lambda version: version.at)
    return life.books[newest.aside]


def got(life: Life, job: str, part: str) -> Decimal:
    """Units of a part that orders and the shelf gave a job so far."""
    total, names = ZERO, {part, f"{part} of {job}"}
    if part.startswith("ONEOFF-"):
        text = life.jobs[job].file.rows["One-off"][int(part.removeprefix("ONEOFF-")) - 1]["Line"]
        names = {text, f"{text} of {job}"}
    for told in life.orders:
        for line in told["lines"]:
            if line["part"] in names:
                total += Decimal(line["jobs"].get(job, "0"))
        for take in told["shelf"]:
            if take["part"] in names and take["job"] == job:
                total += Decimal(take["quantity"])
    return total


def _nothing_missing(life: Life, ran: Ran, jobs: list[Known]) -> None:
    """Each agreed part is ordered or taken once: not less, and not more than was ever agreed."""
    for job in jobs:
        choice = job.in_force()
        assert choice is not None
        for line in choice.told["parts"]:
            has, needs = got(life, job.file.number, line["part"]), Decimal(line["quantity"])
            ever = max(job.ever_agreed(line["part"]), needs)
            if Decimal(line["amount"]) == 0 and has == 0:
                continue
            if not needs <= has <= ever:
                life.differ(ran, f"{job.file.number} has {has} of {line['part']} ordered or taken, needs {needs}")


def look_at_order(life: Life, ran: Ran, rows: Sheets, any_time: bool) -> None:
    """An order's sums, what it lands for, at the usual suppliers, and the least there is."""
    told = ran.json
    packs: dict[Offer, int] = {}
    needs: dict[str, Decimal] = defaultdict(lambda: ZERO)
    offers: dict[str, list[Offer]] = {}
    for line in told["lines"]:
        part = line["part"]
        units = sum((Decimal(each) for each in line["jobs"].values()), ZERO)
        needs[part] += units
        row, own = _row_of(life, part, line["jobs"], rows)
        if row is None:
            return
        offers[part] = [each for each in offers_of(part, row, rows, own) if each.supplier not in shelf_of(rows)]
        found = [each for each in offers[part] if each.supplier == line["supplier"] and _is_pack(each, line)]
        if not found:
            life.differ(ran, f"no supplier offers this: {line}")
            return
        packs[found[0]] = packs.get(found[0], 0) + line["packs"]
        left = line["packs"] * Decimal(line["pack_quantity"]) - units
        life.same(ran, f"left over of {part}", Decimal(line["left_over"]), left)
        if left < 0:
            life.differ(ran, f"{part}: the packs do not cover what the jobs get")
        life.same(ran, f"amount of {part}", Decimal(line["amount"]), line["packs"] * Decimal(line["pack_cost"]))
    landed, terms = cost_of(packs, terms_of(rows)), terms_of(rows)
    if not told["lines"]:
        return
    life.money(ran, "landed", landed)
    life.same(ran, "sum over suppliers", sum((Decimal(one["total"]) for one in told["suppliers"]), ZERO), landed)
    if told["usual"] is not None:
        life.money(ran, "usual", usual_cost(needs, offers, terms))
    if any_time:
        if told["usual"] is not None and landed > Decimal(told["usual"]):
            life.differ(ran, f"it lands for {landed}, at the usual suppliers for {told['usual']}")
        least = least_cost(needs, offers, terms)
        if least is not None:
            life.same(ran, "least landed cost", landed, least)
            life.orders_tried += 1


def _is_pack(offer: Offer, line: dict[str, Any]) -> bool:
    return (offer.pack, offer.cost) == (Decimal(line["pack_quantity"]), Decimal(line["pack_cost"]))


def _row_of(life: Life, part: str, jobs: dict[str, str], rows: Sheets) -> tuple[Row | None, bool]:
    """The row that says how a part is sold: a job's own, or the book's."""
    code, _, of = part.partition(" of ")
    if of:
        own = [row for row in life.jobs[of].file.rows.get("Parts", ()) if row["Code"] == code]
        return (own[0], True) if own else (None, True)
    return next((row for row in rows["Parts"] if row["Code"] == code), None), False


def receive(life: Life, random: Random) -> None:
    """All of an order, some packs of a line, or more than was ordered."""
    numbers = [told["order"] for told in life.orders]
    if not numbers or random.random() < 0.1:
        life.tell("receive", str(len(numbers) + 7), "--all", expect=REFUSED, because="there is no such order")
        return
    told = life.orders[random.choice(numbers) - 1]
    came = life.came.setdefault(told["order"], {})
    still = {line["line"]: line["packs"] - came.get(line["line"], 0) for line in told["lines"]}
    if random.random() < 0.4 or not told["lines"]:
        ran = life.tell("receive", str(told["order"]), "--all", expect=DONE, because="what is open came in")
        now = {place: packs for place, packs in still.items() if packs > 0}
    else:
        line = random.choice(told["lines"])
        packs = random.randint(1, line["packs"] + 1)
        words = ("--part", line["part"], "--packs", str(packs), "--supplier", line["supplier"])
        words += ("--cost", "9.99") if random.random() < 0.2 else ()
        more = packs > still[line["line"]]
        because = "more than is open" if more else "so many are open"
        ran = life.tell("receive", str(told["order"]), *words, expect=EITHER if more else DONE, because=because)
        now = {line["line"]: packs}
    if ran.code != 0:
        return
    life.same(ran, "received", {each["line"]: each["packs"] for each in ran.json["received"]}, now)
    for place, packs in now.items():
        came[place] = came.get(place, 0) + packs
    still = {line["line"]: line["packs"] - came.get(line["line"], 0) for line in told["lines"]}
    opened = {place: packs for place, packs in still.items() if packs > 0}
    life.same(ran, "open", {each["line"]: each["packs"] for each in ran.json["open"]}, opened)
    look_at_shelf(life)


def shelve(life: Life, random: Random) -> None:
    """Units put on the shelf, taken or counted by hand; sometimes of no part, or no number."""
    parts = [row["Code"] for row in life.shop.rows["Parts"] if row["Supplier"] != "SHELF"]
    ordered = [line["part"] for told in life.orders for line in told["lines"] if " of " not in line["part"]]
    part = random.choice(ordered or parts) if random.random() < 0.7 else random.choice(parts)
    what, quantity = random.choice(["--put", "--put", "--take", "--count"]), random.choice(["1", "2", "0.5"])
    if random.random() < 0.15:
        bad = random.choice(["-1", "many", "NaN", ""])
        life.tell("shelf", what, part, bad, expect=frozenset({1, 2}), because="that is no quantity")
        return
    before = shelf_now(life).get(part, (ZERO, ZERO))
    ran = life.tell("shelf", what, part, quantity, expect=EITHER)
    if ran.code != 0:
        if what != "--take" or Decimal(quantity) <= before[0]:
            life.differ(ran, f"{what} {part} {quantity} is refused; {before[0]} are there")
        return
    moved = {"--put": Decimal(quantity), "--take": -Decimal(quantity), "--count": Decimal(quantity) - before[0]}[what]
    life.moved[part] = life.moved.get(part, ZERO) + moved
    look_at_shelf(life)


def shelf_now(life: Life) -> dict[str, tuple[Decimal, Decimal]]:
    """On the shelf and on its way to it, by part, as the program tells it."""
    ran = life.tell("shelf", expect=EITHER, on=False)
    rows = next((each for each in ran.json.values() if isinstance(each, list) and each and "on_shelf" in each[0]), [])
    return {row["part"]: (Decimal(row["on_shelf"]), Decimal(row["on_the_way"])) for row in rows}


def look_at_shelf(life: Life) -> None:
    """Nothing is lost: what orders leave over and hands moved, less what jobs took, is there or on its way."""
    if not life.ledger.exists():
        return
    ran = life.tell("shelf", on=False)
    now = shelf_now(life)
    kept = {row["Code"] for row in life.shop.rows["Parts"] if row["Supplier"] == "SHELF"}
    expected: dict[str, Decimal] = defaultdict(lambda: ZERO, life.moved)
    for told in life.orders:
        came = life.came.get(told["order"], {})
        for line in told["lines"]:
            more = max(0, came.get(line["line"], 0) - line["packs"]) * Decimal(line["pack_quantity"])
            expected[line["part"]] += Decimal(line["left_over"]) + more
        for take in told["shelf"]:
            expected[take["part"]] -= Decimal(take["quantity"])
    for part in {*expected, *now} - kept:
        if " of " in part:
            continue
        there, on_the_way = now.get(part, (ZERO, ZERO))
        life.same(ran, f"{part} on the shelf and on its way", there + on_the_way, expected[part])
        if there < 0 or on_the_way < 0:
            life.differ(ran, f"{part}: {there} on the shelf, {on_the_way} on its way")
