"""Many saves in the ways of several programs, under a real watcher: none missed, none priced twice, none read half.

    python -m tests.cli.many_saves [--saves 500] [--seed 1] [--jobs 5]

Every sixth save is of the same content again: nothing is to be priced. Every tenth is two saves in a moment: the second
counts. It prints one JSON object and ends with 1 where anything is wrong.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import queue
import random
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path
from statistics import median

from tests.cli.saves import OTHER_SYSTEMS, SAVES
from tests.cli.small_shop import job, write_book
from tests.cli.test_watching import clean_book

WAYS = SAVES | OTHER_SYSTEMS
"""Of this system as seen, of others as documented."""


def content(folder: Path, number: int, serial: int) -> bytes:
    """A job workbook that no other save has."""
    sheets = job()
    sheets["Job"][1] = ["Job number", str(number)]
    sheets["Job"].append(["Make", f"Example {serial}"])
    return write_book(folder / "next.xlsx", sheets).read_bytes()


def lines_of(running: subprocess.Popen[str]) -> queue.Queue[str]:
    """What the watcher prints, as it comes."""
    told: queue.Queue[str] = queue.Queue()

    def read() -> None:
        assert running.stdout is not None
        for line in running.stdout:
            told.put(line.strip())

    threading.Thread(target=read, daemon=True).start()
    return told


def last_priced(folder: Path, name: str) -> str:
    """The content that the watcher says it priced last."""
    kept = json.loads((folder / ".quotekit watched.json").read_text(encoding="utf-8"))
    return str(kept[name]["contents"][0])


def run(folder: Path, saves: int, seed: int, jobs: int) -> dict[str, object]:
    """Save, and hold what is told against what was saved."""
    draw, beside = random.Random(seed), Path(tempfile.mkdtemp())
    write_book(folder / "shop book.xlsx", clean_book())
    names = [f"job {number}.xlsx" for number in range(jobs)]
    now = {name: content(beside, number, -number) for number, name in enumerate(names)}
    for name, data in now.items():
        (folder / name).write_bytes(data)
    running = subprocess.Popen(
        [sys.executable, "-m", "quotekit", "watch", str(folder)], stdout=subprocess.PIPE, text=True
    )
    told, wrong, seconds = lines_of(running), [], []
    by_way: Counter[str] = Counter()
    try:
        for _ in names:
            told.get(timeout=30)
        for serial in range(saves):
            name, way = draw.choice(names), draw.choice(list(WAYS))
            by_way[way] += 1
            same, twice = serial % 6 == 5, serial % 10 == 9
            if twice:
                WAYS[way](folder / name, content(beside, names.index(name), 10_000 + serial), lambda _: None)
            data = now[name] if same else content(beside, names.index(name), serial)
            WAYS[way](folder / name, data)
            saved = time.monotonic()
            if same:
                time.sleep(1.5)
            else:
                try:
                    line = told.get(timeout=30)
                except queue.Empty:
                    wrong.append(f"save {serial} of {name} by {way} was missed")
                    continue
                seconds.append(time.monotonic() - saved)
                if name not in line or "nothing written" in line:
                    wrong.append(f"save {serial} of {name} by {way}: {line}")
                if last_priced(folder, name) != hashlib.sha256(data).hexdigest():
                    wrong.append(f"save {serial} of {name} by {way} priced another content")
            now[name] = data
            while not told.empty():
                wrong.append(f"after save {serial} of {name} by {way}: {told.get()}")
        time.sleep(3)  # one that is priced twice is told late
        while not told.empty():
            wrong.append(f"after the last save: {told.get()}")
    finally:
        running.kill()
        running.wait()
    left = [path.name for path in folder.iterdir() if path.suffix in (".tmp", ".txt") or path.name.startswith("~$")]
    wrong += [f"left behind: {name}" for name in left]
    return {
        "saves": dict(by_way),
        "priced": len(seconds),
        "median_seconds": round(median(seconds), 2),
        "longest_seconds": round(max(seconds), 2),
        "wrong": wrong,
    }


def main() -> int:
    """Run it as asked for on the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--saves", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=5)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        found = run(Path(folder), asked.saves, asked.seed, asked.jobs)
    print(json.dumps(found, indent=1))
    return 1 if found["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main())
