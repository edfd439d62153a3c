"""A job in which every text a customer reads is what a test wants it to be."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from itertools import cycle
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from tests import build
from tests.many_extras import job_with_extras

PROSE = frozenset(
    "shop_name address phone email licence tax_number name machine_class_name step operation customer_wording part "
    "unit new_or_used finding measure limit_source if_left remedy leaves extra bundle fee required_wording tax tier "
    "caution caution_source job_number customer make model serial usage customers_words exemption_certificate "
    "discount_reason measured_text note line".split()
)
"""Fields that hold words of the owner, the technician or the customer, and no code that others refer to."""
CODED = frozenset({("Part", "part"), ("PartUsed", "part"), ("FitsOnlyIf", "finding"), ("FitsOnlyIf", "remedy")})
NUMBERED = frozenset({"tier", "tax"})
"""Names that tell things apart: the second has a number after it."""

Say = Callable[[str, str], str]
"""The new text of a field, from its name and its old text."""


def a_job() -> tuple[ShopBook, Job]:
    """Two options, three extras, a fee with required words, a caution, a one-off line: each kind of text is shown."""
    book, job = job_with_extras(3)
    fee = build.a_fee(
        "WASTE", 3, always=True, unit="load", customer_wording="Waste", required_wording="As the law says"
    )
    caution = build_caution()
    operations = {
        code: replace(row, cautions=("STOP",), customer_wording="Fit it" if code == "FIT-BELT" else "")
        for code, row in book.operations.items()
    }
    findings = {code: replace(row, customer_wording=row.finding) for code, row in book.findings.items()}
    remedies = {
        code: replace(row, customer_wording="New one" if code == "NEW-BELT" else "", leaves="the shaft")
        for code, row in book.remedies.items()
    }
    settings = replace(
        book.settings, address="Lane", phone="555", email="a@b.example", licence="R-1", tax_number="7", show_hours=True
    )
    seen = tuple(
        replace(
            one,
            note="seen",
            severity_typed=True,
            customer_wording="worn" if one.code == "WORN" else "",
            if_left="gets worse",
            limit_source="page 3",
            measured_text="7 mm",
            measure="play",
        )
        for one in job.findings
    )
    book = replace(
        book,
        settings=settings,
        operations=operations,
        findings=findings,
        remedies=remedies,
        fees={**book.fees, "WASTE": fee},
        parts={code: replace(row, new_or_used="used", unit="pc") for code, row in book.parts.items()},
        cautions={"STOP": caution},
    )
    job = replace(
        job,
        findings=seen,
        phone="555",
        email="c@d.example",
        make="Made",
        model="M",
        serial="S",
        exemption_certificate="E-1",
        usage="9 h",
        machine_class_name="Thrower",
        discount_percent=build.settings(interest_a_year="0.05").interest_a_year,
        discount_reason="regular",
        one_off=(build.a_one_off(1, "charge", unit_price=5),),
    )
    return book, job


def build_caution() -> Any:
    """A caution the customer reads."""
    from quotekit.model.shop_book import Caution

    return Caution(code="STOP", caution="Stop the engine", caution_source="a sheet", for_customer=True)


def saying(say: Say) -> tuple[ShopBook, Job]:
    """The job with its texts changed."""
    book, job = a_job()
    return _said(book, say), _said(job, say)


def everywhere(text: str) -> tuple[ShopBook, Job]:
    """The job with one text in every field; names that tell things apart are numbered."""
    counts: dict[str, int] = {}

    def say(name: str, old: str) -> str:
        if name in NUMBERED:
            counts[name] = counts.get(name, 0) + 1
        return text if counts.get(name, 1) == 1 else f"{text} {counts[name]}"

    return saying(say)


def in_turn(texts: Sequence[str], start: int) -> tuple[ShopBook, Job]:
    """The job with one text after the other in its fields, from a place in the list on."""
    turn = cycle([*texts[start:], *texts[:start]])

    def say(name: str, old: str) -> str:
        return next(turn) if name not in NUMBERED else f"{next(turn)} {old}"

    return saying(say)


def in_field(name: str, text: str) -> tuple[ShopBook, Job]:
    """The job with the text in the fields of one name."""
    first = [True]

    def say(field: str, old: str) -> str:
        mine = field == name and (first[0] or name not in NUMBERED)
        first[0] &= not mine
        return text if mine else old

    return saying(say)


def _said(value: Any, say: Say) -> Any:
    """A record with its texts changed, and those of the records in it."""
    if isinstance(value, tuple):
        return tuple(_said(one, say) for one in value)
    if isinstance(value, Mapping):
        return {key: _said(one, say) for key, one in value.items()}
    if not is_dataclass(value) or isinstance(value, type):
        return value
    kind, changed = type(value).__name__, {}
    for field in fields(value):
        old = getattr(value, field.name)
        if field.name == "sources" or field.name == "source":
            continue
        if isinstance(old, str) and old and field.name in PROSE and ((kind, field.name) not in CODED or kind == "Part"):
            changed[field.name] = say(field.name, old)
        elif not isinstance(old, str) and (is_dataclass(old) or isinstance(old, (tuple, Mapping))):
            changed[field.name] = _said(old, say)
    return replace(value, **changed)
