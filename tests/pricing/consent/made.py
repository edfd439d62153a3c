"""Records of what was agreed and entries of a job made by hand, with amounts that add up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.agreed import Agreed, AgreedItem, AgreedPart, AgreedTax, ConsentRule
from quotekit.model.entries import Accepted, Declined, Entry, Issued, KeptFile, Revision
from quotekit.model.record_json import to_json
from quotekit.model.story import Story, story_of

D = Decimal
DAY = date(2026, 11, 28)
NO_HASH = "0" * 64
KEPT = KeptFile(name="a file.xlsx", sha256=NO_HASH)


def an_item(key: str, name: str = "", **changed: Any) -> AgreedItem:
    """A remedy by its key."""
    code, _, side = key.partition("@")
    known = {"key": key, "code": code, "side": side or None, "kind": "remedy", "name": name or key.title()}
    return AgreedItem(**{**known, "wording": name or key.title(), **changed})


def a_part_agreed(code: str, quantity: str = "1", price: str = "10.00", **changed: Any) -> AgreedPart:
    """A part with its amount worked out."""
    known: dict[str, Any] = {
        "part": code,
        "name": code.title(),
        "unit": "each",
        "new_or_used": "new original",
        "quantity": D(quantity),
        "packs": 1,
        "pack_quantity": D(1),
        "pack_cost": D("5.00"),
        "unit_price": D(price),
        "amount": D(quantity) * D(price),
        "unit_cost": D("5.00"),
        "cost": D("5.00"),
        "supplier": "NORTH",
        "suppliers_number": "N-1",
    }
    return AgreedPart(**{**known, **changed})


def an_agreed(subtotal: str = "300.00", tax: str = "0.00", **changed: Any) -> Agreed:
    """What was agreed for a subtotal, all of it labour unless amounts are given."""
    amounts: Mapping[str, Decimal] = changed.pop("amounts", {"labour": D(subtotal), "parts": D("0.00")})
    known: dict[str, Any] = {
        "tier": "good",
        "option": "Put right",
        "items": (an_item("BELT"),),
        "work": (),
        "labour": (),
        "minimum_amount": D("0.00"),
        "minimum_hours": D(0),
        "parts": (),
        "sublet": (),
        "savings": (),
        "fees": (),
        "freight": (),
        "amounts": amounts,
        "subtotal": D(subtotal),
        "taxes": (AgreedTax(tax="State", base=D(subtotal), amount=D(tax)),),
        "tax": D(tax),
        "total": D(subtotal) + D(tax),
        "deposit": D("0.00"),
        "ready_days": 3,
        "cost_labour": D("100.00"),
        "cost_parts": D("5.00"),
        "cost_sublet": D("0.00"),
        "cost_freight": D("0.00"),
        "cost_total": D("105.00"),
        "margin": D(subtotal) - D("105.00"),
    }
    return Agreed(**{**known, **changed})


def a_rule(
    percent: str = "0", amount: str = "0", over: str = "the lesser", compares: str = "with tax", at_most: str = ""
) -> ConsentRule:
    """A consent rule; `at_most` empty for no ceiling."""
    return ConsentRule(
        over_percent=D(percent),
        over_amount=D(amount),
        over=over,  # type: ignore[arg-type]
        compares=compares,  # type: ignore[arg-type]
        at_most=D(at_most) if at_most else None,
    )


def an_accepted(agreed: Agreed | None = None, rule: ConsentRule | None = None, **changed: Any) -> Accepted:
    """A yes by phone."""
    known: dict[str, Any] = {
        "tier": "good",
        "extras": (),
        "by": "phone",
        "customer": "R. Alder",
        "phone": "555 0100",
        "note": "said yes to all",
        "said_at": "2026-11-28 14:05",
        "agreed": agreed or an_agreed(),
        "rule": rule or a_rule(),
    }
    return Accepted(**{**known, **changed})


def an_issued(revision: Revision | None = None) -> Issued:
    """A version of a quote with one option."""
    return Issued(
        book=KEPT,
        job_workbook=KEPT,
        photos=(),
        results=KEPT,
        quote_date=DAY,
        valid_until=DAY,
        currency="USD",
        customer="R. Alder",
        phone="555 0100",
        machine="Snow thrower",
        offered=(),
        declined_total=D("0.00"),
        rule=a_rule(),
        fingerprint="",
        engine="test",
        revision=revision,
    )


def a_revision(now: str, *, needs_consent: bool) -> Revision:
    """A changed job of version 1 for so much."""
    return Revision(
        of_version=1,
        tier="good",
        extras=(),
        before=D("300.00"),
        after=D(now),
        threshold=D("30.00"),
        needs_consent=needs_consent,
        agreed=an_agreed(now),
    )


Step = tuple[str, int | None, Issued | Accepted | Declined]


def issued(version: int, revision: Revision | None = None) -> Step:
    """A version that was handed over."""
    return "issued", version, an_issued(revision)


def accepted(version: int, total: str = "300.00", rule: ConsentRule | None = None) -> Step:
    """A yes to a version for so much."""
    return "accepted", version, an_accepted(an_agreed(total), rule)


def declined(version: int | None) -> Step:
    """A no to a version, or to the whole job."""
    return "declined", version, Declined(reason="price")


def story(*steps: Step) -> Story:
    """The story of a job from what happened, in order, read back from JSON as the ledger does."""
    return story_of("117", entries(steps))


def entries(steps: Sequence[Step]) -> list[Entry]:
    """What happened as entries."""
    return [
        Entry(
            seq=seq,
            at="2026-11-28T12:00:00.000000Z",
            day=DAY,
            who="anna",
            why="",
            kind=kind,  # type: ignore[arg-type]
            job="117",
            version=version,
            number=None,
            body=to_json(body),
            hash=NO_HASH,
            before=NO_HASH,
        )
        for seq, (kind, version, body) in enumerate(steps, start=1)
    ]
