"""Numbers of the leak tests, for a release note. Not a test: it prints, and ends with 1 where anything leaks.

python tests/leaks/report.py [--seeds 200]
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from tests.conformity.written import JOBS
from tests.leaks.documents import customer_documents
from tests.leaks.planted import CHANGED, IN_A_PDF, IN_THE_PAGE, PAGE, SECRETS, WRITTEN, workbook
from tests.leaks.same_prices import disguised, secrets_in
from tests.leaks.secrets_of import leaks
from tests.leaks.test_canaries import sums_of
from tests.leaks.test_other_costs_same_bytes import charging_freight, example
from tests.random_jobs import a_random_case


def planted_and_caught() -> tuple[int, int]:
    """Leaks planted in small files, and those that are found."""
    files = [workbook(plant) for plant in WRITTEN.values()]
    files += [change(workbook()) for change in CHANGED.values()]
    files += [PAGE.replace(old, new, 1).encode() for old, new in IN_THE_PAGE.values()]
    files += IN_A_PDF.values()
    return len(files), sum(1 for data in files if leaks(data, SECRETS))


def compared(book: ShopBook, job: Job) -> tuple[int, int, int, int]:
    """Documents compared, documents that differ, canaries searched for, canaries found; of one job."""
    quote = build_quote(book, job)
    if has_errors(quote.problems) or not quote.offered:
        return 0, 0, 0, 0
    theirs = disguised(book, job)
    other = build_quote(*theirs)
    mine, others = customer_documents(quote), customer_documents(other)
    differ = sum(1 for kind in mine if mine[kind] != others[kind])
    if book.settings.freight_to_customer != "none":
        return len(mine), differ, 0, 0
    secrets = [*dict.fromkeys([*secrets_in(*theirs), *sums_of(other)])]
    found = {leak.what for data in others.values() for leak in leaks(data, secrets)}
    return len(mine), differ, len(secrets) * len(others), len(found)


def main() -> int:
    """Print the numbers."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--seeds", type=int, default=200)
    seeds = parser.parse_args().seeds
    planted, caught = planted_and_caught()
    print(f"leaks planted in small files: {planted}, caught: {caught}")
    cases = [example(path) for path in JOBS]
    cases += [(charging_freight(book, "none"), job) for book, job in cases]
    cases += [a_random_case(seed) for seed in range(seeds)]
    rows = [compared(book, job) for book, job in cases]
    documents, differ, searched, found = (sum(column) for column in zip(*rows, strict=True))
    jobs = sum(1 for row in rows if row[0])
    print(
        f"jobs priced by two shops with the same prices: {jobs}, documents compared: {documents}, different: {differ}"
    )
    print(f"canaries searched for in documents: {searched}, found: {found}")
    return 1 if differ or found or caught < planted else 0


if __name__ == "__main__":
    sys.exit(main())
