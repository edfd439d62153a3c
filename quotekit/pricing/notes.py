"""What the engine has to say besides figures: warnings for the shop, and the one refusal for want of time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import Extra, Remedy
from quotekit.pricing.basis import Basis
from quotekit.pricing.parts import not_brought
from quotekit.pricing.setup import Setup
from quotekit.pricing.tiers import Unworked, WorkedTier
from quotekit.problems import Place, Problem, error, warning


def too_many_choices(job: Job) -> Problem:
    """No choice at all was found in the time there is for it."""
    return error(
        Place(job.file, "Plan"),
        "too-many-choices",
        "the findings hang together in so many ways that no choice of remedies was found in time",
        "Say on the Plan sheet what each tier takes.",
    )


def notes_on(setup: Setup, worked: Sequence[WorkedTier | Unworked], tiers: Sequence[PricedTier]) -> list[Problem]:
    """Warnings in a fixed order: findings left, prices, leads, costs, and no tier at all."""
    done = [tier for tier in worked if isinstance(tier, WorkedTier)]
    return [
        *_findings_left(setup, done),
        *_not_proven(setup, done),
        *_parts_of_larger_work(setup.basis, done),
        *_about_parts(setup.basis, tiers),
        *_labour_costs(setup.basis, tiers),
        *_no_tier(setup.basis.job, tiers),
    ]


def _findings_left(setup: Setup, worked: Sequence[WorkedTier]) -> list[Problem]:
    """Covered findings that no permitted remedy puts right; what a plan leaves out on purpose is not among them."""
    found: dict[str, list[str]] = {}
    for tier in worked:
        for key in sorted(tier.covered & tier.left):
            if tier.planned and setup.candidates.for_fault[key]:
                continue
            found.setdefault(key, []).append(tier.tier.code)
    return [
        warning(
            setup.candidates.faults[key].source.place("Finding"),
            "no-permitted-remedy",
            f"{key} is left in {', '.join(codes)}: no permitted remedy puts it right there",
            "Add a remedy to the shop book, or a One-off line that fixes it.",
            key,
        )
        for key, codes in found.items()
    ]


def _not_proven(setup: Setup, worked: Sequence[WorkedTier]) -> list[Problem]:
    """Tiers whose choice is the best found in time, and may not be the best there is."""
    found = []
    for tier in worked:
        proof = tier.proof
        if proof.gap:
            left = f"the best found in time; another may be up to {proof.gap:f} better"
        elif not proof.settled:
            left = "as good as any; whether another is equal, and first by the tie rules, was not settled in time"
        else:
            continue
        found.append(
            warning(
                Place(setup.basis.job.file, "Plan"),
                "choice-not-proven",
                f"{tier.tier.code}: the choice is {left}",
                "Say on the Plan sheet what the tier takes, or leave it at that.",
            )
        )
    return found


def _parts_of_larger_work(basis: Basis, worked: Sequence[WorkedTier]) -> list[Problem]:
    """Own parts of an item whose work larger work does, where the larger work does not bring them itself."""
    found: dict[tuple[str, str], list[str]] = {}
    rows: dict[str, Remedy | Extra] = {}
    for tier in worked:
        for item in tier.charges.work.items:
            row = item.remedy or item.extra
            if row is not None and tier.charges.work.is_done_by_larger(item):
                rows[item.key] = row
                missing = not_brought(basis, tier.charges.uses, item.parts)
                if missing:
                    found.setdefault((item.key, "; ".join(missing)), []).append(tier.tier.code)
    return [
        warning(
            rows[key].source.place("Parts"),
            "parts-not-charged",
            f"{key} is done by larger work in {', '.join(codes)}, so its own parts are not charged there: {parts}",
            "If they are fitted all the same, list them on the operation that does the larger work.",
            parts,
        )
        for (key, parts), codes in sorted(found.items())
    ]


def _about_parts(basis: Basis, tiers: Sequence[PricedTier]) -> list[Problem]:
    """Ordered parts without a lead, and prices older than the shop's limit."""
    found: dict[tuple[str, str], Problem] = {}
    oldest = basis.job.quote_date - timedelta(days=basis.book.settings.price_age_limit_days)
    for tier in tiers:
        for line in tier.part_lines:
            if line.ordered and line.lead_days is None:
                found[line.part, "lead"] = warning(
                    _part_place(basis, line.part, "Lead days"),
                    "no-lead-days",
                    f"{line.part} has no lead days, so the day the job is ready is not known",
                    "Fill in Lead days of the part or of its supplier.",
                )
            part = basis.part(line.part) if line.part in basis.book.parts or line.part in basis.job.parts else None
            if part is not None and not line.own and part.cost_date is not None and part.cost_date < oldest:
                found[line.part, "age"] = warning(
                    part.source.place("Cost date"),
                    "old-price",
                    f"the price of {line.part} is from {part.cost_date.isoformat()}, "
                    f"more than {basis.book.settings.price_age_limit_days} days before the quote",
                    "Ask the supplier, then change Pack cost and Cost date.",
                    part.cost_date.isoformat(),
                )
            if line.cost is None:
                found[line.part, "cost"] = _cost_unknown(basis, line.part)
        for sent_out in tier.sublet_lines:
            if sent_out.cost is None:
                found[sent_out.key, "cost"] = _cost_unknown(basis, sent_out.key)
    return [found[key] for key in sorted(found)]


def _cost_unknown(basis: Basis, code: str) -> Problem:
    return warning(
        _part_place(basis, code, "Unit cost"),
        "one-off-cost-unknown",
        f"{code} has a price but no cost, so the margin is not known",
        "Fill in Unit cost to see the margin.",
    )


def _labour_costs(basis: Basis, tiers: Sequence[PricedTier]) -> list[Problem]:
    codes = {line.rate for tier in tiers for line in tier.labour_lines if line.cost is None}
    return [
        warning(
            basis.rates[code].source.place("Cost per hour"),
            "labour-cost-unknown",
            f"labour rate {code} has no cost per hour, so labour cost and margin are not known",
            "Fill in Cost per hour to see them.",
        )
        for code in sorted(codes)
    ]


def _no_tier(job: Job, tiers: Sequence[PricedTier]) -> list[Problem]:
    if any(tier.offered for tier in tiers):
        return []
    reasons = "; ".join(f"{tier.code}: {tier.reason}" for tier in tiers)
    return [
        warning(
            Place(job.file, "Findings"),
            "no-tier-offered",
            f"no option can be offered ({reasons}), so no customer quote is written",
            "Read the costing, then add a remedy, a measurement or a One-off line.",
        )
    ]


def _part_place(basis: Basis, code: str, column: str) -> Place:
    if code in basis.job.parts or code in basis.book.parts:
        return basis.part(code).source.place(column)
    line = next(line for line in basis.job.one_off if line.code == code)
    return line.source.place(column)
