"""The JSON of a quote as named figures, flat: `total`, `amounts.labour`, `parts.SEAL-19.amount`, `declined.total`.

A name is the path in the tier's JSON; an entry of a list goes by its first field, a list of words is one figure.
How the answer was found (`compared`, `proof`, `why`), digests, files and problems are no figures of the quote.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal, InvalidOperation

from quotekit.model.comparison import Figure, FigureName, Figures

NO_FIGURES = frozenset({"code", "compared", "proof", "why"})
"""Keys of a tier that say which it is, or how it was found."""

NOT_OF_THE_QUOTE = frozenset({"job", "version", "currency", "book_sha256", "job_sha256", "tiers", "problems", "files"})
"""Keys of a quote that are not compared as figures of the job."""

_LISTED = {"not_permitted": "why", "only_with": "with"}
"""Lists of remedies that go by remedy and side, and the one field that tells of them."""


def figures_of(quote: Mapping[str, object]) -> Figures:
    """Every figure of a quote's JSON, tier by tier, then those of the job itself.

    >>> found = figures_of({"job": "117", "tiers": [{"code": "good", "total": "5.70", "items": ["A", "B"]}]})
    >>> {name.figure: (one.text, one.number) for name, one in found.items()}
    {'total': ('5.70', Decimal('5.70')), 'items': ('A; B', None)}
    """
    job = str(quote.get("job"))
    found: dict[FigureName, Figure] = {}
    for tier in _entries(quote.get("tiers")):
        for name, figure in _named(tier, NO_FIGURES):
            _put(found, FigureName(job, str(tier.get("code")), name), figure)
    for name, figure in _named(quote, NOT_OF_THE_QUOTE):
        _put(found, FigureName(job, None, name), figure)
    return found


def _put(found: dict[FigureName, Figure], name: FigureName, figure: Figure) -> None:
    """Under its name, or, where another has it, under the name with a number."""
    free, count = name, 1
    while free in found:
        count += 1
        free = name._replace(figure=f"{name.figure}#{count}")
    found[free] = figure


def _entries(value: object) -> Iterator[Mapping[str, object]]:
    if isinstance(value, list):
        yield from (one for one in value if isinstance(one, Mapping))


def _named(of: Mapping[str, object], left_out: frozenset[str]) -> Iterator[tuple[str, Figure]]:
    for key, value in of.items():
        if key not in left_out:
            yield from _by_remedy(key, value) if key in _LISTED else _flat(key, value)


def _by_remedy(key: str, value: object) -> Iterator[tuple[str, Figure]]:
    for entry in _entries(value):
        side = entry.get("side")
        remedy = f"{entry.get('remedy')}@{side}" if side else str(entry.get("remedy"))
        yield f"{key}.{remedy}.{_LISTED[key]}", figure(entry.get(_LISTED[key]))


def _flat(path: str, value: object) -> Iterator[tuple[str, Figure]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _flat(f"{path}.{key}", inner)
    elif isinstance(value, list) and any(isinstance(one, Mapping) for one in value):
        for entry in _entries(value):
            first, *rest = entry.items()
            for key, inner in rest:
                yield from _flat(f"{path}.{first[1]}.{key}", inner)
    else:
        yield path, figure(value)


def figure(value: object) -> Figure:
    """A single value of the JSON.

    >>> figure("2.60").number, figure(3).text, figure(True).text, figure(None).text, figure([]).text
    (Decimal('2.60'), '3', 'yes', None, '')
    """
    if value is None:
        return Figure(text=None)
    if isinstance(value, bool):
        return Figure(text="yes" if value else "no")
    if isinstance(value, list):
        return Figure(text=_joined(value))
    text = str(value)
    return Figure(text=text, number=number_of(text))


def number_of(text: str) -> Decimal | None:
    """The number a text says, None for anything else.

    >>> number_of("-2.50"), number_of("2026-11-10"), number_of("NaN")
    (Decimal('-2.50'), None, None)
    """
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None


def _joined(values: Iterable[object]) -> str:
    return "; ".join(str(value) for value in values)
