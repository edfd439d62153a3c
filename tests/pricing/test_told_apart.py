"""Lines that may bear the same name, each under a name of its own."""

from __future__ import annotations

import pytest

from quotekit.pricing.told_apart import told_apart


@pytest.mark.parametrize(
    ("lines", "names"),
    [
        ([], []),
        (["weld"], ["weld"]),
        (["weld", "paint"], ["weld", "paint"]),
        (["weld", "weld"], ["weld", "weld, another"]),
        (["weld", "paint", "weld", "weld"], ["weld", "paint", "weld, another", "weld, another, another"]),
        (["weld, another", "weld", "weld"], ["weld, another", "weld", "weld, another, another"]),
    ],
)
def test_no_line_is_lost(lines: list[str], names: list[str]) -> None:
    """Whatever they are called, as many names as lines, in their order."""
    found = told_apart(lines, str)
    assert (list(found), list(found.values())) == (names, lines)
