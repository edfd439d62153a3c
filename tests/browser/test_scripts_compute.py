"""The script's numbers: random whole-number sums as the exact evaluator gives them, and money as Python writes it."""

from __future__ import annotations

from decimal import Decimal
from random import Random
from typing import get_args

import pytest
from babel.core import Locale, localedata

from quotekit.documents import script_text
from quotekit.documents.money_text import money_form, money_text
from quotekit.documents.page_data import as_script
from quotekit.documents.page_script import MONEY_SCRIPT
from quotekit.documents.script_text import script_expression
from quotekit.model.expression import Expression, Kind, Step, Term, evaluate, spans
from quotekit.money import minor_digits
from tests.browser.open_page import Browser

_BOUND = 10**14
AMOUNTS = (0, 1, -1, 7, -12, 99, 100, -100, 999, 1000, 12_345, -99_999, 123_456, 1_234_567, -12_345_678_901_234)
CURRENCIES = ("USD", "JPY", "KWD", "EUR", "INR", "CHF", "CLF")


def test_every_kind_is_written() -> None:
    assert set(script_text._WRITTEN) == set(get_args(Kind))


@pytest.mark.parametrize("seed", range(10))
def test_random_sums(seed: int, browser: Browser) -> None:
    """Some 2,000 trees below the bound, numerators next to whole multiples among them."""
    random = Random(seed)
    steps = [Step(f"input {n}") for n in range(6)]
    inputs = {step: random.randint(0, 1) for step in steps}
    for n in range(300):
        step = Step(f"sum {n}", _a_sum(random, steps))
        if spans([*steps, step])[1] < _BOUND:
            steps.append(step)
    assert len(steps) > 200
    names = {step: f"v{n}" for n, step in enumerate(steps)}
    given = [
        f"const {names[step]}={inputs[step] if step.formula is None else script_expression(step.formula, names)};"
        for step in steps
    ]
    browser.driver.get("about:blank")
    found = browser.run("\n".join(given) + f"return [{','.join(names.values())}].map(String)")
    right = evaluate(steps, inputs)
    assert [int(number) for number in found] == [right[step] for step in steps]


def _a_sum(random: Random, steps: list[Step]) -> Expression:
    """One term over earlier steps and numbers."""
    kind = random.choice(get_args(Kind))
    one, other = _a_number(random, steps), _a_number(random, steps)
    if kind in ("floor", "rest"):
        by = random.choice([1, 3, 7, 10, 1000, 10**6, random.randint(1, 10**7)])
        near = Term("sum", (Term("times", (Term("abs", (one,)), by)), random.choice([-1, 0, 1])))
        return Term(kind, (Term("abs", (near,)) if kind == "rest" else near, by))
    if kind == "if":
        test = Term(random.choice(["more", "at least"]), (one, other))
        return Term("if", (test, _a_number(random, steps), _a_number(random, steps)))
    return Term(kind, (one,) if kind in ("sign", "abs") else (one, other))


def _a_number(random: Random, steps: list[Step]) -> Expression:
    return random.choice(steps) if random.random() < 0.7 else random.randint(-(10**6), 10**6)


def test_money_as_every_language_writes_it(browser: Browser) -> None:
    """All languages known, with currencies of none to four decimals, positive and negative."""
    browser.driver.get("about:blank")
    for currency in CURRENCIES:
        forms, right = [], []
        for language in _languages():
            digits = minor_digits(currency)
            forms.append(money_form(currency, language)._asdict())
            right.append([money_text(Decimal(amount).scaleb(-digits), currency, language) for amount in AMOUNTS])
        script = f"return {as_script(forms)}.map(form => {{ const page = {{money: form}};\n{MONEY_SCRIPT}"
        assert browser.run(script + f"return {list(AMOUNTS)}.map(money); }})") == right


def _languages() -> list[str]:
    """One of each way to write money, of all the locales there are."""
    known: dict[object, str] = {}
    for identifier in sorted(localedata.locale_identifiers()):
        locale = Locale.parse(identifier)
        symbols = tuple(sorted(locale.number_symbols.get("latn", {}).items()))
        known.setdefault((str(locale.currency_formats["standard"]), symbols), identifier)
    return list(known.values())
