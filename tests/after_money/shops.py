"""Random shops with one random job: the records of `tests/random_jobs` as workbooks, with their own rules of consent.

Taxes change on a day between quote and bill; deposits, an inspection that is credited, core charges, list and fixed
prices, kits, replaced parts, a discount, one-off and sublet charges, fees and bundles are what the records draw.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random

from quotekit.model.job import Job, OneOff
from quotekit.model.shop_book import MachineClass, ShopBook, Tax
from quotekit.problems import has_errors
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.random_jobs import a_random_case
from tests.workbook.records_as_workbooks import write_book, write_job

BOOK, JOB = "book.xlsx", "job.xlsx"
QUOTED = date(2026, 3, 2)
CHANGE_OF_LAW = QUOTED + timedelta(days=20)
PERCENTS = ("0", "0", "0.05", "0.1", "0.1", "0.075")
AMOUNTS = ("0", "0", "5", "25", "40.5", "300")


@dataclass
class Shop:
    """A folder with a shop book and a job, and the records they were written from."""

    folder: Path
    book: ShopBook
    job: Job

    def write(self) -> None:
        """Both workbooks."""
        write_book(self.book, self.folder / BOOK)
        write_job(self.job, self.folder / JOB)


def draw_shop(seed: int, folder: Path, number: str) -> Shop | None:
    """The shop of a seed; None where a reader refuses what was drawn."""
    random = Random(f"shop {seed}")
    book, job = a_random_case(seed)
    digits = {"JPY": 0, "KWD": 3}.get(book.settings.currency, 2)
    settings = replace(
        book.settings,
        call_when_over_percent=Decimal(random.choice(PERCENTS)),
        call_when_over_amount=Decimal(random.choice(AMOUNTS)).quantize(Decimal(1).scaleb(-digits)),
        call_when_over=random.choice(("the greater", "the lesser")),
        call_compares=random.choice(("before tax", "with tax")),
        labour_shown=random.choice(("in total", "in total", "by repair")),
        quote_valid_days=random.choice((10, 60)),
    )
    machines = dict(book.machines or {})
    for code in ("THROWER", "TRAILER"):
        machines.setdefault(code, MachineClass(code=code, machine_class=code.title(), positions=job.positions))
    taxes = _by_date(random, book.taxes) if random.random() < 0.5 else book.taxes
    book = replace(book, settings=settings, machines=machines, taxes=taxes)
    job = replace(
        job,
        job_number=number,
        spending_limit=random.choice((None, None, None, Decimal(random.randint(60, 900)))),
        old_parts=random.choice(("keep", "keep", "show", None)),
    )
    shop = Shop(folder, book, job)
    folder.mkdir(parents=True, exist_ok=True)
    shop.write()
    return shop if read(folder) is not None else None


def read(folder: Path) -> tuple[ShopBook, Job] | None:
    """Both workbooks of a folder as records; None where one is refused."""
    book, problems = read_shop_book(folder / BOOK)
    if book is None or has_errors(problems):
        return None
    job, problems = read_job(folder / JOB, book)
    return None if job is None or has_errors(problems) else (book, job)


def _by_date(random: Random, taxes: tuple[Tax, ...]) -> tuple[Tax, ...]:
    """Each open row until a day, and another rate from then on; or none."""
    rows: list[Tax] = []
    for row in taxes:
        if row.in_force_from or row.in_force_to:
            rows.append(row)
            continue
        rows.append(replace(row, in_force_to=CHANGE_OF_LAW - timedelta(days=1)))
        if random.random() < 0.8:
            rate = row.rate + Decimal(random.choice(("0.01", "-0.005", "0.0025", "0")))
            rows.append(replace(row, rate=max(rate, Decimal(0)), in_force_from=CHANGE_OF_LAW))
    return tuple(rows)


def change(random: Random, shop: Shop, room: Decimal | None) -> str:
    """Something else is found on the job, or less is to be done; in words."""
    job, kind = (
        shop.job,
        random.choice(("charge", "charge", "charge", "labour", "part", "sublet", "less", "paid", "discount")),
    )
    digits = {"JPY": 0, "KWD": 3}.get(shop.book.settings.currency, 2)
    cent = Decimal(1).scaleb(-digits)
    lines = list(job.one_off)
    if kind == "less" and lines:
        gone = lines.pop(random.randrange(len(lines)))
        words = f"{gone.line} is not done"
    elif kind == "paid":
        shop.job = replace(job, paid_so_far=Decimal(random.choice((0, 15, 40))))
        shop.write()
        return f"paid so far {shop.job.paid_so_far}"
    elif kind == "discount":
        shop.job = replace(job, discount_percent=Decimal(random.choice(("0", "0.05", "0.12"))), discount_reason="Late")
        shop.write()
        return f"discount {shop.job.discount_percent}"
    else:
        amount = Decimal(random.choice((3, 12, 25, 80, 260))).quantize(cent)
        if room is not None and room > 0 and random.random() < 0.5:
            amount = (room + random.choice((0, 0, 1, -1)) * cent).quantize(cent)
        amount = max(amount, cent)
        named = f"Found {len(lines) + 1}"
        if kind == "less":
            kind = "charge"
        lines.append(
            OneOff(
                code="",
                line=named,
                kind=kind,  # type: ignore[arg-type]
                quantity=Decimal(random.choice(("0.2", "1.5"))) if kind == "labour" else Decimal(1),
                unit_cost=(amount / 2).quantize(cent) if kind in ("part", "sublet") else None,
                unit_price=amount if kind != "labour" else None,
            )
        )
        words = f"{named}: {kind} {amount}"
    shop.job = replace(job, one_off=tuple(replace(line, code=f"ONEOFF-{n}") for n, line in enumerate(lines, 1)))
    shop.write()
    return words
