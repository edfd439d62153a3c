"""Which option a text means, and which it only speaks of."""

from __future__ import annotations

import pytest

from quotekit.documents.option_mentions import OfferedOption, option_meant, options_mentioned

OPTIONS = tuple(
    OfferedOption(code=code, label=label)
    for code, label in (("good", "Put right"), ("better", "Put right and prevent"), ("best", "Made to last (2 years)"))
)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("Put right", "good"), ("put right and prevent", "better"), ("BEST", "best"), ("Option 3", "best"),
        ("option2", "better"), (" Made  to last (2 years) ", "best"), ("Option 4", None), ("Option 0", None),
        ("Put", None), ("*", None), ("?ood", None), ("good better", None), ("", None), ("Option", None),
    ],
)  # fmt: skip
def test_one_option_is_meant(text: str, code: str | None) -> None:
    meant = option_meant(text, OPTIONS)
    assert (meant.code if meant else None) == code


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("good, best", "good best"), ("Put right + better", "good better"), ("Put right and prevent", "better"),
        ("not good", "good"), ("goodness", ""), ("options 1-3", ""), ("1, 3", "good best"),
        ("Option 1 and 3", "good best"),
        ("2 belts", ""), ("Made to last (2 years)", "best"), ("good and good", "good"),
    ],
)  # fmt: skip
def test_options_a_text_speaks_of(text: str, codes: str) -> None:
    assert [option.code for option in options_mentioned(text, OPTIONS)] == codes.split()


def test_a_label_two_options_share_means_neither() -> None:
    twins = (OfferedOption(code="a", label="Mend"), OfferedOption(code="b", label="MEND"))
    assert option_meant("mend", twins) is None
    assert option_meant("b", twins) == twins[1]
