"""What `quotekit life` says: the life, the formula with its numbers, its source, and what it does not know."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from quotekit.pricing.lives.age_replacement import AgeReplacement
    from quotekit.pricing.lives.bearing import BearingLife

BEARING_STANDARD = "ISO 281:2007, basic rating life"
BEARING_CAUTION = (
    "A statistical estimate: nine in ten of many equal bearings reach it under clean lubrication and good fitting.",
    "Dirt, water, a lost cap or shock ends most bearings of small machines sooner. The maker's figures come first.",
)
LEAST_YEARS, MOST_YEARS = Decimal("0.01"), 100
"""The least and the most that the column Life years takes."""

HEAVY = "The load is above half the rating: ask the maker before trusting this."
REPLACE_SOURCE = "age replacement policy for a Weibull life (Barlow and Proschan)"
REPLACE_CAUTION = (
    "A statistical estimate, as good as the scale and shape, which need records of many equal parts.",
    "The maker's replacement interval comes first, and a part that may hurt someone is never run to failure.",
)


class Told(NamedTuple):
    """The answer for people and for programs."""

    lines: list[str]
    as_json: dict[str, object]


def tell_bearing(
    rating: Decimal, load: Decimal, speed: Decimal, hours_a_year: Decimal, kind: Literal["ball", "roller"]
) -> Told:
    """The rating life of a bearing. Raises ValueError, in words, for what the formula does not cover."""
    from quotekit.pricing.lives.bearing import EXPONENTS, bearing_life

    life = bearing_life(rating, load, speed, hours_a_year, kind)
    power = str(EXPONENTS[kind])
    formula = f"L10 = (C / P) ** {power if kind == 'ball' else f'({power})'}"
    numbers = formula.replace("C", f"{rating}").replace("P", f"{load}")
    cautions = [*([HEAVY] if life.heavy else []), *BEARING_CAUTION]
    lines = [
        _life_line(life.years),
        f"{formula}, {kind} bearing: {BEARING_STANDARD}",
        f"{numbers} = {shown(life.million_revolutions, 2)} million revolutions",
        f"at {speed} turns a minute: {shown(life.hours, 0)} hours; at {hours_a_year} hours a year: "
        f"{years_text(life.years)} years",
        *cautions,
    ]
    given = {"rating": rating, "load": load, "speed": speed, "hours_a_year": hours_a_year}
    return Told(lines, {"kind": "bearing", "bearing": kind, **_texts(given), **_bearing_json(life, formula, cautions)})


def tell_replacement(planned: Decimal, failure: Decimal, scale: Decimal, shape: Decimal) -> Told:
    """The cheapest planned age. Raises ValueError, in words, for what the rule does not cover."""
    from quotekit.pricing.lives.age_replacement import replace_by_age
    from quotekit.pricing.lives.weibull import a_weibull

    best = replace_by_age(planned, failure, a_weibull(scale, shape))
    life = best.mean if best.age is None else best.age
    formula = "cost a year = (planned x R(T) + failure x (1 - R(T))) / years lived, R(T) = exp(-(T / scale) ** shape)"
    lines = [
        _life_line(life),
        f"{formula}: {REPLACE_SOURCE}",
        *_replacement_lines(best),
        *REPLACE_CAUTION,
    ]
    given = {"planned_cost": planned, "failure_cost": failure, "scale": scale, "shape": shape}
    answer: dict[str, object] = {
        "life_years": years_text(life),
        "planned_age": None if best.age is None else years_text(best.age),
        "cost_a_year": shown(best.cost_rate, 4),
        "run_to_failure_a_year": shown(best.run_to_failure, 4),
        "mean_life": shown(best.mean, 4),
        "reach_planned_age": shown(best.reach_age, 4),
        "run_to_failure_because": best.why_none or None,
        "formula": formula,
        "source": REPLACE_SOURCE,
        "cautions": list(REPLACE_CAUTION),
    }
    return Told(lines, {"kind": "replace", **_texts(given), **answer})


def _life_line(years: Decimal) -> str:
    """The life, and whether the column takes it.

    >>> _life_line(Decimal("247.116"))
    'Life years: 247.1  (more than the column takes: type 100 into the sheet Remedies)'
    """
    text = years_text(years)
    if Decimal(text) > MOST_YEARS:
        return f"Life years: {text}  (more than the column takes: type {MOST_YEARS} into the sheet Remedies)"
    if Decimal(text) < LEAST_YEARS:
        return f"Life years: {text}  (below {LEAST_YEARS}, the least that can be typed: it would fail within four days)"
    return f"Life years: {text}  (to type into that column of the sheet Remedies)"


def _replacement_lines(best: AgeReplacement) -> list[str]:
    mean = f"run to failure: {shown(best.run_to_failure, 2)} a year, mean life {years_text(best.mean)} years"
    if best.age is None:
        return [f"No planned replacement pays: {best.why_none}.", mean]
    every, whole = years_text(best.age), shown(best.reach_age * 100, 0)
    return [f"replaced every {every} years: {shown(best.cost_rate, 2)} a year; {whole} in 100 reach that age", mean]


def _bearing_json(life: BearingLife, formula: str, cautions: list[str]) -> dict[str, object]:
    return {
        "million_revolutions": shown(life.million_revolutions, 4),
        "hours": shown(life.hours, 1),
        "life_years": years_text(life.years),
        "formula": formula,
        "source": BEARING_STANDARD,
        "above_half_the_rating": life.heavy,
        "cautions": cautions,
    }


def _texts(given: dict[str, Decimal]) -> dict[str, object]:
    return {name: str(value) for name, value in given.items()}


def years_text(years: Decimal) -> str:
    """Years as one would type them: one decimal, two below ten, four below a tenth.

    >>> years_text(Decimal("247.116")), years_text(Decimal("3.7449")), years_text(Decimal("0.0123"))
    ('247.1', '3.74', '0.0123')
    """
    return shown(years, 1 if years >= 10 else 2 if years >= Decimal("0.1") else 4)


def shown(value: Decimal, digits: int) -> str:
    """A number for people, rounded half up."""
    from quotekit.money import round_to

    return f"{round_to(value, digits):f}"
