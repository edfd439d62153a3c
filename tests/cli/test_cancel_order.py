"""`quotekit cancel-order`: parts that will not come are needed again, and bought elsewhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.model.entries import Cancelled
from tests.cli.consent_shop import Ran, Shop
from tests.cli.order_shop import ON, TODAY, orders, shop_with_an_order, shop_with_two_jobs, write_today

LATER = ("--on", "2026-11-25")
NEXT = ("--on", "2026-11-26")
BECAUSE = ("--because", "none left")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return shop_with_an_order(tmp_path)


def order_again(shop: Shop, *words: str) -> Ran:
    return shop.run("order", "--book", shop.folder / TODAY, "--needed-by", "any", *NEXT, *words)


def cancelled(shop: Shop) -> list[Cancelled]:
    return [entry.told(Cancelled) for entry in shop.entries("cancelled")]


def test_a_part_that_its_supplier_has_not_is_bought_elsewhere(shop: Shop) -> None:
    """AXLE has no bushings: both jobs need one again, and NORTH sells them, though AXLE is still the cheaper."""
    ran = shop.run("cancel-order", "1", "--part", "BUSHING", *BECAUSE, *LATER)
    assert (ran.code, ran.json["cancelled"]) == (
        0,
        [{"line": 1, "supplier": "AXLE", "part": "BUSHING", "packs": 1}],
    )
    assert [(one["job"], one["quantity"]) for one in ran.json["needed_again"]] == [("117", "1"), ("118", "1")]
    again = order_again(shop)
    assert again.json["order"] == 2
    assert {(line["supplier"], line["part"], line["instead_of"]) for line in again.json["lines"]} == {
        ("NORTH", "BUSHING", None)
    }
    assert {job: units for line in again.json["lines"] for job, units in line["jobs"].items()} == {
        "117": "1",
        "118": "1",
    }
    assert order_again(shop).json["order"] is None


def test_called_off_by_the_shop_the_same_supplier_may_be_asked_again(shop: Shop) -> None:
    shop.run("cancel-order", "1", "--part", "BUSHING", "--by", "shop", "--because", "typed twice", *LATER)
    assert [line["supplier"] for line in order_again(shop).json["lines"]] == ["AXLE"]


def test_nobody_else_sells_it(shop: Shop) -> None:
    """A belt of this job alone has one supplier: it is ordered there again, and that is told."""
    shop.run("cancel-order", "1", "--part", "BELT", *BECAUSE, *LATER)
    ran = order_again(shop)
    assert [(line["supplier"], line["part"]) for line in ran.json["lines"]] == [("NORTH", "BELT of 117")]
    assert "called-off-before" in ran.codes
    assert "BELT of 117 was called off by NORTH, and nobody else offers it" in ran.messages


def test_what_a_supplier_leaves_over_goes_with_it(shop: Shop) -> None:
    """The third bushing was on its way to the shelf: it is not any more, and the entry is one of the ledger's."""
    assert shop.run("shelf").json["parts"][0]["on_the_way"] == "1"
    assert shop.run("cancel-order", "1", "--supplier", "axle", *BECAUSE, *LATER).code == 0
    assert shop.run("shelf").json["parts"] == []
    (told,) = cancelled(shop)
    assert (told.order, told.by, told.lines[0].line, told.lines[0].packs) == (1, "supplier", 1, 1)
    assert shop.run("ledger", "check").code == 0
    assert shop.run("receive", "1", *LATER).json["open"][0]["part"] == "BELT of 117"


def test_the_whole_order_but_what_came_in(shop: Shop) -> None:
    """The belt is here and stays; calling off the rest again adds nothing."""
    shop.run("receive", "1", "--part", "BELT", *LATER)
    ran = shop.run("cancel-order", "1", *BECAUSE, *LATER)
    assert ([one["part"] for one in ran.json["cancelled"]], ran.json["came_in"]) == (["BUSHING"], {"BELT of 117": 1})
    again = shop.run("cancel-order", "1", *BECAUSE, *LATER)
    assert (again.code, again.json["recorded"], len(cancelled(shop))) == (0, False, 1)
    assert "It is called off already: nothing was added." in again.err


def test_what_a_person_reads(shop: Shop) -> None:
    said = shop.say("cancel-order", "1", "--part", "BUSHING", *BECAUSE, *LATER)
    assert said.out.splitlines() == [
        "Called off: 1 x BUSHING from AXLE",
        "Job 117 needs 1 BUSHING again.",
        "Job 118 needs 1 BUSHING again.",
        "`quotekit order` buys what is needed again.",
    ]


def test_a_supplier_that_sends_less_is_asked_what_it_charges(tmp_path: Path) -> None:
    """Two single bushings from AXLE; with one less its goods are 2.00, and freight was worked out for both."""
    shop = shop_with_two_jobs(tmp_path)
    write_today(shop, ["BUSHING", "AXLE", 1, 2])
    assert order_again(shop).json["lines"][0]["packs"] == 2
    ran = shop.run("cancel-order", "1", "--part", "BUSHING", "--packs", "1", *BECAUSE, *NEXT)
    assert [(one["supplier"], one["goods"]) for one in ran.json["still_send"]] == [("AXLE", "2.00")]
    assert [one["job"] for one in ran.json["needed_again"]] == ["118"], "the last in order of jobs loses it"


REFUSED = [
    (("2", *BECAUSE), "unknown-order", "There is no order 2."),
    (("1", "--part", "BUSHNG", *BECAUSE), "part-not-ordered", "Did you mean BUSHING?"),
    (("1", "--supplier", "SOUTH", *BECAUSE), "nothing-to-cancel", "nothing from SOUTH. It buys from AXLE, NORTH."),
    (("1", "--part", "BUSHING", "--packs", "2", *BECAUSE), "cancelled-too-many", "still to come: 1, came in: 0."),
    (("1",), "why-missing", "Nothing says why order 1 is called off. Say it with --because."),
]  # fmt: skip


@pytest.mark.parametrize(("words", "code", "message"), REFUSED)
def test_what_is_refused(shop: Shop, words: tuple[str, ...], code: str, message: str) -> None:
    ran = shop.run("cancel-order", *words, *LATER)
    assert (ran.code, ran.codes, cancelled(shop)) == (1, [code], [])
    assert message in ran.messages
    assert "Nothing was recorded." in ran.err


def test_what_came_in_is_not_called_off(shop: Shop) -> None:
    """It goes back to the supplier instead; then it can be called off."""
    shop.run("receive", "1", "--all", *LATER)
    ran = shop.run("cancel-order", "1", "--part", "BELT", *BECAUSE, *LATER)
    assert (ran.code, ran.codes) == (1, ["cancelled-too-many"])
    assert "All of BELT of 117 came in" in ran.messages
    back = shop.run("receive", "1", "--returned", "BELT", "--because", "cracked", *LATER)
    assert (back.code, back.json["received"][0]["packs"]) == (0, -1)
    assert [(one["part"], one["packs"]) for one in back.json["open"]] == [("BELT of 117", 1)]
    assert shop.run("cancel-order", "1", "--part", "BELT", *BECAUSE, *LATER).code == 0
    assert [line["part"] for line in order_again(shop).json["lines"]] == ["BELT of 117"]
    assert len(orders(shop)) == 2


USAGE = [("0",), (), ("1", "--packs", "1"), ("1", "--by", "me"), ("1", "--part", "BELT", "--packs", "-1")]


@pytest.mark.parametrize("words", USAGE)
def test_wrong_usage(tmp_path: Path, words: tuple[str, ...]) -> None:
    assert Shop(tmp_path).say("cancel-order", *words).code == 2


def test_an_order_that_was_cut_off_is_finished_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Else its sheets, written later, would ask for what was called off."""

    def cut_off(*_: object) -> None:
        raise KeyboardInterrupt

    shop = shop_with_two_jobs(tmp_path)
    with monkeypatch.context() as patched:
        patched.setattr("quotekit.cli.carry_out.put_in_place", cut_off)
        shop.say("order", *ON)
    ran = shop.run("cancel-order", "1", *BECAUSE, *LATER)
    assert (ran.code, ran.codes, cancelled(shop)) == (1, ["order-unfinished"], [])
    assert shop.run("order", *ON).json["order"] == 1
    assert shop.run("cancel-order", "1", *BECAUSE, *LATER).code == 0
