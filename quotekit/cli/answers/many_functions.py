"""Request `functions`: the functions of many cells at once, after the shop book that they are of was changed.

`{"asked": [{"name": ..., "arguments": [...], "document": PATH, "book": null}, ...]}` gives `{"answers": [...]}`, for
each what the request `function` would give, in the same order. One that can't be told is null: its cell asks by itself.
"""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from quotekit.cli.answers.functions import answer as answer_one
from quotekit.cli.answers.request import Words


def answer(words: Words) -> dict[str, Any]:
    """All of them."""
    return {"answers": [_told(one) for one in words["asked"]]}


def _told(words: Words) -> dict[str, Any] | None:
    with suppress(Exception):
        return answer_one(words)
    return None
