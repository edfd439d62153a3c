"""What happened to one job, as lines on a screen: an entry a line, in the shop's words, with its figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import NamedTuple

from quotekit.documents.quote_json import money, plain
from quotekit.model.entries import (
    Accepted,
    Billed,
    Cancelled,
    Clocked,
    Closed,
    Comeback,
    Declined,
    Entry,
    Issued,
    Noted,
    Ordered,
    Paid,
    Received,
    ShelfMove,
    Written,
)
from quotekit.money import minor_digits

_BY = {
    "returned quote": "in the quote sent back",
    "phone": "by phone",
    "in-person": "in person",
    "message": "by message",
}


class _Now(NamedTuple):
    """What the entries before said: the job's currency, and its parts by the number of their order."""

    job: str
    currency: str = ""
    parts: Mapping[int | None, frozenset[str]] = {}


def lay_out_history(job: str, entries: Iterable[Entry]) -> Iterator[str]:
    """A line an entry: its day, what happened, and in brackets who recorded it and why."""
    now = _Now(job)
    for entry in entries:
        if entry.kind == "issued":
            now = now._replace(currency=entry.told(Issued).currency)
        if entry.kind == "ordered":
            mine = frozenset(line.part for line in entry.told(Ordered).lines if job in line.jobs)
            now = now._replace(parts={**now.parts, entry.number: mine})
        what = _WORDS.get(entry.kind, _other)(entry, now)
        why = f"; {entry.why}" if entry.why else ""
        if what:
            yield f"{entry.day.isoformat()}  {what} [{entry.who}{why}]"


def _issued(entry: Entry, now: _Now) -> str:
    body = entry.told(Issued)
    if body.revision is not None:
        asked = "to be asked" if body.revision.needs_consent else "no yes needed"
        return f"Version {entry.version}, a change: {_money(body.revision.agreed.total, now.currency)} in all, {asked}."
    options = ", ".join(f"{option.name} {_money(option.total, now.currency)}" for option in body.offered)
    return f"Version {entry.version} issued: {options}; it holds until {body.valid_until.isoformat()}."


def _written(entry: Entry, now: _Now) -> str:
    return f"Written: {', '.join(document.name for document in entry.told(Written).documents)}."


def _accepted(entry: Entry, now: _Now) -> str:
    body = entry.told(Accepted)
    chosen = ", ".join((body.agreed.option, *body.extras))
    reached = f", {body.phone}" if body.phone else ""
    total = _money(body.agreed.total, now.currency)
    return (
        f"Yes to version {entry.version}: {chosen}, {total}. {body.customer} {_BY[body.by]}{reached}{_said(body.note)}."
    )


def _declined(entry: Entry, now: _Now) -> str:
    body = entry.told(Declined)
    what = f"to version {entry.version}" if entry.version is not None else "to all the work"
    return f"No {what}, {body.reason}. {body.customer}{_said(body.note)}."


def _ordered(entry: Entry, now: _Now) -> str:
    body, job = entry.told(Ordered), now.job
    bought = [f"{plain(line.jobs[job])} {line.part} from {line.supplier}" for line in body.lines if job in line.jobs]
    taken = [f"{plain(take.quantity)} {take.part} from the shelf" for take in body.shelf if take.job == job]
    return f"Parts order {entry.number}: {', '.join((*bought, *taken)) or 'nothing for this job'}."


def _received(entry: Entry, now: _Now) -> str:
    """Of a delivery the job's own parts, and what of them went back; nothing where it is about other jobs."""
    body = entry.told(Received)
    mine = [line for line in body.lines if line.part in now.parts.get(body.order, ())]
    came = ", ".join(f"{line.packs} x {line.part}" for line in mine if line.packs > 0)
    back = ", ".join(f"{-line.packs} x {line.part}" for line in mine if line.packs < 0)
    told = "; ".join(filter(None, (came and f"came in: {came}", back and f"went back: {back}")))
    return f"Of parts order {body.order} {told}{_said(body.note)}." if told else ""


def _shelf(entry: Entry, now: _Now) -> str:
    body = entry.told(ShelfMove)
    way = "to" if body.quantity > 0 else "from"
    return f"{plain(abs(body.quantity))} {body.part} {way} the shelf{_said(body.note)}."


def _cancelled(entry: Entry, now: _Now) -> str:
    body = entry.told(Cancelled)
    gone = [f"{line.packs} x {line.part}" for line in body.lines if line.part in now.parts.get(body.order, ())]
    return f"Of parts order {body.order} called off: {', '.join(gone)}." if gone else ""


def _clocked(entry: Entry, now: _Now) -> str:
    body = entry.told(Clocked)
    on = f" on {body.work}" if body.work else ""
    if body.started and not body.ended:
        return f"{body.person} began{on} at {body.started[11:16]}{_said(body.note)}."
    return f"{body.person}: {body.hours:f} h{on}{_said(body.note)}."


def _closed(entry: Entry, now: _Now) -> str:
    body = entry.told(Closed)
    hours = sum((one.hours for one in body.hours), Decimal(0))
    left = f", not done: {', '.join(body.not_done)}" if body.not_done else ""
    took = f"{plain(hours)} h" if body.hours else "hours not written down"
    return f"Work done, {took}{left}{_said(body.notes)}."


def _paid(entry: Entry, now: _Now) -> str:
    body = entry.told(Paid)
    how = f", {body.how}" if body.how else ""
    if body.amount < 0:
        return f"{_money(-body.amount, now.currency)} given back{how}."
    purpose = "for the bill" if body.purpose == "bill" else body.purpose
    return f"{_money(body.amount, now.currency)} taken, {purpose}{how}."


def _billed(entry: Entry, now: _Now) -> str:
    body = entry.told(Billed)
    rest = (
        f"to give back {_money(body.refund, now.currency)}" if body.refund else f"due {_money(body.due, now.currency)}"
    )
    return f"Bill {entry.number}: {_money(body.total, now.currency)}, {rest}."


def _comeback(entry: Entry, now: _Now) -> str:
    body = entry.told(Comeback)
    charged = f"{plain(body.charged * 100)} % charged" if body.charged else "nothing charged"
    return f"Comes back to job {body.first_job}, {body.cause}, {charged}{_said(body.note)}."


def _noted(entry: Entry, now: _Now) -> str:
    return f"Noted: {entry.told(Noted).text}."


def _other(entry: Entry, now: _Now) -> str:
    return f"{entry.kind.capitalize()}."


def _said(text: str) -> str:
    """What was said or written, on one line."""
    return f": “{' '.join(text.split())}”" if text.strip() else ""


def _money(amount: Decimal, currency: str) -> str:
    return f"{money(amount, minor_digits(currency))} {currency}"


_WORDS: dict[str, Callable[[Entry, _Now], str]] = {
    "issued": _issued,
    "written": _written,
    "accepted": _accepted,
    "declined": _declined,
    "ordered": _ordered,
    "received": _received,
    "shelf": _shelf,
    "cancelled": _cancelled,
    "clocked": _clocked,
    "closed": _closed,
    "paid": _paid,
    "billed": _billed,
    "comeback": _comeback,
    "noted": _noted,
}
