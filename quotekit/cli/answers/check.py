"""Request `check`: every problem of the open workbook, a shop book or a job."""

from __future__ import annotations

from typing import Any

from quotekit.cli.answers.request import Words, document, told


def answer(words: Words) -> dict[str, Any]:
    """`{"document": {...}}` gives `{"problems": [...]}`."""
    from quotekit.cli.inputs import read_inputs

    inputs = read_inputs(document(words, "document").copy)
    return {"problems": told(inputs.problems)}
