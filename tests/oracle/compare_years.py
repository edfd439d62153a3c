"""The engine's JSON beside the plain implementation: proof, years, sensitivity, repair or replace."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from random import Random
from typing import Any

from quotekit.documents.quote_json import lay_out_quote_json
from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from tests.oracle import worth
from tests.oracle.compare import differences
from tests.oracle.exact import half_up
from tests.oracle.tiers import WorkedTier, a_world, worked_tiers
from tests.oracle.work import World
from tests.oracle.years import (
    Terms,
    in_the_order,
    order_at,
    over_years,
    owned,
    taken_under,
    terms_of,
)

Json = dict[str, Any]
Case = tuple[ShopBook, Job]
TEXTS = {"item", "word", "words", "missing", "values", "horizon_text"}


@dataclass
class Beside:
    """One case, worked out by both; `seen` counts what was compared."""

    book: ShopBook
    job: Job
    quote: Quote
    answer: Json
    world: World
    worked: dict[str, WorkedTier]
    random: Random
    seen: Counter[str]

    @property
    def tiers(self) -> list[tuple[Json, WorkedTier]]:
        """The engine's tiers with the oracle's, where both have a price."""
        pairs = [(tier, self.worked[tier["code"]]) for tier in self.answer["tiers"]]
        return [(tier, worked) for tier, worked in pairs if worked.priced is not None]


def beside(case: Case, quote: Quote, random: Random, seen: Counter[str]) -> Beside:
    """Work a case out."""
    world = a_world(*case)
    worked = {tier.tier.code: tier for tier in worked_tiers(world)}
    return Beside(*case, quote, lay_out_quote_json(quote), world, worked, random, seen)


def exact(value: Any) -> Any:
    """Decimal strings of the JSON as Fractions."""
    if isinstance(value, dict):
        return {key: one if key in TEXTS else exact(one) for key, one in value.items()}
    if isinstance(value, list):
        return [exact(one) for one in value]
    try:
        return Fraction(value) if isinstance(value, str) else value
    except ValueError:
        return value


def with_random_values(case: Case, seed: int) -> Case:
    """The job with what is needed for repair or replace, some of it blank; interest and years of the shop varied."""
    random = Random(seed * 7919 + 1)
    book, job = case

    def money(low: int, high: int) -> Decimal:
        whole = book.settings.currency == "JPY" or random.random() < 0.7
        return Decimal(random.randint(low, high)) / (1 if whole else 4)

    new = money(100, 2000)
    used = (new * random.randint(10, 105) / 100).quantize(Decimal(1))
    drawn = {
        "new_price": new,
        "used_value_working": used,
        "value_as_it_stands": (used * random.randint(0, 105) / 100).quantize(Decimal(1)),
        "upkeep_after_repair": money(0, 120),
        "upkeep_new": money(0, 80),
        "years_it_could_last": Decimal(random.choice(["1", "2", "3", "3.5", "5", "6", "8", "12"])),
    }
    blank = random.choice([0, 0, 0, 1, 1, 2, 3, 6])
    for name in random.sample(sorted(drawn), blank):
        drawn[name] = None  # type: ignore[assignment]
    interest = Decimal(random.choice(["0", "0", "0.03", "0.05", "0.1", "0.18"]))
    years = Decimal(random.choice(["1", "3", "4", "5", "7.5", "10", "2.5"]))
    settings = replace(book.settings, interest_a_year=interest, years_to_compare=years)
    loses = Decimal(random.randint(0, 100)).scaleb(-2) if random.random() < 0.4 else None
    return replace(book, settings=settings), replace(job, **drawn, value_a_new_one_loses=loses)


def proof_differences(one: Beside) -> list[str]:
    """The bound is not above what was chosen; nothing is counted that is not a choice; a proof has no gap."""
    found = []
    for tier, worked in one.tiers:
        proof = tier["proof"]
        if proof is None:
            found.append(f"/{tier['code']}/proof: none")
            continue
        one.seen[f"proofs by {proof['method']}"] += 1
        years = worked.tier.aim == "least to own" and not worked.planned
        value = worked.horizon_cost if years else worked.priced.work  # type: ignore[union-attr]
        expected = {"bound": value, "gap": Fraction(0), "settled": True}
        actual = {name: exact(proof[name]) for name in expected}
        found += differences(expected, actual, f"/{tier['code']}/proof")
        if proof["choices"].isdigit():
            one.seen["choices counted"] += 1
            if int(proof["choices"]) != worked.compared or proof["priced"] > worked.compared:
                found.append(f"/{tier['code']}/proof/choices: oracle {worked.compared}, engine {proof}")
    return found


def years_differences(one: Beside) -> list[str]:
    """Every figure over the years."""
    found = []
    terms = terms_of(one.world)
    for place, (tier, worked) in enumerate(one.tiers):
        mine = owned(one.world, worked, place)
        if not mine.stated:
            one.seen["a life not stated"] += 1
            if tier["over_years"] is not None:
                found.append(f"/{tier['code']}/over_years: given although a life is not stated")
            continue
        one.seen["tiers over the years"] += 1
        one.seen["repeats"] += len(tier["over_years"]["repeats"])
        found += differences(over_years(mine, terms), exact(tier["over_years"]), f"/{tier['code']}/over_years")
    return found


def order_differences(one: Beside, points: int = 6) -> list[str]:
    """The order of the tiers at random settings, and on both sides of each change."""
    tiers, terms, told = in_the_order(one.world), terms_of(one.world), one.answer["sensitivity"]
    if told is None:
        return ["/sensitivity: none although tiers can be ordered"] if len(tiers) > 1 else []
    found = differences(order_at(tiers, terms), told["order"], "/sensitivity/order")
    for setting in ("interest", "horizon", "lives"):
        shown = told[setting]
        if shown is None:
            if len(tiers) > 1:
                found.append(f"/sensitivity/{setting}: none")
            continue
        where = f"/sensitivity/{setting}"
        for value, expected in _said(one, shown, points):
            one.seen[f"orders at another {setting}"] += 1
            found += differences(order_at(tiers, _at(terms, setting, value)), expected, f"{where} at {float(value)}")
    return found


def _at(terms: Terms, setting: str, value: Fraction) -> Terms:
    return replace(terms, **{{"interest": "interest", "horizon": "horizon", "lives": "stretch"}[setting]: value})


def _said(one: Beside, shown: Json, points: int) -> list[tuple[Fraction, list[str]]]:
    """Settings, and the order the engine says holds there; none inside a step it has narrowed a change down to."""
    changes, low, high = shown["changes"], Fraction(shown["low"]), Fraction(shown["high"])
    said = [(Fraction(change[side]), change[order]) for change in changes for side, order in _SIDES]
    one.seen["changes of order"] += len(changes)
    drawn = [low + (high - low) * Fraction(one.random.randint(0, 10**6), 10**6) for _ in range(points)]
    start = one.answer["sensitivity"]["order"] if not changes else changes[0]["before"]
    for value in [low, high, *drawn]:
        if any(Fraction(change["below"]) < value < Fraction(change["above"]) for change in changes):
            continue
        order = start
        for change in changes:
            if value >= Fraction(change["above"]):
                order = change["after"]
        said.append((value, order))
    return said


_SIDES = (("below", "before"), ("above", "after"))


def choice_differences(one: Beside) -> list[str]:
    """What each tier takes where the choices were made again."""
    told = one.answer["sensitivity"]
    if told is None or told["choices"] is None:
        return []
    found: list[str] = []
    now = {code: sorted(item.key for item in tier.remedies) for code, tier in one.worked.items() if tier.priced}
    for tried in told["choices"]["tried"]:
        setting, value = tried["setting"], Decimal(tried["value"])
        one.seen["settings chosen again"] += 1
        then = taken_under(one.book, one.job, setting, value)
        expected = {code: taken for code, taken in then.items() if code in now and taken != now[code]}
        actual = {}
        for change in told["choices"]["changes"]:
            if (change["setting"], Decimal(change["value"])) == (setting, value):
                taken = set(now[change["tier"]]) - set(change["in_place_of"]) | set(change["takes"])
                actual[change["tier"]] = sorted(taken)
        one.seen["choices that change"] += len(expected)
        found += differences(expected, actual, f"/sensitivity/choices/{setting} {value}")
    return found


def worth_differences(one: Beside) -> list[str]:
    """Keep, replace, limit, difference, word; what is missing and what it would decide."""
    found = []
    for tier, worked in one.tiers:
        assert worked.priced is not None
        values, told = worth.values_of(one.world, worked.priced), tier["repair_or_replace"]
        where = f"/{tier['code']}/repair_or_replace"
        if values is None or told is None:
            found += [] if values is None and told is None else [f"{where}: oracle {values}, engine {told}"]
            continue
        found += [f"{where}{line}" for line in _one_worth(one, values, told)]
    return found


def _one_worth(one: Beside, values: worth.Values, told: Json) -> list[str]:
    if sorted(told["missing"]) != sorted(values.missing()):
        return [f"/missing: oracle {values.missing()}, engine {told['missing']}"]
    if worth.contradicting(values):
        one.seen["contradictions"] += 1
        return [] if told["word"] is None else ["/word: given although values contradict each other"]
    if values.missing():
        return _undecided(one, values, told)
    one.seen[f"word {told['word']}"] += 1
    answer = worth.worked_out(values)
    expected = {
        "horizon": answer.horizon,
        "keep": answer.keep,
        "replace": answer.replace,
        "limit": answer.limit,
        "difference": answer.replace - answer.keep,
        "word": answer.word,
        "missing": [],
        "would_decide": None,
    }
    return differences(expected, exact(told))


def _undecided(one: Beside, values: worth.Values, told: Json) -> list[str]:
    """With one value missing, each stretch is tried inside; with more, whether anything hangs on them."""
    decides, names = told["would_decide"], values.missing()
    levels = [Fraction(level) for level in (0, 1, 3, 10, 50, 150, 400, 1000, 2500, 10000)]
    if decides is None:
        one.seen["missing, and nothing hangs on it"] += 1
        turned = worth.can_turn(values, levels)
        return ["/would_decide: none although the word hangs on it"] if turned and told["word"] is not None else []
    if len(names) > 1:
        one.seen["several values missing"] += 1
        strange = sorted(set(decides["values"]) - set(names))
        return [f"/would_decide: {strange} are not missing"] if strange else []
    one.seen["one value missing"] += 1
    return _stretches(one, values, names[0], decides)


def _stretches(one: Beside, values: worth.Values, name: str, decides: Json) -> list[str]:
    found = []
    unit = Fraction(1, 10**values.digits)
    if decides["even"] is not None:
        step = Fraction(1, 100) if name == "Years it could last" else 12 * unit / values.compared
        low, high = (_gap(values, name, max(Fraction(decides["even"]) + side * step, unit)) for side in (-1, 1))
        if low * high > 0 and min(abs(low), abs(high)) > 12 * unit:
            found.append(f"/would_decide/even: {decides['even']} leaves {float(low)} to {float(high)}")
    for part in decides["words"]:
        low = Fraction(part["from"] or 0)
        high = Fraction(part["to"]) if part["to"] is not None else low + 5000
        tried = [low, high, *(half_up(low + (high - low) * Fraction(i, 7), values.digits) for i in range(1, 7))]
        for value, word in worth.words_over(values, name, [one for one in tried if low <= one <= high]).items():
            one.seen["values of what is missing"] += 1
            if word != part["word"]:
                found.append(f"/would_decide at {name} {float(value)}: oracle {word}, engine {part['word']}")
    return found


def _gap(values: worth.Values, name: str, value: Fraction) -> Fraction:
    """Cost to replace less cost to keep with one value filled in."""
    answer = worth.worked_out(replace(values, **{worth.NAMES[name]: value}))
    return answer.replace - answer.keep
