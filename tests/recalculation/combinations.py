"""Choices a customer might make on a quote, as typed, with what the engine says they cost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import product
from random import Random

from quotekit.model.expression import Step
from quotekit.model.job import Job, JobExtra
from quotekit.model.live import LivePricing
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from tests import build
from tests.random_jobs import Case, JobMaker, a_random_case
from tests.recalculation.office import Value

TICKS: tuple[Value, ...] = ("Yes", "yes", "YES", "☑", True, 1, {"formula": "=TRUE()"}, {"formula": '="Yes"'})
NO_TICKS: tuple[Value, ...] = ("☐", "No", None, False, 0, "YES ", 2, "TRUE", "1", "x", {"formula": "=NA()"}, -1)
NO_TIERS: tuple[Value, ...] = (
    None,
    "none of these",
    "*",
    "?*",
    "tier",
    "Option",
    "Option 9",
    1,
    True,
    {"formula": "=NA()"},
)


@dataclass(frozen=True)
class Choice:
    """What is typed into the choice cells by defined name, and what it means."""

    typed: Mapping[str, Value]
    option: str
    ticked: tuple[str, ...]
    """Ticked keys that this option offers: a tick on anything else counts as nothing."""


@dataclass
class MakerOfMany(JobMaker):
    """Draws jobs with many extras on their list."""

    extras_drawn: int = 0
    """How many; from 3 to 7 unless told."""

    def _draw_extras(self) -> None:
        for i in range(self.extras_drawn or self.random.randint(3, 7)):
            operations = self.some([operation.code for operation in self.operations], 2)
            parts = self.quantities(self._part_codes(), 2)
            self.extras.append(build.an_extra(f"EXTRA-{i}", operations or [self.operations[0].code], parts=parts))

    def _job_extras(self) -> tuple[JobExtra, ...]:
        return tuple(
            build.a_job_extra(extra.code, self.random.choice(self.positions))
            if self._is_sided(extra.operations)
            else build.a_job_extra(extra.code)
            for extra in self.extras
        )


def a_case(seed: int) -> Case:
    """A random case; every second one has many extras, and every fourth numbers near the bound as well."""
    if seed % 2 == 0:
        return a_random_case(seed)
    maker = MakerOfMany(Random(seed), wide=seed % 6 == 5)
    book = maker.book()
    case = book, maker.job(book)
    return a_strained(case, seed) if seed % 4 == 3 else case


def a_case_with_extras(seed: int, count: int) -> Case:
    """A random case with so many extras on its list."""
    maker = MakerOfMany(Random(seed), extras_drawn=count)
    book = maker.book()
    return book, maker.job(book)


def a_strained(case: Case, seed: int) -> Case:
    """The same case with as many decimals in its percentages as still make a live quote."""
    book, job = case
    for decimals in range(9, 3, -1):
        random = Random(seed)

        def longer(rate: Decimal, decimals: int = decimals, random: Random = random) -> Decimal:
            return rate and rate + Decimal(random.randint(1, 10 ** (decimals - 3) - 1)).scaleb(-decimals)

        settings = replace(
            book.settings,
            supplies_percent_of_labour=longer(book.settings.supplies_percent_of_labour),
            deposit_on_ordered_parts=longer(book.settings.deposit_on_ordered_parts),
        )
        taxes = tuple(replace(tax, rate=longer(tax.rate)) for tax in book.taxes)
        strained = replace(book, settings=settings, taxes=taxes)
        if build_quote(strained, job).live is not None:
            return strained, job
    return case


def live_cases(first: int) -> Iterator[tuple[int, Case, Quote]]:
    """Cases from a seed on whose quotes are live, with their seeds; no end."""
    seed = first
    while True:
        case = a_case(seed)
        quote = build_quote(*case)
        if quote.live is not None:
            yield seed, case, quote
        seed += 1


def choices(quote: Quote, random: Random, most: int) -> list[Choice]:
    """Every choice of option and ticks, or as many of them; each tick in one of the forms a spreadsheet saves."""
    live = _live(quote)
    count = len(live.options) * 2 ** len(live.extras)
    if count <= most:
        drawn = list(product(range(len(live.options)), product([False, True], repeat=len(live.extras))))
    else:
        drawn = [_drawn(live, random) for _ in range(most)]
    random.shuffle(drawn)
    return [_choice(quote, option, ticks, random) for option, ticks in drawn]


def _drawn(live: LivePricing, random: Random) -> tuple[int, tuple[bool, ...]]:
    return random.randrange(len(live.options)), tuple(random.random() < 0.5 for _ in live.extras)


def _choice(quote: Quote, number: int, ticks: tuple[bool, ...], random: Random) -> Choice:
    live = _live(quote)
    option = live.options[number]
    typed: dict[str, Value] = {"chosen_tier": random.choice([option.label, option.code, f"Option {number + 1}"])}
    ticked = []
    for extra, tick in zip(live.extras, ticks, strict=True):
        typed[extra.defined_name] = random.choice(TICKS if tick else NO_TICKS)
        if tick and extra.place[number] == "offered":
            ticked.append(extra.key)
    return Choice(typed=typed, option=option.code, ticked=tuple(ticked))


def priced(book: ShopBook, job: Job, choice: Choice) -> PricedTier:
    """The engine's price of a choice."""
    return price_combination(book, job, choice.option, choice.ticked)


def figures_of(tier: PricedTier) -> dict[str, Decimal]:
    """A priced tier's figures by the names of a live pricing; each tax as `tax NAME`."""
    amounts = {name: getattr(tier.amounts, name) for name in tier.amounts.__dataclass_fields__}
    results = {name: getattr(tier, name) for name in ("work", "subtotal", "tax", "total", "due", "deposit")}
    return amounts | results | {f"tax {line.tax}": line.amount for line in tier.taxes}


def inputs_of(live: LivePricing, choice: Choice) -> dict[Step, int]:
    """The inputs of the sums for a choice, ticks as typed: what an option does not offer included."""
    inputs: dict[Step, int] = {option.chosen: int(option.code == choice.option) for option in live.options}
    return inputs | {extra.ticked: int(choice.typed[extra.defined_name] in TICKS) for extra in live.extras}


def _live(quote: Quote) -> LivePricing:
    assert quote.live is not None, quote.not_live
    return quote.live
