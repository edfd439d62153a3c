"""`quotekit life --json` beside the formulas worked out in floats (ISO 281; age replacement, Barlow and Proschan)."""

from __future__ import annotations

import json
from collections import Counter
from contextlib import redirect_stdout
from io import StringIO
from math import inf
from random import Random
from typing import Any

from quotekit.cli.main import main
from tests.oracle.life import Weibull, cheapest_age, cost_a_year, rating_life

SHAPES = (0.5, 0.8, 1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 6.5, 10.0)
FLAT = 1e-9
"""Costs a year closer together than this, in proportion, are the same in floats."""


def life_differences(seed: int, seen: Counter[str]) -> list[str]:
    """One bearing and one planned replacement, drawn from a seed."""
    random = Random(seed)
    return _bearing(random, seen) + _replacement(random, seen)


def _bearing(random: Random, seen: Counter[str]) -> list[str]:
    rating = random.randint(20, 900) / 10
    load = random.randint(5, int(rating * 10)) / 10
    speed, hours, roller = random.randint(50, 6000), random.randint(5, 2500), random.random() < 0.5
    words = ["bearing", *_options(rating=rating, load=load, speed=speed, hours_a_year=hours)]
    told = told_by([*words, *(["--roller"] if roller else [])])
    seen["bearings"] += 1
    return [f"/bearing {words}{line}" for line in _unlike(rating_life(rating, load, speed, hours, roller), told)]


def _replacement(random: Random, seen: Counter[str]) -> list[str]:
    planned, failure = random.randint(1, 300), random.randint(1, 1500)
    life = Weibull(random.randint(1, 200) / 10, random.choice(SHAPES))
    words = ["replace", *_options(planned_cost=planned, failure_cost=failure, scale=life.scale, shape=life.shape)]
    told = told_by(words)
    seen["planned replacements"] += 1
    figures = {"run_to_failure_a_year": failure / life.mean, "mean_life": life.mean}
    age, cost = cheapest_age(planned, failure, life)
    found = _unlike(figures, told)
    if told["planned_age"] is None:
        seen["run to failure is cheapest"] += 1
        if age != inf and cost < figures["run_to_failure_a_year"] * (1 - FLAT):
            found.append(f"/planned_age: oracle {age} at {cost}, engine none")
        return [f"/life {words}{line}" for line in found]
    at = float(told["planned_age"])
    close = abs(at - age) <= 0.501 * _unit(told["planned_age"]) + age * 1e-5
    flat = cost_a_year(planned, failure, life, at) <= cost * (1 + FLAT)
    if not (close or flat) or not same(told["cost_a_year"], cost):
        found.append(f"/planned_age: oracle {age} at {cost}, engine {at} at {told['cost_a_year']}")
    return [f"/life {words}{line}" for line in found]


def _unlike(expected: dict[str, float], told: dict[str, Any]) -> list[str]:
    unlike = {name: value for name, value in expected.items() if not same(told[name], value)}
    return [f"/{name}: oracle {value}, engine {told[name]}" for name, value in unlike.items()]


def _options(**given: float) -> list[str]:
    return [word for name, value in given.items() for word in ("--" + name.replace("_", "-"), str(value))]


def told_by(words: list[str]) -> dict[str, Any]:
    """What the command prints."""
    out = StringIO()
    with redirect_stdout(out):
        code = main(["life", *words, "--json"])
    assert code == 0, words
    found: dict[str, Any] = json.loads(out.getvalue())
    return found


def _unit(text: str) -> float:
    return float(10.0 ** -len(text.partition(".")[2]))


def same(text: str, value: float) -> bool:
    """Equal as far as the text has digits."""
    return abs(float(text) - value) <= 0.5001 * _unit(text) + abs(value) * 1e-9
