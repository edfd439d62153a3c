"""What a shop book says without a job: part prices, labour rates, each remedy and extra by itself, the shop's own rate.

Price of a part: its own row after markup, list and fixed price (DESIGN.md 5.4), not of what replaced it.
Labour rate: of the rows of a code the latest not after the day (DESIGN.md 3).
By itself: work of the one remedy or extra with its own access and the Always operations, on one side, without
condition, before tax (the stand-alone work of DESIGN.md 5.7), on the first machine class of the findings it fixes.
Shop's own rate: an hour to break even and with the wanted profit, as `rate` works them out of the sheet Rate builder.
Units: money. Rounded where those rules round. Source: shop policy.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal, localcontext

from quotekit.model.comparison import Figure, FigureName, Figures
from quotekit.model.job import Job
from quotekit.model.shop_book import Extra, MachineClass, Remedy, ShopBook
from quotekit.money import EXACT, minor_digits, round_to
from quotekit.pricing.basis import Basis
from quotekit.pricing.charges import price_items
from quotekit.pricing.items import always_item, extra_item, remedy_item
from quotekit.pricing.part_price import unit_price
from quotekit.pricing.rate import SHEET as RATE_BUILDER
from quotekit.pricing.rate import rates_of
from quotekit.pricing.rates.build import read_build
from quotekit.pricing.sides import is_sided
from quotekit.problems import Place


def book_figures(book: ShopBook, day: date) -> Figures:
    """Every figure of a book on a day: `parts.CODE.unit_price`, `labour.CODE.rate_per_hour`, `remedies.CODE.alone`.

    `rate.break_even` and `rate.for_profit` where there is a sheet Rate builder that is understood.
    """
    with localcontext(EXACT):
        found = [*_prices(book), *_rates(book, day), *_alone(book, day), *_own_rate(book)]
        digits = minor_digits(book.settings.currency)
        return {FigureName(None, None, name): _money(amount, digits) for name, amount in found}


def _money(amount: Decimal, digits: int) -> Figure:
    rounded = round_to(amount, digits)
    return Figure(text=f"{rounded:f}", number=rounded)


def _prices(book: ShopBook) -> Iterator[tuple[str, Decimal]]:
    digits = minor_digits(book.settings.currency)
    for part in book.parts.values():
        yield f"parts.{part.code}.unit_price", unit_price(part, book.markup, digits).price


def _rates(book: ShopBook, day: date) -> Iterator[tuple[str, Decimal]]:
    for code, rate in Basis(book=book, job=_job(day, None)).rates.items():
        yield f"labour.{code}.rate_per_hour", rate.rate_per_hour
        if rate.cost_per_hour is not None:
            yield f"labour.{code}.cost_per_hour", rate.cost_per_hour


def _own_rate(book: ShopBook) -> Iterator[tuple[str, Decimal]]:
    """What an hour must sell for."""
    build, _ = read_build(book.rate_builder, Place(book.file, RATE_BUILDER))
    if build is not None:
        rates = rates_of(build, minor_digits(book.settings.currency))
        yield "rate.break_even", rates.break_even
        if rates.for_profit is not None:
            yield "rate.for_profit", rates.for_profit


def no_rate_of(book: ShopBook) -> str:
    """What a book has in place of a rate of its own, as the end of a sentence; empty where it gives one."""
    build, problems = read_build(book.rate_builder, Place(book.file, RATE_BUILDER))
    if build is not None:
        return ""
    if not book.rate_builder:
        return "has no sheet Rate builder, or no row on it"
    first = next(problem for problem in problems if problem.severity == "error")
    return f"has a sheet Rate builder that is not understood ({first.place}: {first.message})"


def _alone(book: ShopBook, day: date) -> Iterator[tuple[str, Decimal]]:
    bases: dict[str, Basis] = {}
    named: list[tuple[str, Remedy | Extra]] = [("remedies", remedy) for remedy in book.remedies.values()]
    named += [("extras", extra) for extra in book.extras.values()]
    for kind, one in named:
        machine = _machine_of(book, one)
        code = machine.code if machine is not None else ""
        basis = bases.setdefault(code, Basis(book=book, job=_job(day, machine)))
        if _has_rates(basis):
            yield f"{kind}.{one.code}.alone", _by_itself(basis, one)


def _has_rates(basis: Basis) -> bool:
    """True where every labour code has a row in force on the day."""
    return {row.code for row in basis.book.labour_rates} <= basis.rates.keys()


def _by_itself(basis: Basis, one: Remedy | Extra) -> Decimal:
    side = basis.job.positions[0] if is_sided(basis.book, one.operations) else None
    item = remedy_item(basis, one, side) if isinstance(one, Remedy) else extra_item(basis, one, side)
    return price_items(basis, [item], always_item(basis), alone=True).total


def _machine_of(book: ShopBook, one: Remedy | Extra) -> MachineClass | None:
    """The first class that a remedy's findings, or an extra, are for; the book's first where they are for all."""
    machines = book.machines or {}
    named = one.machines if isinstance(one, Extra) else tuple(_of_findings(book, one))
    return next((machines[code] for code in named if code in machines), next(iter(machines.values()), None))


def _of_findings(book: ShopBook, remedy: Remedy) -> Iterator[str]:
    for code in remedy.fixes:
        if code in book.findings:
            yield from book.findings[code].machines


def _job(day: date, machine: MachineClass | None) -> Job:
    """A job with nothing on it."""
    return Job(
        job_number="",
        customer="",
        machine_class=machine.code if machine else "",
        customers_words="",
        quote_date=day,
        positions=machine.positions if machine else ("left", "right"),
    )


def codes_behind(book: ShopBook, code: str) -> frozenset[str]:
    """Codes of the rows that a remedy or extra leads to: its operations, access steps, parts and their suppliers.

    More than need be, never less: a code that stands on two sheets counts on both.
    """
    reached: set[str] = set()
    waiting = [code]
    while waiting:
        code = waiting.pop()
        if code not in reached:
            reached.add(code)
            waiting += _next_codes(book, code)
    return frozenset(reached)


def _next_codes(book: ShopBook, code: str) -> Iterator[str]:
    item = book.remedies.get(code) or book.extras.get(code)
    if item is not None:
        yield from (*item.operations, *(entry.code for entry in item.parts))
    operation = book.operations.get(code)
    if operation is not None:
        yield from (*operation.access, *operation.includes, *operation.requires)
        yield from (entry.code for entry in operation.parts)
    step = book.access.get(code)
    if step is not None:
        yield from (*step.needs, *(entry.code for entry in step.parts))
    part = book.parts.get(code)
    if part is not None:
        yield from (entry.code for entry in (*part.also_needs, *part.contains))
        yield from (part.supplier, *([part.replaced_by] if part.replaced_by else []))
    yield from (used.part for used in book.parts_used_by.get(code, ()))
