"""What comes before all other work and what comes after it.

Work that is always done on a machine of the class comes first or last: a test, a check, a run or a clean-up last, all
else first, so that making safe is never late. Where no word says it, the first of several is first and the rest last.
Work without access that reads as a test comes last too, though it is not always done. What is behind something is
neither. What the first work requires is first with it, or that is not first; what other work requires is not last.
Source: shop policy.

Worked example: Always `SAFE; TEST`, SAFE requires DRAIN: DRAIN, then SAFE come first, TEST last. Where RUN-IN requires
TEST and is not last itself, TEST is done before it, among the rest.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from quotekit.model.agreed import AgreedWork
from quotekit.model.work_order import StepKind
from quotekit.pricing.basis import Basis
from quotekit.pricing.work_order.order import ToDo, order_of_work
from quotekit.pricing.work_order.required import Before, behind

_WORDS = re.compile(r"[^\W\d_]+")
_AT_THE_END = frozenset("test tests tested testing check checks run final try trial clean cleaning wash".split())
_AT_THE_START = frozenset("safe safety isolate isolated lock lockout".split())


def ends_of(basis: Basis, works: Mapping[str, AgreedWork], before: Mapping[str, Before]) -> dict[str, StepKind]:
    """Operations that come before all else or after it, by key."""
    plain = {
        key for key, work in works.items() if work.kind == "operation" and not basis.op(work.code, work.side).steps
    }
    found = _by_words(basis, works, plain)
    for key in [key for key, at in found.items() if at == "first"]:
        del found[key]
        together = {key, *behind(key, before)}
        if together <= plain:
            found |= dict.fromkeys(sorted(together, key=list(works).index), "first")
    while _without_required(found, before):
        pass
    return found


def in_order(ends: Mapping[str, StepKind], end: StepKind, before: Mapping[str, Before]) -> list[str]:
    """Those of one end, each after what it requires."""
    keys = [key for key, at in ends.items() if at == end]
    todo = [ToDo(key, frozenset(), before[key], (place,)) for place, key in enumerate(keys)]
    return [key for _, key in order_of_work(todo, [])]


def _by_words(basis: Basis, works: Mapping[str, AgreedWork], plain: set[str]) -> dict[str, StepKind]:
    found: dict[str, StepKind] = {}
    for place, key in enumerate(basis.op(code, None).key for code in basis.always):
        if key in plain:
            words = _words(works[key])
            last = not words & _AT_THE_START and (bool(words & _AT_THE_END) or place > 0)
            found[key] = "last" if last else "first"
    for key in works:
        if key in plain and key not in found and "test" in _words(works[key]):
            found[key] = "last"
    return found


def _without_required(found: dict[str, StepKind], before: Mapping[str, Before]) -> bool:
    """Take from the last what other work requires; True where something changed."""
    for key, needed in before.items():
        for required in needed if found.get(key) != "last" else ():
            if found.get(required) == "last":
                del found[required]
                return True
    return False


def _words(work: AgreedWork) -> set[str]:
    return set(_WORDS.findall(f"{work.code} {work.name}".casefold()))
