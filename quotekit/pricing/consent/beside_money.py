"""What a change alters besides money, where the rule of amounts asks for no consent: a later day, other parts.

Later: the working days to ready are more than was agreed, or no longer known. Exchanged: a part is fitted in another
condition (used in place of new) or under another name, or is no longer fitted though all the agreed work is done.
The shop is told, and decides whether the law of its place asks for the customer's yes. Agreed work that goes is told by
its own name (`changes`).
Units: working days. Source: TRADE.md 6 (a later date needs fresh consent, Wisconsin ATCP 132; no part is replaced by
another without consent, Massachusetts 940 CMR 5.05).

Worked example: agreed in 3 days with a new belt; now in 9 days with a used one: 6 days later, one part exchanged.
"""

from __future__ import annotations

from quotekit.model.agreed import Agreed
from quotekit.model.consent import Changes, PartChange


def is_later(before: Agreed, now: Agreed) -> bool:
    """Whether it is ready later than was agreed, as far as that is known."""
    if before.ready_days is None:
        return False
    return now.ready_days is None or now.ready_days > before.ready_days


def exchanged(changes: Changes) -> tuple[PartChange, ...]:
    """Parts that are others than those agreed to, or that are missing though no work went."""
    return tuple(change for change in changes.parts if _is_another(change, work_gone=bool(changes.gone)))


def _is_another(change: PartChange, *, work_gone: bool) -> bool:
    before, after = change.before, change.after
    if before is None:
        return False
    if after is None:
        return not work_gone
    return (before.new_or_used, before.name) != (after.new_or_used, after.name)
