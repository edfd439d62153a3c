"""Entries for tests, small and whole."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quotekit.ledger.ledger import Ledger
from quotekit.model.agreed import ConsentRule
from quotekit.model.entries import Draft, Entry, Issued, KeptFile, Noted, OfferedOption, Paid, Written

DAY = date(2026, 11, 28)


def noted(text: str = "the customer calls on Friday", *, job: str = "117", day: date = DAY) -> Draft:
    """The smallest entry."""
    return Draft(kind="noted", job=job, body=Noted(text=text), day=day, who="Ida", why="so that it is known")


def paid(amount: str = "60.00", *, job: str = "117", day: date = DAY) -> Draft:
    """Money taken."""
    body = Paid(amount=Decimal(amount), purpose="deposit", how="cash")
    return Draft(kind="paid", job=job, body=body, day=day, who="Ida")


def issued(file: KeptFile, *, job: str = "117", version: int = 1, number: int = 1, day: date = DAY) -> Draft:
    """A version of a quote; every file it names is the same."""
    body = Issued(
        book=file,
        job_workbook=file,
        photos=(),
        results=file,
        quote_date=day,
        valid_until=date(2026, 12, 28),
        currency="USD",
        customer="R. Alder",
        phone="555 0100",
        machine="Snow thrower",
        offered=(option(),),
        declined_total=Decimal("45.00"),
        rule=ConsentRule(over_percent=Decimal("0.1")),
        fingerprint="ab" * 32,
        engine="1.0",
        replaces=version - 1 or None,
    )
    return Draft(kind="issued", job=job, body=body, day=day, who="Ida", version=version, number=number)


def option() -> OfferedOption:
    """An option as the customer saw it."""
    return OfferedOption(
        code="good",
        name="Put right",
        subtotal=Decimal("100.00"),
        tax=Decimal("7.00"),
        total=Decimal("107.00"),
        deposit=Decimal("20.00"),
        ready_days=4,
        margin=None,
        extras=("BELT",),
    )


def written(of: Entry) -> Draft:
    """That the documents of an entry stand in their folder."""
    body = Written(of=of.seq, folder="/quotes", documents=())
    return Draft(kind="written", job=of.job, body=body, day=of.day, who="Ida", version=of.version)


def add(ledger: Ledger, *drafts: Draft) -> tuple[Entry, ...]:
    """The drafts as entries, in one transaction."""
    with ledger.writing() as writing:
        return tuple(writing.append(draft) for draft in drafts)


def add_issued(ledger: Ledger, data: bytes = b"a workbook", *, job: str = "117") -> Entry:
    """A version of a quote with its file, numbered as the ledger says."""
    with ledger.alone(), ledger.writing() as writing:
        kept = writing.keep_file("job.xlsx", data)
        version, number = ledger.next_version(job), ledger.next_number("issued")
        return writing.append(issued(kept, job=job, version=version, number=number))


def season(ledger: Ledger) -> None:
    """Seven entries of two jobs, with two files."""
    first = add_issued(ledger, b"the first workbook")
    add(ledger, written(first), noted("rings back"))
    add_issued(ledger, b"another workbook", job="118")
    add(ledger, paid("60.00"), noted("the belt came"), paid("-10.00", job="118"))
