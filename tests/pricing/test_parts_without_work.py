"""A remedy or extra that lists parts and names no operation: its parts are on the bill, as a one-off part's are.

No shop book can hold one (Operations is required there), but records may. Larger work can do an operation; it can't do
a part that is handed over.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal, localcontext
from pathlib import Path
from random import Random
from typing import Any

import pytest

from quotekit.model.shop_book import Extra, Remedy, ShopBook
from quotekit.money import EXACT
from quotekit.pricing import build_quote, price_combination
from quotekit.pricing.setup import set_up
from quotekit.pricing.sides import is_sided
from quotekit.problems import has_errors
from quotekit.workbook.read_shop_book import read_shop_book
from tests import build
from tests.oracle.many import job_differences
from tests.pricing.exact.test_prices import both_prices
from tests.pricing.live.test_against_engine import choices, figures_by_sums, figures_of
from tests.pricing.priced import first_tier, plain, price, texts
from tests.problem_catalogue.workbooks import BOOK, changed, write
from tests.random_jobs import Case, a_random_case

PIN = build.a_part("PIN", 4)
"""At 50 % markup 6.00 each."""


def a_shop(**values: Any) -> ShopBook:
    """REBUILD includes SEAL-FIT; KEY hands over two pins, SEAL fits a seal and uses a pin of its own."""
    shop: dict[str, Any] = {
        "operations": [
            build.an_operation("REBUILD", 2, includes=["SEAL-FIT"]),
            build.an_operation("SEAL-FIT", "0.5"),
            build.an_operation("TEST", "0.5"),
        ],
        "parts": [PIN],
        "findings": [build.a_finding("LOST"), build.a_finding("WORN")],
        "remedies": [
            build.a_remedy("KEY", ["LOST"], [], parts="PIN x 2"),
            build.a_remedy("OVERHAUL", ["WORN"], ["REBUILD"]),
            build.a_remedy("SEAL", ["LOST"], ["SEAL-FIT"], parts="PIN x 2"),
        ],
        "extras": [build.an_extra("SPARE", [], parts="PIN")],
    }
    return build.a_book(**{**shop, **values})


@pytest.mark.parametrize(
    ("keys", "parts", "labour", "larger"),
    [
        (["KEY"], "12.00", "0", []),
        (["KEY", "OVERHAUL"], "12.00", "200.00", []),
        (["SPARE"], "6.00", "0", []),
        (["SEAL"], "12.00", "50.00", []),
        (["OVERHAUL", "SEAL"], "0", "200.00", ["SEAL"]),
    ],
)
def test_what_is_priced(keys: list[str], parts: str, labour: str, larger: list[str]) -> None:
    """Two pins at 6.00; only work that something includes is done by larger work, parts and all (5.9 Dropping)."""
    charges = price(a_shop(), *keys).charges
    assert (charges.parts_total, charges.labour_total) == (Decimal(parts), Decimal(labour))
    assert [item.key for item in charges.work.items if charges.work.is_done_by_larger(item)] == larger


def test_the_bill_of_a_tier_holds_the_part_and_its_item_carries_it() -> None:
    """The share is the parts; the option is offered and nothing reads as done by larger work."""
    shop = a_shop(remedies=[build.a_remedy("KEY", ["LOST"], [], parts="PIN x 2")])
    tier = first_tier(shop, build.found(shop, "LOST"))
    (share,) = tier.shares
    (item,) = tier.items
    assert tier.offered
    assert texts(tier.amounts.parts, share.parts, share.amount) == ["12.00", "12.00", "12.00"]
    assert not item.done_by_larger_work


def test_always_work_is_shared_with_a_part_handed_over() -> None:
    """Half an hour of testing on a job of one rebuild and one part: each carries half, as beside a one-off part."""
    shop = a_shop(machines=[build.a_machine(always=["TEST"])])
    shop = replace(shop, remedies={code: row for code, row in shop.remedies.items() if code != "SEAL"})
    tier = first_tier(shop, build.found(shop, "LOST"), build.found(shop, "WORN"))
    assert [(share.item, plain(share.hours)) for share in tier.shares] == [("KEY", "0.25"), ("OVERHAUL", "2.25")]


def test_a_listed_extra_of_parts_alone_is_offered_at_its_price() -> None:
    """It was left out as included by larger work, though nothing includes it."""
    shop = a_shop()
    tier = first_tier(shop, build.found(shop, "WORN"), extras=(build.a_job_extra("SPARE"),))
    offered = [(extra.extra, *texts(extra.price, extra.at_most)) for extra in tier.extras]
    assert offered == [("SPARE", "6.00", "6.00")]


def test_a_saving_on_parts_counts_them() -> None:
    """Ten percent off the parts its members bring: 1.20 off two pins."""
    shop = a_shop(bundles=[build.a_bundle("PAIR", ["KEY", "OVERHAUL"], "percent off parts", "0.1")])
    charges = price(shop, "KEY", "OVERHAUL").charges
    assert [plain(saving.amount) for saving in charges.savings] == ["1.2"]


def test_an_operation_of_no_hours_is_a_way_to_say_it_in_a_book(tmp_path: Path) -> None:
    """What the problem about blank Operations tells the owner to do: such a book reads, and the part is priced."""
    rows = {
        "Operations": {"A6": "HAND-OVER", "B6": "Hand it over", "C6": 0},
        "Remedies": {"E4": "HAND-OVER", "F4": "BELT"},
    }
    unchanged: dict[str, Any] = {"without": [], "rename": {}, "merge": {}, "hide": {}}
    path = write(tmp_path / "prices.xlsx", changed(BOOK, {**unchanged, "set": rows}), unchanged)
    book, problems = read_shop_book(path)
    assert book is not None and not has_errors(problems)
    charges = price(book, "BELT-NEW", job=build.a_job(machine_class="TRAILER")).charges
    assert [(line.code, line.amount) for line in charges.parts] == [("BELT", Decimal("32.10"))]


def case_without_operations(seed: int) -> Case:
    """A random case where half of the remedies and extras without a side have lost their operations."""
    book, job = a_random_case(seed)
    dice = Random(seed)
    rows: dict[str, Remedy | Extra] = {**book.remedies, **book.extras}
    bare = {code for code, row in rows.items() if not is_sided(book, row.operations) and dice.random() < 0.5}
    remedies = {code: replace(row, operations=()) if code in bare else row for code, row in book.remedies.items()}
    extras = {code: replace(row, operations=()) if code in bare else row for code, row in book.extras.items()}
    return replace(book, remedies=remedies, extras=extras), job


def test_the_random_cases_hold_parts_without_work() -> None:
    """A guard of the tests below: in some of them such a remedy with parts is really taken."""
    taken = 0
    for seed in range(40):
        book, job = case_without_operations(seed)
        bare = {code for code, row in book.remedies.items() if not row.operations and row.parts}
        taken += any(item.code in bare for tier in build_quote(book, job).tiers for item in tier.items)
    assert taken > 5


@pytest.mark.parametrize("way", ["", "listed"])
@pytest.mark.parametrize("first", range(0, 50, 25))
def test_the_second_implementation_agrees(first: int, way: str) -> None:
    """Every figure of the quote, also where the integer model chooses."""
    seen: Counter[str] = Counter()
    wrong = {seed: job_differences(case_without_operations(seed), way, seen) for seed in range(first, first + 25)}
    assert {seed: lines for seed, lines in wrong.items() if lines} == {}


@pytest.mark.parametrize("first", range(0, 30, 30))
def test_the_sums_of_a_choice_agree(first: int) -> None:
    """The formulas of the customer's workbook against the engine."""
    differ = []
    for seed in range(first, first + 30):
        book, job = case_without_operations(seed)
        quote = build_quote(book, job)
        for tier in quote.offered if quote.live else ():
            for keys in choices(tier, Random(seed)):
                assert quote.live is not None
                expected = figures_of(price_combination(book, job, tier.code, keys))
                by_sums = figures_by_sums(quote.live, tier.code, keys)
                differ += [(seed, name) for name in _different(by_sums, expected)]
    assert differ == []


def _different(by_sums: Mapping[str, Any], expected: Mapping[str, Any]) -> list[str]:
    return [name for name, amount in by_sums.items() if expected.get(name, 0) != amount]


def test_the_integer_model_prices_them_alike() -> None:
    """Sets of remedies that no tier would choose too."""
    differ = []
    for seed in range(40):
        book, job = case_without_operations(seed)
        dice = Random(seed)
        with localcontext(EXACT):
            setup = set_up(book, job)
            items = [setup.candidates.items[key] for key in sorted(setup.candidates.items)]
            chosen = [item for item in items if dice.random() < 0.6]
            work, operations, right, present = both_prices(setup, book.tiers[0].code, chosen)
        if (work, operations) != (right, present):
            differ.append((seed, work, right))
    assert differ == []
