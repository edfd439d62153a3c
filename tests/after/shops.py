"""Small shops to live in: the worked example with other rules, prices and findings, drawn by a seed.

The rows are those of the example's text files, changed here and there, and written as workbooks; so a story begins with
files as an owner has them. Every value that matters afterwards is kept as it was drawn, for the second implementation.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from random import Random

from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.new_books import JOB_FILE, SHOP_BOOK_FILE
from quotekit.workbook.read_example import example_folder, folder_names, read_example
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_blank import job_bytes, shop_book_bytes

Row = dict[str, str]
Sheets = dict[str, list[Row]]

RULES = [
    ("0%", "0", "the lesser", "with tax"),
    ("10%", "25.00", "the lesser", "with tax"),
    ("10%", "25.00", "the greater", "with tax"),
    ("10%", "5.00", "the greater", "before tax"),
    ("10%", "0", "the greater", "before tax"),
    ("0%", "12.34", "the greater", "with tax"),
    ("7.5%", "40", "the lesser", "before tax"),
]
"""Percent, amount, which of them, on what."""

FIRST_DAY = date(2026, 11, 10)


@dataclass
class JobFile:
    """One machine: its job workbook and the rows it was made of."""

    number: str
    path: Path
    rows: Sheets
    quoted: date


@dataclass
class Shop:
    """A folder with a shop book and some jobs."""

    folder: Path
    book: Path
    rows: Sheets
    jobs: list[JobFile]
    expensive: int = 0
    _written: dict[str, object] = field(default_factory=dict)

    def setting(self, name: str) -> str:
        """A setting as typed; empty where it is not there."""
        return next((row["Value"] for row in self.rows["Shop"] if row["Setting"] == name), "")

    def write_job(self, rows: Sheets, path: Path) -> None:
        """A job workbook of some rows, with no drop-downs."""
        path.write_bytes(job_bytes(None, {name: tuple(of) for name, of in rows.items()}))


def draw_shop(random: Random, folder: Path, jobs: int = 3) -> Shop:
    """A shop of the worked example with rules and prices of its own."""
    rows = _example("worked_example", "shop_book")
    percent, amount, which, basis = random.choice(RULES)
    _set(rows, "Call the customer when over percent", percent)
    _set(rows, "Call the customer when over amount", amount)
    _set(rows, "Call when over", which)
    _set(rows, "Call compares", basis)
    _set(rows, "Inspection fee", random.choice(["45.00", "0", "30.00"]))
    _set(rows, "Inspection fee credited", random.choice(["when work goes ahead", "never", "150"]))
    _set(rows, "Tax rounding", random.choice(["invoice", "line"]))
    _set(rows, "Labour shown", random.choice(["in total", "by repair"]))
    _set(rows, "Minimum labour hours", random.choice(["0.5", "1.0", "3"]))
    _set(rows, "Quote valid days", random.choice(["14", "30"]))
    _taxes(random, rows)
    _suppliers(random, rows)
    folder.mkdir(parents=True, exist_ok=True)
    book = folder / SHOP_BOOK_FILE
    book.write_bytes(shop_book_bytes({name: tuple(of) for name, of in rows.items()}))
    shop = Shop(folder, book, rows, [])
    names = folder_names(example_folder("worked_example", "jobs"))
    for name in random.sample(names, jobs):
        _add_job(random, shop, name)
    return shop


def a_tiny_shop(folder: Path) -> Shop:
    """Seven sheets, three parts and one job: the quickest there is."""
    rows = _example("tiny", "shop_book")
    folder.mkdir(parents=True, exist_ok=True)
    book = folder / SHOP_BOOK_FILE
    book.write_bytes(shop_book_bytes({name: tuple(of) for name, of in rows.items()}, only_used=True))
    shop = Shop(folder, book, rows, [])
    job = _example("tiny", "job", job=True)
    path = folder / JOB_FILE
    shop.write_job(job, path)
    shop.jobs.append(JobFile(_field(job, "Job number"), path, job, date.fromisoformat(_field(job, "Quote date"))))
    return shop


def changed_job(random: Random, job: JobFile, amount: str, times: int) -> Sheets:
    """The same job with one more thing found: a charge of so much, or work and a part."""
    rows = {name: [dict(row) for row in of] for name, of in job.rows.items()}
    found = {"Line": f"Seized bolt {times}, drilled out", "Kind": "charge", "Quantity": "1", "Unit price": amount}
    if random.random() < 0.3:
        found = {"Line": f"Broken stud {times}", "Kind": "labour", "Quantity": random.choice(["0.2", "1.5"])}
    rows.setdefault("One-off", []).append(found)
    return rows


def _add_job(random: Random, shop: Shop, name: str) -> None:
    rows = _example("worked_example", "jobs", name, job=True)
    if random.random() < 0.2:
        _put(rows, "Discount percent", "5%")
        _put(rows, "Discount reason", "Neighbour")
    if random.random() < 0.3:
        _put(rows, "Old parts", random.choice(["keep", "dispose"]))
    if random.random() < 0.15:
        _put(rows, "Paid so far", random.choice(["20.00", "500.00"]))
    if random.random() < 0.2:
        _put(rows, "Customer class", "household")
    path = shop.folder / f"{name}.xlsx"
    shop.write_job(rows, path)
    number = _field(rows, "Job number")
    shop.jobs.append(JobFile(number, path, rows, date.fromisoformat(_field(rows, "Quote date"))))


def _taxes(random: Random, rows: Sheets) -> None:
    kinds = "labour; parts; oil; cores; sublet; supplies; freight; fees; inspection"
    if random.random() < 0.3:
        rows["Taxes"].append({"Tax": "Town tax", "Rate": "1.75%", "Charge": random.choice(["all", kinds, "labour"])})
    if random.random() < 0.3:
        for row in rows["Taxes"]:
            if row["Tax"] == "Sales tax" and not row.get("In force to"):
                row["In force to"] = "2026-11-22"
        later = {"Tax": "Sales tax", "Rate": "7.25%", "Charge": "parts; oil; cores; supplies; freight"}
        rows["Taxes"].append({**later, "In force from": "2026-11-23"})


def _suppliers(random: Random, rows: Sheets) -> None:
    for row in rows["Suppliers"]:
        if row.get("Shelf") == "Yes":
            continue
        row["Freight"] = random.choice(["", "5.00", "11.95", "24.00"])
        row["Free freight from"] = random.choice(["", "60.00", "150.00"])
        row["Minimum order"] = random.choice(["", "40.00", "100.00"])
        row["Small order fee"] = random.choice(["6.50", "15.00", ""]) if row["Minimum order"] else ""
    own = [row for row in rows["Parts"] if row["Supplier"] != "SHELF"]
    for row in random.sample(own, 15):
        other = random.choice([code for code in ("NORTH", "AXLE", "VALLEY") if code != row["Supplier"]])
        cost = random.choice(["0.8", "0.95", "1.1"])
        offered = f"{float(row['Pack cost']) * float(cost):.2f}"
        pack = random.choice([row["Pack quantity"], "1", "3"])
        each = f"{float(offered) / float(row['Pack quantity']) * float(pack) + 0.01:.2f}"
        rows["Offers"].append(
            {
                "Part": row["Code"],
                "Supplier": other,
                "Supplier's number": f"O-{row['Code']}",
                "Pack quantity": pack,
                "Pack cost": each,
                "Lead days": random.choice(["", "1", "5"]),
                "Dated": "2026-11-01",
            }
        )


def _example(*names: str, job: bool = False) -> Sheets:
    declared = JOB_WORKBOOK if job else SHOP_BOOK
    return {name: [dict(row) for row in of] for name, of in read_example(example_folder(*names), declared).items()}


def _set(rows: Sheets, name: str, value: str) -> None:
    for row in rows["Shop"]:
        if row["Setting"] == name:
            row["Value"] = value
            return
    rows["Shop"].append({"Setting": name, "Value": value})


def _put(rows: Sheets, name: str, value: str) -> None:
    for row in rows["Job"]:
        if row["Field"] == name:
            row["Value"] = value
            return
    rows["Job"].append({"Field": name, "Value": value})


def _field(rows: Sheets, name: str) -> str:
    return next(row["Value"] for row in rows["Job"] if row["Field"] == name)


def reads(shop: Shop) -> bool:
    """Whether the shop book of a drawn shop has no errors."""
    with tempfile.TemporaryDirectory():
        book, problems = read_shop_book(shop.book)
    return book is not None and not [problem for problem in problems if problem.severity == "error"]
