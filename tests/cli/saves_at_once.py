"""Many hands saving at once, under a real watcher that is killed now and then: what was read, how often, what is left.

    python -m tests.cli.saves_at_once [--saves 300] [--seed 1] [--jobs 12] [--kills 3]

Each job is saved by a hand of its own, in the ways of several programs, while others are priced; the shop book is saved
too. Every pricing is written down with the contents that it read. Held against that: nothing half-written was read, no
pair of contents was priced twice, no problem was told, and in the end each job's last content was priced with the last
shop book. (`many_saves` has one save after the other, and times them.) One JSON object; ends with 1 where it is wrong.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import random
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path
from typing import Any

from tests.cli.many_saves import WAYS, content
from tests.cli.small_shop import write_book
from tests.cli.test_watching import clean_book

BOOK = "shop book.xlsx"


def watch_and_write_down(folder: Path, log: Path) -> None:
    """Watch as `quotekit watch` does, and write down every pricing."""
    from quotekit.cli import watching
    from quotekit.cli.main import main
    from quotekit.cli.price_watched import price_watched

    def noted(book: Path, job: Path, *more: Any) -> Any:
        priced = price_watched(book, job, *more)
        told = {
            "job": job.name,
            "contents": priced.contents,
            "files": priced.files,
            "problems": [str(problem) for problem in priced.problems],
        }
        with log.open("a", encoding="utf-8") as file:
            file.write(json.dumps(told) + "\n")
        return priced

    watching.price_watched = noted  # type: ignore[assignment]
    sys.exit(main(["watch", str(folder)]))


class Saver:
    """Saves a job or the shop book again and again, and knows all it saved."""

    def __init__(self, path: Path, seed: int, contents: list[bytes]) -> None:
        self.path, self._draw, self._contents = path, random.Random(seed), contents
        self.digests: list[str] = []
        self.ways: Counter[str] = Counter()

    def save(self, data: bytes, way: str) -> None:
        self.digests.append(hashlib.sha256(data).hexdigest())
        self.ways[way] += 1
        WAYS[way](self.path, data)

    def all_of_them(self) -> None:
        for data in self._contents:
            time.sleep(self._draw.choice((0.0, 0.05, 0.3, 0.6, 1.5, 4.0, 6.0)))
            self.save(data, self._draw.choice(list(WAYS)))


def book_content(folder: Path, serial: int) -> bytes:
    """A shop book that no other save has."""
    sheets = clean_book()
    sheets["Shop"].append(["Address", f"{serial} Mill Road"])
    return write_book(folder / "book.xlsx", sheets).read_bytes()


def run(folder: Path, saves: int, seed: int, jobs: int, kills: int) -> dict[str, object]:
    """Save, kill, and judge."""
    draw, beside = random.Random(seed), Path(tempfile.mkdtemp())
    log = beside / "priced.jsonl"
    each = max(saves // jobs, 1)
    savers = [
        Saver(folder / f"job {n}.xlsx", seed * 1000 + n, [content(beside, n, n * 1000 + k) for k in range(each)])
        for n in range(jobs)
    ]
    savers.append(Saver(folder / BOOK, seed, [book_content(beside, k) for k in range(max(each // 3, 1))]))
    for saver in savers:
        saver.save(saver._contents[0], "LibreOffice")
    command = [sys.executable, "-m", "tests.cli.saves_at_once", "--watch", str(folder), str(log)]
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    hands = [threading.Thread(target=saver.all_of_them) for saver in savers]
    for hand in hands:
        hand.start()
    for _ in range(kills):
        time.sleep(draw.uniform(2, 8))
        running.kill()
        running.wait()
        running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    for hand in hands:
        hand.join()
    rested = _wait_until_quiet(log)
    running.terminate()
    code = running.wait(timeout=60)
    return judged(savers, log, kills, folder) | {"ended with": code, "seconds after the last save": round(rested, 1)}


def _wait_until_quiet(log: Path, quiet: float = 15.0) -> float:
    """Until nothing was priced for a while; when the last was."""
    start = time.monotonic()
    size, since = -1, start
    while time.monotonic() - since < quiet:
        now = log.stat().st_size if log.exists() else 0
        if now != size:
            size, since = now, time.monotonic()
        time.sleep(0.2)
    return since - start


def judged(savers: list[Saver], log: Path, kills: int, folder: Path) -> dict[str, object]:
    """What was priced held against what was saved."""
    priced = [json.loads(line) for line in log.read_text(encoding="utf-8").splitlines()]
    whole = {saver.path.name: set(saver.digests) for saver in savers}
    *of_jobs, book = savers
    kept = [one for one in priced if one["files"]]
    wrong = [f"told a problem: {one}" for one in kept if one["problems"]]
    wrong += [
        f"read what was never saved: {one}"
        for one in kept
        if one["contents"][0] not in whole[one["job"]] or one["contents"][1] not in whole[BOOK]
    ]
    twice = {key: count for key, count in Counter((one["job"], *one["contents"]) for one in kept).items() if count > 1}
    if sum(count - 1 for count in twice.values()) > kills:  # one that was killed before it could write down what it did
        wrong.append(f"priced twice: {twice}")
    last = {one["job"]: one["contents"] for one in kept}
    for saver in of_jobs:
        if last.get(saver.path.name) != [saver.digests[-1], book.digests[-1]]:
            wrong.append(f"the last save of {saver.path.name} was missed")
    wrong += [f"left behind: {path.name}" for path in folder.iterdir() if path.suffix in (".tmp", ".txt")]
    ways = sum((saver.ways for saver in savers), Counter())
    refused = len(priced) - len(kept)
    return {
        "saves": dict(ways),
        "priced": len(kept),
        "tried while being saved": refused,
        "twice": len(twice),
        "wrong": wrong,
    }


def main() -> int:
    """Run it as asked for on the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--saves", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=12)
    parser.add_argument("--kills", type=int, default=3)
    parser.add_argument("--watch", nargs=2, metavar=("FOLDER", "LOG"), type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.watch:
        watch_and_write_down(*asked.watch)
    with tempfile.TemporaryDirectory() as folder:
        found = run(Path(folder), asked.saves, asked.seed, asked.jobs, asked.kills)
    print(json.dumps(found, indent=1))
    return 1 if found["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main())
