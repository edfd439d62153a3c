"""Repair or replace through the engine: what is the repair total, what stays out of it, and where there is nothing."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.quote import PricedTier
from quotekit.model.repair_or_replace import NEW_LOSES, RepairOrReplace
from quotekit.model.shop_book import ShopBook
from quotekit.model.source import Source
from quotekit.pricing import build_quote
from quotekit.pricing.build_quote import price_combination
from tests import build
from tests.pricing.priced import first_tier
from tests.pricing.test_totals import WORN, shop

WORTH: dict[str, Any] = {
    "new_price": 1000,
    "used_value_working": 400,
    "value_as_it_stands": 100,
    "upkeep_after_repair": 50,
    "upkeep_new": 30,
    "years_it_could_last": 10,
}
"""Limit: half of 1400, less 100, less 5 x 20: 500."""


def weighed(book: ShopBook, **job: Any) -> RepairOrReplace:
    """The comparison of the first tier: an hour of work at 100."""
    found = first_tier(book, WORN, **(WORTH | job)).repair_or_replace
    assert found is not None
    return found


def taxed(**settings: Any) -> ShopBook:
    """A tenth on everything, the inspection too."""
    return shop(settings=build.settings(**settings), taxes=[build.a_tax()])


def test_by_hand() -> None:
    """100 of work. H = 5 of 10 years: keep 100 + 250 - 200; replace 1000 - 100 + 150 - 500; limit 550 - 50."""
    found = weighed(shop())
    assert [found.repair, found.left_out, found.horizon] == [D("100.00"), D("0.00"), D(5)]
    assert [found.upkeep_kept, found.used_value_then] == [D("250.00"), D("200.00")]
    assert [found.upkeep_new, found.new_value_then] == [D("150.00"), D("500.00")]
    assert [found.keep, found.replace, found.limit] == [D("150.00"), D("550.00"), D("500.00")]
    assert [found.difference, found.word, found.missing] == [D("400.00"), "repair", ()]
    assert found.limit_between == (D("200.00"), D("800.00"))
    assert found.limit_against_used == D("300.00")


@pytest.mark.parametrize(
    ("settings", "left_out"),
    [
        ({"inspection_fee": 0}, "0.00"),
        ({"inspection_fee": 45}, "49.50"),  # with its tax
        ({"inspection_fee": 45, "inspection_fee_credited": "when work goes ahead"}, "0.00"),
        ({"inspection_fee": 45, "inspection_fee_credited": D(100)}, "0.00"),
        ({"inspection_fee": 45, "inspection_fee_credited": D(101)}, "49.50"),
        ({"inspection_fee": "12.35", "tax_rounding": "line"}, "13.59"),
    ],
)
def test_the_inspection_is_left_out_with_its_credit_and_tax(settings: dict[str, Any], left_out: str) -> None:
    """Whatever the rule, the repair is the work with its tax: 110.00."""
    tier = first_tier(taxed(**settings), WORN, **WORTH)
    found = tier.repair_or_replace
    assert found is not None
    assert [str(found.repair), str(found.left_out)] == ["110.00", left_out]
    assert found.repair + found.left_out == tier.total


@given(
    fee=st.integers(0, 10**6).map(lambda cents: D(cents).scaleb(-2)),
    rule=st.sampled_from(["never", "when work goes ahead", D(100), D(500)]),
    repair_hours=st.integers(1, 80),
)
def test_a_sunk_fee_leaves_every_figure_unchanged(fee: D, rule: str | D, repair_hours: int) -> None:
    """Whatever its size, credited or not."""
    book = taxed(inspection_fee_credited=rule)
    work = replace(book.operations["FIT"], net_hours=D(repair_hours) / 10)
    book = replace(book, operations={"FIT": work})
    with_fee, without = (weighed(book, inspection_fee=given_fee) for given_fee in (fee, D(0)))
    assert replace(with_fee, left_out=D(0)) == replace(without, left_out=D(0))


@pytest.mark.parametrize(
    "job", [{"paid_so_far": 60}, {"reassembly_hours": 3}, {"spending_limit": 20}], ids=lambda job: next(iter(job))
)
def test_what_is_paid_already_or_due_after_a_no_is_no_part_of_it(job: dict[str, Any]) -> None:
    assert weighed(taxed(), **job) == weighed(taxed())


def test_upgrade_labour_is_taxed_as_in_the_total() -> None:
    """A tax on upgrade labour alone: 5 % of 100."""
    book = shop(
        taxes=[build.a_tax("NEW-WORK", "0.05", ["upgrade labour"])],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"], kind="upgrade")],
    )
    assert weighed(book).repair == D("105.00")


@pytest.mark.parametrize("name", [*WORTH][:5])
def test_one_value_is_enough_to_ask(name: str) -> None:
    """A quote with one value says what else it needs."""
    tier = first_tier(shop(), WORN, **{name: WORTH[name]})
    assert tier.repair_or_replace is not None
    assert len(tier.repair_or_replace.missing) == 5
    assert tier.repair_or_replace.word is None
    assert tier.repair_or_replace.would_decide is not None


@pytest.mark.parametrize("job", [{}, {"years_it_could_last": 10}, {"years_to_compare": D(4)}])
def test_years_alone_ask_nothing(job: dict[str, Any]) -> None:
    assert first_tier(shop(), WORN, **job).repair_or_replace is None


def test_nothing_is_loaded_where_nothing_is_asked() -> None:
    """A quote without these values pays nothing for them."""
    script = (
        "import sys; from tests.pricing.priced import first_tier; from tests.pricing.test_totals import WORN, shop;"
        "from quotekit.documents.customer_quote import lay_out_customer_quote;"
        "from quotekit.documents.page_layout import lay_out_page;"
        "from quotekit.documents.costing import lay_out_costing;"
        "from quotekit.pricing import build_quote; from tests import build;"
        "quote = build_quote(shop(), build.a_job(WORN)); lay_out_customer_quote(quote); lay_out_costing(quote);"
        "lay_out_page(quote, 'A'); print([name for name in sys.modules if name.startswith('quotekit') and"
        " any(word in name for word in ('replace', 'worth', 'what_decides'))])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("job", "words"),
    [
        ({"used_value_working": 1001}, "Used value working is above New price"),
        ({"value_as_it_stands": 401}, "Value as it stands is above Used value working"),
        ({"value_as_it_stands": 1001, "used_value_working": None}, "Value as it stands is above New price"),
    ],
)
def test_values_that_cannot_both_be_right_give_no_word(job: dict[str, Any], words: str) -> None:
    job = {name: None if value is None else D(value) for name, value in (WORTH | job).items()}
    found = first_tier(shop(), WORN, **job).repair_or_replace
    assert found is not None
    assert (found.contradiction, found.word, found.keep, found.limit, found.would_decide) == (
        words,
        None,
        None,
        None,
        None,
    )
    assert found.repair == D("100.00")


def test_equal_values_contradict_nothing() -> None:
    """Worth the same working and as it stands: a repair that adds no value may still be the cheaper way."""
    assert weighed(shop(), used_value_working=100).contradiction == ""


def test_either_cost_is_there_where_its_own_values_are() -> None:
    keep_only, replace_only = weighed(shop(), new_price=None), weighed(shop(), upkeep_after_repair=None)
    assert [keep_only.keep, keep_only.replace, keep_only.limit] == [D("150.00"), None, None]
    assert [replace_only.keep, replace_only.replace, replace_only.limit] == [None, D("550.00"), None]
    assert [keep_only.missing, replace_only.missing] == [("New price",), ("Upkeep a year after repair",)]


def test_each_input_says_where_it_stands() -> None:
    """Years to compare are the shop's where the job has none."""
    here = Source(file="job.xlsx", sheet="Job", row=8, columns={"Value": "B"})
    there = Source(file="shop.xlsx", sheet="Shop", row=9, columns={"Value": "B"})
    settings = replace(build.settings(), sources={"Years to compare": there})
    job = build.a_job(WORN, **WORTH, sources={"New price": here, "Years to compare": here})
    places = {}
    for asked in (job, replace(job, years_to_compare=D(4))):
        found = build_quote(shop(settings=settings), asked).tiers[0].repair_or_replace
        assert found is not None
        places[asked.years_to_compare] = {given.name: str(given.place) for given in found.inputs}
        assert found.value("New price") == D("1000.00")
    assert places[None]["New price"] == "job.xlsx:Job!B8"
    assert [places[years]["Years to compare"] for years in (None, D(4))] == ["shop.xlsx:Shop!B9", "job.xlsx:Job!B8"]


def tiers_of_two(**job: Any) -> tuple[ShopBook, Any, tuple[PricedTier, ...]]:
    """A tier for the worn part, the next with another; the first may take the other too."""
    book = shop(
        operations=[build.an_operation("FIT", 1), build.an_operation("SEAL", 5)],
        findings=[build.a_finding("WORN"), build.a_finding("DRIP", "advised")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"]), build.a_remedy("SEALED", ["DRIP"], ["SEAL"])],
        tiers=[build.a_tier("good"), build.a_tier("better", ("safety", "needed", "advised"))],
    )
    asked = build.a_job(WORN, build.a_finding_on("DRIP", severity="advised"), **(WORTH | job))
    return book, asked, build_quote(book, asked).tiers


def test_every_tier_has_its_own_word() -> None:
    """100 and 600 of work against a limit of 500: the new price is 1000, so 100 either way is close."""
    _, _, tiers = tiers_of_two()
    found = [tier.repair_or_replace for tier in tiers]
    assert [one and one.word for one in found] == ["repair", "close call"]
    assert [one and one.limit for one in found] == [D("500.00"), D("500.00")]


def test_a_choice_is_weighed_as_it_is_taken() -> None:
    """With the seal taken too, good is what better is."""
    book, job, tiers = tiers_of_two()
    taken = price_combination(book, job, "good", ["SEALED"])
    assert taken.repair_or_replace == tiers[1].repair_or_replace


def test_a_tier_without_figures_has_none() -> None:
    """It could not be worked out, so nothing can be compared."""
    book = shop(
        operations=[build.an_operation("FIT", 1), build.an_operation("LAST", 2)],
        remedies=[
            build.a_remedy("NEW", ["WORN"], ["FIT"], life_years=None),
            build.a_remedy("OTHER", ["WORN"], ["LAST"]),
        ],
        tiers=[build.a_tier("good", aim="longest life")],
    )
    tier = first_tier(book, WORN, **WORTH)
    assert (tier.priced, tier.repair_or_replace) == (False, None)


@pytest.mark.parametrize(
    ("job", "word", "names"),
    [
        ({"new_price": None}, "repair", None),
        ({"new_price": None, "used_value_working": 200}, None, ("New price",)),
        ({"upkeep_after_repair": None}, None, ("Upkeep a year after repair",)),
        ({"used_value_working": None}, "repair", None),
        ({"value_as_it_stands": None}, None, ("Value as it stands",)),
        ({"new_price": None, "upkeep_new": None}, None, ("New price", "Upkeep a year new")),
        ({}, "repair", None),
    ],
    ids=["a new one of 400 or more: 100 apart", "of 200 or more: even at 400", "upkeep has no top",
         "used: between 100 and 1000", "as it stands: close at 400", "two of them", "nothing missing"],
)  # fmt: skip
def test_what_the_word_waits_for_is_told_only_where_it_could_change_it(
    job: dict[str, Any], word: str | None, names: tuple[str, ...] | None
) -> None:
    """100 of work: whatever a value between its bounds is, the repair stays the cheaper way, and nobody is asked."""
    found = weighed(shop(), **job)
    waits = None if found.would_decide is None else found.would_decide.names
    assert (found.word, waits) == (word, names)
    blank = {given.name for given in found.inputs if given.value is None}
    assert {*found.missing, NEW_LOSES} == blank


def test_both_sums_are_none_where_the_value_that_both_need_is_missing() -> None:
    """The years it could last stand in every line but the limit against a used one."""
    found = weighed(shop(), years_it_could_last=None)
    assert [found.keep, found.replace, found.limit, found.horizon] == [None] * 4
    assert found.limit_against_used == D("300.00")


@pytest.mark.parametrize("gone", ["used_value_working", "value_as_it_stands"])
def test_the_limit_against_a_used_one_needs_both_its_values(gone: str) -> None:
    """A blank is not zero: against nothing a sound used one would always look dear."""
    assert weighed(shop(), **{gone: None}).limit_against_used is None


@given(work=st.integers(1, 40), new=st.integers(400, 3000))
def test_below_the_limit_keeping_is_cheaper_and_above_it_replacing(work: int, new: int) -> None:
    """The limit is the repair total at which both cost the same: the difference is what lies between."""
    book = shop(operations=[build.an_operation("FIT", work)])
    found = weighed(book, new_price=new)
    assert found.limit is not None and found.difference == found.limit - found.repair
    assert found.keep is not None and found.replace is not None
    assert found.difference == found.replace - found.keep
    assert found.limit_between is not None and found.limit_between[0] <= found.limit <= found.limit_between[1]


@pytest.mark.parametrize(("fee", "left_out"), [(0, "0.00"), (45, "45.00")])
def test_values_that_contradict_each_other_change_no_amount(fee: int, left_out: str) -> None:
    """What the repair costs and what stays out of it is known whatever the machine is worth."""
    book = shop()
    found = weighed(book, used_value_working=50, inspection_fee=fee)
    assert found.contradiction and found.word is None
    assert (found.repair, found.left_out) == (D("100.00"), D(left_out))
