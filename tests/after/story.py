"""A random life story of a shop: one seed, one shop, a list of steps each with a seed of its own.

A step can be left out of a story without changing the draws of the others, so a story that fails is made shorter by
leaving steps out as long as it still fails.
"""

from __future__ import annotations

import tempfile
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from tests.after import asking, billing, calling_off, looking_back, ordering, working
from tests.after.life import Difference, Life

Step = tuple[str, int]
Doing = Callable[[Life, Random], None]

STEPS: dict[str, tuple[Doing, int]] = {
    "issue": (asking.issue, 6),
    "accept": (asking.accept, 8),
    "accept a returned quote": (asking.accept_returned, 4),
    "decline": (asking.decline, 2),
    "pay": (asking.pay, 4),
    "revise": (asking.revise, 6),
    "find more": (asking.find_more, 3),
    "change the shop book": (asking.change_prices, 1),
    "order": (ordering.order, 6),
    "receive": (ordering.receive, 4),
    "shelve": (ordering.shelve, 2),
    "call off": (calling_off.cancel, 2),
    "work order": (working.work_order, 4),
    "clock": (working.clock, 3),
    "close": (working.close, 4),
    "bill": (billing.bill, 5),
    "comeback": (billing.comeback, 1),
    "review": (looking_back.review, 1),
    "jobs": (looking_back.jobs, 2),
    "wait": (asking.wait, 2),
}
"""What may happen, and how often."""


@dataclass
class Lived:
    """What came of a story."""

    commands: list[str]
    wrong: list[str]
    codes: Counter[tuple[str, int]] = field(default_factory=Counter)


THE_USUAL = (
    ("issue", "issue", "accept"),
    ("accept", "accept a returned quote", "pay", "issue"),
    ("order", "work order", "accept", "revise"),
    ("order", "receive", "work order", "revise", "accept"),
    ("receive", "clock", "close", "revise", "accept", "shelve", "call off", "order"),
    ("close", "work order", "bill", "pay"),
    ("bill", "close", "pay", "comeback", "review"),
)
"""What a shop mostly does early, later and at the end of a story."""


def draw_steps(seed: int, length: int) -> list[Step]:
    """The steps of a story: mostly in the usual order, and now and then anything."""
    random = Random(seed)
    names, weights = list(STEPS), [weight for _, weight in STEPS.values()]
    steps = ["issue", "issue"]
    for place in range(length):
        usual = [name for name in THE_USUAL[place * len(THE_USUAL) // length] if name in STEPS]
        steps.append(random.choice(usual) if random.random() < 0.6 else random.choices(names, weights)[0])
    return [(name, random.randrange(10**9)) for name in steps]


def live(seed: int, steps: Sequence[Step], folder: Path) -> Lived:
    """Live a story until the first difference, or to its end."""
    life = Life(seed, folder)
    for name, of in steps:
        try:
            STEPS[name][0](life, Random(of))
        except Exception:  # an onlooker who no longer understands is a difference too
            life.wrong.append(Difference(life.commands[-1], traceback.format_exc()))
        if life.wrong:
            break
    codes: Counter[tuple[str, int]] = Counter((verb, code) for verb, of_verb in life.codes.items() for code in of_verb)
    codes["least landed cost tried", 0] = life.orders_tried
    return Lived(life.commands, [str(each) for each in life.wrong], codes)


def lived(seed: int, steps: Sequence[Step]) -> Lived:
    """Live a story in a folder of its own that is gone afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        return live(seed, steps, Path(folder))


def shorter(seed: int, steps: Sequence[Step], tries: int = 40) -> tuple[list[Step], Lived]:
    """The shortest story found by leaving steps out that still shows the same kind of difference."""
    best, of_best = list(steps), lived(seed, steps)
    kind, size = _kind(of_best), max(1, len(best) // 2)
    while size and tries:
        for start in range(0, len(best), size):
            candidate = best[:start] + best[start + size :]
            tries -= 1
            told = lived(seed, candidate)
            if told.wrong and _kind(told) == kind:
                best, of_best = candidate, told
                break
            if not tries:
                break
        else:
            size //= 2
    return best, of_best


def _kind(told: Lived) -> str:
    """What a difference is about, without its figures."""
    words = told.wrong[0].split("\n")[0] if told.wrong else ""
    return "".join(char for char in words if not char.isdigit())[:40]
