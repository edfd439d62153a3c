"""Safety findings that stay, in plain words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from quotekit.model.job import FoundFinding
from quotekit.pricing.consent.declined_safety import safety_left, safety_without, safety_words
from tests.build import a_finding_on
from tests.pricing.consent.made import an_agreed, an_item


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


GUARD, CRACK = (
    a_finding_on("OTHER-1", severity="safety", name=name) for name in ("Guard hangs loose", "Frame cracked")
)
BRAKE = a_finding_on("BRAKE", severity="safety", name="Brake")


@pytest.mark.parametrize(
    ("fixes", "now", "left"),
    [
        (("OTHER-1",), (GUARD,), ()),
        (("OTHER-1",), (CRACK, replace(GUARD, code="OTHER-2")), ("Frame cracked.",)),
        (("OTHER-1",), (CRACK,), ("Frame cracked.",)),
        ((), (GUARD,), ("Guard hangs loose.",)),
        (("BRAKE",), (BRAKE, CRACK), ("Frame cracked.",)),
    ],
)
def test_an_unlisted_finding_is_known_by_its_text(
    fixes: tuple[str, ...], now: tuple[FoundFinding, ...], left: tuple[str, ...]
) -> None:
    """The guard was OTHER-1 when its repair was agreed; a row put in above it makes OTHER-1 the crack, which stays."""
    agreed = an_agreed(items=(an_item("FIX", fixes=fixes),))
    assert safety_without(now, agreed, (GUARD, BRAKE)) == left


def test_where_nothing_is_agreed_every_matter_of_safety_stays() -> None:
    assert safety_without((GUARD, BRAKE), None) == ("Guard hangs loose.", "Brake.")
    assert safety_without((GUARD,), an_agreed(items=(an_item("FIX", fixes=("OTHER-1",)),))) == ()
