"""One tier on one sheet of the costing: findings and lives, money, hours, parts, shares, what is offered beside it."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.choice_words import choice_words
from quotekit.documents.costing_hours import lay_out_hours
from quotekit.documents.costing_money import lay_out_money
from quotekit.documents.costing_parts import lay_out_parts
from quotekit.documents.costing_sources import where
from quotekit.documents.costing_style import amount, head, hours, note, section, sheet
from quotekit.documents.quote_json import plain
from quotekit.documents.sheet import Row, Sheet, blank, row, text
from quotekit.model.job import FoundFinding
from quotekit.model.quote import OfferedExtra, PricedTier, Quote, TierItem
from quotekit.money import round_to

COLUMNS = 10
WIDTHS = (24.0, 10.0, *(9.0,) * 7, 21.0)


def lay_out_tier(quote: Quote, tier: PricedTier, name: str) -> Sheet:
    """The sheet of a tier."""
    rows = [
        row(text(f"{tier.name} ({tier.code})", "title", COLUMNS)),
        row(text(_standing(tier), "strong", COLUMNS)),
        row(text(_chosen(quote, tier), "note", COLUMNS)),
        *_items(tier, quote),
        *_findings(tier, quote),
        *(
            _figures(quote, tier)
            if tier.priced
            else [note("It could not be worked out, so it has no figures.", COLUMNS)]
        ),
    ]
    return sheet(quote, name, rows, WIDTHS)


def _figures(quote: Quote, tier: PricedTier) -> list[Row]:
    return [
        *lay_out_money(quote, tier),
        *_over_the_years(quote, tier),
        *lay_out_hours(quote, tier),
        *lay_out_parts(quote, tier),
        *_shares(tier),
        *_extras(tier),
    ]


def _standing(tier: PricedTier) -> str:
    return "Offered to the customer." if tier.offered else f"Not offered: {tier.reason or 'no reason is recorded'}"


def _chosen(quote: Quote, tier: PricedTier) -> str:
    if tier.planned:
        return "Its items are the technician's own choice, on the job's Plan sheet."
    source = next((known.source for known in quote.book.tiers if known.code == tier.code), None)
    cell = where(source, "Aim", quote) if source else ""
    return f"Aim: {tier.aim}{f' ({cell})' if cell else ''}. {choice_words(tier, quote)}"


def _items(tier: PricedTier, quote: Quote) -> Iterator[Row]:
    yield from section("What is done", COLUMNS)
    if not tier.items:
        yield note("Nothing.", COLUMNS)
        return
    yield head(
        ("Item", 2),
        "Kind",
        ("Puts right", 3),
        "Life, years",
        "Warranty, days",
        ("Leaves, and remarks", 2),
        right=(3, 4),
    )
    for item in tier.items:
        yield row(
            text(f"{item.name} ({item.key})", across=2),
            text(item.remedy_kind or item.kind),
            text(", ".join(item.fixes), across=3),
            text(plain(item.life_years) if item.life_years is not None else "not stated", "right"),
            text(str(item.warranty_days) if item.warranty_days is not None else "none", "right"),
            text(_remarks(item), "beside", 2),
        )


def _remarks(item: TierItem) -> str:
    said = [
        item.leaves,
        "the customer asked for it" if item.asked else "",
        "done by larger work" if item.done_by_larger_work else "",
    ]
    return "; ".join(words for words in said if words)


def _findings(tier: PricedTier, quote: Quote) -> Iterator[Row]:
    yield from section("What was found", COLUMNS)
    yield head(
        ("Finding", 2),
        "Severity",
        ("Measured and limit", 3),
        "In this tier",
        "Life, years",
        ("Note", 2),
        right=(4,),
    )
    for finding in quote.job.findings:
        yield row(
            text(f"{finding.name} ({finding.key})", across=2),
            text(finding.severity),
            text(measured_words(finding), across=3),
            text(_fate(tier, finding)),
            text(_life(tier, finding.key), "right"),
            text(finding.note, "beside", 2),
        )
    if tier.safety_left:
        yield row(text(f"Safety findings left: {', '.join(tier.safety_left)}.", "strong", COLUMNS))


def measured_words(finding: FoundFinding) -> str:
    """The measurement beside its limit, in the finding's unit."""
    if finding.measured is None:
        return "judged, not measured"
    measured = finding.measured_text or f"{plain(finding.measured)} {finding.unit}".strip()
    if finding.measured_text and finding.unit and finding.unit not in finding.measured_text:
        measured = f"{measured} ({plain(round_to(finding.measured, 4))} {finding.unit})"
    if finding.limit is None:
        return f"{measured}; no limit, so judged"
    limit = f"{plain(finding.limit)} {finding.unit}".strip()
    return f"{measured}; fails {finding.fails_when or 'past'} {limit}{'' if finding.fault else '; passes'}"


def _fate(tier: PricedTier, finding: FoundFinding) -> str:
    if finding.key in tier.fixed:
        return "fixed"
    if finding.key in tier.left:
        return "left"
    return "within its limit" if not finding.fault else "not in question"


def _life(tier: PricedTier, key: str) -> str:
    if key not in tier.lives:
        return ""
    years = tier.lives[key]
    return "not stated" if years is None else plain(years)


def _over_the_years(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    settings = quote.book.settings
    years = quote.job.years_compared(settings.years_to_compare)
    words = f"Over {plain(years)} years at {plain(settings.interest_a_year * 100)} % a year: this work and its renewals"
    yield row(text(words, across=4), amount(tier.horizon_cost), blank(across=5))
    yield row(text(_ready(quote, tier), across=COLUMNS))


def _ready(quote: Quote, tier: PricedTier) -> str:
    """Days until ready, and what they hang on."""
    queue = quote.book.settings.queue_days
    if tier.ready_days is None:
        return "Ready: not known, an ordered part has no lead days."
    slowest = [f"{line.name} ({line.part})" for line in tier.part_lines if line.ordered and line.lead_days is not None]
    longest = max((line.lead_days or 0 for line in tier.part_lines if line.ordered), default=0)
    waits = [
        f"{line.name} ({line.part})"
        for line in tier.part_lines
        if line.ordered and line.lead_days == longest and longest == tier.ready_days - queue
    ]
    hangs_on = (
        ", ".join(waits)
        if slowest and waits and longest
        else "work sent out"
        if tier.ready_days > queue
        else "the queue alone"
    )
    return f"Ready in {tier.ready_days} working days: {tier.ready_days - queue} for {hangs_on}, and {queue} of queue."


def _shares(tier: PricedTier) -> Iterator[Row]:
    yield from section("Fair share of each item (shared access in equal parts)", COLUMNS)
    yield head(("Item", 2), "Hours", "Labour", "Parts", "Sublet", "Together", ("", 3), right=range(1, 6))
    for share in tier.shares:
        yield row(
            text(share.item, across=2),
            hours(share.hours),
            amount(share.labour),
            amount(share.parts),
            amount(share.sublet),
            amount(share.amount),
            blank(across=3),
        )


def _extras(tier: PricedTier) -> Iterator[Row]:
    yield from section("Offered beside it", COLUMNS)
    if not tier.extras:
        yield note("Nothing is offered beside it.", COLUMNS)
        return
    yield head(
        ("Extra", 2),
        ("Why", 2),
        "Adds",
        "At most",
        "Then work",
        "Then tax",
        "Then total",
        "Puts right",
        right=range(2, 7),
    )
    for extra in tier.extras:
        yield _extra(extra)
    yield note("The customer's quote prints `At most`: together extras never cost more than its sum.", COLUMNS)


def _extra(extra: OfferedExtra) -> Row:
    return row(
        text(f"{extra.name} ({extra.extra})", across=2),
        text(f"{extra.kind}: {extra.why}", across=2),
        amount(extra.price),
        amount(extra.at_most),
        amount(extra.work),
        amount(extra.tax),
        amount(extra.total),
        text(", ".join(extra.fixes), "beside"),
    )
