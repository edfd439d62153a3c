"""Names of the figures of a quote's JSON: the path, with the key of an entry where a list holds several (DESIGN.md 7).

`parts.SEAL-19.amount` is the amount of that part. An entry of a list of texts is named by the text, a list without
names by its places. A second entry of one key is `KEY#2`. An empty list is a figure itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

KEYS = ("part", "bundle", "extra", "remedy", "tax", "item", "setting", "tier", "finding", "code")
"""What names an entry of a list of objects, the first that it has."""

BY_PLACE = frozenset({"by_year", "years"})
"""Lists whose entries are numbers: an entry is named by its place."""

Leaf = str | int | bool | None | tuple[str, ...]


def figures_of(laid_out: Mapping[str, object]) -> Iterator[tuple[str, str, Leaf]]:
    """Each figure as (name, name by places, value): every leaf, and every list of texts as a whole.

    >>> [name for name, _, _ in figures_of({"total": "5.00", "taxes": [{"tax": "State", "base": "1.00"}]})]
    ['total', 'taxes.State.tax', 'taxes.State.base']
    >>> list(figures_of({"left": ["A@left"]}))
    [('left', 'left', ('A@left',)), ('left.A@left', 'left[0]', 'A@left')]
    """
    for key, value in laid_out.items():
        yield from _under(key, key, value)


def _under(name: str, place: str, value: object) -> Iterator[tuple[str, str, Leaf]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _under(f"{name}.{key}", f"{place}.{key}", inner)
    elif isinstance(value, Sequence) and not isinstance(value, str):
        yield from _entries(name, place, value)
    elif value is None or isinstance(value, str | int):
        yield name, place, value
    else:
        raise TypeError(f"{name}: {type(value).__name__} is no value of the JSON")


def _entries(name: str, place: str, entries: Sequence[object]) -> Iterator[tuple[str, str, Leaf]]:
    texts = tuple(entry for entry in entries if isinstance(entry, str))
    if len(texts) == len(entries):
        yield name, place, texts
    seen: dict[str, int] = {}
    for number, entry in enumerate(entries):
        key = str(number) if name.rpartition(".")[2] in BY_PLACE else entry_key(entry, number)
        seen[key] = seen.get(key, 0) + 1
        again = f"#{seen[key]}" if seen[key] > 1 else ""
        yield from _under(f"{name}.{key}{again}", f"{place}[{number}]", entry)


def entry_key(entry: object, number: int) -> str:
    """What names an entry of a list.

    >>> entry_key({"remedy": "BUSH", "side": "left"}, 0), entry_key("A", 0), entry_key({"why": "x"}, 3)
    ('BUSH@left', 'A', '3')
    """
    if isinstance(entry, str):
        return entry
    if isinstance(entry, Mapping):
        known = next((entry[key] for key in KEYS if isinstance(entry.get(key), str)), None)
        if known is not None:
            side = entry.get("side")
            return f"{known}@{side}" if isinstance(side, str) else str(known)
    return str(number)
