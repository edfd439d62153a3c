"""The parts order as values for the shop's template: a sheet for each supplier, and one for the shop with the proof.

A supplier's sheet holds that supplier's own numbers, packs and prices, and nothing of another supplier; below the fold
stands for which job each line is. The shop's sheet tells what all lands for, beside buying each part at its usual
supplier, what to take from the shelf, what goes onto it and what can't be returned.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from quotekit.documents.filling import CellValue, SheetFilling, Shown
from quotekit.documents.money_text import date_text, money_format, money_text, number_text, short_date_text
from quotekit.documents.parts_order_text import unit_beside, without_job
from quotekit.documents.wording import counted, spelled
from quotekit.model.entries import Ordered, OrderLine, SupplierOrder
from quotekit.model.shop_book import Settings, Supplier
from quotekit.money import minor_digits, round_to
from quotekit.record import record

FINAL = "cannot be returned"
_QUANTITY = "0.####"


@record
class OrderSheets:
    """An order to be laid out: `arrives` gives the day each line is there by its place, where it is known."""

    number: int
    day: date
    ordered: Ordered
    settings: Settings
    terms: Mapping[str, Supplier]
    arrives: Mapping[int, date]
    notes: Sequence[str] = ()
    """Sentences for the shop."""

    @property
    def digits(self) -> int:
        """Decimals of the currency."""
        return minor_digits(self.ordered.currency)

    def money(self, amount: Decimal) -> Shown:
        """An amount in the shop's language."""
        return Shown(round_to(amount, self.digits), money_format(self.ordered.currency, self.settings.language))

    def date(self, day: date) -> str:
        """A day in the shop's language, as on its other papers."""
        return date_text(day, self.settings.language)

    def lines_of(self, supplier: str) -> list[tuple[int, OrderLine]]:
        """A supplier's lines with their places in the order, from 1."""
        return [(place, line) for place, line in enumerate(self.ordered.lines, 1) if line.supplier == supplier]


def lay_out_parts_order(order: OrderSheets) -> list[SheetFilling]:
    """The shop's sheet, then a sheet for each supplier."""
    return [_summary(order), *(_supplier_sheet(order, supplier) for supplier in order.ordered.suppliers)]


def short_of_free_freight(ordered: Ordered, terms: Mapping[str, Supplier]) -> Iterator[tuple[SupplierOrder, Decimal]]:
    """Suppliers that charge freight, and by how much their goods stay below what makes it free."""
    for supplier in ordered.suppliers:
        known = terms.get(supplier.supplier)
        if known is not None and known.freight and known.free_freight_from:
            gap = known.free_freight_from - supplier.goods
            if gap > 0:
                yield supplier, gap


def _letterhead(order: OrderSheets) -> dict[str, CellValue]:
    settings = order.settings
    licence = f"{spelled('Licence', settings.language)} {settings.licence}" if settings.licence else ""
    contact = filter(None, (settings.address, settings.phone, settings.email, licence))
    return {
        "shop_name": settings.shop_name,
        "shop_contact": "   ".join(contact),
        "order_number": order.number,
        "order_date": order.date(order.day),
    }


def _supplier_sheet(order: OrderSheets, supplier: SupplierOrder) -> SheetFilling:
    lines = order.lines_of(supplier.supplier)
    jobs = sorted({job for _, line in lines for job in line.jobs})
    days = [order.ordered.needed_by[job] for job in jobs if job in order.ordered.needed_by]
    return SheetFilling(
        role="order",
        title=supplier.name,
        values={
            **_letterhead(order),
            "supplier": supplier.name,
            "needed_by": order.date(min(days)) if days else "",
            "our_jobs": ", ".join(jobs),
            "goods": order.money(supplier.goods),
            "freight": order.money(supplier.freight),
            "fee": order.money(supplier.fee),
            "total": order.money(supplier.total),
            "note": "Please tell us at once if a part comes later than that day." if days else "",
        },
        tables={
            "lines": [_line(order, place, line) for place, (_, line) in enumerate(lines, 1)],
            "shop_lines": [_shop_line(order, place, line) for place, line in lines],
        },
    )


def _line(order: OrderSheets, place: int, line: OrderLine) -> dict[str, CellValue]:
    days = counted(line.lead_days, "working day") if line.lead_days else ""
    return {
        "number": f"{place}.",
        "suppliers_number": line.suppliers_number or line.code or line.part,
        "name": line.name,
        "new_or_used": line.new_or_used,
        "packs": line.packs,
        "pack": f"of {number_text(line.pack_quantity, order.settings.language)} {unit_beside(line.unit)}".strip(),
        "pack_cost": order.money(line.pack_cost) if line.cost_known else "",
        "amount": order.money(line.amount) if line.cost_known else "",
        "note": ", ".join(filter(None, (days, "" if line.returnable else FINAL))),
    }


def _shop_line(order: OrderSheets, place: int, line: OrderLine) -> dict[str, CellValue]:
    language = order.settings.language
    jobs = (f"{job}: {number_text(units, language)}" for job, units in line.jobs.items())
    arrives = order.arrives.get(place)
    return {
        "part": line.part,
        "name": line.name,
        "jobs": "; ".join(jobs),
        "needed": Shown(line.needed, _QUANTITY),
        "left_over": Shown(line.left_over, _QUANTITY) if line.left_over else "",
        "arrives": "not known" if arrives is None else short_date_text(arrives, language),
        "received": None,
    }


def _summary(order: OrderSheets) -> SheetFilling:
    ordered = order.ordered
    usual = ordered.usual
    return SheetFilling(
        role="summary",
        title="For the shop",
        values={
            **_letterhead(order),
            "our_jobs": ", ".join(ordered.jobs),
            "landed": order.money(ordered.landed),
            "usual": "" if usual is None else order.money(usual),
            "saved": "" if usual is None else order.money(usual - ordered.landed),
            "bound": order.money(ordered.bound),
            "proof": ordered.compared,
            "note": "\n".join(_sentences(order)),
        },
        tables={
            "suppliers": [_supplier_row(order, supplier) for supplier in ordered.suppliers],
            "shelf": [
                {
                    "part": without_job(take.part, [take.job]),
                    "name": take.name,
                    "job": take.job,
                    "quantity": Shown(take.quantity, _QUANTITY),
                }
                for take in ordered.shelf
            ],
            "left_over": [
                {
                    "part": line.part,
                    "name": line.name,
                    "quantity": Shown(line.left_over, _QUANTITY),
                    "note": f"{unit_beside(line.unit)}, from {line.supplier}".strip(", "),
                }
                for line in ordered.lines
                if line.left_over
            ],
            "final": [
                {"part": line.part, "name": line.name, "supplier": line.supplier}
                for line in ordered.lines
                if not line.returnable
            ],
        },
    )


def _supplier_row(order: OrderSheets, supplier: SupplierOrder) -> dict[str, CellValue]:
    return {
        "supplier": supplier.name,
        "goods": order.money(supplier.goods),
        "freight": order.money(supplier.freight),
        "fee": order.money(supplier.fee),
        "total": order.money(supplier.total),
    }


def _sentences(order: OrderSheets) -> Iterator[str]:
    ordered, language = order.ordered, order.settings.language
    if ordered.usual is None and ordered.lines:
        yield f"Each part at its usual supplier can't be: {ordered.usual_why}."
    elsewhere: dict[tuple[str, str], list[str]] = {}
    for line in ordered.lines:
        if line.instead_of:
            elsewhere.setdefault((line.supplier, line.instead_of), []).append(f"{line.name} ({line.part})")
    for (supplier, usual), parts in elsewhere.items():
        yield f"Bought from {supplier}, instead of {usual}: {', '.join(parts)}."
    for one, gap in short_of_free_freight(ordered, order.terms):
        yield f"{one.name}: {money_text(gap, ordered.currency, language)} short of free freight."
    days: dict[date, list[str]] = {}
    for job, day in ordered.needed_by.items():
        days.setdefault(day, []).append(job)
    for day, jobs in sorted(days.items()):
        yield f"Parts of {'job' if len(jobs) == 1 else 'jobs'} {', '.join(jobs)} are needed by {order.date(day)}."
    yield from order.notes
