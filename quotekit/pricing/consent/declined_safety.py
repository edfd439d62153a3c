"""Safety findings that a customer leaves as they are, in plain words, for the record.

A fault counts as a matter of safety by its severity on the job. Left are those whose keys are among the option's left
faults; with a no to all work, every one. Each is said as what was found and on which side, what it means for the
customer, and what may come of it.
Source: TRADE.md 6 and 8 (a declined safety item is documented in plain words; it does not make unsafe work safe).

Worked example: `Brake does not hold, left. The trailer may roll. If left: it may run into someone.`
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from quotekit.model.agreed import Agreed
from quotekit.model.job import FoundFinding

_UNLISTED = "OTHER-"


def safety_left(findings: Iterable[FoundFinding], left: Collection[str] | None = None) -> tuple[str, ...]:
    """Safety faults that stay, in words; `left` are the keys of the faults that do, None for all."""
    return tuple(
        safety_words(found)
        for found in findings
        if found.fault and found.severity == "safety" and (left is None or found.key in left)
    )


def safety_without(
    findings: Iterable[FoundFinding], agreed: Agreed | None, agreed_on: Iterable[FoundFinding] = ()
) -> tuple[str, ...]:
    """Safety faults that the agreed work does not put right, in words; all of them where nothing is agreed.

    `agreed_on` are the findings of the version that was agreed, where `findings` are those of another one.
    """
    known = tuple(findings)
    names = {found.key: _known_as(found) for found in (tuple(agreed_on) or known)}
    fixed = {names.get(key, key) for item in (agreed.items if agreed is not None else ()) for key in item.fixes}
    return safety_left(known, {found.key for found in known if _known_as(found) not in fixed})


def _known_as(found: FoundFinding) -> str:
    """A finding the shop book does not list goes by its text: its code counts rows, and may be another's later."""
    return f"{_UNLISTED}{safety_words(found)}" if found.code.startswith(_UNLISTED) else found.key


def safety_words(found: FoundFinding) -> str:
    """One finding in plain words."""
    name = f"{found.name}, {found.side}" if found.side else found.name
    said = [name]
    if found.customer_wording and found.customer_wording != found.name:
        said.append(found.customer_wording)
    if found.if_left:
        said.append(f"If left: {found.if_left}")
    return " ".join(_sentence(text) for text in said)


def _sentence(text: str) -> str:
    text = " ".join(text.split())
    return text if text.endswith((".", "!", "?")) else f"{text}."
