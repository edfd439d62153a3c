"""Parts of a closed job: which were used, and what they really cost."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.model.agreed import AgreedPart
from quotekit.model.entries import BillLine
from quotekit.pricing.review.material import UsedUnits, core_cost, used_units
from quotekit.pricing.review.paid_costs import paid_costs
from tests.pricing.review.stories import AJob, a_job, an_order, done

D = Decimal
NOTHING = paid_costs([], [])


def only(job: AJob, orders: str = "") -> UsedUnits:
    """The one part of a job."""
    (found,) = used_units(done(job), paid_costs([an_order(orders)], []) if orders else NOTHING)
    return found


@pytest.mark.parametrize(
    ("used", "orders", "quantity", "cost"),
    [
        ("", "", 2, "4"),
        ("SEAL 0", "", 0, "4"),
        ("SEAL 3", "", 3, "4"),
        ("seal 3", "", 3, "4"),
        ("SEAL 3 at 5", "", 3, "5"),
        ("SEAL 1 at 5; SEAL 1", "", 2, "4.5"),
        ("SEAL 2", "SEAL 4.25 for 117 2", 2, "4.25"),
        ("SEAL 2 at 5", "SEAL 4.25 for 117 2", 2, "5"),
        ("SEAL 1 at 5; SEAL 3", "SEAL 3 for 117 2", 4, "3.5"),
    ],
    ids=[
        "not mentioned: as agreed",
        "not used",
        "more",
        "case",
        "typed cost",
        "one of two typed",
        "the order's cost",
        "typed before the order's",
        "the mean of typed and ordered",
    ],
)
def test_units_and_their_cost(used: str, orders: str, quantity: int, cost: str) -> None:
    """Two seals were agreed at a cost of 4 each."""
    found = only(a_job(parts="SEAL 2 at 4 for 7", used=used), orders)
    assert (found.actual_quantity, found.actual_cost) == (quantity, D(cost))
    assert (found.standard_quantity, found.standard_cost) == (2, 4)


def test_a_part_that_was_not_agreed() -> None:
    """Its standard is no units, at what it really cost; without a cost it is unknown."""
    found = only(a_job(used="CLIP 2 at 0.30"))
    assert (found.standard_quantity, found.standard_cost, found.actual_cost) == (0, D("0.30"), D("0.30"))
    assert only(a_job(used="CLIP 2")).actual_cost is None


def test_an_unknown_cost_with_a_typed_one() -> None:
    """Agreed without a cost: what was paid is known, the standard is not."""
    found = only(a_job(parts="SEAL 2 at ? for 7", used="SEAL 2 at 5"))
    assert (found.standard_cost, found.actual_cost) == (None, 5)
    assert only(a_job(parts="SEAL 2 at ? for 7", used="SEAL 1 at 5; SEAL 1")).actual_cost is None


def test_the_customers_own_part_counts_nowhere() -> None:
    """It costs the shop nothing."""
    job = a_job(parts="SEAL 2 at 4 for 7")
    own = replace(job, agreed=replace(job.agreed, parts=(replace(job.agreed.parts[0], own=True),)))
    assert used_units(done(own), NOTHING) == ()


@pytest.mark.parametrize(
    ("bills", "not_done", "quantity"),
    [((), "DO-FIT", 0), (("SEAL",), "DO-FIT", 2), ((), "", 2)],
    ids=["fell away with its work", "stands on the bill", "all was done"],
)
def test_parts_of_work_that_was_not_done(bills: tuple[str, ...], not_done: str, quantity: int) -> None:
    """The bill says which parts of a job that was done in part were fitted."""
    lines = tuple(BillLine(key=f"part:{code}", text=code, amount=D(7)) for code in bills)
    job = a_job(parts="SEAL 2 at 4 for 7", bills=lines, not_done=not_done)
    assert only(job).actual_quantity == quantity


def with_cores(back: str = "0", **values: object) -> AJob:
    """Two cores of 10 were agreed; so many came back at closing."""
    job = a_job(parts="STARTER 2 at 50 for 80", **values)  # type: ignore[arg-type]
    parts = (replace(job.agreed.parts[0], core_charge=D(10)),)
    agreed = replace(job.agreed, parts=parts, amounts={**job.agreed.amounts, "cores": D(20)})
    assert job.closed is not None
    return replace(job, agreed=agreed, closed=replace(job.closed, cores_returned={"starter": D(back)}))


@pytest.mark.parametrize(("back", "cost"), [("0", "20"), ("1", "10"), ("2", "0"), ("5", "0")])
def test_core_charges_where_nothing_is_billed(back: str, cost: str) -> None:
    """What came back at closing costs nothing, and never less."""
    assert core_cost(done(with_cores(back, invoiced=None))) == Fraction(cost)


@pytest.mark.parametrize(
    ("lines", "cost"),
    [
        ((), "0"),
        ((("core:STARTER", "20"),), "20"),
        ((("core:STARTER", "20"), ("core-back:STARTER", "-10")), "10"),
        ((("core:STARTER", "20"), ("comeback:core:STARTER", "-20")), "20"),
        ((("core-back:STARTER", "-10"),), "0"),
    ],
    ids=["none charged", "both stay", "one came back", "a free comeback still pays its supplier", "only given back"],
)
def test_core_charges_as_the_bills_say(lines: tuple[tuple[str, str], ...], cost: str) -> None:
    """An old part may be handed back after closing: a later bill gives its charge back, and the cost falls with it."""
    bills = tuple(BillLine(key=key, text=key, amount=D(amount)) for key, amount in lines)
    assert core_cost(done(with_cores("2", bills=bills))) == Fraction(cost)


def one_off(text: str, number: int) -> AgreedPart:
    """An agreed part of a one-off line, at a cost of 4."""
    part = a_job(parts="SEAL 1 at 4 for 7").agreed.parts[0]
    return replace(part, part=f"ONEOFF-{number}", name=text)


def of_job(*parts: AgreedPart, orders: tuple[str, ...]) -> list[Fraction | None]:
    """What units of parts cost, where an order holds lines of `orders` at 9, 10 and on under these names."""
    job = a_job()
    job.agreed = replace(job.agreed, parts=parts)
    order = an_order("; ".join(f"P{n} {9 + n} for 117 1" for n in range(len(orders))))
    lines = tuple(replace(line, part=name) for line, name in zip(order.body.lines, orders, strict=True))
    paid = paid_costs([order._replace(body=replace(order.body, lines=lines))], [])
    return [each.actual_cost for each in used_units(done(job), paid)]


def test_a_row_of_the_jobs_own_goes_by_its_job() -> None:
    """On an order the job's own SEAL is `SEAL of 117`, no other job's; what it came for is what it cost."""
    seal = a_job(parts="SEAL 1 at 4 for 7").agreed.parts[0]
    assert of_job(seal, orders=("SEAL of 117",)) == [9]
    assert of_job(seal, orders=("SEAL of 118",)) == [4]


def test_one_off_lines_go_by_their_text() -> None:
    """A row put before them counts their codes anew; a second line of the same text is counted."""
    bracket, again, shim = one_off("Bracket", 2), one_off("Bracket ", 4), one_off("Shim", 3)
    names = ("Bracket of 117", "Bracket (2) of 117", "ONEOFF-3")
    assert of_job(bracket, again, shim, orders=names) == [9, 10, 4]
