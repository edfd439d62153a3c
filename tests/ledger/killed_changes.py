"""`quotekit prices apply` and `prices undo` killed at any moment, and what must hold afterwards.

    python -m tests.ledger.killed_changes N SEED

A child process changes the shop book, or takes a change back, and is killed with SIGKILL: by the clock, or at one of
its own dealings with the disk and the database, the last third of them more often. Afterwards the shop book is the old
one or the new one, whole; so is every dated copy; the ledger's check finds nothing. The next command that changes the
book tells what became of the change, and then the ledger says of each change that it was made or not made, the last
made one is what the book says, and when all is taken back the book is the first one, with nothing hidden left.
It prints one JSON object and ends with 1 where anything else was seen.
"""

from __future__ import annotations

import json
import os
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple
from unittest import mock

from tests.cli.price_shop import READER, Shop, change, whole
from tests.ledger import killed

D = Decimal


class Report(NamedTuple):
    """How many commands were killed, what they had done by then, and what is wrong."""

    killed: int
    ended_before: int
    moments: dict[str, int]
    wrong: list[str]


class Story:
    """A shop book that is changed back and forth between two prices of the belt."""

    def __init__(self, folder: Path) -> None:
        self.shop = Shop(folder / "shop")
        self.first = self.shop.book.read_bytes()
        self.price = D("19.5")
        self.next = D("21.25")

    def words(self, verb: str) -> list[str]:
        """The command as a person types it."""
        files = [str(self.shop.book), *([str(self.shop.proposals)] if verb == "apply" else [])]
        return ["prices", verb, *files, "--on", "2026-12-02", "--ledger", str(self.shop.ledger)]

    def prepare(self, verb: str) -> None:
        """A change that stands before one is taken back; none before one is made."""
        os.environ["QUOTEKIT_SOFFICE"] = "/nowhere"
        standing = [one for one in self.shop.changes() if one.stands and one.body.undoes is None] if self.known else []
        while standing and verb == "apply":
            self.run("undo")
            standing = [one for one in self.shop.changes() if one.stands and one.body.undoes is None]
        if verb == "undo" and not standing:
            self.run("apply")

    @property
    def known(self) -> bool:
        """Whether there is a ledger."""
        return self.shop.ledger.exists()

    def run(self, verb: str) -> int:
        """A command in this process."""
        with self.ticks():
            return killed.run(self.words(verb))

    def ticks(self) -> mock._patch[object]:
        """The belt's new price is ticked, of the book as it is."""
        self.shop.made_from = self.shop.digest()
        ticked = self.shop.ticked([change("pack cost", "D3", self.price, self.next)])
        return mock.patch(READER, lambda path: (ticked, []))


def wrong_now(story: Story, old: bytes, new: bytes) -> list[str]:
    """What may not be, whenever a command was killed."""
    shop, wrong = story.shop, list[str]()
    now = shop.book.read_bytes()
    if now not in (old, new):
        wrong.append("the shop book is neither the old one nor the new one")
    wrong += [
        f"{path.name} is half a file"
        for path in shop.folder.glob("*.xlsx")
        if path != shop.proposals and not whole(path)
    ]
    kept = list(shop.folder.glob("* before *.xlsx"))
    wrong += [f"{path.name} is no book there ever was" for path in kept if path.read_bytes() not in (old, new)]
    if story.known and shop.ledger.stat().st_size:
        shop.entries()  # its check finds nothing
    return wrong


def wrong_after_next(story: Story, old: bytes, new: bytes, before: int) -> list[str]:
    """What may not be after the next command: here it is one that takes the last change back, or finds none."""
    shop = story.shop
    now = shop.book.read_bytes()
    code = story.run("undo")
    changes = shop.changes()
    wrong = [f"change {one.number} is {one.state}" for one in changes if one.state == "begun"]
    made = [one for one in changes if one.state == "made"]
    if not made:
        return [*wrong, *([] if (code, shop.book.read_bytes()) == (1, now) else ["something was taken back"])]
    last = made[-1].body.file
    if sha256(shop.book.read_bytes()).hexdigest() != last.after:
        wrong.append("the book is not what the last made change says")
    if len(changes) > before + 2:
        wrong.append(f"{len(changes) - before} changes of two commands")
    standing = [one for one in changes if one.stands and one.body.undoes is None]
    if not standing and shop.book.read_bytes() != story.first:
        wrong.append("all is taken back, and the book is not the first one")
    left = shop.folder.glob(".*") if code == 0 else ()  # the next command that changes the book clears it away
    return wrong + [f"{path.name} was left behind" for path in left]


def one_round(
    story: Story, verb: str, kill: Callable[[list[str]], bool], states: tuple[bytes, bytes]
) -> tuple[bool, str, list[str]]:
    """Kill one command: whether it was killed, what it had done, what is wrong."""
    story.prepare(verb)
    before = len(story.shop.changes()) if story.known else 0
    start = story.shop.book.read_bytes()
    with story.ticks():
        done = kill(story.words(verb))
    wrong = wrong_now(story, *states)
    kinds = [one.kind for one in story.shop.entries()] if story.known and story.shop.ledger.stat().st_size else []
    replaced = story.shop.book.read_bytes() != start
    recorded = kinds[-1:] == ["changed"]
    moment = ("begun" if recorded else "recorded" if replaced else "nothing") + (", replaced" if replaced else "")
    return done, f"{verb}: {moment}", wrong + wrong_after_next(story, *states, before)


def kill_many(folder: Path, kills: int, seed: int) -> Report:
    """Kill commands until so many were killed."""
    draw, story = random.Random(seed), Story(folder)
    story.prepare("undo")
    new = story.shop.book.read_bytes()
    story.prepare("apply")
    costs = {verb: _cost_of(story, verb) for verb in ("apply", "undo")}
    moments: Counter[str] = Counter()
    wrong: list[str] = []
    ended = 0
    while moments.total() < kills:
        verb = draw.choice(["apply", "undo"])
        done, moment, found = one_round(story, verb, killed._draw_kill(draw, *costs[verb]), (story.first, new))
        moments[moment] += done
        ended += not done
        wrong += [f"kill {moments.total()}, {moment}: {line}" for line in found]
    return Report(moments.total(), ended, dict(sorted(moments.items())), wrong)


def _cost_of(story: Story, verb: str) -> tuple[float, int]:
    """How long a command takes in a child, and its steps."""
    story.prepare(verb)
    with story.ticks():
        start = time.monotonic()
        killed.ended(killed.child(story.words(verb)))
        seconds = time.monotonic() - start
    story.prepare(verb)
    with story.ticks():
        return seconds, killed.steps_of(story.words(verb))


def main() -> int:
    """Kill N commands and print the report."""
    with tempfile.TemporaryDirectory(prefix="quotekit-killed-") as place:
        report = kill_many(Path(place), int(sys.argv[1]), int(sys.argv[2]))
    print(json.dumps(report._asdict(), indent=1))
    return 1 if report.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
