"""`quotekit bill` killed at any of its steps, and what must hold afterwards.

    python -m tests.ledger.killed_bills N SEED

A child process bills a closed job and is killed with SIGKILL at one of its own steps. Afterwards the ledger's check
finds nothing; a bill in its folder is whole and recorded; the same command run again ends well, and the job has one
bill, whose number is the next of the shop: no number is lost or given twice.
"""

from __future__ import annotations

import random
import sys
import tempfile
from pathlib import Path

from quotekit.ledger.check import check_ledger
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger import killed


class Shop(killed.Shop):
    """A shop whose bills can be killed."""

    def words(self, verb: str) -> list[str]:
        """The command as a person types it."""
        if verb == "bill":
            return ["bill", self.job, "--out", str(self.folder / "bills"), "--ledger", self.address]
        return super().words(verb)

    def prepare(self, verb: str) -> None:
        """A new job that is issued, agreed to and closed."""
        self.new_job()
        for before in ("issue", "accept", "close"):
            if killed.run(self.words(before)):
                raise RuntimeError(f"{before} failed")


def kill_bill(shop: Shop, step: int) -> list[str]:
    """Kill the bill of a new job at a step and run it again: what is wrong."""
    shop.prepare("bill")
    wrong = []
    if killed.kill_at_step(shop.words("bill"), step):
        wrong += _wrong(shop)
    if killed.run(shop.words("bill")):
        wrong.append("the bill run again did not end well")
    wrong += _wrong(shop)
    billed = [entry for entry in shop.entries() if entry.kind == "billed"]
    if [entry.number for entry in billed] != list(range(1, len(billed) + 1)):
        wrong.append(f"numbers {[entry.number for entry in billed]}")
    if [entry.job for entry in billed].count(shop.job) != 1:
        wrong.append("the job has not one bill")
    elif not (shop.folder / "bills" / f"{shop.job} bill {billed[-1].number}.xlsx").is_file():
        wrong.append("the bill is not in its folder")
    return [f"step {step}: {line}" for line in wrong]


def _wrong(shop: Shop) -> list[str]:
    """Half a bill, a bill without an entry, or a ledger that does not hold together."""
    with open_ledger(shop.address) as ledger:
        wrong = [problem.message for problem in check_ledger(ledger).problems]
    recorded = {f"{entry.job} bill {entry.number}.xlsx" for entry in shop.entries() if entry.kind == "billed"}
    for path in (shop.folder / "bills").glob("*.xlsx"):
        if path.name not in recorded:
            wrong.append(f"{path.name} is there without an entry")
        if not killed._whole(path):
            wrong.append(f"{path.name} is half a document")
    return wrong


def kill_many(folder: Path, kills: int, seed: int) -> list[str]:
    """Kill so many bills at drawn steps, the last third of the steps more often."""
    shop, draw = Shop(str(folder / "shop ledger.db"), folder), random.Random(seed)
    shop.prepare("bill")
    killed.run(shop.words("bill"))
    shop.prepare("bill")
    steps = killed.steps_of(shop.words("bill"))
    drawn = [draw.randint(draw.choice([1, steps * 2 // 3]), steps) for _ in range(kills)]
    return [line for step in drawn for line in kill_bill(shop, step)]


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(prefix="quotekit-killed-") as place:
        tempfile.tempdir = place
        (Path(place) / "shop").mkdir()
        found = kill_many(Path(place) / "shop", int(sys.argv[1]), int(sys.argv[2]))
    print("\n".join(found) or f"{sys.argv[1]} bills killed, nothing wrong")
    sys.exit(1 if found else 0)
