"""A shop with jobs 117 and 118 agreed, which need a belt and bushings, and a shop book of today with more offers."""

from __future__ import annotations

import atexit
import shutil
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from quotekit.model.entries import Ordered, Received
from tests.cli.consent_shop import Shop, agreed_shop, book_rows, copied
from tests.problem_catalogue.workbooks import write
from tests.workbook.returned import job_rows

_AS_IT_IS: dict[str, dict[str, list[str]]] = {"merge": {}, "hide": {}}
TODAY = "book of today.xlsx"
ON = ("--on", "2026-11-24")
AXLE = ["AXLE", "Lakeside Axle", "", 2, ""]
OFFER = ["BUSHING", "AXLE", 3, 5]


@cache
def _with_two_jobs() -> Path:
    folder = Path(mkdtemp())
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    shop = agreed_shop(folder)
    rows = job_rows()
    rows["Job"] = [["Job number", "118"] if row[0] == "Job number" else row for row in rows["Job"]]
    write(shop.folder / "job 118.xlsx", rows, _AS_IT_IS)
    issued = shop.run("issue", shop.folder / "shop book.xlsx", shop.folder / "job 118.xlsx", "--on", "2026-11-20")
    assert issued.code == 0, issued.err
    assert shop.accept("--job", "118").code == 0
    write_today(shop)
    return shop.folder


def shop_with_two_jobs(folder: Path) -> Shop:
    """Jobs 117 and 118 are agreed; nothing is ordered."""
    return copied(_with_two_jobs(), folder / "shop")


def shop_with_an_order(folder: Path) -> Shop:
    """Order 1: a pack of three bushings from AXLE for two jobs, a belt of job 117's own from NORTH."""
    found = shop_with_two_jobs(folder)
    ran = found.run("order", "--book", found.folder / TODAY, "--needed-by", "any", *ON)
    assert [(line["supplier"], line["packs"]) for line in ran.json["lines"]] == [("AXLE", 1), ("NORTH", 1)]
    return found


def write_today(shop: Shop, *offers: list[Any], suppliers: list[list[Any]] | None = None) -> None:
    """The shop book of today: AXLE sells bushings in packs of three, or other offers and suppliers."""
    rows = book_rows()
    rows["Suppliers"] = [*rows["Suppliers"], *([AXLE] if suppliers is None else suppliers)]
    rows["Offers"] = [*rows["Offers"], *(offers or [OFFER])]
    write(shop.folder / TODAY, rows, _AS_IT_IS)


def orders(shop: Shop) -> list[Ordered]:
    """What was ordered so far."""
    return [entry.told(Ordered) for entry in shop.entries("ordered")]


def deliveries(shop: Shop) -> list[Received]:
    """What came in so far."""
    return [entry.told(Received) for entry in shop.entries("received")]
