"""The files in the repository are what the script writes, and each job of the worked example tells its story."""

from __future__ import annotations

import importlib.util
from decimal import Decimal
from functools import cache
from pathlib import Path
from types import ModuleType
from zipfile import ZipFile

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.check_book import check_book
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "examples/worked example"


def script() -> ModuleType:
    """The script that builds the examples."""
    spec = importlib.util.spec_from_file_location("build_examples", ROOT / "examples/build_examples.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def content(path: Path) -> object:
    """A workbook by its parts, any other file by its bytes: compression may differ from one machine to the next."""
    if path.suffix != ".xlsx":
        return path.read_bytes()
    with ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@cache
def example_book() -> ShopBook:
    book, problems = read_shop_book(EXAMPLE / "shop book.xlsx")
    assert book is not None
    assert problems == []
    return book


@cache
def quoted(number: str) -> tuple[Job, Quote]:
    """The job of the worked example with this number, and its quote."""
    job, problems = read_job(next(EXAMPLE.glob(f"{number} *.xlsx")), example_book())
    assert job is not None
    assert problems == []
    return job, build_quote(example_book(), job)


def tiers(number: str) -> dict[str, PricedTier]:
    return {tier.code: tier for tier in quoted(number)[1].tiers}


def items(tier: PricedTier) -> set[str]:
    return {item.key for item in tier.items}


def offered(number: str) -> list[str]:
    return [tier.code for tier in quoted(number)[1].tiers if tier.offered]


def test_the_files_are_what_the_script_writes(tmp_path: Path) -> None:
    """Run examples/build_examples.py after a change of the example data or of the declared columns."""
    written = script().build(tmp_path)
    assert written != []
    differing = [
        str(path.relative_to(tmp_path))
        for path in written
        if not (there := ROOT / path.relative_to(tmp_path)).exists() or content(there) != content(path)
    ]
    assert differing == []


def test_the_script_draws_the_photo(tmp_path: Path) -> None:
    """It is the picture that comes with the example, up to what a picture library rounds."""
    from PIL import Image, ImageChops

    module = script()
    module.draw_photo(tmp_path / "photo.jpg")
    with Image.open(tmp_path / "photo.jpg") as drawn, Image.open(module.PHOTO) as kept:
        assert (drawn.size, drawn.format) == (kept.size, "JPEG")
        small = [image.resize((48, 36)).convert("L") for image in (drawn, kept)]
    darkest, lightest = ImageChops.difference(*small).getextrema()
    assert (darkest, float(str(lightest)) < 40) == (0, True)


def test_the_example_book_is_sound() -> None:
    assert check_book(example_book()) == []


def test_the_example_book_is_large_enough_to_be_believed() -> None:
    book = example_book()
    assert (len(book.parts) >= 60, len(book.operations) >= 50) == (True, True)


def test_worn_bushings_give_three_real_options() -> None:
    """The cap that let the dirt in comes with the new bushing; each option is dearer and does more or lasts longer."""
    good, better, best = (tiers("2611-01")[code] for code in ("good", "better", "best"))
    assert offered("2611-01") == ["good", "better", "best"]
    assert {"BUSH-NEW@left", "BUSH-NEW@right", "CAP-NEW@left"} <= items(good)
    assert {"BUSH-SEALED@left", "GB-SEALS-NEW"} <= items(better)
    assert {"BUSH-SEALED@left", "GB-NEW"} <= items(best)
    assert good.total < better.total < best.total
    assert set(good.fixed) < set(better.fixed) == set(best.fixed)


def test_belts_friction_wheel_and_shear_pins_are_offered_while_it_is_open() -> None:
    seen = {extra.extra for extra in tiers("2611-01")["better"].extras if extra.why == "while it is open"}
    assert {"AUGER-BELT", "FRICTION", "SHEAR-PINS"} <= seen


def test_the_one_old_price_is_warned_of() -> None:
    """One price of the example is old on purpose; nothing else is to be warned of."""
    warned = [(problem.code, problem.message.split(" is ")[0]) for problem in quoted("2611-01")[1].problems]
    assert warned == [("old-price", "the price of END-CAP")]


def test_a_worn_shaft_refuses_the_bushing_alone() -> None:
    """Measured in millimetres, the left journal is past its limit: no bushing and no bearing without a new shaft."""
    _, quote = quoted("2611-02")
    refused = {(entry.remedy, entry.side): entry.with_ for entry in quote.only_with}
    assert refused == {("BUSH-NEW", "left"): ("SHAFT-NEW",), ("BUSH-SEALED", "left"): ("SHAFT-NEW",)}
    assert offered("2611-02") == ["good", "better"]
    assert all("SHAFT-NEW" in items(tier) for tier in quote.tiers if tier.offered)


def test_the_job_has_its_own_shaft() -> None:
    """The job's Parts row stands for the shop's: this machine's number and price."""
    job, quote = quoted("2611-02")
    line = next(line for line in quote.tiers[0].part_lines if line.part == "AUG-SHAFT")
    assert (job.parts["AUG-SHAFT"].suppliers_number, line.name) == ("2-0199", job.parts["AUG-SHAFT"].part)


def test_left_and_right_brakes_differ_and_their_cores_are_charged() -> None:
    """The customer keeps the old parts, so what the rebuilder would have paid back is charged."""
    better = tiers("2611-03")["better"]
    prices = {line.part: line.unit_price for line in better.part_lines}
    assert prices["BRAKE-L"] != prices["BRAKE-R"]
    assert better.amounts.cores == 30
    assert {"HUB-NEW@left", "BEARINGS-NEW@right"} <= items(better)


def test_the_right_hub_does_not_fit_its_spindle() -> None:
    assert [(entry.remedy, entry.side) for entry in quoted("2611-03")[1].not_permitted] == [("HUB-NEW", "right")]


def test_a_kit_brings_its_own_seal() -> None:
    """Every hub opened takes a seal; the bearing kits bring theirs, so none is charged beside them."""
    parts = {line.part for line in tiers("2611-03")["good"].part_lines if line.quantity}
    assert "KIT-HUB" in parts
    assert not {"SEAL-HUB", "COTTER-HUB", "BEARING-IN"} & parts


def test_one_option_only_is_honest() -> None:
    """A burst hose is replaced or it is not; the exempt customer pays no tax."""
    assert offered("2611-04") == ["good"]
    assert tiers("2611-04")["better"].reason == "it is the same work as Put right"
    assert tiers("2611-04")["good"].tax == 0


def test_more_work_within_the_minimum_costs_nothing_more() -> None:
    """The least that is billed covers the small jobs too, so the smaller option makes no sense."""
    good, better, best = (tiers("2611-05")[code] for code in ("good", "better", "best"))
    assert offered("2611-05") == ["better", "best"]
    assert good.total == better.total < best.total
    assert (good.reason or "").startswith("Put right and prevent costs no more")


def test_the_old_mower_is_better_replaced() -> None:
    """The minimum is billed, and keeping it for its last years costs more than a new one less what that is worth."""
    job, quote = quoted("2611-06")
    good = tiers("2611-06")["good"]
    assert good.hours.minimum_added > 0
    assert job.new_price is not None and job.upkeep_after_repair is not None and job.upkeep_new is not None
    years = job.years_it_could_last
    assert years is not None
    keep = good.total + job.upkeep_after_repair * years
    value_then = job.new_price / 2
    assert keep > job.new_price + job.upkeep_new * years - value_then
    assert quote.problems == ()


def test_the_tiny_example_gives_a_true_quote() -> None:
    """1.2 + 0.2 h x 80.00 + a bushing at 4.00 doubled."""
    book, problems = read_shop_book(ROOT / "examples/tiny example/shop book.xlsx")
    assert book is not None and problems == []
    job, problems = read_job(ROOT / "examples/tiny example/job.xlsx", book)
    assert job is not None and problems == []
    quote = build_quote(book, job)
    assert [tier.code for tier in quote.tiers if tier.offered] == ["good", "better"]
    assert (quote.tiers[0].amounts.labour, quote.tiers[0].amounts.parts) == (Decimal(112), Decimal(8))
    assert list(quote.problems) == []


@pytest.mark.parametrize("number", ["2611-01", "2611-02", "2611-03", "2611-04", "2611-05", "2611-06"])
def test_every_job_is_quoted(number: str) -> None:
    job, quote = quoted(number)
    assert job.job_number == number
    assert offered(number) != []
    assert {problem.code for problem in quote.problems} <= {"old-price"}
