"""Checks of a shop book that need the rules of work and price: savings too large, steps opened everywhere."""

from __future__ import annotations

from datetime import date
from decimal import Decimal, localcontext

from quotekit.model.job import Job
from quotekit.model.shop_book import AccessStep, Bundle, Operation, ShopBook
from quotekit.money import EXACT
from quotekit.pricing.basis import Basis
from quotekit.pricing.bundles import parts_members_bring
from quotekit.pricing.charges import price_items
from quotekit.pricing.items import Item, always_item, extra_item, remedy_item
from quotekit.pricing.parts import amount_before_kits
from quotekit.pricing.sides import is_sided
from quotekit.problems import Problem, warning


def check_book(book: ShopBook) -> list[Problem]:
    """Warnings about a book that read without errors."""
    with localcontext(EXACT):
        return [*_opened_everywhere(book), *_savings_too_large(book)]


def _opened_everywhere(book: ShopBook) -> list[Problem]:
    """Work without a side that reaches an each-side step opens it at every position."""
    found = []
    rows: list[tuple[AccessStep | Operation, tuple[str, ...], str]] = [
        *((step, step.needs, "Needs") for step in book.access.values()),
        *((operation, operation.access, "Access") for operation in book.operations.values()),
    ]
    for record, codes, column in rows:
        sided = [code for code in codes if book.access[code].each_side]
        if sided and not record.each_side:
            found.append(
                warning(
                    record.source.place(column),
                    "opens-every-position",
                    f"{record.code} has no side but needs {'; '.join(sided)}, which is opened at every position",
                    "Set Each side to Yes if it is done side by side.",
                    "; ".join(codes),
                )
            )
    return found


def _savings_too_large(book: ShopBook) -> list[Problem]:
    """A saving that is more than its members bring alone."""
    job = _any_job(book)
    found = []
    for bundle in book.bundles.values():
        most = _members_bring(book, job, bundle)
        if bundle.saving != "percent off parts" and bundle.value > most:
            found.append(
                warning(
                    bundle.source.place("Value"),
                    "saving-too-large",
                    f"{bundle.code} saves {bundle.value:f} of {bundle.saving}, "
                    f"more than its members bring alone ({most.normalize():f})",
                    "Lower the saving, or check its members.",
                    f"{bundle.value:f}",
                )
            )
    return found


def _members_bring(book: ShopBook, job: Job, bundle: Bundle) -> Decimal:
    """Hours, labour or parts that a bundle's members bring by themselves, at one position."""
    basis = Basis(book=book, job=job)
    nothing = always_item(Basis(book=book, job=_any_job(book, always=False)))
    charges = price_items(basis, [_member(basis, code) for code in bundle.members], nothing, alone=True)
    if bundle.saving == "hours off":
        return sum((at.access + at.net for at in charges.hours.by_rate.values()), Decimal(0))
    if bundle.saving == "labour amount off":
        return sum(charges.labour.values(), Decimal(0))
    return amount_before_kits(basis, parts_members_bring(basis, charges.work, bundle.members))


def _member(basis: Basis, code: str) -> Item:
    remedy, extra = basis.book.remedies.get(code), basis.book.extras.get(code)
    record = remedy or extra
    assert record is not None
    side = basis.job.positions[0] if is_sided(basis.book, record.operations) else None
    return remedy_item(basis, remedy, side) if remedy else extra_item(basis, basis.book.extras[code], side)


def _any_job(book: ShopBook, *, always: bool = True) -> Job:
    """A job with nothing on it, at the latest rates, to price members by."""
    machine = next(iter(book.machines.values())) if book.machines else None
    return Job(
        job_number="",
        customer="",
        machine_class=machine.code if machine and always else "",
        customers_words="",
        quote_date=date.max,
        positions=machine.positions if machine else ("left", "right"),
    )
