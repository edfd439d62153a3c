"""The recount's quotes and parts: what became of each quote, ages, reasons, margin by band, chances of loss."""

from __future__ import annotations

from collections import Counter
from datetime import date
from fractions import Fraction as F
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from tests.review.recount_job import COSTS, Done, Told
from tests.review.recount_numbers import day_of, rounded

if TYPE_CHECKING:
    from tests.review.recount import Recount

Json = dict[str, Any]
BANDS = ((0, 3, "0-3"), (4, 7, "4-7"), (8, 14, "8-14"), (15, 30, "15-30"), (31, 10**6, "30+"))
PLAIN = ((F(0), F(5)), (F(5), F(20)), (F(20), F(50)), (F(50), F(150)), (F(150), None))
FEWEST, MOST, SAMPLES = 10, 200, 1000


def figures(all_of: Recount) -> Json:
    """Options, ages, reasons, bands, chances."""
    quotes = [one for told in all_of.stories for one in _quote(told, all_of)]
    past = _past(all_of)
    return {
        "wins": _wins(quotes),
        "quotes": len(quotes),
        "ageing": _ages(quotes),
        "lost": _lost(quotes),
        "parts": _bands(all_of),
        "losses": _open_losses(quotes, past),
        "tier_losses": _tier_losses(past, all_of),
    }


def _quote(told: Told, all_of: Recount) -> list[Json]:
    """What became of a job's quote; nothing for a comeback or where nothing was offered."""
    if told.of["comeback"] or not told.of["issued"]:
        return []
    by_version = {one["version"]: one for one in told.of["issued"]}
    shown, end, day, tier, why = told.of["issued"][-1], "open", all_of.last, "", ""
    if told.yes() is not None:
        said = next(yes for yes in told.of["accepted"] if not told.refused(yes["version"], yes["seq"]))
        shown, end, day, tier = (
            by_version.get(said["version"], shown),
            "accepted",
            day_of(said),
            said["body"]["tier"],
        )
    elif told.of["declined"] and told.of["declined"][-1]["seq"] > shown["seq"]:
        no = told.of["declined"][-1]
        shown, end, day, why = (
            by_version.get(no["version"], shown),
            "declined",
            day_of(no),
            no["body"]["reason"],
        )
    elif date.fromisoformat(shown["body"]["valid_until"]) < all_of.last:
        end, why = "lapsed", "no word"
    offered = shown["body"]["offered"]
    if not offered or day_of(shown) < all_of.first:
        return []
    days = max((day - day_of(shown)).days, 0)
    return [{"job": told.job, "issued": shown, "offered": offered, "end": end, "days": days, "tier": tier, "why": why}]


def _wins(quotes: list[Json]) -> list[Json]:
    longest = sorted(quotes, key=lambda one: -len(one["offered"]))
    tiers = dict.fromkeys(option["code"] for one in longest for option in one["offered"])
    made = []
    for tier in tiers:
        of = [one for one in quotes if tier in {option["code"] for option in one["offered"]}]
        ends = Counter("chosen" if one["tier"] == tier else one["end"] for one in of)
        newest = max(of, key=lambda one: one["issued"]["seq"])
        decided = len(of) - ends["open"]
        made.append({
            "tier": tier,
            "name": next(option["name"] for option in newest["offered"] if option["code"] == tier),
            "shown": len(of), "open": ends["open"], "chosen": ends["chosen"], "other_chosen": ends["accepted"],
            "declined": ends["declined"], "lapsed": ends["lapsed"],
            "rate": rounded(F(ends["chosen"], decided), 4) if decided else None,
        })  # fmt: skip
    return made


def _ages(quotes: list[Json]) -> list[Json]:
    made = []
    for low, high, name in BANDS:
        of = [one for one in quotes if low <= one["days"] <= high]
        ends = Counter(one["end"] for one in of)
        least = [min(F(option["subtotal"]) for option in one["offered"]) for one in of if one["end"] == "open"]
        figures = {"open": ends["open"], "open_from": sum(least, F(0))}
        made.append({"name": name, **figures, "accepted": ends["accepted"], "declined": ends["declined"]})
    return made


def _lost(quotes: list[Json]) -> list[Json]:
    counted = Counter(one["why"] or "no word" for one in quotes if one["end"] in ("declined", "lapsed"))
    return [{"reason": why, "quotes": n} for why, n in sorted(counted.items(), key=lambda one: (-one[1], one[0]))]


def _bands(all_of: Recount) -> Json:
    from_book = all_of.book is not None and bool(all_of.book.markup)
    bands = sorted(all_of.book.markup) if from_book and all_of.book is not None else PLAIN
    inside: dict[int, list[tuple[F, F]]] = {place: [] for place in range(len(bands))}
    unknown, lost = 0, F(0)
    for job in all_of.jobs:
        if job.comeback:
            continue
        for standard, cost, units, sales in job.sales:
            place = None
            if standard is not None and cost is not None:
                fit = (n for n, (over, to) in enumerate(bands) if standard > over and (to is None or standard <= to))
                place = next(fit, None)
            if place is None or cost is None:
                unknown, lost = unknown + 1, lost + sales
            else:
                inside[place].append((sales, units * cost))
    made = []
    for place, (over, to) in enumerate(bands):
        sales, cost = (sum((pair[n] for pair in inside[place]), F(0)) for n in (0, 1))
        made.append({
            "over": over, "up_to": to, "lines": len(inside[place]), "sales": all_of.money(sales),
            "cost": all_of.money(cost), "margin": all_of.money(sales - cost),
            "share": rounded((sales - cost) / sales, 4) if sales else None,
        })  # fmt: skip
    return {"bands": made, "from_book": from_book, "cost_unknown": unknown, "sales_unknown": all_of.money(lost)}


def _past(all_of: Recount) -> list[tuple[Done, F | None]]:
    """Closed jobs, no comebacks, with actual by agreed cost, what comebacks lost added."""
    made: list[tuple[Done, F | None]] = []
    for job in all_of.jobs:
        if job.comeback or job.back_result is None:
            continue
        parts = [getattr(job, name) for name in COSTS]
        agreed = job.agreed["cost_total"]
        known = None not in parts and agreed is not None and F(agreed)
        made.append((job, (sum(parts, F(0)) - job.back_result) / F(agreed) if known else None))
    return made


def _open_losses(quotes: list[Json], past: list[tuple[Done, F | None]]) -> list[Json]:
    made = []
    for one in quotes:
        for option in one["offered"] if one["end"] == "open" else ():
            if option["margin"] is None:
                continue
            price, cost = F(option["subtotal"]), F(option["subtotal"]) - F(option["margin"])
            known = [(job.agreed["tier"], ratio) for job, ratio in past if ratio is not None]
            own = [ratio for tier, ratio in known if tier == option["code"]]
            like = (own if len(own) >= FEWEST else [ratio for _, ratio in known])[-MOST:]
            losing = sum(ratio * cost > price for ratio in like)
            made.append({
                "job": one["job"], "version": one["issued"]["version"] or 1, "tier": option["code"],
                "name": option["name"],
                "subtotal": price, "cost": cost, "jobs": len(like), "same_tier": len(own) >= FEWEST, "losing": losing,
                **_chance(losing, len(like)),
            })  # fmt: skip
    return made


def _tier_losses(past: list[tuple[Done, F | None]], all_of: Recount) -> list[Json]:
    made = []
    billed = [job for job, _ in past if job.after is not None]
    known = [job for job, ratio in past if ratio is not None]
    for tier in sorted({job.agreed["tier"] for job in (*billed, *known)}):
        lost = [job.after < 0 for job in billed if job.agreed["tier"] == tier and job.after is not None][-MOST:]
        own = [(job, ratio) for job, ratio in past if ratio is not None and job.agreed["tier"] == tier]
        agreed = sum((F(job.agreed["cost_total"]) for job, _ in own), F(0))
        actual = sum((F(job.agreed["cost_total"]) * ratio for job, ratio in own if ratio is not None), F(0))
        made.append({
            "tier": tier, "name": own[-1][0].agreed["option"] if own else tier, "jobs": len(lost), "losing": sum(lost),
            **_chance(sum(lost), len(lost)), "cost_ratio": rounded(actual / agreed, 4) if agreed else None,
        })  # fmt: skip
    return made


_SAMPLES: dict[int, list[list[int]]] = {}


def _chance(losing: int, jobs: int) -> Json:
    """The share, and the middle nine tenths of the samples."""
    if jobs < FEWEST:
        return {"chance": None, "low": None, "high": None}
    if losing in (0, jobs):
        far = F(next(n for n in range(10_001) if F(10_000 - n, 10_000) ** jobs <= F(1, 20)), 10_000)
        low, high = (F(0), far) if losing == 0 else (1 - far, F(1))
        return {"chance": rounded(F(losing, jobs), 4), "low": low, "high": high}
    if jobs not in _SAMPLES:
        drawn: list[int] = []
        block = 0
        while len(drawn) < jobs * SAMPLES:
            digest = sha256(f"chance of loss|{jobs}|{block}".encode()).digest()
            words = [int.from_bytes(digest[at : at + 4], "big") for at in range(0, 32, 4)]
            drawn += [word % jobs for word in words if word < 2**32 // jobs * jobs]
            block += 1
        _SAMPLES[jobs] = [drawn[n * jobs : (n + 1) * jobs] for n in range(SAMPLES)]
    counts = sorted(sum(place < losing for place in sample) for sample in _SAMPLES[jobs])
    ends = (losing, counts[SAMPLES // 20], counts[SAMPLES - 1 - SAMPLES // 20])
    chance, first, last = (rounded(F(n, jobs), 4) for n in ends)
    return {"chance": chance, "low": first, "high": last}
