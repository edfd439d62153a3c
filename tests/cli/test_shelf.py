"""`quotekit shelf`: what is there, what is coming, and units put there, taken or counted."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.model.entries import ShelfMove
from tests.cli.consent_shop import Shop
from tests.cli.order_shop import ON, TODAY, orders, shop_with_two_jobs


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return shop_with_two_jobs(tmp_path)


def moves(shop: Shop) -> list[ShelfMove]:
    return [entry.told(ShelfMove) for entry in shop.entries("shelf")]


def there(shop: Shop) -> dict[str, tuple[str, str]]:
    """Units on the shelf and on the way, by part."""
    rows = shop.run("shelf").json["parts"]
    return {row["part"]: (row["on_shelf"], row["on_the_way"]) for row in rows}


def test_nothing_is_known_at_first(shop: Shop) -> None:
    said = shop.say("shelf")
    assert (said.code, said.out) == (0, "")
    assert "Nothing is known to be on the shelf." in said.err


def test_put_take_and_count(shop: Shop) -> None:
    assert shop.run("shelf", "--put", "bushing", "4", "--cost", "4.20", *ON).code == 0
    assert shop.run("shelf", "--take", "BUSHING", "1", *ON).code == 0
    assert there(shop) == {"BUSHING": ("3", "0")}
    assert shop.run("shelf", "--count", "BUSHING", "1.5", *ON).json["parts"][0]["unit_cost"] == "4.2"
    assert there(shop) == {"BUSHING": ("1.5", "0")}
    assert [(move.part, move.quantity, move.note) for move in moves(shop)] == [
        ("BUSHING", Decimal(4), ""),
        ("BUSHING", Decimal(-1), ""),
        ("BUSHING", Decimal("-1.5"), "counted"),
    ]


def test_more_than_there_is_cannot_be_taken(shop: Shop) -> None:
    ran = shop.run("shelf", "--take", "BUSHING", "1", *ON)
    assert (ran.code, ran.codes, moves(shop)) == (1, ["shelf-too-few"], [])
    assert "1 of BUSHING can't be taken; on the shelf: 0." in ran.messages
    assert ran.json["recorded"] is False


def test_a_part_that_nobody_knows_is_a_warning(shop: Shop) -> None:
    """It is recorded all the same: the shop may keep what is in no book."""
    ran = shop.run("shelf", "--put", "BUSHIN", "4", *ON)
    assert (ran.code, ran.codes, moves(shop)[0].part) == (0, ["shelf-unknown-part"], "BUSHIN")
    assert "Did you mean BUSHING?" in ran.messages
    assert shop.run("shelf", "--put", "bushin", "1", *ON).codes == []


def test_what_is_on_the_shelf_is_not_bought(shop: Shop) -> None:
    assert shop.run("shelf", "--put", "BUSHING", "1", *ON).code == 0
    ran = shop.run("order", "118", *ON)
    assert (ran.json["lines"], [take["part"] for take in ran.json["shelf"]]) == ([], ["0417", "BUSHING", "GREASE"])
    assert there(shop) == {"BUSHING": ("0", "0")}


def test_counted_stock_of_the_shelf_is_used_up(shop: Shop) -> None:
    """Shear pins are the shop's own: taken as there until they are counted, then as many as were counted."""
    assert shop.run("order", "117", *ON).json["shelf"][0]["part"] == "0417"
    assert there(shop) == {"BUSHING": ("0", "1")}
    assert shop.run("shelf", "--count", "0417", "0", *ON).code == 0
    ran = shop.run("order", "118", *ON)
    assert "shelf-short" in ran.codes
    assert "0417" not in [take["part"] for take in ran.json["shelf"]]
    assert shop.run("shelf", "--put", "0417", "10", *ON).code == 0
    assert [take["part"] for take in shop.run("order", "118", *ON).json["shelf"]] == ["0417"]
    assert there(shop)["0417"] == ("9", "0")


def test_what_an_order_leaves_over(shop: Shop) -> None:
    """Three bushings for one job: two are on the way, then there, at what they cost."""
    assert shop.run("order", "118", "--book", shop.folder / TODAY, "--needed-by", "any", *ON).code == 0
    assert there(shop) == {"BUSHING": ("0", "2")}
    said = shop.say("shelf")
    assert said.out == "BUSHING: 0 on the shelf, 2 on the way  Auger bushing\n"
    assert shop.run("receive", "1", "--all", *ON).code == 0
    assert there(shop) == {"BUSHING": ("2", "0")}
    assert shop.run("shelf").json["parts"][0]["unit_cost"] == "1.666667"
    assert len(orders(shop)) == 1


@pytest.mark.parametrize(
    "words",
    [
        ("--put", "BUSHING"),
        ("--put", "BUSHING", "few"),
        ("--put", "BUSHING", "-1"),
        ("--put", "BUSHING", "1", "--take", "BUSHING", "1"),
        ("--put", "BUSHING", "1", "--cost", "much"),
    ],
)
def test_wrong_usage(shop: Shop, words: tuple[str, ...]) -> None:
    assert shop.say("shelf", *words).code == 2
    assert moves(shop) == []


def test_a_part_that_its_job_does_not_need_serves_another(shop: Shop) -> None:
    """117 is declined after its bushing came: an order tells of it, the shelf gets it, and 118 has no need to buy."""
    assert shop.run("order", "117", "--book", shop.folder / TODAY, "--needed-by", "any", *ON).code == 0
    assert shop.run("receive", "1", "--all", *ON).code == 0
    assert shop.run("decline", "117", "--reason", "price", "--all", *ON).code == 0
    told = shop.run("order", "--only-show", *ON)
    assert told.codes.count("part-not-agreed-now") == 2
    assert '`quotekit shelf --put "BUSHING" 1 --job 117`' in told.messages
    moved = shop.run("shelf", "--put", "bushing", "1", "--job", "117", *ON)
    assert {row["part"]: row["on_shelf"] for row in moved.json["parts"]} == {"BUSHING": "3"}
    after = shop.run("order", "--book", shop.folder / TODAY, *ON)
    assert "1 of BUSHING" not in after.messages
    assert ("BUSHING", "118") in [(take["part"], take["job"]) for take in after.json["shelf"]]
    assert after.json["lines"] == []


def test_units_for_a_job(shop: Shop) -> None:
    """What the technician took for 118 is not bought for it."""
    shop.run("shelf", "--count", "BUSHING", "2", *ON)
    assert shop.run("shelf", "--take", "BUSHING", "1", "--job", "118", *ON).code == 0
    ran = shop.run("order", "118", *ON)
    assert "BUSHING" not in [take["part"] for take in ran.json["shelf"]]
    assert [(move.quantity, move.job) for move in moves(shop)] == [(2, ""), (-1, "118")]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--put", "BUSHING", "1", "--job", "118"), "job-has-too-few"),
        (("--put", "BUSHING", "1", "--job", "9"), "unknown-job"),
    ],
)
def test_a_job_that_has_none_gives_none(shop: Shop, words: tuple[str, ...], code: str) -> None:
    ran = shop.run("shelf", *words, *ON)
    assert (ran.code, ran.codes, moves(shop)) == (1, [code], [])


@pytest.mark.parametrize("words", [("--job", "118"), ("--count", "BUSHING", "1", "--job", "118")])
def test_a_job_alone_is_wrong_usage(shop: Shop, words: tuple[str, ...]) -> None:
    assert shop.say("shelf", *words).code == 2
