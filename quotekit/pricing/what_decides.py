"""Which missing value decides between repair and replace, and what each value of it would mean.

A blank value is never zero. Its word is sought over all values it can have: used value working lies between the value
as it stands and the new price, value as it stands below the used value working, a new price above it, an upkeep is zero
or more, the years are tenths up to the years to compare. More years change nothing where the middle is taken of what a
new one can lose: yours and a new one lose the same. Where the job says what a new one loses, they count without an end.
One value missing: where the word is the same for all, it stands; else each word is given with the first and last value
that brings it, to the minor unit, and the first value at which both cost the same, exact, rounded once.
Several missing: where nothing bounds one that counts, no word is possible; else the corners of what they can be tell.
They are named by effect: first what nothing bounds, in the order of the sheet; then by how far each can move the
difference; those that can move nothing are left out.
Source: break-even analysis, any managerial accounting text; the order is shop policy.

Worked example: used 500.00, as it stands 100.00, no upkeep, repair 450.00, horizon 5; new price blank. They differ by
(new price + 500.00) / 2 - 100.00 - 450.00: the same at 600.00; within 10 % of it from 500.00 to 750.01 (half a cent of
what a new one is worth then is rounded up), so a close call there, and above it repair.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import Any, NamedTuple

from quotekit.model.repair_or_replace import (
    AS_IT_STANDS,
    COULD_LAST,
    NEW_PRICE,
    UPKEEP_KEPT,
    UPKEEP_NEW,
    USED_WORKING,
    Stretch,
    Word,
    WouldDecide,
)
from quotekit.pricing.worth import Worth, sums_of
from quotekit.pricing.worth_even import digits_of, even_value, kept_share

_FIELDS = {
    NEW_PRICE: "new_price",
    USED_WORKING: "used_working",
    AS_IT_STANDS: "as_it_stands",
    UPKEEP_KEPT: "upkeep_kept",
    UPKEEP_NEW: "upkeep_new",
    COULD_LAST: "could_last",
}
_RANK: dict[Word, int] = {"replace": 0, "close call": 1, "repair": 2}
_MOST = 10**12
"""Units of a value beyond which nothing is sought."""
_NEAR, _NEAR_AT_MOST = 3, 400
_ZERO = Decimal(0)
_LEAST_YEARS, _FOR_GOOD = Decimal("0.1"), Decimal(10**12)


def what_decides(repair: Decimal, worth: Worth) -> tuple[Word | None, WouldDecide | None]:
    """The word where the missing values can't change it, else what it waits for."""
    missing = worth.missing
    if len(missing) == 1:
        return _of_one(repair, worth, missing[0])
    word = _word_of_corners(repair, worth)
    return (word, None) if word else (None, WouldDecide(names=_by_effect(worth)))


def with_value(worth: Worth, name: str, value: Decimal) -> Worth:
    """The same values with one put in."""
    changed: dict[str, Any] = {_FIELDS[name]: value}
    return replace(worth, **changed)


def _of_one(repair: Decimal, worth: Worth, name: str) -> tuple[Word | None, WouldDecide | None]:
    def word_at(units: int) -> Word:
        sums = sums_of(repair, with_value(worth, name, _of_units(units, name, worth)))
        assert sums is not None
        return sums.word

    near = _near(worth, name)
    runs = _joined(run for low, high in _pieces(worth, name) for run in _runs(word_at, low, high, near))
    if len(runs) == 1:
        return runs[0].word, None
    words = tuple(
        Stretch(
            word=run.word,
            from_=_of_units(run.first, name, worth),
            to=None
            if run.last is None or (name == COULD_LAST and run is runs[-1])
            else _of_units(run.last, name, worth),
        )
        for run in runs
    )
    return None, WouldDecide(names=(name,), even=even_value(repair, worth, name, _bounds(worth, name)), words=words)


class _Run(NamedTuple):
    """A word with the first and the last value that bring it, in units; the last None where there is no end."""

    word: Word
    first: int
    last: int | None


def _pieces(worth: Worth, name: str) -> Iterator[tuple[int, int | None]]:
    """What a value can be, in pieces on each of which words only get better, or only worse."""
    low, high = _bounds(worth, name)
    if name == COULD_LAST and worth.new_loses is not None:
        counted = int(worth.compared * 10 ** digits_of(name, worth))
        if counted >= low:
            yield low, counted
        low, high = max(low, counted + 1), None
    yield low, high


def _near(worth: Worth, name: str) -> int:
    """Units about a turn within which rounding may bring a word back.

    A tenth of a new price is close, so the nearer to a tenth a new one loses, the more prices tie but for the rounding.
    """
    if name != NEW_PRICE or worth.new_loses is None:
        return _NEAR
    apart = abs(10 * worth.new_loses - 1)
    return _NEAR_AT_MOST if apart * _NEAR_AT_MOST < 20 else _NEAR + int(Fraction(20) / Fraction(apart))


def _joined(runs: Iterable[_Run]) -> list[_Run]:
    """Runs of one word that follow each other are one."""
    found: list[_Run] = []
    for run in runs:
        if found and found[-1].word == run.word:
            run = run._replace(first=found.pop().first)
        found.append(run)
    return found


def _runs(word_at: Callable[[int], Word], low: int, high: int | None, near: int) -> Iterator[_Run]:
    """Each word with the values that bring it, from low to high: words only get better, or only worse, on the way."""
    last = _far_enough(word_at, low) if high is None else high
    start = low
    while start <= last:
        word = word_at(start)
        turn = _turn(word_at, start, last)
        first_other = next((at for at in range(max(start, turn - near), turn + 1) if word_at(at) != word), turn)
        yield _Run(word=word, first=start, last=high if turn > last else first_other - 1)
        back = [at for at in range(turn, min(last, turn + near) + 1) if word_at(at) == word]
        start = max([turn, *(at + 1 for at in back)])


def _turn(word_at: Callable[[int], Word], start: int, last: int) -> int:
    """The first value with another word than `start` has; one past the last where there is none."""
    word = word_at(start)
    if word_at(last) == word:
        return last + 1
    same, other = start, last
    while other - same > 1:
        middle = (same + other) // 2
        if word_at(middle) == word:
            same = middle
        else:
            other = middle
    return other


def _far_enough(word_at: Callable[[int], Word], low: int) -> int:
    """A value beyond the last turn."""
    step = 1
    rank = _RANK[word_at(low + _MOST)]
    while step < _MOST and _RANK[word_at(low + step)] != rank:
        step *= 2
    return low + step


def _bounds(worth: Worth, name: str) -> tuple[int, int | None]:
    """The least and the most a value can be, in its units."""
    new, used, now = worth.new_price, worth.used_working, worth.as_it_stands
    least, most = {
        NEW_PRICE: (used if used is not None else now, None),
        USED_WORKING: (now, new),
        AS_IT_STANDS: (_ZERO, used if used is not None else new),
        UPKEEP_KEPT: (_ZERO, None),
        UPKEEP_NEW: (_ZERO, None),
        COULD_LAST: (_LEAST_YEARS, worth.compared),
    }[name]
    scale = 10 ** digits_of(name, worth)
    low = int((least or _ZERO) * scale)
    return low, None if most is None else max(low, (Fraction(most) * scale).__ceil__())


def _of_units(units: int, name: str, worth: Worth) -> Decimal:
    return Decimal(units).scaleb(-digits_of(name, worth))


def _word_of_corners(repair: Decimal, worth: Worth) -> Word | None:
    """The word that every corner of what is possible gives; None where they differ, or nothing bounds a value."""
    missing = worth.missing
    if {NEW_PRICE, UPKEEP_KEPT, UPKEEP_NEW} & set(missing):
        return None
    words = set()
    for values in product(*(_ends(worth, name) for name in missing)):
        corner = worth
        for name, value in zip(missing, values, strict=True):
            corner = with_value(corner, name, value)
        used, now = corner.used_working, corner.as_it_stands
        assert used is not None and now is not None
        sums = sums_of(repair, corner) if now <= used else None
        words |= {sums.word} if sums is not None else set()
    return words.pop() if len(words) == 1 else None


def _ends(worth: Worth, name: str) -> Sequence[Decimal]:
    """Values between which a missing one lies; with years that count on, where they stop counting in full too."""
    if name == COULD_LAST and worth.new_loses is not None:
        return [_LEAST_YEARS, max(_LEAST_YEARS, worth.compared), _FOR_GOOD]
    low, high = _bounds(worth, name)
    assert high is not None
    return [_of_units(units, name, worth) for units in dict.fromkeys((low, high))]


def _by_effect(worth: Worth) -> tuple[str, ...]:
    """Missing values that count, the one with the most effect first."""
    effects = {name: _effect(worth, name) for name in worth.missing}
    unbounded = [name for name, effect in effects.items() if effect is None and name != COULD_LAST]
    bounded = [(name, effect) for name, effect in effects.items() if effect is not None and effect > 0]
    bounded.sort(key=lambda pair: -pair[1])
    last = [COULD_LAST] if effects.get(COULD_LAST, _ZERO) is None else []
    return (*unbounded, *(name for name, _ in bounded), *last)


def _effect(worth: Worth, name: str) -> Fraction | None:
    """How far a value alone can move the difference; None where nothing bounds it."""
    if name == COULD_LAST:
        return _effect_of_years(worth)
    low, high = _bounds(worth, name)
    if high is None:
        return None
    width = Fraction(high - low, 10**worth.digits)
    if name != USED_WORKING:
        return width
    if worth.new_loses is None:
        return width / 2
    return width * (1 if worth.horizon is None else kept_share(worth))


def _effect_of_years(worth: Worth) -> Fraction | None:
    """By upkeep over the years counted; where a new one's loss is given, by what is left of yours too."""
    if worth.upkeep_kept is None or worth.upkeep_new is None:
        return None
    by_upkeep = abs(Fraction(worth.upkeep_kept) - Fraction(worth.upkeep_new)) * Fraction(worth.compared)
    if worth.new_loses is None:
        return by_upkeep
    used = worth.new_price if worth.used_working is None else worth.used_working
    return None if used is None else by_upkeep + Fraction(used)
