"""Every figure of a tier by its name in the JSON, each made when it is asked for, and what only this module tells.

On the bench a worn shaft is built up (WELD, an upgrade: half an hour, 50.00) beside a bent arm that is straightened
(BEND, an hour: 100.00, with a pin at 15.00). Labour 150.00, of which 50.00 is upgrade labour.
"""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.documents.quote_json import tier_json
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.explain import totals as of_totals
from quotekit.pricing.explain.tier import Figures, _upgrade, tier_figures, tier_told, upgrade_within
from quotekit.pricing.setup import set_up
from tests import build
from tests.completeness.figures import figures_of_tier
from tests.pricing.explain.recompute import faults
from tests.pricing.explain.small import a_shop, job_of, reads, said, typed

APART = [build.a_tax("VAT", "0.1", ["labour"]), build.a_tax("VAT", "0.2", ["upgrade labour"])]


def a_bench(**values: Any) -> ShopBook:
    named: dict[str, Any] = {
        "operations": [build.an_operation("FILL", "0.5"), build.an_operation("PRESS", 1, parts="PIN")],
        "access": [],
        "parts": [build.a_part("PIN", 10)],
        "findings": [build.a_finding("WORN"), build.a_finding("BENT")],
        "remedies": [
            build.a_remedy("WELD", ["WORN"], ["FILL"], kind="upgrade"),
            build.a_remedy("BEND", ["BENT"], ["PRESS"]),
        ],
    }
    return a_shop(**(named | values))


def figures(book: ShopBook, job: Job | None = None, code: str = "good") -> Figures:
    """The makers of a tier's figures."""
    quote = build_quote(typed(book), typed(job or job_of(book)))
    tier = next(one for one in quote.tiers if one.code == code)
    return tier_figures(tier_told(set_up(quote.book, quote.job), tier), quote, tier)


def names(book: ShopBook, start: str, job: Job | None = None) -> list[str]:
    return [name for name in figures(book, job) if name.startswith(start)]


def test_the_charges_of_a_tier_are_laid_open_from_its_items() -> None:
    """Nothing is chosen again: the work is that of the items the quote says."""
    quote = build_quote(book := a_bench(), job_of(book))
    told = tier_told(set_up(book, quote.job), quote.tiers[0])
    assert [item.key for item in told.charges.work.items] == ["BEND", "WELD"]
    assert (told.charges.total, told.charges.labour_total) == (D("165.00"), D("150.00"))


def test_the_names_are_those_of_the_json_and_each_maker_makes_the_figure_of_its_name() -> None:
    book = a_bench(
        operations=[*a_bench().operations.values(), build.an_operation("WIPE", "0.2")],
        taxes=APART,
        extras=[build.an_extra("OIL", ["WIPE"])],
        bundles=[build.a_bundle("BOTH", ["WELD", "BEND"], "labour amount off", 5)],
    )
    job = job_of(book, extras=[build.a_job_extra("OIL")])
    made = {name: make() for name, make in figures(book, job).items()}
    assert {name: node.figure for name, node in made.items()} == {name: name for name in made}
    assert faults(made.values()) == []
    stated = figures_of_tier(dict(tier_json(build_quote(typed(book), typed(job)).tiers[0], 2)))
    assert {"total", "parts.PIN.amount", "bundles.BOTH.amount", "shares.WELD.labour", "extras.OIL.price"} <= set(made)
    both = [name for name in made if name in stated]
    assert len(both) > 75
    assert {name: _plain(made[name].value) for name in both} == {name: _plain(stated[name]) for name in both}


def _plain(value: Any) -> Any:
    """A list of words in a tree is a tuple; a count in it is a number."""
    return list(value) if isinstance(value, (list, tuple)) else value


def test_nothing_is_made_before_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """A person asks for one figure of hundreds."""
    asked: list[str] = []
    real = of_totals.taxes
    monkeypatch.setattr(of_totals, "taxes", lambda *given: asked.append("taxes") or real(*given))
    made = figures(a_bench(taxes=APART))
    assert asked == []
    made["work"]()
    assert asked == []
    for name in ("tax", "total", "taxes.VAT.base"):
        made[name]()
    assert asked == ["taxes"], "worked out once for all of them"


def test_code_and_name_are_as_typed() -> None:
    made = figures(a_bench(tiers=[build.a_tier("least", []), build.a_tier("good", tier="Sound")]))
    told = [(node.value, node.operation, node.rule, reads(node)) for node in (made["code"](), made["name"]())]
    cells = ["good: Code", "good: Tier"]
    assert told == [("good", "given", "As typed.", cells), ("Sound", "given", "As typed.", cells)]


def test_a_part_of_the_book_and_one_bought_for_this_job_name_their_rows() -> None:
    book = a_bench()
    line = build.a_one_off(1, "part", 2, unit_price=8)
    made = figures(book, job_of(book, one_off=[line]))
    cells = {code: reads(made[f"parts.{code}.part"]()) for code in ("PIN", "ONEOFF-1")}
    assert cells == {"PIN": ["PIN: Code", "PIN: Line"], "ONEOFF-1": ["ONEOFF-1: Code", "ONEOFF-1: Line"]}
    node = made["parts.PIN.part"]()
    assert (node.value, node.rule) == ("PIN", "A part that this tier uses (rules 5.2 step 6).")


UPGRADES = [
    (APART, "sum", "50.00", "Labour shares of upgrades"),
    ([build.a_tax("VAT", "0.1", ["labour"])], "decided", "0.00", "No tax in force treats upgrade labour apart"),
    ([], "decided", "0.00", "No tax in force treats upgrade labour apart"),
]


@pytest.mark.parametrize(("taxes", "operation", "value", "rule"), UPGRADES)
def test_upgrade_labour_is_the_labour_of_upgrades_where_a_tax_asks(
    taxes: list[Any], operation: str, value: str, rule: str
) -> None:
    """WELD is the upgrade: half an hour, 50.00 of the 150.00; the hour of BEND is no upgrade's.

    With 10 % on labour and 20 % on that of upgrades, tax is 10.00 + 10.00 = 20.00; with 10 % alone it is 15.00.
    """
    made = figures(a_bench(taxes=taxes))
    tax = {2: "20.00", 1: "15.00", 0: "0.00"}[len(taxes)]
    assert made["tax"]().value == tax
    total = {"20.00": "185.00", "15.00": "180.00", "0.00": "165.00"}[tax]
    assert said(made["total"]()) == f"{total} = sum(subtotal 165.00, tax {tax})"
    book = typed(a_bench(taxes=taxes))
    quote = build_quote(book, typed(job_of(book)))
    node = _upgrade(tier_told(set_up(quote.book, quote.job), quote.tiers[0]), quote.tiers[0])
    assert (node.operation, node.value) == (operation, value) and node.rule.startswith(rule)
    assert [one.value for one in node.inputs] == (["50.00"] if operation == "sum" else [])


@pytest.mark.parametrize(("upgrade", "within"), [("0.00", "0.00"), ("50.00", "50.00"), ("160.00", "150.00")])
def test_upgrade_labour_is_never_more_than_all_labour(upgrade: str, within: str) -> None:
    """A minimum may be shared out so that the shares pass the lines that a tax is on; all labour is 150.00."""
    quote = build_quote(book := a_bench(), job_of(book))
    told = tier_told(set_up(book, quote.job), quote.tiers[0])
    given = told.money.node("upgrade labour", D(upgrade), "given", (), "Given.")
    node = upgrade_within(told, given)
    if upgrade == "0.00":
        assert node is given
        return
    assert said(node) == f"{within} = least(upgrade labour {upgrade}, amounts.labour 150.00)"
    assert node.figure == "upgrade labour, at most all labour"


def test_a_bundle_of_hours_has_no_amount_and_says_where_to_look() -> None:
    bundles = [build.a_bundle("BOTH", ["WELD", "BEND"], "hours off", "0.2", bundle="Both together")]
    made = figures(a_bench(bundles=bundles))
    amount, named = made["bundles.BOTH.amount"](), made["bundles.BOTH.bundle"]()
    assert (amount.value, amount.rule) == (None, "It takes hours off, not money: see hours.off (rules 5.9, Bundles).")
    assert named.value == "BOTH"
    assert named.rule == "Both together: all its members are in this tier (rules 5.5 item 4)."
    cells = [f"BOTH: {heading}" for heading in ("Code", "From", "Members", "Saving", "To")]
    assert reads(amount) == reads(named) == cells


def test_a_bundle_of_money_has_an_amount() -> None:
    made = figures(a_bench(bundles=[build.a_bundle("BOTH", ["WELD", "BEND"], "labour amount off", 5)]))
    assert made["bundles.BOTH.amount"]().value == "-5.00"


def test_each_tax_has_a_base_and_an_amount_of_its_own() -> None:
    """Duty of a tenth on the pin at 15.00, VAT of a fifth on labour of 150.00."""
    taxes = [build.a_tax("DUTY", "0.1", ["parts"]), build.a_tax("VAT", "0.2", ["labour"])]
    made = figures(a_bench(taxes=taxes))
    told = {name: made[f"taxes.{name}"]().value for name in ("DUTY.tax", "DUTY.base", "DUTY.amount")}
    assert told == {"DUTY.tax": "DUTY", "DUTY.base": "15.00", "DUTY.amount": "1.50"}
    told = {name: made[f"taxes.{name}"]().value for name in ("VAT.tax", "VAT.base", "VAT.amount")}
    assert told == {"VAT.tax": "VAT", "VAT.base": "150.00", "VAT.amount": "30.00"}
    assert made["taxes.VAT.tax"]().rule == "A tax in force with something it is on (rules 5.9, Taxes)."


def test_an_hour_and_a_billed_hour_stand_by_each_rate() -> None:
    rates = [build.a_rate(), build.a_rate("FINE", 120)]
    operations = [build.an_operation("FILL", "0.5", labour="FINE"), build.an_operation("PRESS", 1, parts="PIN")]
    made = figures(a_bench(labour_rates=rates, operations=operations))
    billed = {name: make().value for name, make in made.items() if name.startswith("hours.billed.")}
    assert billed == {"hours.billed.FINE": "0.5", "hours.billed.MAIN": "1"}
    assert made["amounts.labour"]().value == "160.00"


def test_a_tier_that_was_not_worked_out_has_no_makers_of_money() -> None:
    """By the longest life one of two remedies has no stated life: nothing is priced, and each figure says so."""
    remedies = [
        build.a_remedy("WELD", ["WORN"], ["FILL"]),
        build.a_remedy("NEW", ["WORN"], ["PRESS"], life_years=None),
        build.a_remedy("BEND", ["BENT"], ["PRESS"]),
    ]
    book = a_bench(remedies=remedies, tiers=[build.a_tier("good", aim="longest life")])
    quote = build_quote(typed(book), typed(job_of(book)))
    assert not quote.tiers[0].priced
    told = tier_told(set_up(quote.book, quote.job), quote.tiers[0])
    assert told.charges.work.items == ()
    made = tier_figures(told, quote, quote.tiers[0])
    assert made["total"]().value is None and made["code"]().value == "good"
    assert not [name for name in made if name.startswith(("parts.", "taxes.", "shares.", "extras.", "proof."))]


def test_two_offers_of_one_code_have_two_names() -> None:
    """An extra and a remedy may have one code; the second is told apart by `#2`."""
    book = a_bench(
        operations=[
            build.an_operation("FILL", "0.5"),
            build.an_operation("PRESS", 1, parts="PIN"),
            build.an_operation("WIPE", "0.2"),
        ],
        findings=[build.a_finding("WORN"), build.a_finding("BENT", "advised")],
        extras=[build.an_extra("BEND", ["WIPE"])],
    )
    made = figures(book, job_of(book, extras=[build.a_job_extra("BEND")]))
    prices = {name: make().value for name, make in made.items() if name.endswith(".price") and "extras" in name}
    assert sorted(prices) == ["extras.BEND#2.price", "extras.BEND.price"]
    assert sorted(map(str, prices.values())) == ["115.00", "20.00"], "an hour and a pin; 0.2 h"


def test_nothing_beside_the_tier_has_no_names() -> None:
    assert names(a_bench(), "extras.") == []
