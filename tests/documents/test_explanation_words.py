"""Figures told in words have a rule of their own: each by its name, the more exact name first."""

from __future__ import annotations

import pytest

from quotekit.documents.explanation_words import rule_in_words

ONE = "why.remedies.NEW@left"
TURN = f"{ONE}.break_even.0"


@pytest.mark.parametrize(
    ("figure", "begins"),
    [
        ("why.planned", "Yes where the job's plan says"),
        ("why.notes", "What was not compared"),
        ("why.notes.0", "What was not compared"),
        ("why.missing", "The tier is offered, so nothing is missing"),
        ("why.missing.kind", "The first rule that keeps the tier back"),
        ("why.missing.against", "The tier it is compared with"),
        ("why.missing.comparisons", "What the rules compare"),
        ("why.missing.comparisons.0.this", "What the rules compare"),
        ("why.missing.cheaper_by", "A lower price alone would not bring it back"),
        ("why.missing.details.0", "What keeps it back"),
        ("why.missing.would_change", "What keeps it back"),
        ("why.remedies", "The tier takes no remedy"),
        (f"{ONE}.remedy", "A remedy that the tier takes"),
        (f"{ONE}.fixes.WORN", "The recorded faults it puts right"),
        (f"{ONE}.standing", "Whether it was compared with others"),
        (f"{ONE}.reason", "The same in words: see `alternative`"),
        (f"{ONE}.only_for", "Findings that nothing else puts right"),
        (f"{ONE}.refused.0.why", "Another remedy for the same findings"),
        (f"{ONE}.done_by_larger_work", "Yes where larger work does it"),
        (f"{ONE}.swaps_only", "Yes where too many choices"),
        (f"{ONE}.alternative", "There is no other complete choice"),
        (f"{ONE}.alternative.takes.OLD", "What would be taken in its place"),
        (f"{ONE}.alternative.drops", "What would then no longer be taken"),
        (f"{ONE}.alternative.leaves", "What would then be left"),
        (f"{ONE}.alternative.no_life.OLD", "Remedies that differ and have no stated life"),
        (f"{ONE}.break_even", "There is nothing it could give way to"),
        (f"{TURN}.figure", "Which figure would have to change"),
        (f"{TURN}.of", "The part, operation or remedy"),
        (f"{TURN}.then.OLD", "What would be taken at that value"),
        (f"{TURN}.among", "What was compared at that value"),
        (f"{TURN}.cell", "The cell that holds the figure"),
        (f"{TURN}.pack_cost", "The price does not follow from a pack cost alone"),
        (f"{TURN}.pack_cost_now", "The price does not follow from a pack cost alone"),
        (f"{ONE}.would_change.0", "The same in words: see `break_even`"),
        ("sensitivity.choices.too_many", "Yes where there are too many choices"),
        ("sensitivity.choices.tried", "No tier has a choice that hangs on"),
        ("sensitivity.choices.tried.interest.setting", "What was changed"),
        ("sensitivity.choices.changes", "No tier would take anything else"),
        ("sensitivity.choices.changes.good.takes", "What a tier would take instead"),
        ("sensitivity.choices.words.0", "The same in words"),
        ("sensitivity.interest", "Fewer than two tiers"),
        ("sensitivity.horizon", "Fewer than two tiers"),
        ("sensitivity.lives", "Fewer than two tiers"),
        ("sensitivity.lives.words", "The same in words"),
        ("sensitivity.interest.changes", "The order stays"),
        ("repair_or_replace.would_decide.values", "The blank values that the word waits for"),
        ("repair_or_replace.would_decide.even", "The blank value at which"),
        ("repair_or_replace.would_decide.words.0.from", "What each value would mean"),
    ],
)
def test_the_rule_of_a_figure_told_in_words(figure: str, begins: str) -> None:
    rule = rule_in_words(figure)
    assert rule is not None and rule.startswith(begins) and rule.endswith(".")


@pytest.mark.parametrize(
    "figure",
    [
        "total",
        "why",
        "why.aim",
        "why.planned.more",
        "my why.planned",
        f"{TURN}.now",
        f"{TURN}.wins_at",
        f"{ONE}.break_even.x.figure",
        f"{ONE}.alternative.today",
        f"{ONE}.choices",
        "sensitivity.order",
        "sensitivity.interest.now",
        "reason",
        "",
    ],
)
def test_a_figure_with_arithmetic_or_of_another_name_has_none(figure: str) -> None:
    """Part of a name is not enough, and `reason` of the tier is not that of a remedy."""
    assert rule_in_words(figure) is None
