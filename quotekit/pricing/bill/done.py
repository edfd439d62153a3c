"""What was done of what was agreed: agreed items without those that were not done, priced again from the frozen inputs.

Not done may be an item or an operation by its key. Work that larger work had made unnecessary does not come back when
the larger work is not done: it was on no work order, so it is not charged. Access is opened for what was done alone.
Freight is judged on the option's own items and what was added rides along, as in the quote (DESIGN.md 5.8).
Source: shop policy; a price firm as agreed, less what was not done.

Worked example: agreed are two bushings behind one cover, 0.5 + 0.3 h and 0.4 h of cover at 100.00: 120.00. The right
one was not done: the left one with the cover is 0.9 h, 90.00.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.model.agreed import Agreed, AgreedItem
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook, Tax
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bundles import bundles_on, hours_off
from quotekit.pricing.charges import Charges, Counted, in_money, sublet_of
from quotekit.pricing.fees import charges_of, fees_of
from quotekit.pricing.hours import hours_of
from quotekit.pricing.items import Item, always_item, extra_item, one_off_item, operation_item, remedy_item
from quotekit.pricing.parts import PartAmount, parts_of
from quotekit.pricing.shares import shares_of, users_of
from quotekit.pricing.taxes import UPGRADE, upgrade_labour
from quotekit.pricing.work import Work, brought_by, work_of
from quotekit.record import record

Uses = tuple[Mapping[str, Decimal], Sequence[PartAmount]]


@record
class Done:
    """The work that was done, of a job on its frozen book."""

    basis: Basis
    work: Work
    own: Work
    """Without what was added to the option."""
    items: tuple[AgreedItem, ...]
    """Agreed items that were done."""
    not_done: tuple[AgreedItem, ...]


def done_of(book: ShopBook, job: Job, agreed: Agreed, not_done: Iterable[str]) -> Done:
    """What was done; keys that are of nothing agreed are passed over."""
    basis, gone = Basis(book=book, job=job), frozenset(not_done)
    always = always_item(basis)
    items = {one.key: _item(basis, one) for one in agreed.items}
    own = {one.key: items[one.key] for one in agreed.items if not one.added}
    work = _without(basis, items, always, gone)
    covered = _covered(basis, work_of(basis, list(items.values()), always), work)
    done = tuple(one for one in agreed.items if one.key not in gone and _is_in(items[one.key], covered))
    return Done(
        basis=basis,
        work=work,
        own=work if len(own) == len(items) else _without(basis, own, always, gone),
        items=done,
        not_done=tuple(one for one in agreed.items if one not in done),
    )


def parts_done(done: Done) -> Uses:
    """Quantities before kits and part lines of what was done."""
    return parts_of(done.basis, done.work)


def price_done(done: Done, parts: Uses) -> Charges:
    """The charges of what was done, with these parts."""
    nothing_added = len(done.work.items) == len(done.own.items)
    beside = None if nothing_added else _as_agreed(done, done.own)
    return _priced(done, done.work, parts, beside)


def upgrade_labour_of(done: Done, charges: Charges, rows: Iterable[Tax]) -> Decimal:
    """The option's upgrade labour, at most the labour there is; only where some tax, of any day, treats it apart."""
    if not any(UPGRADE in row.charges for row in rows):
        return ZERO
    own = _as_agreed(done, done.own)
    labour = upgrade_labour(own, shares_of(done.basis, own, users_of(done.basis, own.work)))
    return min(labour, charges.labour_total)


def labour_by_item(done: Done) -> dict[str, Decimal]:
    """Each item's share of the labour, by its key."""
    charges = _as_agreed(done, done.work)
    shares = shares_of(done.basis, charges, users_of(done.basis, charges.work))
    return {share.item: share.labour for share in shares}


def _as_agreed(done: Done, work: Work) -> Charges:
    """A work with its own parts: labour does not hang on the parts that were used."""
    return _priced(done, work, parts_of(done.basis, work), None)


def _priced(done: Done, work: Work, parts: Uses, beside: Charges | None) -> Charges:
    """The charges of a work as `price_items` makes them, with parts as they were used."""
    basis = done.basis
    bundles = bundles_on(basis, work.items)
    codes = frozenset(basis.op_named(key).code for key in work.present)
    counted = Counted(
        work=work,
        bundles=bundles,
        hours=hours_of(basis, work, hours_off(bundles)),
        uses=parts[0],
        parts=parts[1],
        sublet=sublet_of(basis, work),
        fees=fees_of(basis, codes, alone=False) + charges_of(basis, work),
    )
    return in_money(basis, counted, beside=beside)


def _without(basis: Basis, items: Mapping[str, Item], always: Item, gone: frozenset[str]) -> Work:
    """The work of items without those that are gone, and without operations that are gone, or only those required.

    What larger work had made unnecessary does not come back.
    """
    may = work_of(basis, list(items.values()), always).present - gone
    work = work_of(basis, [item for key, item in items.items() if key not in gone], always)
    if work.present <= may:
        return work
    there = work.present & may
    present: frozenset[str] = frozenset().union(*(brought_by(item, there) for item in (*work.items, work.always)))
    steps: frozenset[str] = frozenset().union(*(basis.op_named(key).steps for key in present))
    return replace(work, present=present, steps=steps, dropped=work.dropped | (work.present - present))


def _covered(basis: Basis, whole: Work, work: Work) -> frozenset[str]:
    """Operations that were done, by themselves or as part of larger work, step by step."""
    wanted, covered = whole.present | whole.dropped, frozenset[str]()
    reached = work.present
    while reached:
        covered |= reached
        reached = frozenset().union(*(basis.op_named(key).includes for key in reached)) & wanted - covered
    return covered


def _is_in(item: Item, covered: frozenset[str]) -> bool:
    """True where some of its work was done; an item may have no work of its own."""
    return not item.direct or not item.direct.isdisjoint(covered)


def _item(basis: Basis, agreed: AgreedItem) -> Item:
    if agreed.kind == "remedy":
        return remedy_item(basis, basis.book.remedies[agreed.code], agreed.side)
    if agreed.kind == "extra":
        return extra_item(basis, basis.book.extras[agreed.code], agreed.side, asked=agreed.asked)
    if agreed.kind == "operation":
        return operation_item(basis, agreed.code, agreed.side)
    return one_off_item(basis, next(line for line in basis.job.one_off if line.code == agreed.code))
