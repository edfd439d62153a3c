"""What a customer's document must never hold, and every way in which it could be written there."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import NamedTuple

from tests.leaks.surfaces import surfaces

NUMBER = re.compile(r"[-+]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][-+]?\d{1,3})?")
NEAR = 1e-6
SHORTEST = 4
ROUND = "000"
"""A whole number that ends so is anybody's."""
FACTORS = (Decimal(1), Decimal(100), Decimal(1000), Decimal("0.01"))
"""As it is, in minor units of two or three decimals, and a percentage as a fraction."""


class Secret(NamedTuple):
    """A cost, a markup, a margin, a supplier, a supplier's number."""

    what: str
    value: str | Decimal


class Leak(NamedTuple):
    """A secret found at a place."""

    what: str
    place: str


def spellings(value: str | Decimal) -> set[str]:
    """Every way it may be spelled, in lower case."""
    if isinstance(value, Decimal):
        return {text.lower() for text in _number_spellings(value) if len(text) >= SHORTEST}
    words = {value, *(word for word in re.split(r"[\s,&'\"-]+", value) if len(word) >= SHORTEST)}
    return {way for word in words for way in (word.lower(), word.encode().hex(), word[::-1].lower())}


def _number_spellings(value: Decimal) -> Iterator[str]:
    plain = f"{abs(value):f}"
    plain = plain.rstrip("0").rstrip(".") if "." in plain else plain
    grouped = f"{abs(value):,.2f}"
    yield from (plain, plain.replace(".", ","), grouped, grouped.replace(",", " "), grouped.replace(",", "\u202f"))
    yield from (grouped.translate(str.maketrans(",.", ".,")), grouped.replace(",", "'"), f"{abs(value):.2f}")
    yield from (f"{float(abs(value)):.17g}", f"{float(abs(value)):.6f}", f"{float(abs(value)):e}", plain.encode().hex())
    wholes = (f"{abs(value) * factor:.0f}" for factor in FACTORS[:3])
    yield from (whole for whole in wholes if len(whole) > SHORTEST and not whole.endswith(ROUND))
    yield f"{int(abs(value) * 100):x}"


def leaks(data: bytes, secrets: Iterable[Secret]) -> list[Leak]:
    """Each secret with each place where it shows, in order, once."""
    listed = [*dict.fromkeys(secrets)]
    ways = _by_beginning(listed)
    numbers = [(float(abs(s.value) * f), s.what) for s in listed if isinstance(s.value, Decimal) for f in FACTORS]
    found = set()
    for place, text, exact in set(surfaces(data)):
        lower = text.lower()
        here = {lower[at : at + SHORTEST] for at in range(len(lower) - SHORTEST + 1)}
        for beginning in here & ways.keys():
            found |= {Leak(s.what, place) for way, s in ways[beginning] if _shows(lower, way, s.value)}
        if not exact:
            found |= {Leak(what, f"{place} (near)") for what in _near(lower, numbers)}
    return sorted(found)


def _by_beginning(secrets: Iterable[Secret]) -> dict[str, list[tuple[str, Secret]]]:
    """Spellings by their first letters, so that a text is looked through once for all of them."""
    found: dict[str, list[tuple[str, Secret]]] = {}
    for secret in secrets:
        for way in spellings(secret.value):
            found.setdefault(way[:SHORTEST], []).append((way, secret))
    return found


def _shows(text: str, way: str, value: str | Decimal) -> bool:
    """A spelling in a text; a number must not be a piece of a longer one."""
    if way not in text:
        return False
    if not isinstance(value, Decimal):
        return True
    after = r"(?![\da-f])" if re.search("[a-f]", way) else r"(?!\d)(?!\.\d)"
    before = r"(?<![\da-f])" if re.search("[a-f]", way) else r"(?<!\d)(?<!\d[.,])"
    return re.search(before + re.escape(way) + after, text) is not None


def _near(text: str, wanted: list[tuple[float, str]]) -> set[str]:
    """Secrets of which a number in the text is within one part in a million."""
    here = sorted({abs(float(number)) for number in NUMBER.findall(text)})
    found = set()
    for value, what in wanted:
        at = bisect_left(here, value)
        if any(abs(number - value) <= NEAR * value for number in here[max(0, at - 1) : at + 1]):
            found.add(what)
    return found
