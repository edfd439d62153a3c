"""The figures of a quote's JSON by name: of each tier, and of the job."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

NOT_FIGURES = {"book_sha256", "job_sha256", "problems", "files", "tiers"}


def figures_of_tier(tier: dict[str, Any]) -> dict[str, Any]:
    """Leaves by path; an entry of a list by its first key; a list of words is one figure.

    >>> figures_of_tier({"total": "1", "parts": [{"part": "A", "packs": 2}], "left": ["B"]})
    {'total': '1', 'parts.A.packs': 2, 'left': ['B']}
    """
    return dict(_leaves("", tier))


def figures_of_job(quote: dict[str, Any]) -> dict[str, Any]:
    """What the quote says beside its tiers; lists are one figure each."""
    flat: dict[str, Any] = {}
    for name, value in quote.items():
        if name not in NOT_FIGURES:
            flat.update(_leaves(name, value) if isinstance(value, dict) else {name: value})
    return flat


def _leaves(name: str, value: Any) -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for key, each in value.items():
            yield from _leaves(f"{name}.{key}" if name else key, each)
    elif isinstance(value, list) and value and all(isinstance(each, dict) for each in value):
        for each in value:
            key, *rest = each
            for inner in rest:
                yield from _leaves(f"{name}.{each[key]}.{inner}", each[inner])
    else:
        yield name, value
