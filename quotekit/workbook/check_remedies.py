"""Findings, limits of remedies, bundles and tiers: values that contradict each other (DESIGN.md 3)."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from datetime import date

from quotekit.model.shop_book import Finding, FitsOnlyIf, ShopBook, Tier
from quotekit.model.source import Source
from quotekit.problems import Problem, error, warning
from quotekit.workbook.names import name_key


def check_findings(findings: Iterable[Finding]) -> list[Problem]:
    """A limit says which side of it is bad, and a new one passes it."""
    problems = []
    for finding in findings:
        if finding.limit is not None and finding.fails_when is None:
            problems.append(
                error(
                    finding.source.place("Fails when"),
                    "fails-when-missing",
                    f"{finding.code} has a limit but does not say when it fails",
                    "Type above or below in Fails when.",
                )
            )
        elif as_new_fails(finding):
            problems.append(
                warning(
                    finding.source.place("As new"),
                    "as-new-fails",
                    f"{finding.code} as new, {finding.as_new:f}, would fail {finding.fails_when} {finding.limit:f}",
                    "Check As new, Limit and Fails when.",
                    f"{finding.as_new:f}",
                )
            )
    return problems


def as_new_fails(finding: Finding) -> bool:
    """True when the value as new lies on the bad side of the limit."""
    if finding.as_new is None or finding.limit is None:
        return False
    return finding.as_new > finding.limit if finding.fails_when == "above" else finding.as_new < finding.limit


def check_limits(rows: Iterable[FitsOnlyIf]) -> list[Problem]:
    """Rows of Fits only if: From at most To, and at least one of them."""
    problems = []
    for row in rows:
        if row.from_ is None and row.to is None:
            problems.append(
                warning(
                    row.source.place("From"),
                    "open-limit",
                    f"From and To of {row.remedy} on {row.finding} are both blank, so any measurement fits",
                    "Fill in one of them; if any value will do, leave it so: a measurement is still asked for.",
                )
            )
        elif row.from_ is not None and row.to is not None and row.from_ > row.to:
            problems.append(
                error(
                    row.source.place("From"),
                    "from-above-to",
                    f"From, {row.from_:f}, is above To, {row.to:f}, so {row.remedy} never fits",
                    "Swap them, or correct one.",
                    f"{row.from_:f}",
                )
            )
    return problems


def check_dates(book: ShopBook) -> list[Problem]:
    """Bundles and taxes that end before they begin."""
    return [
        *_reversed((each.source, each.from_, each.to, "To", each.code) for each in book.bundles.values()),
        *_reversed((row.source, row.in_force_from, row.in_force_to, "In force to", row.tax) for row in book.taxes),
    ]


def _reversed(rows: Iterable[tuple[Source, date | None, date | None, str, str]]) -> list[Problem]:
    return [
        error(
            source.place(column),
            "dates-reversed",
            f"{name} ends on {last.isoformat()}, before it begins on {first.isoformat()}",
            "Swap the dates, or correct one.",
            last.isoformat(),
        )
        for source, first, last, column, name in rows
        if first is not None and last is not None and last < first
    ]


def check_tiers(tiers: Sequence[Tier]) -> list[Problem]:
    """Each tier covers safety, and at least what the one before covers; each has a name of its own."""
    problems = _named_alike(tiers)
    for tier in tiers:
        if "safety" not in tier.covers:
            problems.append(
                error(
                    tier.source.place("Covers"),
                    "tier-lacks-safety",
                    f"the tier {tier.code} does not cover safety",
                    "Add safety to Covers: every option must put safety right.",
                    _covers(tier),
                )
            )
    for before, tier in itertools.pairwise(tiers):
        lost = sorted(before.covers - tier.covers - {"safety"})
        if lost:
            problems.append(
                error(
                    tier.source.place("Covers"),
                    "tier-covers-less",
                    f"the tier {tier.code} does not cover {', '.join(lost)}, which {before.code} before it covers",
                    "Add it, or list the tiers from least to most.",
                    _covers(tier),
                )
            )
    return problems


def _named_alike(tiers: Sequence[Tier]) -> list[Problem]:
    """Tiers with the name of one above them: where only the name is read, nobody can tell which is meant."""
    first: dict[str, Tier] = {}
    problems = []
    for tier in tiers:
        before = first.setdefault(name_key(tier.tier), tier)
        if before is not tier:
            problems.append(
                warning(
                    tier.source.place("Tier"),
                    "tier-name-twice",
                    f"the tiers {before.code} and {tier.code} have one name, so the name does not tell which is meant",
                    "Give each a name of its own.",
                    tier.tier,
                )
            )
    return problems


def _covers(tier: Tier) -> str:
    return "; ".join(sorted(tier.covers))
