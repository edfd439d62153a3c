"""A bill as JSON: every amount and quantity a decimal string (DESIGN.md 7)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from quotekit.documents.quote_json import money, money_or_none, problem_json
from quotekit.model.entries import Billed, BillLine, Entry
from quotekit.model.record_json import to_json
from quotekit.money import minor_digits
from quotekit.problems import Problem


def lay_out_bill_json(
    entry: Entry, problems: Iterable[Problem], files: Sequence[str], *, already: bool, paid_since: Decimal = Decimal(0)
) -> dict[str, Any]:
    """A recorded bill, and what is due now that money came in since."""
    bill = entry.told(Billed)
    digits = minor_digits(bill.currency)
    left = bill.due - bill.refund - paid_since
    return {
        "job": entry.job,
        "bill": entry.number,
        "version": entry.version,
        "day": entry.day.isoformat(),
        "of": bill.of,
        "currency": bill.currency,
        "lines": [_line(line, digits) for line in bill.lines],
        "subtotal": money(bill.subtotal, digits),
        "taxes": [
            {"tax": tax, "base": money(base, digits), "amount": money(amount, digits)}
            for tax, base, amount in bill.taxes
        ],
        "tax": money(bill.tax, digits),
        "total": money(bill.total, digits),
        "billed_before": money(bill.billed_before, digits),
        "paid": money(bill.paid, digits),
        "due": money(bill.due, digits),
        "refund": money(bill.refund, digits),
        "paid_now": money(bill.paid + paid_since, digits),
        "due_now": money(max(left, Decimal(0)), digits),
        "refund_now": money(max(-left, Decimal(0)), digits),
        "authorised": money(bill.authorised, digits),
        "work": [
            {"text": one.text, "warranty_days": one.warranty_days, "labour": money_or_none(one.labour, digits)}
            for one in bill.work
        ],
        "not_done": list(bill.not_done),
        "notes": list(bill.notes),
        "recorded": not already,
        "entry": entry.seq,
        "problems": [problem_json(problem) for problem in problems],
        "files": list(files),
    }


def lay_out_refused_bill_json(job: str, problems: Iterable[Problem]) -> dict[str, Any]:
    """Why there is no bill."""
    found = [problem_json(problem) for problem in problems]
    return {"job": job, "bill": None, "recorded": False, "problems": found, "files": []}


def _line(line: BillLine, digits: int) -> dict[str, Any]:
    return {
        "key": line.key,
        "text": line.text,
        "detail": line.detail,
        "charge": line.kind,
        "quantity": to_json(line.quantity),
        "unit": line.unit,
        "each": money_or_none(line.each, digits),
        "amount": money(line.amount, digits),
    }
