"""A bench for the single rules of a live quote: items that can be ticked one by one, and nothing else.

Items are named as in `tests/pricing/priced.py`; each has its own input, so that any set of them can be taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, localcontext

from quotekit.model.expression import Expression, Step, evaluate, spans
from quotekit.model.job import Job
from quotekit.model.live import LivePricing
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing import build_quote, price_combination
from quotekit.pricing.basis import Basis
from quotekit.pricing.live.taken import Taken
from quotekit.pricing.live.work import LiveWork
from quotekit.pricing.live.working import Working
from quotekit.pricing.setup import set_up
from tests import build
from tests.pricing.priced import items_named


@dataclass(frozen=True, kw_only=True)
class Bench:
    """The work of any set of items, with the input of each by its key."""

    basis: Basis
    working: Working
    work: LiveWork
    ticks: dict[str, Step]

    @property
    def taken(self) -> list[Taken]:
        """Every item with its flag."""
        return list(self.work.taken)

    def number(self, expression: Expression, *ticked: str) -> int:
        """What an expression comes to with these items ticked; no line on the way is larger than foreseen."""
        asked = Step("asked", expression)
        steps = (*self.ticks.values(), *self.working.steps, asked)
        values = evaluate(steps, {self.ticks[key]: 1 for key in ticked})
        known, _ = spans(steps)
        assert [step for step in steps if not known[step][0] <= values[step] <= known[step][1]] == []
        return values[asked]

    def which(self, flags: dict[str, Expression], *ticked: str) -> list[str]:
        """The keys whose flag is 1."""
        return [key for key, flag in flags.items() if self.number(flag, *ticked)]


def a_bench(book: ShopBook, *keys: str, job: Job | None = None) -> Bench:
    """A bench with remedies, extras, operations and one-off lines by `CODE` or `CODE@side`."""
    with localcontext(EXACT):
        setup = set_up(book, job or build.a_job())
        ticks = {key: Step(f"{key} ticked") for key in keys}
        working = Working(basis=setup.basis, chosen=())
        taken = [Taken(item=item, flag=ticks[item.key]) for item in items_named(setup, keys)]
        return Bench(basis=setup.basis, working=working, work=LiveWork(working, taken, setup.always), ticks=ticks)


def live_of(book: ShopBook, job: Job) -> LivePricing:
    """The live pricing of a job that has one."""
    live = build_quote(book, job).live
    assert live is not None
    return live


def figures(book: ShopBook, job: Job, tier: str, *extras: str) -> dict[str, str]:
    """Every figure of a choice in money, as text; each is also what the engine says."""
    live = live_of(book, job)
    inputs = {option.chosen: int(option.code == tier) for option in live.options}
    inputs |= {extra.ticked: int(extra.key in extras) for extra in live.extras}
    values = evaluate(live.steps, inputs)
    steps = {**live.figures, **{f"tax {name}": step for name, step in live.taxes}}
    found = {name: Decimal(values[step]).scaleb(-live.digits) for name, step in steps.items()}
    expected = by_engine(price_combination(book, job, tier, list(extras)))
    assert {name: expected.get(name, Decimal(0)) for name in found} == found
    return {name: f"{value:.{live.digits}f}" for name, value in found.items()}


def by_engine(tier: PricedTier) -> dict[str, Decimal]:
    """The same figures as the engine gives them."""
    amounts = {name: getattr(tier.amounts, name) for name in tier.amounts.__dataclass_fields__}
    others = {name: getattr(tier, name) for name in ("work", "subtotal", "tax", "total", "due", "deposit")}
    return {**amounts, **others, **{f"tax {line.tax}": line.amount for line in tier.taxes}}


def a_job_with(*extras: str, **values: object) -> Job:
    """A worn bushing, and these extras on the job's list."""
    rows = tuple(build.a_job_extra(*key.split("@")) for key in extras)
    return build.a_job(build.a_finding_on("WORN"), extras=rows, **values)
