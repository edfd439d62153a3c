"""A recount of the review from the export of a ledger alone: JSON in, JSON out, its own formulas in Fractions.

It reads `entries.json` and the rows of the sheets of a shop book, imports nothing of the program, and says every figure
of `quotekit review --json`. The rules are those of the words: the issue's, TRADE 12, and the modules' statements.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from fractions import Fraction as F
from typing import Any

from tests.review import recount_quotes, recount_times
from tests.review.recount_job import COSTS, Done, Told
from tests.review.recount_numbers import ZERO, Json, day_of, hours_shown, key_of, rounded, signed, total
from tests.review.recount_orders import Orders

Sheets = dict[str, list[list[Any]]]
DIGITS = {"JPY": 0, "KWD": 3}
KINDS = ("issued", "accepted", "declined", "closed", "billed", "comeback")


class Recount:
    """The whole review of some days."""

    def __init__(self, entries: Sequence[Json], first: date, last: date, sheets: Sheets | None = None) -> None:
        self.first, self.last = first, last
        self.book = recount_times.Book(sheets) if sheets is not None else None
        seen = [entry for entry in entries if day_of(entry) <= last]
        by_job: dict[str, list[Json]] = defaultdict(list)
        for entry in seen:
            if entry["kind"] in KINDS:
                by_job[key_of(entry["job"])].append(entry)
        self.links = {key_of(entry["job"]): entry["body"]["first_job"] for entry in seen if entry["kind"] == "comeback"}
        kept = [Told(each) for each in by_job.values() if any(first <= day_of(one) for one in each)]
        quotes = [one for told in kept for one in told.of["issued"]]
        newest = max(quotes, key=lambda one: one["seq"], default=None)
        self.currency = newest["body"]["currency"] if newest else ""
        self.language = newest["body"]["language"] if newest else "en_US"
        self.digits = DIGITS.get(self.currency, 2)
        self.stories = [
            told for told in kept if not told.of["issued"] or told.of["issued"][-1]["body"]["currency"] == self.currency
        ]
        self.left_out = len(kept) - len(self.stories)
        self.orders = Orders(seen)
        closed = [Done(self, told) for told in self.stories if self._counts(told)]
        self.jobs = sorted(closed, key=lambda job: (job.day, job.name))
        self._charge()

    def _counts(self, told: Told) -> bool:
        return bool(told.of["closed"]) and told.agreed() is not None and self.first <= day_of(told.of["closed"][-1])

    def money(self, value: F | None) -> str | None:
        """In the currency's digits."""
        return rounded(value, self.digits)

    def first_of(self, job: str) -> str:
        """The beginning of a chain of comebacks."""
        seen = {key_of(job)}
        while key_of(job) in self.links and key_of(self.links[key_of(job)]) not in seen:
            job = self.links[key_of(job)]
            seen.add(key_of(job))
        return job

    def _charge(self) -> None:
        """Comebacks to their first jobs; amounts as shown add up."""
        for job in self.jobs:
            job.first_job = self.first_of(job.name) if job.comeback else ""
        for job in self.jobs:
            job.back = [one for one in self.jobs if one.comeback and key_of(one.first_job) == key_of(job.name)]
            shown = [one.shown_profit for one in job.back]
            job.back_result = None if None in shown else total(one for one in shown if one is not None)
            known = job.shown_profit is not None and job.back_result is not None and not job.first_job
            job.after = (job.shown_profit or ZERO) + (job.back_result or ZERO) if known else None

    def json(self) -> Json:
        """Every figure."""
        return {
            "span": {"first": self.first.isoformat(), "last": self.last.isoformat()},
            "currency": self.currency,
            "shop_name": None if self.book is None else self.book.shop_name,
            "language": self.language if self.book is None else self.book.language,
            "jobs": [job.json() for job in self.jobs],
            "totals": self.totals(),
            "months": self.months(),
            "comebacks": self.comebacks(),
            **recount_times.figures(self),
            **recount_quotes.figures(self),
            "productivity": self.productivity(),
            "other_currency": self.left_out,
        }

    def totals(self) -> Json:
        """Sums over the jobs whose profit is known."""
        known = [job for job in self.jobs if job.profit is not None]
        hours = total(job.hours for job in known)
        left = total(F(self.money(job.contribution) or 0) for job in known)
        first = [
            job for job in self.jobs if job.first_quoted is not None and job.invoiced is not None and not job.first_job
        ]
        sums = {
            name: total(F(self.money(getattr(job, name)) or 0) for job in known)
            for name in (*COSTS, "invoiced", "profit")
        }
        return {
            "jobs": len(self.jobs),
            "known": len(known),
            **{name: sums[name] for name in sums},
            "contribution": left,
            "per_bench_hour": self.money(left / hours) if hours else None,
            "first_quoted": total(F(job.first_quoted) for job in first),
            "first_agreed": total(F(job.agreed["subtotal"]) for job in first),
            "first_invoiced": total(job.invoiced or ZERO for job in first),
            "variances": self._variances(),
        }

    def _variances(self) -> Json:
        shown = [job.variances() for job in self.jobs]
        found: Json = {"parts_left_out": sum(one["parts_left_out"] for one in shown)}
        for name in ("labour_rate", "labour_time", "material_price", "material_quantity"):
            amounts = [F(one[name]["amount"]) for one in shown if one[name] is not None]
            none = name.startswith("labour") and not amounts
            found[name] = None if none else signed(total(amounts))
        return found

    def months(self) -> list[Json]:
        """By the month of closing."""
        by_month: dict[date, list[Done]] = defaultdict(list)
        for job in self.jobs:
            by_month[job.day.replace(day=1)].append(job)
        found = []
        for first, jobs in sorted(by_month.items()):
            known = [job for job in jobs if job.profit is not None]
            left = [job for job in jobs if job.contribution is not None and not job.unwritten]
            hours = total(job.hours for job in left)
            money = total(F(self.money(job.contribution) or 0) for job in left)
            found.append(
                {
                    "first": first.isoformat(),
                    "jobs": len(jobs),
                    "known": len(known),
                    "invoiced": total(job.invoiced or ZERO for job in known),
                    "profit": total(F(self.money(job.profit) or 0) for job in known),
                    "sold_hours": total(F(hours_shown(job.sold)) for job in jobs),
                    "actual_hours": total(job.hours for job in jobs),
                    "per_bench_hour": self.money(money / hours) if hours else None,
                }
            )
        return found

    def comebacks(self) -> list[Json]:
        """Each with the paying work its hours lost."""
        paying = [job for job in self.jobs if job.contribution is not None and not job.first_job and not job.unwritten]
        hours = total(job.hours for job in paying)
        an_hour = total(F(self.money(job.contribution) or 0) for job in paying) / hours if hours else None
        return [
            {
                "job": job.name,
                "first_job": job.first_job,
                "closed": job.day.isoformat(),
                "cause": job.comeback["cause"],
                "hours": job.hours,
                "result": job.shown_profit,
                "lost_work": None if an_hour is None or job.unwritten else self.money(job.hours * an_hour),
            }
            for job in self.jobs
            if job.comeback
        ]

    def productivity(self) -> Json:
        """Hours sold and worked."""
        sold, worked = total(job.sold for job in self.jobs), total(job.hours for job in self.jobs)
        sales = total(job.labour_sales for job in self.jobs)
        known = [job for job in self.jobs if not job.unwritten]
        sold_known, sales_known = total(job.sold for job in known), total(job.labour_sales for job in known)
        return {
            "jobs": len(self.jobs),
            "sold": rounded(sold, 2),
            "actual": rounded(worked, 2),
            "labour_sales": self.money(sales),
            "efficiency": rounded(sold_known / worked, 4) if worked else None,
            "rate_sold": self.money(sales / sold) if sold else None,
            "rate_actual": self.money(sales_known / worked) if worked else None,
            "without_hours": len(self.jobs) - len(known),
            **dict.fromkeys(("clock", "planned_sold", "productivity", "on_jobs", "break_even_rate")),
        }
