"""A step of a story that calls parts of an order off: units vanish, and jobs that were to get them need them again."""

from __future__ import annotations

from decimal import Decimal
from random import Random

from tests.after.life import DONE, EITHER, REFUSED, Life
from tests.after.ordering import look_at_shelf
from tests.after.rules import ZERO


def cancel(life: Life, random: Random) -> None:
    """Some packs of a line, mostly such as are open; by the shop, so that the same supplier may be asked again."""
    with_lines = [told for told in life.orders if told["lines"]]
    if not with_lines:
        life.tell("cancel-order", "1", "--because", "x", expect=REFUSED, because="there is no order that buys")
        return
    told = random.choice(with_lines)
    line = random.choice(told["lines"])
    still = line["packs"] - life.came.get(told["order"], {}).get(line["line"], 0)
    packs = random.randint(1, max(1, still) + (random.random() < 0.2))
    words = ("--part", line["part"], "--supplier", line["supplier"], "--packs", str(packs), "--by", "shop")
    why = random.random() < 0.9
    expect, because = (DONE, "so many are open") if packs <= still else (EITHER, "more than is open, or another line")
    if not why:
        expect, because = REFUSED, "nothing says why"
    more = ("--because", "typed twice") if why else ()
    ran = life.tell("cancel-order", str(told["order"]), *words, *more, expect=expect, because=because)
    if ran.code != 0 or not ran.json["cancelled"]:
        return
    [off] = ran.json["cancelled"]
    line = next(each for each in told["lines"] if each["line"] == off["line"])
    life.same(ran, "called off", (off["part"], off["packs"]), (line["part"], packs))
    gone = packs * Decimal(line["pack_quantity"])
    lost = sum((Decimal(each["quantity"]) for each in ran.json["needed_again"]), ZERO)
    had = Decimal(line["left_over"])
    if not max(ZERO, gone - had) <= lost <= gone:
        life.differ(ran, f"{gone} units are gone, {had} were left over, and jobs lose {lost}")
    line["packs"] -= packs
    line["left_over"] = str(had - gone + lost)
    for each in ran.json["needed_again"]:
        before = Decimal(line["jobs"].get(each["job"], "0"))
        line["jobs"][each["job"]] = str(before - Decimal(each["quantity"]))
    look_at_shelf(life)
