"""`quotekit receive`: what came in, is put off, is open, was charged otherwise, or goes onto the shelf."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.model.entries import ReceivedLine
from tests.cli.consent_shop import Shop, book_rows
from tests.cli.order_shop import ON, TODAY, deliveries, shop_with_an_order, shop_with_two_jobs, write_today
from tests.problem_catalogue.workbooks import write

LATER = ("--on", "2026-11-27")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return shop_with_an_order(tmp_path)


@pytest.fixture
def large(tmp_path: Path) -> Shop:
    """Order 1: two single bushings from AXLE, a belt from NORTH."""
    found = shop_with_two_jobs(tmp_path)
    write_today(found, ["BUSHING", "AXLE", 1, 2])
    ran = found.run("order", "--book", found.folder / TODAY, "--needed-by", "any", *ON)
    assert [(line["supplier"], line["packs"]) for line in ran.json["lines"]] == [("AXLE", 2), ("NORTH", 1)]
    return found


def open_packs(ran: object) -> dict[str, int]:
    return {one["part"]: one["packs"] for one in ran.json["open"]}  # type: ignore[attr-defined]


def test_without_a_word_more_it_says_what_is_open(shop: Shop) -> None:
    ran = shop.run("receive", "1", *LATER)
    assert (ran.code, open_packs(ran)) == (0, {"BUSHING": 1, "BELT of 117": 1})
    assert ran.json["open"][0]["jobs"] == ["117", "118"]
    assert (ran.json["received"], deliveries(shop)) == ([], [])
    assert (ran.json["recorded"], ran.json["entry"]) == (False, None)


def test_all_came_in(shop: Shop) -> None:
    """Three bushings for two that are needed: one goes onto the shelf, and a second run adds nothing."""
    ran = shop.run("receive", "1", "--all", *LATER)
    assert (ran.code, ran.json["open"], ran.json["difference"]) == (0, [], "0.00")
    assert ran.json["to_shelf"] == [{"part": "BUSHING", "quantity": "1"}]
    (told,) = deliveries(shop)
    assert (told.order, [(line.line, line.packs) for line in told.lines]) == (1, [(1, 1), (2, 1)])
    again = shop.run("receive", "1", "--all", *LATER)
    assert (again.code, again.json["received"]) == (0, [])
    assert "Nothing was added." in again.err
    assert len(deliveries(shop)) == 1


def test_all_of_one_supplier(shop: Shop) -> None:
    ran = shop.run("receive", "1", "--all", "--supplier", "north", *LATER)
    assert open_packs(ran) == {"BUSHING": 1}


def test_a_pack_at_another_price(large: Shop) -> None:
    """2.35 for 2.00: 0.35 more; the other pack is still open and as ordered."""
    ran = large.run("receive", "1", "--part", "bushing", "--packs", "1", "--cost", "2.35", *LATER)
    assert (ran.json["difference"], open_packs(ran)) == ("0.35", {"BUSHING": 1, "BELT of 117": 1})
    assert ran.json["received"][0]["pack_cost"] == "2.35"
    rest = large.run("receive", "1", "--part", "BUSHING", *LATER)
    assert (rest.json["received"][0]["packs"], rest.json["difference"], rest.json["difference_so_far"]) == (
        1,
        "0.00",
        "0.35",
    )
    cheaper = large.run("receive", "1", "--all", "--part", "BELT", "--cost", "20", *LATER)
    assert (cheaper.json["difference"], cheaper.json["open"]) == ("-4.00", [])


def test_a_part_charged_nothing_is_charged_nothing(large: Shop) -> None:
    """Zero is a price: a pack given for free is 2.00 less, not as ordered."""
    ran = large.run("receive", "1", "--part", "BUSHING", "--packs", "1", "--cost", "0", *LATER)
    assert ran.json["difference"] == "-2.00"


def test_some_came_some_are_put_off(large: Shop) -> None:
    ran = large.run(
        "receive", "1", "--all", "--back-ordered", "BUSHING", "--packs", "1", "--expected", "2026-12-14", *LATER
    )
    assert ran.code == 0
    assert open_packs(ran) == {"BUSHING": 1}
    (still,) = ran.json["open"]
    assert (still["back_ordered"], still["expected"]) == (1, "2026-12-14")
    lines = deliveries(large)[0].lines
    assert lines[0] == ReceivedLine(
        supplier="AXLE", part="BUSHING", packs=1, back_ordered=1, expected=date(2026, 12, 14), line=1
    )
    done = large.run("receive", "1", "--all", *LATER)
    assert done.json["open"] == []


def test_put_off_alone_puts_off_all_that_is_open(shop: Shop) -> None:
    ran = shop.run("receive", "1", "--back-ordered", "BUSHING", *LATER)
    assert [(one["part"], one["back_ordered"]) for one in ran.json["open"]] == [("BUSHING", 1), ("BELT of 117", 0)]
    assert deliveries(shop)[0].lines[0].packs == 0


def test_a_part_of_one_job_goes_by_its_code_or_its_name(shop: Shop) -> None:
    for word, left in (("BELT", {"BUSHING": 1}),):
        assert open_packs(shop.run("receive", "1", "--part", word, *LATER)) == left
    assert shop.run("receive", "1", "--part", "belt of 117", *LATER).code == 0


REFUSED = [
    (("2", "--all"), "unknown-order", "There is no order 2."),
    (("1", "--part", "BUSHNG"), "part-not-ordered", "BUSHNG is not in order 1. Did you mean BUSHING?"),
    (("1", "--part", "BUSHING", "--supplier", "NORTH"), "part-not-ordered", "BUSHING is not in order 1 from NORTH."),
    (("1", "--part", "BUSHING", "--packs", "3"), "received-too-many", "3 packs of BUSHING"),
    (("1", "--back-ordered", "BUSHING", "--packs", "2"), "received-too-many", "open: 1."),
    (("1", "--part", "BUSHING", "--back-ordered", "BUSHING", "--packs", "1"), "received-too-many", "open: 0."),
]


@pytest.mark.parametrize(("words", "code", "message"), REFUSED)
def test_what_is_not_of_this_order(shop: Shop, words: tuple[str, ...], code: str, message: str) -> None:
    ran = shop.run("receive", *words, *LATER)
    assert (ran.code, ran.codes, deliveries(shop)) == (1, [code], [])
    assert message in ran.messages
    assert "Nothing was recorded." in ran.err


USAGE = [
    ("receive",),
    ("receive", "one"),
    ("receive", "0"),
    ("receive", "1", "--packs", "2"),
    ("receive", "1", "--part", "BELT", "--packs", "0"),
    ("receive", "1", "--part", "BELT", "--cost", "8,20"),
    ("receive", "1", "--part", "BELT", "--cost", "-1"),
    ("receive", "1", "--part", "BELT", "--expected", "soon"),
]


@pytest.mark.parametrize("words", USAGE)
def test_wrong_usage(shop: Shop, words: tuple[str, ...]) -> None:
    assert shop.say(*words).code == 2
    assert deliveries(shop) == []


def test_what_a_person_reads(large: Shop) -> None:
    said = large.say("receive", "1", "--part", "BUSHING", "--packs", "1", "--cost", "2.35", *LATER)
    assert said.out.splitlines() == [
        "Came in: 1 x BUSHING from AXLE, charged 2.35 a pack",
        "Charged 0.35 more than ordered.",
        "Open: 1 x BUSHING from AXLE for 117, 118",
        "Open: 1 x BELT from NORTH for 117",
    ]
    said = large.say("receive", "1", "--all", "--back-ordered", "BUSHING", "--expected", "2026-12-14", *LATER)
    assert said.out.splitlines()[-1] == ("Open: 1 x BUSHING from AXLE for 117, 118, 1 put off, expected 2026-12-14")
    assert large.say("receive", "1", "--all", *LATER).out.splitlines()[-1] == "Nothing of order 1 is open."


def test_a_part_on_two_lines_asks_which(tmp_path: Path) -> None:
    """One bushing by Thursday from the quick supplier, the other from the cheap one: two lines of one part."""
    shop = shop_with_two_jobs(tmp_path)
    write_today(shop, ["BUSHING", "AXLE", 1, 30], suppliers=[["AXLE", "Lakeside Axle", "", 2, ""]])
    ran = shop.run(
        "order", "--book", shop.folder / TODAY, "--needed-by", "117=any", "--needed-by", "118=2026-11-26", *ON
    )
    assert sorted(line["supplier"] for line in ran.json["lines"] if line["part"] == "BUSHING") == ["AXLE", "NORTH"]
    asked = shop.run("receive", "1", "--part", "BUSHING", *LATER)
    assert (asked.code, asked.codes) == (1, ["part-on-several-lines"])
    assert "Say which with --supplier" in asked.messages
    assert shop.run("receive", "1", "--part", "BUSHING", "--supplier", "AXLE", *LATER).code == 0
    assert shop.run("receive", "1", "--part", "BUSHING", *LATER).json["received"][0]["supplier"] == "NORTH"
    assert Decimal(asked.json.get("order", 1)) == 1


def test_a_cracked_part_goes_back_at_what_it_was_charged(large: Shop) -> None:
    """One of two bushings, charged 2.35 and not 2.00: the supplier owes it, and the difference goes with it."""
    large.run("receive", "1", "--all", *LATER)
    gone = large.run("receive", "1", "--returned", "BUSHING", "--packs", "1", "--because", "cracked", *LATER)
    assert (gone.code, open_packs(gone), gone.json["received"][0]["packs"]) == (0, {"BUSHING": 1}, -1)
    assert large.run("receive", "1", "--part", "BUSHING", "--cost", "2.35", *LATER).json["difference_so_far"] == "0.35"
    both = large.run("receive", "1", "--returned", "BUSHING", "--because", "wrong size", *LATER)
    assert (open_packs(both), both.json["difference_so_far"]) == ({"BUSHING": 2}, "0.00")
    said = large.say("receive", "1", *LATER)
    assert said.out == "Open: 2 x BUSHING from AXLE for 117, 118\n"


def test_what_goes_back_needs_a_reason_and_must_have_come(shop: Shop) -> None:
    assert shop.run("receive", "1", "--returned", "BELT", "--because", "x", *LATER).codes == ["returned-too-many"]
    shop.run("receive", "1", "--all", *LATER)
    ran = shop.run("receive", "1", "--returned", "BELT", *LATER)
    assert (ran.code, ran.codes, len(deliveries(shop))) == (1, ["why-missing"], 1)
    two = shop.run("receive", "1", "--returned", "BELT", "--packs", "2", "--because", "x", *LATER)
    assert (two.codes, "2 packs of BELT of 117 are said to go back; came in: 1." in two.messages) == (
        ["returned-too-many"],
        True,
    )


def test_a_part_that_cannot_be_returned_goes_back_with_a_warning(tmp_path: Path) -> None:
    """The book says so; a cracked one may go back all the same."""
    shop = shop_with_two_jobs(tmp_path)
    rows = book_rows()
    header, *parts = rows["Parts"]
    place = header.index("Returnable") if "Returnable" in header else len(header)
    rows["Parts"] = [
        [*header, *(["Returnable"] if place == len(header) else [])],
        *([*row[:place], *([""] * (place - len(row))), "No", *row[place + 1 :]] for row in parts),
    ]
    write(shop.folder / TODAY, rows, {"merge": {}, "hide": {}})
    assert shop.run("order", "118", "--book", shop.folder / TODAY, "--needed-by", "any", *ON).code == 0
    shop.run("receive", "1", "--all", *LATER)
    ran = shop.run("receive", "1", "--returned", "BUSHING", "--because", "cracked", *LATER)
    assert (ran.code, ran.codes) == (0, ["part-not-returnable"])


def test_what_was_used_up_cannot_go_back(shop: Shop) -> None:
    """The third bushing of the pack was taken from the shelf for no job: the pack of three is not whole any more."""
    shop.run("receive", "1", "--all", *LATER)
    assert shop.run("shelf", "--take", "BUSHING", "1", *LATER).code == 0
    ran = shop.run("receive", "1", "--returned", "BUSHING", "--because", "wrong size", *LATER)
    assert (ran.code, ran.codes) == (1, ["returned-too-many"])
    assert "of 1 that came in 1 are used up, for no job." in ran.messages
