"""Makes many different jobs of the worked example's shop, quickly: for benchmarks and for tests of many jobs.

    python -m tests.bench.make_jobs FOLDER 10000 [--seed 1]

writes `FOLDER/shop book.xlsx` and `FOLDER/jobs/job 00001.xlsx` and on. The six jobs of the worked example are laid out
once by the program's own writer, in several variants each (findings left out, rusty or not); every job is then one of
these with a number, a customer and measurements of its own, put into the finished file. No two jobs are alike, and the
same seed makes the same jobs, byte for byte. Measurements are spread around the book's limits, so that jobs differ in
what must be done, not in numbers alone. Invented data.
"""

from __future__ import annotations

import argparse
import io
import random
import re
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.read_example import Rows, example_folder, folder_names, read_example
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_blank import job_bytes, shop_book_bytes

VARIANTS = 4
NUMBER, CUSTOMER = "NUMBER-OF-THE-JOB", "NAME-OF-THE-CUSTOMER"
FAMILIES = ("Alder", "Birch", "Cedar", "Elm", "Hazel", "Linden", "Maple", "Oakley", "Rowan", "Willow")


class Template(NamedTuple):
    """A job that was written once: its parts, which of them change, and the measurements with their step."""

    parts: dict[str, bytes]
    strings: str
    findings: str
    measured: tuple[tuple[str, Decimal, Decimal], ...]
    """Each measurement as it stands in the file, its value, and how far it is spread."""


def make_shop(folder: Path, count: int, seed: int = 1) -> tuple[Path, Path]:
    """A shop book, and a folder with so many jobs beside it."""
    folder.mkdir(parents=True, exist_ok=True)
    book = folder / "shop book.xlsx"
    rows = read_example(example_folder("worked_example").joinpath("shop_book"), SHOP_BOOK)
    book.write_bytes(shop_book_bytes(rows, title="Shop book"))
    jobs = folder / "jobs"
    jobs.mkdir()
    for name, data in job_files(book, count, seed):
        (jobs / name).write_bytes(data)
    return book, jobs


def job_files(book: Path, count: int, seed: int = 1) -> Iterator[tuple[str, bytes]]:
    """So many jobs, as names and bytes."""
    draw = random.Random(seed)
    templates = list(_templates(book, draw))
    for number in range(1, count + 1):
        yield f"job {number:05}.xlsx", _job(draw, draw.choice(templates), number)


def _templates(path: Path, draw: random.Random) -> Iterator[Template]:
    book, _ = read_shop_book(path)
    folder = example_folder("worked_example").joinpath("jobs")
    for name in folder_names(folder):
        rows = read_example(folder.joinpath(name), JOB_WORKBOOK)
        for variant in range(VARIANTS):
            yield _template(job_bytes(book, _varied(rows, draw, variant), title="Job"))


def _varied(rows: dict[str, Rows], draw: random.Random, variant: int) -> dict[str, Rows]:
    """The first variant is the job itself; the others lack some findings, and are rusty or not. None has a photo."""
    named = {"Job number": NUMBER, "Customer": CUSTOMER}
    fields = [{**row, "Value": named.get(row["Field"], row["Value"])} for row in rows["Job"]]
    if variant:
        fields = [row for row in fields if row["Field"] != "Condition" or draw.random() < 0.5]
    findings = [{**row, "Photo": ""} for row in rows["Findings"]]
    kept = [row for row in findings if not variant or row["Finding"] == "OTHER" or draw.random() < 0.8] or findings[:1]
    return {**rows, "Job": tuple(fields), "Findings": tuple(kept)}


def _template(data: bytes) -> Template:
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    strings = parts["xl/sharedStrings.xml"].decode()
    names = re.findall(r'<sheet name="([^"]+)"', parts["xl/workbook.xml"].decode())
    findings = f"xl/worksheets/sheet{names.index('Findings') + 1}.xml"
    numbers = sorted(set(re.findall(r'<c r="D[0-9]+"[^>]*><v>([0-9.]+)</v>', _numbers_only(parts[findings]))))
    measured = tuple((text, Decimal(text), max(Decimal(text) / 50, Decimal("0.001"))) for text in numbers)
    return Template(parts, strings, findings, measured)


def _numbers_only(sheet: bytes) -> str:
    """The sheet without its cells of text."""
    return re.sub(r'<c [^>]*t="s"[^>]*>.*?</c>', "", sheet.decode())


def _job(draw: random.Random, template: Template, number: int) -> bytes:
    customer = f"{draw.choice('ABCDEFGHJKLMNPRSTW')}. {draw.choice(FAMILIES)} {number}"
    changed = dict(template.parts)
    strings = template.strings.replace(NUMBER, f"{number:05}").replace(CUSTOMER, customer)
    changed["xl/sharedStrings.xml"] = strings.encode()
    sheet = changed[template.findings].decode()
    for text, value, spread in template.measured:
        places = max(3, -int(value.as_tuple().exponent))
        moved = f"{value + spread * draw.randint(-100, 100) / 100:.{places}f}"
        sheet = re.sub(rf'(<c r="D[0-9]+"[^>]*>)<v>{re.escape(text)}</v>', rf"\g<1><v>{moved}</v>", sheet)
    changed[template.findings] = sheet.encode()
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED, compresslevel=3) as package:
        for name, data in changed.items():
            package.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED, 3)
    return held.getvalue()


def main() -> None:
    """Make a shop with jobs in a new folder."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    book, jobs = make_shop(options.folder, options.count, options.seed)
    print(f"{book}\n{jobs}")


if __name__ == "__main__":
    main()
