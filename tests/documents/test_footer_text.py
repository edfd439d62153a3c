"""Text at the foot of a page: an ampersand is printed, and a long name stays out of the text in the middle."""

from __future__ import annotations

import pytest

from quotekit.documents.footer_text import footer_name, footer_text


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("Oak & Sons", "Oak && Sons"),
        ("", ""),
        ("x" * 45, "x" * 45),
        ("x" * 46, "x" * 44 + "…"),
        ("Small engines, mowers and tillers of Alder & Sons", "Small engines, mowers and tillers of Alder &…"),
    ],
)
def test_a_name_leaves_room_for_the_middle(name: str, printed: str) -> None:
    assert footer_name(name).replace("&&", "&") == printed.replace("&&", "&")


@pytest.mark.parametrize("name", ["&" * 60, "G&G " * 30, "Kleinmaschinenwerkstatt " * 5])
def test_no_code_is_cut_in_two(name: str) -> None:
    """An ampersand that stands alone would make the letter behind it a code."""
    for text in (footer_name(name), footer_text(name)):
        assert len(text) <= 80
        assert text.replace("&&", "").replace('&"Arial,Regular"', "").count("&") == 0
