"""Small stories of jobs, built from records: what was issued, agreed, done and billed, a line each.

>>> job = a_job("117", work="FIT 0.5; COVER 0.4 access", hours="FIT 0.6; COVER 0.4", parts="SEAL 2 at 4 for 7")
>>> told(job).closed[0].body.hours[0].hours
Decimal('0.6')
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from quotekit.model.agreed import (
    Agreed,
    AgreedItem,
    AgreedLabour,
    AgreedLine,
    AgreedPart,
    AgreedWork,
    ConsentRule,
    WorkKind,
)
from quotekit.model.entries import (
    Accepted,
    ActualHours,
    Billed,
    BillLine,
    Closed,
    Comeback,
    Declined,
    Entry,
    Issued,
    KeptFile,
    OfferedOption,
    Ordered,
    OrderLine,
    Received,
    ReceivedLine,
    SupplierOrder,
    UsedPart,
)
from quotekit.model.review import Span
from quotekit.model.story import Story, Told
from quotekit.pricing.review.done import Done, done_within

BOOK_BYTES = b"no workbook"
DAY = date(2026, 5, 4)
SEASON = Span(first=date(2026, 1, 1), last=date(2026, 12, 31))
COST_OF_AN_HOUR = Decimal(40)
_RATE = Decimal(100)


@dataclass
class AJob:
    """What a test says of a job; amounts follow."""

    number: str
    agreed: Agreed
    closed: Closed | None
    invoiced: Decimal | None
    issued_on: date = DAY
    accepted_on: date | None = DAY
    closed_on: date = DAY
    declined: tuple[tuple[date, str, int | None], ...] = ()
    offered: tuple[OfferedOption, ...] = ()
    comeback: Comeback | None = None
    currency: str = "USD"
    valid_days: int = 30
    later: tuple[Agreed, ...] = ()
    """Agreed to afterwards, one yes each."""
    bills: tuple[BillLine, ...] = ()
    start: int = 1
    """`seq` of its first entry."""
    extra: dict[str, Any] = field(default_factory=dict)


def a_job(
    number: str = "117",
    work: str = "FIT 0.5",
    hours: str | None = "FIT 0.5",
    parts: str = "",
    *,
    used: str = "",
    tier: str = "good",
    invoiced: str | None = "as agreed",
    not_done: str = "",
    split: bool = False,
    **values: Any,
) -> AJob:
    """A job; `work` lists `KEY hours [access] [rusty] [for ITEM]`, `parts` lists `CODE units at cost for price`.

    `hours` lists `KEY hours [by PERSON]`, None for a job that is not closed; `used` lists `CODE units [at cost]`.
    """
    fields = {name: values.pop(name) for name in list(values) if name in AJob.__dataclass_fields__}
    agreed = agreed_on(work, parts, tier=tier, **values)
    closed = None if hours is None else a_closing(hours, used, not_done=not_done, split=split)
    amount = None if invoiced is None else agreed.subtotal if invoiced == "as agreed" else Decimal(invoiced)
    return AJob(number=number, agreed=agreed, closed=closed, invoiced=None if closed is None else amount, **fields)


def agreed_on(work: str, parts: str = "", *, tier: str = "good", **values: Any) -> Agreed:
    """What was agreed: labour at 100.00 that costs 40.00 an hour, parts as listed."""
    lines = tuple(_work(text) for text in _listed(work))
    fitted = tuple(_part(text) for text in _listed(parts))
    cost = values.pop("cost_per_hour", COST_OF_AN_HOUR)
    allowance = Decimal(values.pop("allowance", "0"))
    labour = (_labour(lines, cost, allowance),)
    sold = sum((part.amount for part in fitted), Decimal(0))
    minimum = Decimal(values.get("minimum_amount", 0))
    subtotal = labour[0].amount + sold + minimum
    spent = sum((part.cost or Decimal(0) for part in fitted), Decimal(0))
    worked = (labour[0].access + labour[0].net + allowance) * (cost or 0)
    named: dict[str, Any] = {
        "tier": tier,
        "option": tier.title(),
        "items": tuple(_item(key) for key in dict.fromkeys(user for line in lines for user in line.users)),
        "work": lines,
        "labour": labour,
        "minimum_amount": Decimal(0),
        "minimum_hours": Decimal(0),
        "parts": fitted,
        "sublet": (),
        "savings": (),
        "fees": (),
        "freight": (),
        "amounts": {"labour": labour[0].amount + minimum, "parts": sold},
        "subtotal": subtotal,
        "taxes": (),
        "tax": Decimal(0),
        "total": subtotal,
        "deposit": Decimal(0),
        "ready_days": 3,
        "cost_labour": worked,
        "cost_parts": spent,
        "cost_sublet": Decimal(0),
        "cost_freight": Decimal(0),
        "cost_total": worked + spent,
        "margin": subtotal - worked - spent,
    }
    return Agreed(**named | values)


def a_closing(hours: str, used: str = "", *, not_done: str = "", split: bool = False) -> Closed:
    """Hours and parts as the technician gave them."""
    lines = []
    for text in _listed(hours):
        words, _, person = text.partition(" by ")
        key, _, number = words.rpartition(" ")
        measured = not split and bool(key)
        lines.append(ActualHours(work=key, person=person or "Sam", hours=Decimal(number), measured=measured))
    parts = []
    for text in _listed(used):
        words, _, cost = text.partition(" at ")
        code, units = words.split()
        parts.append(UsedPart(part=code, quantity=Decimal(units), unit_cost=Decimal(cost) if cost else None))
    return Closed(hours=tuple(lines), parts=tuple(parts), not_done=tuple(_listed(not_done)))


def an_option(tier: str = "good", subtotal: str = "100", margin: str | None = "40", name: str = "") -> OfferedOption:
    """An option as a quote shows it."""
    return OfferedOption(
        code=tier,
        name=name or tier.title(),
        subtotal=Decimal(subtotal),
        tax=Decimal(0),
        total=Decimal(subtotal),
        deposit=Decimal(0),
        ready_days=3,
        margin=None if margin is None else Decimal(margin),
    )


def told(job: AJob) -> Story:
    """Its story, an entry a step."""
    steps = _Steps(job)
    issued = [steps.told("issued", issued_with(job), job.issued_on, 1)]
    accepted = [steps.told("accepted", _yes(job.agreed), job.accepted_on, 1)] if job.accepted_on else []
    for version, agreed in enumerate(job.later, start=2):
        issued.append(steps.told("issued", issued_with(job), job.issued_on, version))
        accepted.append(steps.told("accepted", _yes(agreed), job.accepted_on or job.issued_on, version))
    declined = [
        steps.told("declined", Declined(reason=why), on, version)  # type: ignore[arg-type]
        for on, why, version in job.declined
    ]
    closed = [] if job.closed is None else [steps.told("closed", job.closed, job.closed_on, None)]
    billed = [] if job.invoiced is None else [steps.told("billed", _bill(job), job.closed_on, None)]
    comeback = [] if job.comeback is None else [steps.told("comeback", job.comeback, job.issued_on, None)]
    lists = {"accepted": accepted, "declined": declined, "closed": closed, "billed": billed, "comeback": comeback}
    return Story(job=job.number, issued=tuple(issued), **{name: tuple(each) for name, each in lists.items()})


def done(job: AJob) -> Done:
    """The closed job, in the season of the tests."""
    found = done_within(told(job), SEASON)
    assert found is not None
    return found


def an_order(
    lines: str, *, number: int = 1, freight: str = "0", fee: str = "0", supplier: str = "NORTH"
) -> Told[Ordered]:
    """Packs of one unit from one supplier: `PART cost for JOB units + JOB units; ...`."""
    made = tuple(_order_line(text, supplier) for text in _listed(lines))
    goods = sum((line.amount for line in made), Decimal(0))
    order = SupplierOrder(
        supplier=supplier,
        name=supplier.title(),
        goods=goods,
        freight=Decimal(freight),
        fee=Decimal(fee),
        total=goods + Decimal(freight) + Decimal(fee),
    )
    jobs = tuple(dict.fromkeys(job for line in made for job in line.jobs))
    body = Ordered(
        jobs=jobs,
        lines=made,
        suppliers=(order,),
        shelf=(),
        landed=order.total,
        usual=None,
        bound=order.total,
        compared="",
        currency="USD",
    )
    return Told(an_entry("ordered", "", 1, DAY, number=number), body)


def received(order: int, part: str, pack_cost: str, *, supplier: str = "NORTH") -> Told[Received]:
    """A delivery that was charged otherwise than ordered."""
    line = ReceivedLine(supplier=supplier, part=part, packs=1, pack_cost=Decimal(pack_cost))
    return Told(an_entry("received", "", 2, DAY), Received(order=order, lines=(line,)))


def an_entry(
    kind: Any, job: str, seq: int, day: date, version: int | None = None, *, number: int | None = None
) -> Entry:
    """An entry whose hash nobody looks at."""
    return Entry(
        seq=seq,
        at=f"{day.isoformat()}T12:00:00.000000Z",
        day=day,
        who="Test",
        why="",
        kind=kind,
        job=job,
        version=version,
        number=number,
        body={},
        hash="",
        before="",
    )


def issued_with(job: AJob) -> Issued:
    """What was handed over."""
    file = KeptFile(name="book.xlsx", sha256=hashlib.sha256(BOOK_BYTES).hexdigest())
    option = an_option(job.agreed.tier, str(job.agreed.subtotal), str(job.agreed.margin or 0))
    named: dict[str, Any] = {
        "book": file,
        "job_workbook": file,
        "photos": (),
        "results": file,
        "quote_date": job.issued_on,
        "valid_until": job.issued_on + timedelta(days=job.valid_days),
        "currency": job.currency,
        "customer": f"Customer of {job.number}",
        "phone": "",
        "machine": "Thrower",
        "offered": job.offered or (option,),
        "declined_total": Decimal(0),
        "rule": ConsentRule(),
        "fingerprint": "",
        "engine": "0",
    }
    return Issued(**named | job.extra)


def in_words(problems: Iterable[Any]) -> list[str]:
    """Codes, for a table."""
    return [problem.code for problem in problems]


class _Steps:
    """Numbers the entries of a job."""

    def __init__(self, job: AJob) -> None:
        self._job, self._next = job.number, job.start

    def told(self, kind: Any, body: Any, day: date, version: int | None) -> Told[Any]:
        entry = an_entry(kind, self._job, self._next, day, version)
        self._next += 1
        return Told(entry, body)


def _yes(agreed: Agreed) -> Accepted:
    return Accepted(
        tier=agreed.tier,
        extras=(),
        by="phone",
        customer="A Customer",
        phone="555-0100",
        note="",
        said_at="2026-05-04 10:00",
        agreed=agreed,
        rule=ConsentRule(),
    )


def _bill(job: AJob) -> Billed:
    amount = job.invoiced or Decimal(0)
    return Billed(
        lines=job.bills,
        subtotal=amount,
        taxes=(),
        tax=Decimal(0),
        total=amount,
        paid=Decimal(0),
        due=amount,
        authorised=amount,
        currency=job.currency,
    )


def _listed(text: str) -> Iterator[str]:
    return (entry.strip() for entry in text.split(";") if entry.strip())


def _work(text: str) -> AgreedWork:
    words, _, users = text.partition(" for ")
    key, hours, *more = words.split()
    code, _, side = key.partition("@")
    kind: WorkKind = "access" if "access" in more else "one-off" if "one-off" in more else "operation"
    return AgreedWork(
        key=key,
        code=code,
        side=side or None,
        kind=kind,
        name=code.title(),
        hours=Decimal(hours),
        labour="MAIN",
        slowed_by_rust="rusty" in more,
        users=tuple(users.split()) or (f"DO-{code}",),
    )


def _part(text: str) -> AgreedPart:
    code, units, _, cost, _, price = text.split()
    quantity, each = Decimal(units), None if cost == "?" else Decimal(cost)
    return AgreedPart(
        part=code,
        name=code.title(),
        unit="each",
        new_or_used="",
        quantity=quantity,
        packs=int(quantity),
        pack_quantity=Decimal(1),
        pack_cost=each,
        unit_price=Decimal(price),
        amount=quantity * Decimal(price),
        unit_cost=each,
        cost=None if each is None else quantity * each,
        supplier="NORTH",
        suppliers_number="",
        ordered=True,
    )


def _labour(lines: tuple[AgreedWork, ...], cost: Decimal | None, allowance: Decimal) -> AgreedLabour:
    access = sum((line.hours for line in lines if line.kind == "access"), Decimal(0))
    net = sum((line.hours for line in lines if line.kind != "access"), Decimal(0))
    billed = access + net + allowance
    return AgreedLabour(
        rate="MAIN",
        rate_per_hour=_RATE,
        cost_per_hour=cost,
        access=access,
        net=net,
        allowance=allowance,
        off=Decimal(0),
        billed=billed,
        amount=billed * _RATE,
    )


def _item(key: str) -> AgreedItem:
    return AgreedItem(key=key, code=key, side=None, kind="repair", name=key.title(), wording="")


def _order_line(text: str, supplier: str) -> OrderLine:
    words, _, shared = text.partition(" for ")
    part, cost = words.split()
    jobs = {job: Decimal(units) for job, units in (entry.split() for entry in shared.split(" + "))}
    units = sum(jobs.values(), Decimal(0))
    return OrderLine(
        supplier=supplier,
        part=part,
        name=part.title(),
        suppliers_number="",
        packs=int(units),
        pack_quantity=Decimal(1),
        pack_cost=Decimal(cost),
        amount=units * Decimal(cost),
        jobs=jobs,
        needed=units,
        left_over=Decimal(0),
    )


def a_sublet(name: str, cost: str | None) -> AgreedLine:
    """Outside work."""
    return AgreedLine(key=name, name=name, amount=Decimal(100), cost=None if cost is None else Decimal(cost))


def numbered(jobs: Iterable[AJob]) -> list[Story]:
    """The stories of jobs in one ledger: entries numbered one after the other."""
    return [told(replace(job, start=1 + 100 * place)) for place, job in enumerate(jobs)]
