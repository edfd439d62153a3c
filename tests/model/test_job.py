"""The job as records: defaults and the written form of a side."""

from __future__ import annotations

import pytest

from quotekit.model.job import at_side
from tests import build


@pytest.mark.parametrize(
    ("side", "written"), [(None, "BUSHING"), ("left", "BUSHING@left"), ("left front", "BUSHING@left front")]
)
def test_an_instance_is_written_with_its_side(side: str | None, written: str) -> None:
    assert at_side("BUSHING", side) == written
    assert build.a_finding_on("BUSHING", side).key == written


def test_defaults_of_a_job() -> None:
    """Version 1, a household, no condition, nothing paid, no discount (DESIGN.md 4)."""
    job = build.a_job()
    assert (job.version, job.customer_class, job.condition) == (1, "household", None)
    assert job.paid_so_far == job.discount_percent == 0
    assert job.inspection_fee is None
    assert job.positions == ("left", "right")
    assert (job.findings, job.extras, job.one_off, job.plan, job.own_parts) == ((), (), (), (), ())


def test_a_finding_is_a_fault_by_judgement_unless_told_otherwise() -> None:
    found = build.a_finding_on("WORN")
    assert (found.fault, found.judged, found.severity_typed) == (True, True, False)


def test_a_one_off_line_is_in_every_tier_unless_it_names_some() -> None:
    line = build.a_one_off(2, "part", 3)
    assert (line.code, line.tiers, line.fixes) == ("ONEOFF-2", (), ())


@pytest.mark.parametrize(("measured", "fault", "severity"), [("10", False, "watch"), ("10.1", True, "needed")])
def test_on_the_limit_passes(measured: str, fault: bool, severity: str) -> None:
    """Fails when above 10: measured 10 passes and is watched (DESIGN.md 5.1)."""
    book = build.a_book(findings=[build.a_finding("WORN", limit="10", fails_when="above")])
    found = build.found(book, "WORN", measured=measured)
    assert (found.fault, found.severity, found.judged) == (fault, severity, False)
