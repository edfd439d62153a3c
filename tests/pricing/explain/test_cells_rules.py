"""Rules asked one by one give what the engine gives in one go, and read no more than they are asked for."""

from __future__ import annotations

from decimal import localcontext
from pathlib import Path

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.model.watched import watched
from quotekit.model.watched_reads import Reads, Seen
from quotekit.money import EXACT
from quotekit.pricing.explain.cells_basis import LateBasis, LateLineOp
from quotekit.pricing.explain.cells_charges import LateCharges, without
from quotekit.pricing.explain.cells_choice import LateSetup, what_tiers_take
from quotekit.pricing.explain.cells_totals import LateTotals
from quotekit.pricing.setup import set_up
from quotekit.pricing.shares import shares_of, users_of
from quotekit.pricing.taxes import taxes_upgrade_labour, upgrade_labour
from quotekit.pricing.tiers import WorkedTier, work_out_tiers
from quotekit.pricing.totals import totals_of
from tests.random_jobs import a_random_case
from tests.workbook.books import good_book, good_job

SEEDS = range(24)


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> tuple[ShopBook, Job]:
    folder: Path = tmp_path_factory.mktemp("rules")
    book = good_book(folder)
    return book, good_job(folder, book=book)


def late(book: ShopBook, job: Job) -> LateSetup:
    """A setup on the watched book and job."""
    seen = Seen()
    return LateSetup(seen, *watched(book, job, seen))


def headers(reads: Reads, book: ShopBook) -> set[tuple[str, str]]:
    """Sheet and header of what was read, by the columns of the book's own rows."""
    letters = {}
    for rows in (book.parts, book.operations, book.access):
        for row in rows.values():
            letters.update({(row.source.sheet, letter): header for header, letter in row.source.columns.items()})
    places = {place for places in reads.values() for place in places}
    named = ((place.sheet, place.cell.rstrip("0123456789")) for place in places if place.file == book.file)
    return {(sheet, letters[sheet, letter]) for sheet, letter in named if (sheet, letter) in letters}


@pytest.mark.parametrize("seed", SEEDS)
def test_charges_and_totals_are_the_engines(seed: int) -> None:
    """Every charge, the total, taxes and the amount to pay, for what each tier takes."""
    book, job = a_random_case(seed)
    with localcontext(EXACT):
        setup, compared = set_up(book, job), 0
        for tier in work_out_tiers(setup):
            if not isinstance(tier, WorkedTier):
                continue
            one_by_one = late(book, job)
            taken = what_tiers_take(one_by_one, tier.tier.code)
            assert taken is not None and taken.items is not None
            assert sorted(item.key for item in taken.items) == sorted(item.key for item in tier.items)
            charges = one_by_one.charges(lambda items=taken.items: items)  # type: ignore[misc]
            assert_same_charges(charges, tier)
            assert_same_totals(charges, tier, setup)
            compared += 1
        assert compared or seed


def assert_same_charges(charges: LateCharges, tier: WorkedTier) -> None:
    whole = tier.charges
    assert charges.total == whole.total and charges.labour_total == whole.labour_total
    assert charges.labour == whole.labour and charges.sublet == whole.sublet and charges.freight == whole.freight
    assert charges.supplies == whole.supplies and charges.savings == whole.savings and charges.packs == whole.packs
    assert [fee.amount for fee in charges.fees] == [fee.amount for fee in whole.fees]
    names = (
        "code",
        "quantity",
        "packs",
        "unit_price",
        "amount",
        "core",
        "supplier",
        "pack_cost",
        "own",
        "from_kits",
        "taxed_as",
    )
    for line, other in zip(charges.parts, whole.parts, strict=True):
        assert {name: getattr(line, name) for name in names} == {name: getattr(other, name) for name in names}


def assert_same_totals(charges: LateCharges, tier: WorkedTier, setup: object) -> None:
    basis = setup.basis  # type: ignore[attr-defined]
    upgrade = tier.charges.total * 0
    if taxes_upgrade_labour(basis):
        upgrade = upgrade_labour(tier.charges, shares_of(basis, tier.charges, users_of(basis, tier.charges.work)))
    whole = totals_of(basis, tier.charges, min(upgrade, tier.charges.labour_total))
    found = LateTotals(charges.basis, charges)
    assert (found.inspection, found.credit, found.subtotal) == (whole.inspection, whole.credit, whole.subtotal)
    assert (found.tax, found.total) == (whole.tax, whole.total)
    for line in whole.taxes:
        assert found.tax_named(line.tax) == line


@pytest.mark.parametrize("seed", SEEDS)
def test_work_of_a_remedy_by_itself_is_the_engines(seed: int) -> None:
    book, job = a_random_case(seed)
    with localcontext(EXACT):
        whole, one_by_one = set_up(book, job), late(book, job)
        for key, item in whole.candidates.items.items():
            assert one_by_one.alone(one_by_one.candidates.items[key]) == whole.alone(item)
            assert one_by_one.again(one_by_one.candidates.items[key]) == whole.again(item)


def test_what_a_rule_does_not_ask_for_is_not_read(pair: tuple[ShopBook, Job]) -> None:
    """Which work is there hangs on no hour; hours hang on no price; the price of a part on no hour."""
    setup = late(*pair)
    with localcontext(EXACT):
        taken = what_tiers_take(setup, pair[0].tiers[0].code)
        assert taken is not None and taken.items is not None
        charges = setup.charges(lambda: taken.items or ())
        with setup.seen.frame("work") as work:
            assert charges.work.present
        with setup.seen.frame("hours") as hours:
            assert charges.hours.by_rate
        with setup.seen.frame("price") as price:
            assert all(line.unit_price >= 0 for line in charges.parts)
    of_work, of_hours, of_price = (headers(reads, pair[0]) for reads in (work, hours, price))
    assert ("Operations", "Net hours") not in of_work and ("Operations", "Net hours") in of_hours
    assert ("Parts", "Pack cost") not in of_hours and ("Parts", "Pack cost") in of_price
    assert ("Operations", "Net hours") not in of_price and ("Access", "Hours to open") not in of_price


def test_the_second_reader_of_a_look_up_has_read_it_too(pair: tuple[ShopBook, Job]) -> None:
    setup = late(*pair)
    found = []
    for _ in range(2):
        with setup.seen.frame("rate") as reads:
            _ = setup.basis.rates, setup.basis.default_rate, setup.basis.digits
        found.append({place for places in reads.values() for place in places})
    assert found[0] == found[1] and found[0]


def test_a_one_off_lines_work_is_read_when_it_is_asked_for() -> None:
    for seed in range(60):
        book, job = a_random_case(seed)
        lines = [line for line in job.one_off if line.kind == "labour"]
        if lines:
            setup = late(book, job)
            assert [item.key for item in setup.one_offs] == [line.code for line in job.one_off]
            op = setup.basis.op_named(lines[0].code)
            assert isinstance(op, LateLineOp) and op.net_hours == lines[0].quantity
            assert op.slowed == lines[0].slowed_by_rust and op.operation is None
            return
    pytest.fail("no random job has a one-off line of labour")


def test_leaving_charges_out_leaves_the_others(pair: tuple[ShopBook, Job]) -> None:
    setup = late(*pair)
    charges = setup.charges(lambda: ())
    left = without(charges, sublet={"X": 1})
    assert left.sublet == {"X": 1} and left.labour == charges.labour and charges.sublet == {}


def test_there_is_no_such_tier(pair: tuple[ShopBook, Job]) -> None:
    assert what_tiers_take(late(*pair), "no such tier") is None


def test_the_basis_is_the_engines_own_kind(pair: tuple[ShopBook, Job]) -> None:
    assert isinstance(late(*pair).basis, LateBasis)
