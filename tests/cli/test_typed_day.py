"""A day on the command line: an ISO date, or wrong usage with the text that was typed."""

from __future__ import annotations

import argparse
from datetime import date

import pytest

from quotekit.cli.typed_day import typed_day


def test_an_iso_date_is_a_day() -> None:
    assert typed_day("2026-02-28") == date(2026, 2, 28)


@pytest.mark.parametrize("text", ["", "tomorrow", "28.2.2026", "2026-02-30"])
def test_any_other_text_is_wrong_usage(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError) as refused:
        typed_day(text)
    assert str(refused.value) == f"{text!r} is no date like 2026-11-25"
