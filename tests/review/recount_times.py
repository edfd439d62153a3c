"""The recount's times: ratios of sums, how small counts are drawn to the mean, intervals and proposals; and the book.

Formulas: Buhlmann and Straub as in the statement of `credibility`, in Fractions; roots by Decimal; the reach by
integrating the density of Student's t.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from decimal import Decimal, localcontext
from fractions import Fraction as F
from functools import cache
from math import ceil, exp, lgamma, pi, sqrt
from typing import TYPE_CHECKING, Any

from tests.review.recount_job import Done
from tests.review.recount_numbers import key_of, rounded

if TYPE_CHECKING:
    from tests.review.recount import Recount

Json = dict[str, Any]
Code = tuple[str, str]
FEWEST = 5


class Book:
    """What the review needs of a shop book, from the rows of its sheets."""

    def __init__(self, sheets: dict[str, list[list[Any]]]) -> None:
        shop = dict(row[:2] for row in sheets["Shop"][1:])
        self.shop_name, self.language = shop["Shop name"], shop.get("Language", "en_US")
        self.rates = _rows(sheets, "Labour rates")
        self.markup = [(F(str(r["Cost over"])), _number(r["Cost up to"])) for r in _rows(sheets, "Markup")]
        self.operations = {row["Code"]: row for row in _rows(sheets, "Operations")}
        self.access = {row["Code"]: row for row in _rows(sheets, "Access")}
        self.conditions = {row["Code"]: row for row in _rows(sheets, "Conditions")}

    def in_force(self, day: date) -> dict[str, Json]:
        """The latest row of each labour code that is not after a day; rows without a day are the oldest."""
        found: dict[str, Json] = {}
        for row in self.rates:
            since = row.get("In force from") or date.min
            if since <= day and (
                row["Code"] not in found or since > (found[row["Code"]].get("In force from") or date.min)
            ):
                found[row["Code"]] = row
        return found

    def cost_of(self, person: str, rate: str, day: date, standard: F | None) -> F | None:
        """What an hour of somebody costs: their own row, else the dated row of the rate, else as agreed."""
        rows = self.in_force(day)
        who = key_of(person)
        own = [row for row in rows.values() if who and who in {key_of(row["Code"]), key_of(row["Name"] or "")}]
        if len(own) == 1 and own[0]["Cost per hour"] is not None:
            return F(str(own[0]["Cost per hour"]))
        row = rows.get(rate)
        if row is not None and row.get("In force from") and row["Cost per hour"] is not None:
            return F(str(row["Cost per hour"]))
        return standard

    def cells(self, kind: str, code: str) -> tuple[str, list[tuple[str, F]]]:
        """Cells that hold a time of an operation or step."""
        sheet, columns = ("Access", ("Hours to open", "Hours to close")) if kind == "access" else (
            "Operations", ("Net hours", "Second side hours"))  # fmt: skip
        row = (self.access if kind == "access" else self.operations).get(code)
        if row is None:
            return sheet, []
        found = [(column, _number(row.get(column))) for column in columns]
        return sheet, [
            (column, hours) for column, hours in found if hours or (column == "Net hours" and hours is not None)
        ]

    def norm(self, kind: str, code: str) -> F | None:
        """The standard time in force."""
        _, cells = self.cells(kind, code)
        row = (self.access if kind == "access" else self.operations).get(code)
        if row is None:
            return None
        return sum((hours for _, hours in cells), F(0)) if kind == "access" else _number(row["Net hours"])


def figures(all_of: Recount) -> Json:
    """Shop, accuracy, split hours and proposals."""
    measured = [one for job in all_of.jobs for one in _measured(job)]
    norms = _norms(measured, all_of.book)
    shop, accuracy, usual = [], [], {}
    for circumstance in ("usual", "rust", "minimum"):
        groups: dict[Code, list[Json]] = defaultdict(list)
        older: dict[Code, int] = defaultdict(int)
        for one in measured:
            if one["circumstance"] == circumstance:
                if one["norm"] == norms[one["of"]]:
                    groups[one["of"]].append(one)
                else:
                    older[one["of"]] += 1
        if not groups:
            continue
        drawn = Drawn([groups[code] for code in groups])
        shop.append(drawn.shop(circumstance, groups))
        for code in sorted(groups, key=lambda code: (code[1], code[0])):
            line = drawn.line(circumstance, groups[code], older[code])
            accuracy.append(line)
            if circumstance == "usual":
                group = groups[code]
                usual[code] = (line, drawn.shrunk(group), drawn.variance(group), group, drawn.width(group))
        if circumstance == "usual":
            usual_mean = drawn.mean
    mean = usual_mean if usual else F(1)
    proposals = [*_times(usual, all_of.book), *_allowances(measured, usual, mean, all_of.book)]
    return {"shop": shop, "accuracy": accuracy, "split": _split(all_of), "proposals": proposals}


def _work(job: Done) -> list[Json]:
    """Agreed work of the catalogue that was done; none of a comeback."""
    if job.comeback:
        return []
    return [
        work for work in job.agreed["work"]
        if work["kind"] != "one-off" and F(work["hours"]) > 0 and work["key"] not in job.fell
    ]  # fmt: skip


def _measured(job: Done) -> list[Json]:
    norm: dict[Code, F] = defaultdict(F)
    for work in job.agreed["work"]:
        norm[work["kind"], work["code"]] = max(norm[work["kind"], work["code"]], F(work["hours"]))
    found: dict[Code, Json] = {}
    for work in _work(job):
        lines = [line for line in job.closing["hours"] if line["work"] == work["key"]]
        hours = sum((F(line["hours"]) for line in lines), F(0))
        if not hours or not all(line["measured"] for line in lines):
            continue
        code = (work["kind"], work["code"])
        rusty = job.agreed["condition"] and work["slowed_by_rust"]
        least = F(job.agreed["minimum_amount"]) > 0
        one = found.setdefault(code, {
            "of": code, "name": work["name"], "job": job.name, "day": job.day, "norm": norm[code],
            "circumstance": "rust" if rusty else "minimum" if least else "usual",
            "condition": job.agreed["condition"], "standard": F(0), "actual": F(0),
        })  # fmt: skip
        one["standard"] += F(work["hours"])
        one["actual"] += hours
    return list(found.values())


def _norms(measured: Sequence[Json], book: Book | None) -> dict[Code, F]:
    """Of the book, else of the newest job, the last of the newest day."""
    found: dict[Code, F] = {}
    newest: dict[Code, date] = {}
    for one in measured:
        if one["day"] >= newest.get(one["of"], date.min):
            newest[one["of"]], found[one["of"]] = one["day"], one["norm"]
    if book is not None:
        for code in found:
            known = book.norm(*code)
            found[code] = found[code] if known is None else known
    return found


class Drawn:
    """Ratios of sums and the mean they are drawn to."""

    def __init__(self, groups: Sequence[Sequence[Json]]) -> None:
        self.count = len(groups)
        weights = [F(len(group)) for group in groups]
        ratios = [_ratio(group) for group in groups]
        self.degrees = degrees = sum(len(group) - 1 for group in groups)
        self.within = sum((_square(group) for group in groups), F(0)) / degrees if degrees else None
        all_of = sum(weights)
        overall = sum(w * x for w, x in zip(weights, ratios, strict=True)) / all_of
        self.between = F(0)
        room = all_of - sum(w * w for w in weights) / all_of
        if self.within is not None and room:
            spread = sum(w * (x - overall) ** 2 for w, x in zip(weights, ratios, strict=True))
            self.between = max((spread - (len(groups) - 1) * self.within) / room, F(0))
        self.prior = self.within / self.between if self.within is not None and self.between else None
        self.mean = overall
        if self.prior is not None:
            shares = [w / (w + self.prior) for w in weights]
            if any(shares):
                self.mean = sum(z * x for z, x in zip(shares, ratios, strict=True)) / sum(shares)

    def share(self, group: Sequence[Json]) -> F:
        """What a group's own ratio counts for."""
        return F(0) if self.prior is None else F(len(group)) / (len(group) + self.prior)

    def shrunk(self, group: Sequence[Json]) -> F:
        """Its ratio drawn to the mean."""
        return self.mean + self.share(group) * (_ratio(group) - self.mean)

    def variance(self, group: Sequence[Json]) -> F | None:
        """Of a group's own ratio, steadied by ten jobs' worth of what all share."""
        if self.within is None:
            return None
        return (_square(group) + 10 * self.within) / (len(group) - 1 + 10) / len(group)

    def width(self, group: Sequence[Json]) -> F | None:
        """Of half the interval; none where two degrees of freedom are not there."""
        variance, degrees = self.variance(group), min(len(group) - 1 + 10, self.degrees)
        return None if variance is None or degrees < 2 else reach(self.count, degrees) * root(variance)

    def shop(self, circumstance: str, groups: dict[Code, list[Json]]) -> Json:
        """The line of the shop's mean."""
        known = self.within is not None
        return {
            "circumstance": circumstance,
            "groups": len(groups),
            "jobs": len({one["job"] for group in groups.values() for one in group}),
            "mean": rounded(self.mean, 4),
            "within": rounded(self.within, 4),
            "between": rounded(self.between, 4) if known else None,
            "prior_jobs": rounded(self.prior, 1),
        }

    def line(self, circumstance: str, group: Sequence[Json], older: int) -> Json:
        """The line of an operation or step."""
        shrunk, error = self.shrunk(group), self.width(group)
        if error is None:
            low, high = F(0), 2 * F(rounded(shrunk, 4) or 0)
        else:
            middle = _ratio(group)
            low = max(min(_four(middle - error), _four(shrunk)), F(0))
            high = max(_four(middle + error), _four(shrunk))
        spread = _square(group) / (len(group) - 1) if len(group) > 1 else None
        return {
            "kind": group[-1]["of"][0],
            "code": group[-1]["of"][1],
            "name": group[-1]["name"],
            "circumstance": circumstance,
            "jobs": len(group),
            "standard": sum(one["standard"] for one in group),
            "actual": sum(one["actual"] for one in group),
            "ratio": rounded(_ratio(group), 4),
            "spread": None if spread is None else rounded(root(spread), 4),
            "weight": rounded(self.share(group), 4),
            "shrunk": rounded(shrunk, 4),
            "low": low,
            "high": high,
            "older": older,
        }


def _four(value: F) -> F:
    return F(rounded(value, 4) or 0)


def _ratio(group: Sequence[Json]) -> F:
    return sum((one["actual"] for one in group), F(0)) / sum((one["standard"] for one in group), F(0))


def _square(group: Sequence[Json]) -> F:
    """Squares about the ratio; a job weighs its standard hours by their mean."""
    mean = sum((one["standard"] for one in group), F(0)) / len(group)
    ratio = _ratio(group)
    return sum((one["standard"] / mean * (one["actual"] / one["standard"] - ratio) ** 2 for one in group), F(0))


def root(number: F) -> F:
    """To 50 digits."""
    with localcontext() as context:
        context.prec = 50
        return F((Decimal(number.numerator) / Decimal(number.denominator)).sqrt())


@cache
def reach(intervals: int, degrees: int) -> F:
    """Standard errors to each side, so that all hold together with 95 %; four decimals, up.

    Student's t by its density: the integral by Simpson's rule in floats, the end by halving.
    """
    even = min(degrees, 200) // 2 * 2
    height = exp(lgamma((even + 1) / 2) - lgamma(even / 2)) / sqrt(even * pi)

    def tail(end: float) -> float:
        """Beyond the end, in one of the two tails, as an integral of u = 1 / x from 0."""
        steps = 2000
        width = 1 / end / steps
        heights = [0.0] + [
            height * (1 + 1 / (u * u * even)) ** (-(even + 1) / 2) / (u * u)
            for u in (width * n for n in range(1, steps + 1))
        ]
        return width / 3 * sum(h * (1 if n in (0, steps) else 4 if n % 2 else 2) for n, h in enumerate(heights))

    low, high = 0.5, 1e6
    while high - low > 1e-12:
        middle = (low + high) / 2
        low, high = (low, middle) if 2 * tail(middle) <= 0.05 / intervals else (middle, high)
    return F(ceil(high * 10_000 - 1e-7), 10_000)


def _split(all_of: Recount) -> list[Json]:
    found: dict[Code, Json] = {}
    for job in all_of.jobs:
        for work in _work(job):
            lines = [line for line in job.closing["hours"] if line["work"] == work["key"] and not line["measured"]]
            hours = sum((F(line["hours"]) for line in lines), F(0))
            if hours:
                one = found.setdefault((work["kind"], work["code"]), {"standard": F(0), "hours": F(0), "jobs": set()})
                one["name"] = work["name"]
                one["standard"] += F(work["hours"])
                one["hours"] += hours
                one["jobs"].add(job.name)
    ordered = sorted(found, key=lambda code: (code[1], code[0]))
    return [{"code": code[1], **found[code], "jobs": len(found[code]["jobs"])} for code in ordered]


def _times(usual: dict[Code, Any], book: Book | None) -> list[Json]:
    made = []
    for code, (line, shrunk, _, group, width) in usual.items():
        longer = line["low"] > F(105, 100) and width is not None and shrunk > 1 + width
        shorter = line["high"] < F(95, 100) and width is not None and shrunk < 1 - width
        if len(group) < FEWEST or abs(shrunk - 1) < F(1, 10) or not (longer or shorter):
            continue
        norm = group[-1]["norm"]

        def hours(of: F, line: Json = line, shrunk: F = shrunk) -> Json:
            ends = (("new", shrunk), ("low", line["low"]), ("high", line["high"]))
            return {name: rounded(of * ratio, 2) for name, ratio in ends}

        sheet, cells = ("", []) if book is None else book.cells(*code)
        made.append({
            "kind": code[0], "code": code[1], "name": group[-1]["name"], "jobs": len(group), "in_force": norm,
            "ratio": line["ratio"], "shrunk": line["shrunk"], **hours(norm),
            "changes": [
                {"sheet": sheet, "code": code[1], "column": column, "in_force": now, **hours(now)}
                for column, now in cells
            ],
        })  # fmt: skip
    return made


def _allowances(measured: Sequence[Json], usual: dict[Code, Any], mean: F, book: Book | None) -> list[Json]:
    rusty: dict[str, list[Json]] = defaultdict(list)
    for one in measured:
        if one["circumstance"] == "rust":
            rusty[one["condition"]].append(one)
    made = []
    for condition in sorted(rusty):
        row = None if book is None else book.conditions.get(condition)
        actual: dict[str, F] = defaultdict(F)
        expected: dict[str, F] = defaultdict(F)
        by_code: dict[Code, F] = defaultdict(F)
        for one in rusty[condition]:
            wanted = one["standard"] * (usual[one["of"]][1] if one["of"] in usual else mean)
            actual[one["job"]] += one["actual"]
            expected[one["job"]] += wanted
            by_code[one["of"]] += wanted
        count, whole = len(actual), sum(expected.values())
        ratio = sum(actual.values()) / whole
        if row is None or count < FEWEST or count < 3:
            continue
        off = sum(
            (
                (by_code[code] / whole) ** 2 * (usual[code][2] or 0) / usual[code][1] ** 2
                for code in by_code
                if code in usual
            ),
            F(0),
        )
        squares = sum((actual[job] - ratio * expected[job]) ** 2 for job in actual)
        error = root(F(count, count - 1) * squares / whole**2 + ratio**2 * off) * reach(len(rusty), count - 1)
        low, high = _four(ratio - error), _four(ratio + error)
        now = F(str(row["Allowance"]))
        shares = {
            name: rounded(max(each - 1, F(0)), 2) for name, each in (("new", ratio), ("low", low), ("high", high))
        }
        if abs(F(shares["new"] or 0) - now) < F(5, 100) or low <= 1 + now <= high:
            continue
        made.append({
            "kind": "condition", "code": condition, "name": row["Name"], "jobs": count, "in_force": now,
            "ratio": rounded(ratio, 4), "shrunk": rounded(ratio, 4), **shares,
            "changes": [{"sheet": "Conditions", "code": condition, "column": "Allowance", "in_force": now, **shares}],
        })  # fmt: skip
    return made


def _rows(sheets: dict[str, list[list[Any]]], name: str) -> list[Json]:
    titles, *rows = sheets.get(name, [[]])
    return [dict(zip(titles, row, strict=True)) for row in rows]


def _number(value: Any) -> F | None:
    return None if value is None else F(str(value))
