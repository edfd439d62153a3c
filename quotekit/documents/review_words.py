"""What the review says in words, the same on screen and on paper."""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.money_text import money_text, number_text, percent_text
from quotekit.documents.wording import counted
from quotekit.model.review import Accuracy, LossChance, Proposal, Review, TierLoss, Variance
from quotekit.money import round_to

KIND_WORDS = {"operation": "operation", "access": "access step", "condition": "allowance", "one-off": "one-off"}
CIRCUMSTANCE_WORDS = {"usual": "usual jobs", "rust": "rusty jobs", "minimum": "minimum charge"}
SIGN_WORDS = {"F": "F, favourable", "U": "U, unfavourable", "": ""}
TOO_FEW = "too few jobs"
VARIANCES = (
    ("labour_rate", "Labour rate", "what an hour cost against what was agreed with, over the hours worked"),
    (
        "labour_time",
        "Labour time",
        "hours worked against the standard for what was done, at the agreed cost of an hour",
    ),
    ("material_price", "Material price", "what units cost against what was agreed with, over the units used"),
    ("material_quantity", "Material quantity", "units used against units agreed, at the agreed cost"),
)
"""Field, title and meaning of each."""


def days_words(review: Review) -> str:
    """The span."""
    return f"{review.span.first.isoformat()} to {review.span.last.isoformat()}"


def in_money(review: Review, amount: Decimal | None) -> str:
    """An amount, or that it is not known."""
    return "not known" if amount is None else money_text(amount, review.currency or "USD", review.language)


def in_hours(review: Review, hours: Decimal | None) -> str:
    """Hours with at most two decimals."""
    return "not known" if hours is None else f"{number_text(round_to(hours, 2), review.language)} h"


def in_percent(review: Review, share: Decimal | None) -> str:
    """A share as percent, one decimal."""
    return "not known" if share is None else percent_text(round_to(share, 3), review.language)


def variance_words(review: Review, variance: Variance | None) -> str:
    """How much less or more it was than the standard."""
    if variance is None:
        return "not known"
    way = {"F": " less than standard", "U": " more than standard"}.get(variance.sign, "")
    return f"{in_money(review, abs(variance.amount))}{way}"


def accuracy_words(found: Accuracy) -> str:
    """What a ratio says."""
    if found.low <= 1 <= found.high:
        return "as timed"
    return "takes longer" if found.shrunk > 1 else "takes less"


def chance_words(review: Review, found: LossChance | TierLoss) -> str:
    """The chance with its interval and count, or that there are too few jobs."""
    if found.chance is None or found.low is None or found.high is None:
        return f"{TOO_FEW} ({found.jobs})"
    ends = f"{in_percent(review, found.low)} to {in_percent(review, found.high)}"
    return f"{in_percent(review, found.chance)} ({ends}; {found.losing} of {counted(found.jobs, 'job')})"


def proposal_words(review: Review, found: Proposal) -> str:
    """A proposal in a line."""
    if found.kind == "condition":
        now, new, low, high = (
            in_percent(review, share) for share in (found.in_force, found.new, found.low, found.high)
        )
    else:
        now, new, low, high = (in_hours(review, hours) for hours in (found.in_force, found.new, found.low, found.high))
    return f"{found.code} {found.name}: {now} now, {new} proposed ({low} to {high}, {counted(found.jobs, 'job')})"
