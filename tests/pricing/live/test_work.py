"""Which work is done, as flags: inclusions, requirements, sides and access, for every set of items."""

from __future__ import annotations

from dataclasses import replace
from itertools import chain, combinations

import pytest

from quotekit.model.shop_book import ShopBook
from tests import build
from tests.pricing.live.bench import Bench, a_bench
from tests.pricing.priced import price


def shop() -> ShopBook:
    """GEARBOX includes SEAL; SEAL and PUMP require FLUSH; SEAL and GEARBOX lie behind COVER, BUSHING behind WHEEL."""
    return build.a_book(
        access=[build.a_step("COVER"), build.a_step("WHEEL", each_side=True)],
        operations=[
            build.an_operation("SEAL", requires=["FLUSH"], access=["COVER"]),
            build.an_operation("FLUSH"),
            build.an_operation("PUMP", requires=["FLUSH"]),
            build.an_operation("GEARBOX", includes=["SEAL"], access=["COVER"]),
            build.an_operation("BUSHING", each_side=True, access=["WHEEL"]),
            build.an_operation("SHAFT", includes=["BUSHING"]),
            build.an_operation("AXLE", each_side=True, includes=["BUSHING"], requires=["FLUSH"]),
            build.an_operation("WIPE", each_side=True),
            build.an_operation("RINSE", requires=["WIPE"]),
            build.an_operation("POLISH", each_side=True, requires=["WIPE"]),
            build.an_operation("COAT", includes=["POLISH"]),
            build.an_operation("HUB", each_side=True, requires=["RINSE"]),
        ],
        machines=[build.a_machine(always=["FLUSH"], code="WASHED"), build.a_machine()],
    )


def done(bench: Bench, *ticked: str) -> list[str]:
    """Operations that are done."""
    return bench.which({op.key: bench.work.present(op.key) for op in bench.work.operations}, *ticked)


def opened(bench: Bench, *ticked: str) -> list[str]:
    """Access steps that are opened."""
    return bench.which(dict(bench.work.steps), *ticked)


def test_nothing_is_done_where_nothing_is_ticked() -> None:
    bench = a_bench(shop(), "SEAL", "PUMP")
    assert (done(bench), opened(bench)) == ([], [])


def test_what_an_operation_requires_is_done_with_it_and_once() -> None:
    bench = a_bench(shop(), "SEAL", "PUMP")
    assert done(bench, "SEAL") == ["FLUSH", "SEAL"]
    assert done(bench, "PUMP") == ["FLUSH", "PUMP"]
    assert done(bench, "SEAL", "PUMP") == ["FLUSH", "PUMP", "SEAL"]


def test_an_included_operation_is_dropped_with_what_it_alone_required() -> None:
    """GEARBOX makes SEAL unnecessary, and then nothing asks for FLUSH."""
    bench = a_bench(shop(), "GEARBOX", "SEAL")
    assert done(bench, "SEAL") == ["FLUSH", "SEAL"]
    assert done(bench, "GEARBOX", "SEAL") == ["GEARBOX"]


def test_a_requirement_is_kept_by_another_item() -> None:
    """PUMP still needs FLUSH when GEARBOX has taken the place of SEAL."""
    bench = a_bench(shop(), "GEARBOX", "PUMP", "SEAL")
    assert done(bench, "GEARBOX", "PUMP", "SEAL") == ["FLUSH", "GEARBOX", "PUMP"]


def test_a_requirement_that_is_somebodys_own_work_stays() -> None:
    bench = a_bench(shop(), "FLUSH", "GEARBOX", "SEAL")
    assert done(bench, "FLUSH", "GEARBOX", "SEAL") == ["FLUSH", "GEARBOX"]
    assert done(bench, "GEARBOX", "SEAL") == ["GEARBOX"]


def test_what_is_always_done_is_done_with_nothing_ticked() -> None:
    bench = a_bench(shop(), "GEARBOX", "SEAL", job=build.a_job(machine_class="WASHED"))
    assert done(bench) == ["FLUSH"]
    assert done(bench, "GEARBOX", "SEAL") == ["FLUSH", "GEARBOX"]


def test_work_without_a_side_includes_the_work_of_every_side() -> None:
    """The shaft comes with both bushings."""
    bench = a_bench(shop(), "BUSHING@left", "BUSHING@right", "SHAFT")
    assert done(bench, "BUSHING@left", "BUSHING@right") == ["BUSHING@left", "BUSHING@right"]
    assert done(bench, "BUSHING@left", "BUSHING@right", "SHAFT") == ["SHAFT"]
    assert opened(bench, "BUSHING@left") == ["WHEEL@left"]
    assert opened(bench, "BUSHING@left", "SHAFT") == []


def test_work_of_a_side_includes_only_that_side() -> None:
    bench = a_bench(shop(), "AXLE@left", "BUSHING@left", "BUSHING@right")
    everything = ("AXLE@left", "BUSHING@left", "BUSHING@right")
    assert sorted(done(bench, *everything)) == ["AXLE@left", "BUSHING@right", "FLUSH"]
    assert opened(bench, *everything) == ["WHEEL@right"]


def test_a_side_is_handed_down_only_by_an_item_that_is_taken() -> None:
    """RINSE by itself requires WIPE as such; for a HUB it requires WIPE on the hub's side.

    COAT makes POLISH unnecessary, and then WIPE@left has nobody to ask for it, although RINSE is done; the hub does.
    """
    bench = a_bench(shop(), "COAT", "HUB@left", "POLISH@left", "RINSE")
    assert sorted(done(bench, "POLISH@left", "RINSE")) == ["POLISH@left", "RINSE", "WIPE", "WIPE@left"]
    assert sorted(done(bench, "COAT", "POLISH@left", "RINSE")) == ["COAT", "RINSE", "WIPE"]
    everything = ("COAT", "HUB@left", "POLISH@left", "RINSE")
    assert sorted(done(bench, *everything)) == ["COAT", "HUB@left", "RINSE", "WIPE", "WIPE@left"]


def test_a_cover_is_opened_once_for_whoever_needs_it() -> None:
    bench = a_bench(shop(), "GEARBOX", "PUMP", "SEAL")
    assert opened(bench, "GEARBOX") == opened(bench, "SEAL") == opened(bench, "GEARBOX", "SEAL") == ["COVER"]
    assert opened(bench, "PUMP") == []


def test_work_that_includes_itself_is_done_once() -> None:
    book = build.a_book(operations=[build.an_operation("SEAL", includes=["SEAL"])])
    assert done(a_bench(book, "SEAL"), "SEAL") == ["SEAL"]


def test_where_nothing_can_be_dropped_the_flags_are_plain() -> None:
    """No line for what is included and none for what is left: the work that is wanted is done."""
    bench = a_bench(shop(), "PUMP", "SEAL")
    assert bench.work.nothing_dropped
    assert bench.work.present("SEAL") is bench.work.wanted["SEAL"] is bench.ticks["SEAL"]
    assert [step.name for step in bench.working.steps] == ["operation wanted"]
    assert not a_bench(shop(), "GEARBOX", "SEAL").work.nothing_dropped


def test_an_item_whose_work_is_in_larger_work_brings_nothing_of_its_own() -> None:
    bench = a_bench(shop(), "GEARBOX", "SEAL")
    seal = next(one for one in bench.taken if one.item.key == "SEAL")
    assert bench.number(bench.work.effective(seal), "SEAL") == 1
    assert bench.number(bench.work.effective(seal), "GEARBOX", "SEAL") == 0
    assert bench.number(bench.work.effective(seal), "GEARBOX") == 0


def test_what_an_item_really_brings() -> None:
    """With GEARBOX the seal's own work is dropped, and so it brings no FLUSH, although PUMP has it done."""
    bench = a_bench(shop(), "GEARBOX", "PUMP", "SEAL")
    seal = next(one for one in bench.taken if one.item.key == "SEAL")
    brought = {key: bench.work.brought(seal, key) for key in ("SEAL", "FLUSH")}
    assert bench.which(brought, "PUMP", "SEAL") == ["SEAL", "FLUSH"]
    assert bench.which(brought, "GEARBOX", "PUMP", "SEAL") == []


def test_what_either_of_an_items_operations_requires_is_brought() -> None:
    """An overhaul of seal and pump: both require FLUSH, and with GEARBOX the pump still does."""
    book = shop()
    book = replace(book, extras={"OVERHAUL": build.an_extra("OVERHAUL", ["SEAL", "PUMP"])})
    bench = a_bench(book, "GEARBOX", "OVERHAUL")
    overhaul = next(one for one in bench.taken if one.item.key == "OVERHAUL")
    brought = {key: bench.work.brought(overhaul, key) for key in ("SEAL", "PUMP", "FLUSH")}
    assert bench.which(brought, "OVERHAUL") == ["SEAL", "PUMP", "FLUSH"]
    assert bench.which(brought, "GEARBOX", "OVERHAUL") == ["PUMP", "FLUSH"]


def test_what_the_always_work_brings() -> None:
    bench = a_bench(shop(), "SEAL", job=build.a_job(machine_class="WASHED"))
    assert bench.number(bench.work.always_brings("FLUSH")) == 1
    assert bench.work.always_brings("SEAL") == 0


SETS = [
    ("FLUSH", "GEARBOX", "PUMP", "SEAL"),
    ("AXLE@left", "AXLE@right", "BUSHING@left", "SHAFT"),
    ("AXLE@right", "GEARBOX", "SEAL", "SHAFT"),
    ("COAT", "HUB@left", "POLISH@left", "RINSE"),
]


@pytest.mark.parametrize("machine", ["THROWER", "WASHED"])
@pytest.mark.parametrize("keys", SETS)
def test_every_set_of_items_does_the_work_the_engine_does(keys: tuple[str, ...], machine: str) -> None:
    """All sixteen sets of four items."""
    job = build.a_job(machine_class=machine)
    bench = a_bench(shop(), *keys, job=job)
    for ticked in chain.from_iterable(combinations(keys, size) for size in range(len(keys) + 1)):
        work = price(shop(), *ticked, job=job).charges.work
        assert frozenset(done(bench, *ticked)) == work.present, ticked
        assert frozenset(opened(bench, *ticked)) == work.steps, ticked
