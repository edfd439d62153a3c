"""Many parts orders of the same accepted jobs from shop books with other prices, offers and terms, tried one by one.

    python -m tests.after.many_orders BOOKS SEED [--minutes 10]

The shop's jobs are issued and accepted once; then `quotekit order --only-show --book BOOK` is asked for each drawn
book, and held against the least landed cost found by trying, and against the usual suppliers. Not a test: it takes
minutes.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections import Counter
from pathlib import Path
from random import Random

from quotekit.workbook.write_blank import shop_book_bytes
from tests.after.asking import issue_job
from tests.after.life import Life
from tests.after.ordering import look_at_order
from tests.after.shops import Sheets

SUPPLIERS = ("NORTH", "AXLE", "VALLEY")


def accepted_jobs(folder: Path, seed: int) -> Life:
    """A shop with its jobs accepted, each in a drawn option with all its extras."""
    life, random = Life(seed, folder), Random(seed)
    for job in life.jobs.values():
        issue_job(life, job)
        tier = random.choice(job.versions[-1].offered())
        extras = [word for extra in tier["extras"] for word in ("--extra", extra["extra"])]
        who = ("--by", "phone", "--who", "R. Alder", "--phone", "555-0100", "--note", "all of it", "--at", "09:15")
        life.tell("accept", "--job", job.file.number, "--tier", tier["code"], *extras, *who, "--hold-expired", "agreed")
    return life


def other_book(random: Random, rows: Sheets) -> Sheets:
    """The same book with other packs, prices, offers and terms."""
    rows = {name: [dict(row) for row in of] for name, of in rows.items()}
    rows["Offers"] = []
    for row in rows["Suppliers"]:
        if row.get("Shelf") != "Yes":
            row["Freight"] = random.choice(["", "4.50", "9.95", "18.00", "35.00"])
            row["Free freight from"] = random.choice(["", "40.00", "75.00", "120.00", "200.00"])
            row["Minimum order"] = random.choice(["", "25.00", "60.00", "110.00"])
            row["Small order fee"] = random.choice(["3.00", "9.00", "20.00"]) if row["Minimum order"] else ""
    for row in rows["Parts"]:
        if row["Supplier"] == "SHELF":
            continue
        row["Pack quantity"] = random.choice(["1", "1", "2", "4"])
        row["Pack cost"] = f"{random.randint(150, 6000) / 100:.2f}"
        row["Extra freight"] = random.choice(["", "", "", "2.50"])
        for other in random.sample(SUPPLIERS, random.choice([0, 0, 1, 1, 2])):
            if other != row["Supplier"]:
                cost = float(row["Pack cost"]) * random.choice([0.7, 0.9, 1.0, 1.05, 1.3])
                offer = {"Part": row["Code"], "Supplier": other, "Pack cost": f"{cost:.2f}"}
                offer["Pack quantity"] = random.choice([row["Pack quantity"], "1", "3"])
                rows["Offers"].append({**offer, "Lead days": "3", "Dated": "2026-11-01"})
    return rows


def main() -> int:
    """Accept once, order many times, count."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("books", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--minutes", type=float, default=1e9)
    options = parser.parse_args()
    start, seen = time.perf_counter(), Counter[str]()
    with tempfile.TemporaryDirectory() as name:
        life = accepted_jobs(Path(name), options.seed)
        for seed in range(options.seed, options.seed + options.books):
            if time.perf_counter() - start > 60 * options.minutes:
                break
            rows = other_book(Random(seed), life.shop.rows)
            book = life.folder / f"book {seed}.xlsx"
            book.write_bytes(shop_book_bytes({sheet: tuple(of) for sheet, of in rows.items()}))
            ran = life.tell("order", "--only-show", "--needed-by", "any", "--book", book.name)
            if ran.code == 0 and ran.json["lines"]:
                look_at_order(life, ran, rows, any_time=True)
                seen["orders"] += 1
                seen["cheaper than the usual suppliers"] += float(ran.json["saved"] or 0) > 0
            for each in life.wrong:
                print(f"book {seed}: {each}", flush=True)
            seen["books with differences"] += bool(life.wrong)
            life.wrong.clear()
            book.unlink()
    seen["held against every way"] = life.orders_tried
    print("; ".join(f"{what} {times}" for what, times in seen.items()), f"; {time.perf_counter() - start:.0f} s")
    return 1 if seen["books with differences"] else 0


if __name__ == "__main__":
    raise SystemExit(main())
