"""The quote as one JSON object, field by field as in DESIGN.md 7: a shop document, it holds costs.

Every amount and hour is a decimal string: money with the currency's digits, hours and quantities plain.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from quotekit.model.job import Job
from quotekit.model.proof import Proof
from quotekit.model.quote import OfferedExtra, PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.money import minor_digits, round_to
from quotekit.problems import Problem, has_errors

JsonObject = dict[str, object]


def lay_out_quote_json(
    quote: Quote, problems: Iterable[Problem] | None = None, files: Iterable[str] = ()
) -> JsonObject:
    """The whole quote; `problems` are those of both workbooks and the engine's, by default the engine's alone."""
    listed = list(quote.problems if problems is None else problems)
    digits = minor_digits(quote.currency)
    tiers = () if has_errors(listed) else quote.tiers
    return {
        "job": quote.job.job_number,
        "version": quote.job.version,
        "quote_date": quote.job.quote_date.isoformat(),
        "valid_until": quote.valid_until.isoformat(),
        "currency": quote.currency,
        "book_sha256": quote.book.sha256,
        "job_sha256": quote.job.sha256,
        "tiers": [tier_json(tier, digits) for tier in tiers],
        "sensitivity": _sensitivity(quote) if tiers else None,
        "not_permitted": [{"remedy": n.remedy, "side": n.side, "why": n.why} for n in quote.not_permitted],
        "only_with": [{"remedy": o.remedy, "side": o.side, "with": list(o.with_)} for o in quote.only_with],
        "measure_next": list(quote.measure_next),
        "look_next": list(quote.look_next),
        "declined": {
            "inspection": money(quote.declined.inspection, digits),
            "reassembly": money(quote.declined.reassembly, digits),
            "tax": money(quote.declined.tax, digits),
            "total": money(quote.declined.total, digits),
        },
        "problems": [problem_json(problem) for problem in listed],
        "files": list(files),
    }


def lay_out_refusal_json(
    problems: Iterable[Problem],
    *,
    book: ShopBook | None = None,
    job: Job | None = None,
    book_sha256: str | None = None,
    job_sha256: str | None = None,
) -> JsonObject:
    """The same fields where nothing could be priced: what is not known is null or empty."""
    return {
        "job": job.job_number if job else None,
        "version": job.version if job else None,
        "quote_date": job.quote_date.isoformat() if job else None,
        "valid_until": None,
        "currency": book.settings.currency if book and "Currency" in book.settings.sources else None,
        "book_sha256": book_sha256,
        "job_sha256": job_sha256,
        "tiers": [],
        "sensitivity": None,
        "not_permitted": [],
        "only_with": [],
        "measure_next": [],
        "look_next": [],
        "declined": None,
        "problems": [problem_json(problem) for problem in problems],
        "files": [],
    }


def problem_json(problem: Problem) -> JsonObject:
    """One problem with its place in words."""
    return {
        "place": str(problem.place),
        "code": problem.code,
        "severity": problem.severity,
        "message": problem.message,
        "remedy": problem.remedy,
    }


def money(amount: Decimal, digits: int) -> str:
    """An amount with the currency's digits.

    >>> money(Decimal("5.7"), 2), money(Decimal("-0"), 2), money(Decimal("1200"), 0)
    ('5.70', '0.00', '1200')
    """
    rounded = round_to(amount, digits)
    return f"{abs(rounded) if rounded == 0 else rounded:f}"


def plain(number: Decimal) -> str:
    """Hours or a quantity, with no exponent and no trailing zero.

    >>> plain(Decimal("2.60")), plain(Decimal("0.000")), plain(Decimal("1E+2")), plain(Decimal("-0"))
    ('2.6', '0', '100', '0')
    """
    text = f"{number:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("", "-0") else text


def money_or_none(amount: Decimal | None, digits: int) -> str | None:
    """An amount, or None where it is not known."""
    return None if amount is None else money(amount, digits)


def tier_json(tier: PricedTier, digits: int) -> JsonObject:
    """One tier; the figures of one that could not be worked out are null."""
    laid_out = {**_tier_work(tier), **_tier_money(tier, digits), **_tier_shop(tier, digits)}
    laid_out["repair_or_replace"] = _repair_or_replace(tier, digits)
    laid_out["over_years"] = _over_years(tier, digits)
    laid_out["why"] = _why(tier, digits)
    return laid_out if tier.priced else {**laid_out, **_no_figures(laid_out)}


def _why(tier: PricedTier, digits: int) -> JsonObject | None:
    if tier.why is None:
        return None
    from quotekit.documents.why_json import why_json

    return why_json(tier.why, digits)


def _repair_or_replace(tier: PricedTier, digits: int) -> JsonObject | None:
    if tier.repair_or_replace is None:
        return None
    from quotekit.documents.repair_or_replace_json import repair_or_replace_json

    return repair_or_replace_json(tier.repair_or_replace, digits)


def _over_years(tier: PricedTier, digits: int) -> JsonObject | None:
    from quotekit.documents.years_json import over_years_json

    return over_years_json(tier, digits)


def _sensitivity(quote: Quote) -> JsonObject | None:
    from quotekit.documents.years_json import sensitivity_json

    return sensitivity_json(quote)


def _no_figures(laid_out: JsonObject) -> JsonObject:
    """Null for each figure of a tier that could not be worked out: a zero would read like an answer."""
    alone = ("work", "subtotal", "tax", "total", "deposit", "due", "ready_days", "horizon_cost", "cash_for_parts")
    groups = {name: laid_out[name] for name in ("hours", "amounts", "cost")}
    emptied = {name: dict.fromkeys(group) for name, group in groups.items() if isinstance(group, dict)}
    return {**dict.fromkeys(alone), "margin": None, **emptied}


def _tier_work(tier: PricedTier) -> JsonObject:
    hours = tier.hours
    return {
        "code": tier.code,
        "name": tier.name,
        "offered": tier.offered,
        "reason": tier.reason,
        "items": [item.key for item in tier.items],
        "operations": [line.key for line in tier.operations],
        "access": [line.key for line in tier.access],
        "dropped": list(tier.dropped),
        "fixed": list(tier.fixed),
        "left": list(tier.left),
        "safety_left": list(tier.safety_left),
        "hours": {
            "access": plain(hours.access),
            "net": plain(hours.net),
            "allowance": plain(hours.allowance),
            "off": plain(hours.off),
            "billed": {rate: plain(billed) for rate, billed in hours.billed.items()},
            "minimum_added": plain(hours.minimum_added),
        },
    }


def _tier_money(tier: PricedTier, digits: int) -> JsonObject:
    return {
        "parts": [
            {
                "part": line.part,
                "quantity": plain(line.quantity),
                "packs": line.packs,
                "unit_price": money(line.unit_price, digits),
                "amount": money(line.amount, digits),
            }
            for line in tier.part_lines
        ],
        "amounts": _amounts(tier, digits),
        "bundles": [{"bundle": code, "amount": money_or_none(amount, digits)} for code, amount in tier.bundles],
        "work": money(tier.work, digits),
        "subtotal": money(tier.subtotal, digits),
        "taxes": [
            {"tax": line.tax, "base": money(line.base, digits), "amount": money(line.amount, digits)}
            for line in tier.taxes
        ],
        "tax": money(tier.tax, digits),
        "total": money(tier.total, digits),
        "deposit": money(tier.deposit, digits),
        "due": money(tier.due, digits),
        "ready_days": tier.ready_days,
        "horizon_cost": money(tier.horizon_cost, digits),
    }


def _amounts(tier: PricedTier, digits: int) -> JsonObject:
    amounts = tier.amounts
    return {
        "labour": money(amounts.labour, digits),
        "parts": money(amounts.parts, digits),
        "cores": money(amounts.cores, digits),
        "sublet": money(amounts.sublet, digits),
        "savings": money(amounts.savings, digits),
        "supplies": money(amounts.supplies, digits),
        "fees": money(amounts.fees, digits),
        "freight": money(amounts.freight, digits),
        "inspection": money(amounts.inspection, digits),
        "inspection_credit": money(amounts.inspection_credit, digits),
    }


def _tier_shop(tier: PricedTier, digits: int) -> JsonObject:
    cost = tier.cost
    return {
        "shares": [
            {
                "item": share.item,
                "hours": plain(share.hours),
                "labour": money(share.labour, digits),
                "parts": money(share.parts, digits),
                "sublet": money(share.sublet, digits),
                "amount": money(share.amount, digits),
            }
            for share in tier.shares
        ],
        "cost": {
            "labour": money_or_none(cost.labour, digits),
            "parts_used": money_or_none(cost.parts_used, digits),
            "cores": money(cost.cores, digits),
            "sublet": money_or_none(cost.sublet, digits),
            "freight": money(cost.freight, digits),
            "total": money_or_none(cost.total, digits),
        },
        "cash_for_parts": money(tier.cash_for_parts, digits),
        "margin": money_or_none(tier.margin, digits),
        "compared": tier.compared,
        "proof": _proof(tier.proof, digits),
        "extras": [_extra(extra, digits) for extra in tier.extras],
    }


def _proof(proof: Proof | None, digits: int) -> JsonObject | None:
    if proof is None:
        return None
    return {
        "method": proof.method,
        "choices": proof.choices,
        "priced": proof.priced,
        "bound": money(proof.bound, digits),
        "gap": money(proof.gap, digits),
        "settled": proof.settled,
    }


def _extra(extra: OfferedExtra, digits: int) -> JsonObject:
    return {
        "extra": extra.extra,
        "kind": extra.kind,
        "why": extra.why,
        "price": money(extra.price, digits),
        "at_most": money(extra.at_most, digits),
        "work": money(extra.work, digits),
        "subtotal": money(extra.subtotal, digits),
        "tax": money(extra.tax, digits),
        "total": money(extra.total, digits),
    }
