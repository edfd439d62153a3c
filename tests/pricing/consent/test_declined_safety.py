"""Safety findings that stay, in plain words."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.pricing.consent.declined_safety import safety_left, safety_words
from tests.build import a_finding_on


@pytest.mark.parametrize(
    ("finding", "words"),
    [
        ({"name": "Brake does not hold"}, "Brake does not hold."),
        (
            {"name": "Brake does not hold", "side": "left", "customer_wording": "The trailer may roll",
             "if_left": "it may run into someone."},
            "Brake does not hold, left. The trailer may roll. If left: it may run into someone.",
        ),
        ({"name": "Guard missing", "customer_wording": "Guard missing"}, "Guard missing."),
        ({"name": "Guard\n missing!", "if_left": "fingers"}, "Guard missing! If left: fingers."),
    ],
)  # fmt: skip
def test_one_finding(finding: dict[str, Any], words: str) -> None:
    side = finding.pop("side", None)
    assert safety_words(a_finding_on("BRAKE", side, severity="safety", **finding)) == words


def test_only_safety_and_only_what_stays() -> None:
    """A measurement that passes is no fault; what is needed is no matter of safety."""
    findings = [
        a_finding_on("BRAKE", "left", severity="safety", name="Brake"),
        a_finding_on("BRAKE", "right", severity="safety", name="Brake"),
        a_finding_on("HUB", severity="safety", name="Hub", fault=False),
        a_finding_on("BELT", severity="needed", name="Belt"),
    ]
    assert safety_left(findings) == ("Brake, left.", "Brake, right.")
    assert safety_left(findings, {"BRAKE@right", "BELT", "HUB"}) == ("Brake, right.",)
    assert safety_left(findings, ()) == ()
