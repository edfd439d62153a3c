"""Every kind of workbook that is written, for the checks of conformity: in memory, by name."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from functools import cache, partial
from pathlib import Path
from tempfile import TemporaryDirectory

from quotekit.documents.costing import lay_out_costing
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.rate_book import lay_out_rate_book
from quotekit.model.quote import Quote
from quotekit.model.rate import ShopRate
from quotekit.pricing import build_quote
from quotekit.pricing.rate import work_out_rate
from quotekit.problems import Problem, has_errors
from quotekit.workbook.find_template import TEMPLATES
from quotekit.workbook.new_books import write_blank_job, write_new_folder
from quotekit.workbook.photos import shrink
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_sheet import workbook_bytes
from tests import build
from tests.documents import quotes
from tests.many_extras import job_with_extras
from tests.random_jobs import a_random_case
from tests.rate_rows import COSTS, HOURS, TRADE, Typed, book_with
from tests.workbook.filled_everywhere import filled_everywhere
from tests.workbook.hostile import in_turn
from tests.workbook.hostile_texts import HOSTILE
from tests.workbook.pictures import a_photo

ROOT = Path(__file__).parents[2]
JOBS = sorted(path for path in (ROOT / "examples").glob("*/*.xlsx") if path.name != "shop book.xlsx")
SEEDS = (1, 5, 11, 17, 23)

HAND_MADE: dict[str, Callable[[], Quote]] = {
    "one option": quotes.one,
    "two options": quotes.two,
    "three options": quotes.three,
    "forty findings": quotes.many_findings,
    "long texts": quotes.long_texts,
    "four positions": quotes.positions,
    "forty extras": lambda: build_quote(*job_with_extras(40)),
    "hostile texts": lambda: build_quote(*in_turn([*HOSTILE.values()], 0)),
    "more hostile texts": lambda: build_quote(*in_turn([*HOSTILE.values()], 31)),
    "euros in German": partial(quotes.quote, language="de_DE", currency="EUR"),
}


def example_quote(path: Path) -> Quote:
    """The quote of an example's job."""
    book = read_shop_book(path.parent / "shop book.xlsx")[0]
    assert book is not None
    job = read_job(path, book)[0]
    assert job is not None
    return build_quote(book, job)


@cache
def offered_quotes() -> dict[str, Quote]:
    """Quotes of every example, made by hand and of random jobs, all with something to offer."""
    made = {f"quote of {path.stem}": example_quote(path) for path in JOBS}
    made |= {f"quote of {name}": make() for name, make in HAND_MADE.items()}
    made |= {f"quote of random job {seed}": build_quote(*a_random_case(seed)) for seed in SEEDS}
    return {name: quote for name, quote in made.items() if quote.offered and not has_errors(quote.problems)}


@cache
def customer_quotes() -> dict[str, bytes]:
    """The customer's workbook of each of these, with photos where there are any."""
    found = {}
    for name, quote in offered_quotes().items():
        photos = dict.fromkeys(("bushing.jpg", *(one.photo for one in quote.job.findings)), shrink(a_photo(800, 600)))
        found[name] = workbook_bytes(lay_out_customer_quote(quote, photos))
    return found


@cache
def shop_workbooks() -> dict[str, bytes]:
    """Costings, the books to fill in, the templates and the examples' own books."""
    found = {f"costing of {path.stem}": workbook_bytes(lay_out_costing(example_quote(path))) for path in JOBS}
    for name in ("three options", "long texts"):
        found[f"costing of {name}"] = workbook_bytes(lay_out_costing(HAND_MADE[name]()))
    for seed in SEEDS[:3]:
        found[f"costing of random job {seed}"] = workbook_bytes(lay_out_costing(build_quote(*a_random_case(seed))))
    found.update(_new_books())
    found.update({f"filled {name}": filled_everywhere(name, 3) for name in TEMPLATES})
    found["shop rate"] = workbook_bytes(lay_out_rate_book(*_rate(TRADE)))
    found["shop rate without profit"] = workbook_bytes(lay_out_rate_book(*_rate((*COSTS, *HOURS))))
    for folder in ("examples", "workbook_templates"):
        for path in sorted((ROOT / folder).rglob("*.xlsx")):
            found[f"{path.parent.name}/{path.name}"] = path.read_bytes()
    return found


def _rate(rows: Sequence[Typed]) -> tuple[ShopRate, list[Problem]]:
    """A rate whose shop sells below it, so that there is a warning too."""
    rate, problems = work_out_rate(book_with(*rows, labour_rates=[build.a_rate("MAIN", 50)]), date(2026, 11, 28))
    assert rate is not None and problems
    return rate, problems


def _new_books() -> Iterator[tuple[str, bytes]]:
    with TemporaryDirectory() as scratch:
        folder = Path(scratch) / "new"
        for path in write_new_folder(folder):
            yield f"new {path.name}", path.read_bytes()
        book = read_shop_book(folder / "shop book.xlsx")[0]
        write_blank_job(folder / "next.xlsx", book)
        yield "the next job", (folder / "next.xlsx").read_bytes()
