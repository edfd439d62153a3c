"""The bill as what goes into its template: what was done, what it comes to, what was paid and what is left to pay.

It is laid out from the bill as it was recorded, so that it can be written again at any time. It names no cost, margin,
supplier or markup.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal

from quotekit.documents.bill_words import (
    DUE,
    NOTHING,
    OLD_PARTS,
    PAID,
    REFUND,
    agreed_words,
    declined_words,
    tax_words,
    warranty_words,
    within_words,
)
from quotekit.documents.customer_facts import contact_of, machine_words
from quotekit.documents.filling import CellValue, SheetFilling, Shown
from quotekit.documents.money_text import date_text, formats, money_format, money_text, number_text
from quotekit.documents.wording import spelled
from quotekit.model.entries import Accepted, Billed, BilledWork, BillLine, Declined
from quotekit.model.job import ONE_OFF, Job
from quotekit.model.shop_book import Settings
from quotekit.record import record

Row = Mapping[str, CellValue]

OPTIONAL = frozenset("shop_contact customers_words price_note terms agreed within old_parts billed_before".split())
"""Marks a bill's template may leave out."""

_TAKEN_OFF = ("comeback:", "held:")


@record
class BillFacts:
    """A bill with what it says besides the money."""

    bill: Billed
    number: int
    day: date
    version: int
    settings: Settings
    job: Job
    accepted: Accepted | None = None
    """The yes it is billed under; None for a no."""
    agreed_on: date | None = None
    declined: Declined | None = None
    """The no it is the bill of."""
    declined_on: date | None = None


def fill_bill(facts: BillFacts) -> SheetFilling:
    """The values and rows of a bill."""
    lines = _lines(facts.bill.lines)
    labour, parts, other = ([line for line in lines if _table(line) == table] for table in ("labour", "parts", "other"))
    return SheetFilling(
        role="bill",
        values={
            **_heads(facts),
            "labour_total": _money(facts, _total(labour)) if labour else "",
            "parts_total": _money(facts, _total(parts)) if parts else "",
            "other_total": _money(facts, _total(other)) if other else "",
            **_sums(facts),
            **_said(facts),
        },
        tables={
            "done": [*_declined(facts), *(_done(one) for one in facts.bill.work)],
            "not_done": _texts(facts.bill.not_done),
            "labour": list(_labour_rows(facts, labour)),
            "parts": [_part_row(facts, line) for line in parts],
            "other": [_other_row(facts, line) for line in other],
            "taxes": [
                {"text": tax, "base": tax_words(facts.bill, base, facts.settings), "amount": _money(facts, amount)}
                for tax, base, amount in facts.bill.taxes
            ],
            "payments": list(_payments(facts)),
            "left": _texts(facts.bill.left),
            "cautions": _texts(facts.bill.cautions),
        },
        optional=OPTIONAL,
    )


def _heads(facts: BillFacts) -> dict[str, CellValue]:
    job, settings = facts.job, facts.settings
    words = job.customers_words.strip()
    return {
        "shop_name": settings.shop_name,
        "shop_contact": "   ".join(contact_of(settings)),
        "bill_number": facts.number,
        "bill_date": date_text(facts.day, settings.language),
        "job_number": f"{job.job_number}, quote version {facts.version}",
        "customer": ", ".join(filter(None, (job.customer, job.phone, job.email))),
        "machine": machine_words(job),
        "customers_words": f"\u201c{words}\u201d" if words else "",
        "agreed": agreed_words(facts.accepted, facts.agreed_on, settings.language),
        "within": within_words(facts.bill, facts.accepted, settings.language),
    }


def _sums(facts: BillFacts) -> dict[str, CellValue]:
    """The sums below the lines; what is to be given back stands in the place of what is due, and says so."""
    bill = facts.bill
    settled = not bill.due and not bill.refund
    label = REFUND if bill.refund else DUE if not settled else PAID if bill.payments or bill.total else NOTHING
    return {
        "subtotal": _money(facts, bill.subtotal),
        "total": _money(facts, bill.total),
        "billed_before": _money(facts, bill.billed_before) if bill.billed_before else "",
        "paid": _money(facts, bill.paid) if bill.payments else "",
        "due": _money(facts, bill.refund or bill.due),
        "due_label": label,
    }


def _said(facts: BillFacts) -> dict[str, CellValue]:
    certificate = facts.job.exemption_certificate
    notes = (*facts.bill.notes, f"Exemption certificate: {certificate}." if certificate else "")
    return {
        "price_note": spelled("Lines are before tax; each tax stands on its own line.", facts.settings.language),
        "old_parts": OLD_PARTS.get(facts.job.old_parts or "", "") if facts.bill.of == "work" else "",
        "note": " ".join(filter(None, notes)),
        "terms": "",
    }


def _labour_rows(facts: BillFacts, lines: Iterable[BillLine]) -> Iterator[Row]:
    """Labour in total, or by repair where the bill holds its shares; what is taken off it on lines of its own."""
    lines = list(lines)
    language = facts.settings.language
    own = [line for line in lines if line.key.startswith("labour:")]
    shares = [one for one in facts.bill.work if one.labour is not None]
    if shares and own:
        for one in shares:
            yield {"text": one.text, "hours": "", "amount": _money(facts, one.labour or Decimal(0))}
        rest = _total(own) - sum((one.labour or Decimal(0) for one in shares), Decimal(0))
        if rest:
            yield {"text": "Not for one repair alone", "hours": "", "amount": _money(facts, rest)}
        lines = [line for line in lines if line not in own]
    hours = formats(facts.bill.currency, language)["hours"]
    for line in lines:
        yield {
            "text": _own_label(line, language),
            "hours": Shown(line.quantity, hours) if line.quantity is not None else "",
            "amount": _money(facts, line.amount),
        }


def _part_row(facts: BillFacts, line: BillLine) -> Row:
    language = facts.settings.language
    code = line.key.removeprefix("part:") if line.key.startswith("part:") else ""
    quantity = "" if line.quantity is None else f"{number_text(line.quantity, language)} {line.unit}".strip()
    return {
        "text": line.text,
        "condition": line.detail,
        "number": "" if code.startswith(ONE_OFF) else code,
        "quantity": quantity,
        "unit_price": "" if line.each is None else _money(facts, line.each),
        "amount": _money(facts, line.amount),
    }


def _other_row(facts: BillFacts, line: BillLine) -> Row:
    detail = ", ".join(filter(None, (_times(facts, line), line.detail)))
    return {"text": line.text, "detail": detail, "amount": _money(facts, line.amount)}


def _times(facts: BillFacts, line: BillLine) -> str:
    """How many of it, and for how much each, whatever the unit is called: `14 x $1.50 per mile`."""
    if line.quantity is None:
        return ""
    count = number_text(line.quantity, facts.settings.language)
    if line.each is None or not line.unit:
        return f"{count} {line.unit}".strip()
    return f"{count} \u00d7 {money_text(line.each, facts.bill.currency, facts.settings.language)} per {line.unit}"


def _payments(facts: BillFacts) -> Iterator[Row]:
    """Money taken and given back."""
    language = facts.settings.language
    for day, text, amount in facts.bill.payments:
        yield {"date": date_text(day, language) if day else "", "text": text, "amount": _money(facts, amount)}


def _declined(facts: BillFacts) -> Iterator[Row]:
    """That the work was declined, when and by whom."""
    if facts.declined is not None:
        yield {"text": declined_words(facts.declined, facts.declined_on, facts.settings.language), "warranty": ""}


def _done(work: BilledWork) -> Row:
    return {"text": work.text, "warranty": warranty_words(work.warranty_days)}


def _lines(lines: Iterable[BillLine]) -> list[BillLine]:
    """The lines a customer reads: what is taken off, and freight, as one line a table."""
    found: dict[str, BillLine] = {}
    for line in lines:
        key = _merged(line)
        known = found.get(key)
        found[key] = line if known is None else _together(known, line)
    return list(found.values())


def _merged(line: BillLine) -> str:
    for taken_off in _TAKEN_OFF:
        if line.key.startswith(taken_off):
            return f"{taken_off}{_table(line)}"
    return "freight" if line.key.startswith("freight:") else line.key


def _together(one: BillLine, other: BillLine) -> BillLine:
    return BillLine(key=one.key, text=one.text, amount=one.amount + other.amount, kind=one.kind)


def _table(line: BillLine) -> str:
    """Which table of the bill a line stands in."""
    key = line.key
    for taken_off in _TAKEN_OFF:
        key = key.removeprefix(taken_off)
    if key.startswith("saving:"):
        return line.kind
    if key.startswith("labour:"):
        return "labour"
    return "parts" if key.startswith("part:") else "other"


def _own_label(line: BillLine, language: str) -> str:
    """Our own word for labour as the shop's country spells it; what a workbook says is left alone."""
    if line.key.startswith("labour:"):
        return line.text.replace("Labour", spelled("Labour", language), 1)
    if line.key == "saving:DISCOUNT-LABOUR":
        return line.text.removesuffix("labour") + spelled("labour", language)
    return line.text


def _texts(texts: Iterable[str]) -> list[Row]:
    return [{"text": text} for text in texts]


def _total(lines: Iterable[BillLine]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))


def _money(facts: BillFacts, amount: Decimal) -> Shown:
    return Shown(amount, money_format(facts.bill.currency, facts.settings.language))
