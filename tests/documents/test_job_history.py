"""The history of a job: a line an entry, with what an owner looks for when a customer calls."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.documents.job_history import lay_out_history
from quotekit.model.entries import (
    ActualHours,
    Cancelled,
    CancelledLine,
    Clocked,
    Closed,
    Comeback,
    Declined,
    Document,
    Entry,
    EntryKind,
    Noted,
    Ordered,
    OrderLine,
    Paid,
    Proposed,
    Received,
    ReceivedLine,
    ShelfMove,
    ShelfTake,
    Written,
)
from quotekit.model.record_json import to_json
from tests.ledger.drafts import option
from tests.pricing.consent.made import DAY, NO_HASH, a_revision, an_accepted, an_agreed, an_issued

D = Decimal


def told(kind: EntryKind, body: object, *, version: int | None = 1, number: int | None = None, why: str = "") -> Entry:
    """An entry of job 117 that Ida made."""
    return Entry(
        seq=1,
        at="",
        day=DAY,
        who="Ida",
        why=why,
        kind=kind,
        job="117",
        version=version,
        number=number,
        body=to_json(body),
        hash=NO_HASH,
        before=NO_HASH,
    )


ISSUED = told("issued", an_issued())


def said(*entries: Entry) -> list[str]:
    """The lines after that of the issue, without the day."""
    lines = list(lay_out_history("117", (ISSUED, *entries)))
    assert all(line.startswith("2026-11-28  ") and line.endswith(" [Ida]") for line in lines)
    return [line.removeprefix("2026-11-28  ").removesuffix(" [Ida]") for line in lines[1:]]


def bought(part: str, **jobs: str) -> OrderLine:
    """A line of an order for jobs: `j117="2"`."""
    units = {name.removeprefix("j"): D(quantity) for name, quantity in jobs.items()}
    return OrderLine(
        supplier="NORTH",
        part=part,
        name=part.title(),
        suppliers_number="",
        packs=1,
        pack_quantity=D(4),
        pack_cost=D("8.00"),
        amount=D("8.00"),
        jobs=units,
        needed=sum(units.values(), D(0)),
        left_over=D(0),
    )


def an_order(*lines: OrderLine, shelf: tuple[ShelfTake, ...] = ()) -> Entry:
    """Order 1 of two jobs."""
    body = Ordered(
        jobs=("117", "118"),
        lines=lines,
        suppliers=(),
        shelf=shelf,
        landed=D("8.00"),
        usual=None,
        bound=D("8.00"),
        compared="",
        currency="USD",
    )
    return told("ordered", body, number=1)


ORDER = an_order(
    bought("BELT", j117="1.50", j118="2"),
    bought("SEAL", j118="1"),
    shelf=(ShelfTake(part="NUT", name="Nut", job="117", quantity=D("6")),),
)


@pytest.mark.parametrize(
    ("entry", "line"),
    [
        (told("declined", Declined(reason="price", customer="R. Alder")), "No to version 1, price. R. Alder."),
        (
            told("declined", Declined(reason="other", customer="R. Alder", note="sold\nit"), version=None),
            "No to all the work, other. R. Alder: “sold it”.",
        ),
        (told("paid", Paid(amount=D("60"), purpose="deposit", how="card")), "60.00 USD taken, deposit, card."),
        (told("paid", Paid(amount=D("60"), purpose="bill")), "60.00 USD taken, for the bill."),
        (told("paid", Paid(amount=D("-5.5"), purpose="refund")), "5.50 USD given back."),
        (told("clocked", Clocked(work="BELT-FIT@left", person="Ann", hours=D("0.5"))), "Ann: 0.5 h on BELT-FIT@left."),
        (
            told("clocked", Clocked(work="", person="Ann", hours=D(0), started="2026-11-28T08:05:00")),
            "Ann began at 08:05.",
        ),
        (
            told(
                "closed",
                Closed(
                    hours=(
                        ActualHours(work="A", person="Ann", hours=D("1.25")),
                        ActualHours(work="B", person="Ben", hours=D("0.75")),
                    ),
                    parts=(),
                    notes="worn",
                    not_done=("SEAL",),
                ),
            ),
            "Work done, 2 h, not done: SEAL: “worn”.",
        ),
        (told("closed", Closed(hours=(), parts=())), "Work done, hours not written down."),
        (
            told("comeback", Comeback(first_job="90", cause="part", charged=D("0.5"))),
            "Comes back to job 90, part, 50 % charged.",
        ),
        (
            told("comeback", Comeback(first_job="90", cause="other", charged=D(0), note="loose")),
            "Comes back to job 90, other, nothing charged: “loose”.",
        ),
        (told("shelf", ShelfMove(part="SEAL", quantity=D("2.0"), note="not used")), "2 SEAL to the shelf: “not used”."),
        (told("shelf", ShelfMove(part="SEAL", quantity=D("-1"))), "1 SEAL from the shelf."),
        (told("noted", Noted(text="rings on Friday")), "Noted: rings on Friday."),
        (told("proposed", Proposed(taken={})), "Proposed."),
        (
            told(
                "written", Written(of=1, folder="/shop", documents=(Document(name="117-1 quote.xlsx", sha256=NO_HASH),))
            ),
            "Written: 117-1 quote.xlsx.",
        ),
    ],
)
def test_what_an_entry_says(entry: Entry, line: str) -> None:
    assert said(entry) == [line]


def test_the_first_line_holds_the_options_and_the_last_day() -> None:
    body = replace(an_issued(), offered=(option(), replace(option(), name="Made to last", total=D("1200"))))
    (line,) = lay_out_history("117", [told("issued", body)])
    assert line == (
        "2026-11-28  Version 1 issued: Put right 107.00 USD, Made to last 1200.00 USD; "
        f"it holds until {body.valid_until.isoformat()}. [Ida]"
    )


@pytest.mark.parametrize(("needs", "words"), [(True, "to be asked"), (False, "no yes needed")])
def test_a_change_says_whether_to_ask(needs: bool, words: str) -> None:
    body = an_issued(a_revision("350.00", needs_consent=needs))
    assert said(told("issued", body, version=2)) == [f"Version 2, a change: 350.00 USD in all, {words}."]


@pytest.mark.parametrize(
    ("by", "words"),
    [
        ("returned quote", "in the quote sent back"),
        ("phone", "by phone"),
        ("in-person", "in person"),
        ("message", "by message"),
    ],
)
def test_a_yes_says_who_how_and_what(by: str, words: str) -> None:
    """What a shop must show when a customer says there was no yes."""
    agreed = an_agreed("300.00")
    body = an_accepted(agreed, by=by, customer="R. Alder", phone="555 0100", note="go ahead", extras=("BELT",))
    assert said(told("accepted", body)) == [
        f"Yes to version 1: Put right, BELT, 300.00 USD. R. Alder {words}, 555 0100: “go ahead”."
    ]


def test_of_an_order_for_several_jobs_only_its_own_parts() -> None:
    came = Received(
        order=1,
        lines=(
            ReceivedLine(supplier="NORTH", part="BELT", packs=1),
            ReceivedLine(supplier="NORTH", part="SEAL", packs=1),
        ),
    )
    off = Cancelled(order=1, lines=(CancelledLine(supplier="NORTH", part="BELT", packs=1, line=1),))
    assert said(ORDER, told("received", came), told("cancelled", off)) == [
        "Parts order 1: 1.5 BELT from NORTH, 6 NUT from the shelf.",
        "Of parts order 1 came in: 1 x BELT.",
        "Of parts order 1 called off: 1 x BELT.",
    ]


def test_a_delivery_without_its_parts_is_no_line() -> None:
    came = Received(order=1, lines=(ReceivedLine(supplier="NORTH", part="SEAL", packs=1),))
    off = Cancelled(order=1, lines=(CancelledLine(supplier="NORTH", part="SEAL", packs=1, line=2),))
    assert len(said(ORDER, told("received", came), told("cancelled", off))) == 1


def test_what_went_back_did_not_come_in() -> None:
    """Packs below zero were sent back to the supplier."""
    back = ReceivedLine(supplier="NORTH", part="BELT", packs=-2)
    came = ReceivedLine(supplier="NORTH", part="BELT", packs=1)
    assert said(ORDER, told("received", Received(order=1, lines=(back,))))[1:] == [
        "Of parts order 1 went back: 2 x BELT."
    ]
    assert said(ORDER, told("received", Received(order=1, lines=(came, back))))[1:] == [
        "Of parts order 1 came in: 1 x BELT; went back: 2 x BELT."
    ]


def test_why_stands_beside_who() -> None:
    entry = told("paid", Paid(amount=D("60"), purpose="deposit"), why="cash box")
    assert list(lay_out_history("117", (ISSUED, entry)))[1] == "2026-11-28  60.00 USD taken, deposit. [Ida; cash box]"
