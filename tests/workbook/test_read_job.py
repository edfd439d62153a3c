"""The job as a record: sides spread, measurements judged, what the technician may leave blank and what not."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.model.shop_book import Quantity
from tests.workbook.books import Cells, codes, good_book, good_job, read_book, read_job_with


def test_fields_become_a_job(tmp_path: Path) -> None:
    cells: Cells = {
        "Job": {
            "A8": "Fees", "B8": "pickup x 12; DISPOSAL x 0", "A9": "customer's OWN parts", "B9": "belt",
            "A10": "Labor rate", "B10": "weld", "A11": "Discount percent", "B11": "5%", "A12": "Discount reason",
            "B12": "neighbor", "A13": "Old parts", "B13": "Keep", "A14": "Version", "B14": 2,
            "A15": "Reassembly hours if declined", "B15": 0.5,
        }
    }  # fmt: skip
    job = good_job(tmp_path, cells)
    assert (job.job_number, job.version, job.quote_date) == ("117", 2, date(2026, 11, 20))
    assert (job.machine_class, job.machine_class_name) == ("BLOWER", "Two-stage snow thrower")
    assert job.fees == (Quantity(code="PICKUP", quantity=Decimal(12)), Quantity(code="DISPOSAL", quantity=Decimal(0)))
    assert (job.own_parts, job.labour_rate, job.old_parts) == (("BELT",), "WELD", "keep")
    assert (job.discount_percent, job.reassembly_hours) == (Decimal("0.05"), Decimal("0.5"))
    assert str(job.sources["Fees"].place("Value")) == "job.xlsx:Job!B8"


def test_a_field_may_end_with_a_colon(tmp_path: Path) -> None:
    assert good_job(tmp_path, {"Job": {"A2": "Job number:"}}).job_number == good_job(tmp_path).job_number


def test_a_job_number_has_room_in_a_file_name(tmp_path: Path) -> None:
    assert good_job(tmp_path, {"Job": {"B2": "7" * 100}}).job_number == "7" * 100
    _job, problems = read_job_with(tmp_path, good_book(tmp_path), {"Job": {"B2": "7" * 101}})
    assert codes(problems) == [("bad-job-number", "Job", "B2")]


def test_a_machine_class_may_be_named_in_words(tmp_path: Path) -> None:
    job = good_job(tmp_path, {"Job": {"B4": "two-stage  snow thrower"}})
    assert (job.machine_class, job.positions) == ("BLOWER", ("left", "right"))


def test_without_machines_the_class_is_free_text(tmp_path: Path) -> None:
    """Spelled as the book's rows spell it, so that rows for this machine count."""
    book = good_book(tmp_path, without=("Machines",), cells={"Parts used": {"D2": "left"}})
    job, problems = read_job_with(tmp_path, book, {"Job": {"B4": "blower"}})
    assert job is not None and problems == []
    assert (job.machine_class, job.positions) == ("BLOWER", ("left", "right"))


@pytest.mark.parametrize(
    ("typed", "sides"),
    [("left", ["left"]), ("RIGHT", ["right"]), ("both", ["left", "right"]), ("all", ["left", "right"]),
     ("right; left", ["left", "right"])],
)  # fmt: skip
def test_a_side_is_spread_over_positions(tmp_path: Path, typed: str, sides: list[str]) -> None:
    job = good_job(tmp_path, {"Findings": {"B2": typed}}, without=("Plan",))
    assert [finding.side for finding in job.findings if finding.code == "BUSHING-WORN"] == sides


def test_a_word_stands_for_every_position_that_begins_with_it(tmp_path: Path) -> None:
    cells: Cells = {
        "Job": {"B4": "TRAILER"},
        "Findings": {"A2": "HUB-LOOSE", "B2": "left", "C2": "", "B3": "", "C3": 19},
    }
    job = good_job(tmp_path, cells, without=("Plan", "Extras"))
    assert [finding.key for finding in job.findings[:2]] == ["HUB-LOOSE@left front", "HUB-LOOSE@left rear"]


@pytest.mark.parametrize(
    ("cells", "fault", "judged", "severity"),
    [
        ({"C2": 19.6}, True, False, "needed"),
        ({"C2": 19.5}, False, False, "watch"),
        ({"C2": 19.4}, False, False, "watch"),
        ({"C2": ""}, True, True, "needed"),
        ({"C2": 19.4, "H2": "safety", "I2": "cracked through"}, True, True, "safety"),
        ({"C2": 19.6, "H2": "advised", "I2": "light use"}, True, False, "advised"),
        ({"C2": 0.7678, "D2": "in"}, True, False, "needed"),
        ({"C2": 0.7677, "D2": "in"}, False, False, "watch"),
        ({"C2": 19.6, "E2": 19.7}, False, False, "watch"),
        ({"C2": 0.77, "D2": "in", "E2": 0.76}, True, False, "needed"),
    ],
)
def test_what_a_measurement_says(
    tmp_path: Path, cells: dict[str, Any], fault: bool, judged: bool, severity: str
) -> None:
    """Fails above 19.5 mm; on the limit passes; a typed severity wins; inches are compared exactly (25.4 mm)."""
    book = good_book(tmp_path)
    job, problems = read_job_with(tmp_path, book, {"Findings": cells}, without=("Plan",))
    assert job is not None and problems == []
    found = job.findings[0]
    assert (found.fault, found.judged, found.severity) == (fault, judged, severity)


def test_measured_limit_and_new_value_are_in_the_books_unit(tmp_path: Path) -> None:
    """A limit typed on the job is in that row's unit; one inch is 25.4 mm."""
    cells = {"C2": 0.8, "D2": "in", "E2": 0.77, "F2": 0.752, "G2": "plate on the housing"}
    found = good_job(tmp_path, {"Findings": cells}).findings[0]
    assert (found.unit, found.measured, found.limit) == ("mm", Decimal("20.32"), Decimal("19.558"))
    assert (found.as_new, found.limit_source) == (Decimal("19.1008"), "plate on the housing")
    assert found.measured_text == "0.8 in"


def test_a_unit_that_does_not_end_is_kept_to_twelve_decimals(tmp_path: Path) -> None:
    book = good_book(tmp_path, {"Findings": {"F2": "in", "H2": 0.75, "I2": 0.74}})
    job, problems = read_job_with(tmp_path, book, {"Findings": {"C2": 20, "D2": "mm"}})
    assert job is not None and problems == []
    assert job.findings[0].measured == Decimal("0.787401574803")


def test_others_are_numbered_in_row_order_and_take_their_sides(tmp_path: Path) -> None:
    cells = {
        "A5": "Other",
        "H5": "advised",
        "I5": "Cable frayed",
        "A6": "OTHER",
        "B6": "both",
        "H6": "safety",
        "I6": "Guard",
    }
    book = good_book(tmp_path)
    job, problems = read_job_with(tmp_path, book, {"Findings": cells, "One-off": {"K2": "other-1; OTHER-2"}})
    assert job is not None and problems == []
    assert [finding.key for finding in job.findings[3:]] == ["OTHER-1", "OTHER-2@left", "OTHER-2@right"]
    assert job.findings[3].name == "Cable frayed"
    assert job.one_off[0].fixes == ("OTHER-1", "OTHER-2")


def test_one_off_lines_are_numbered_in_row_order(tmp_path: Path) -> None:
    part = {"A3": "Cable", "B3": "Part", "C3": 2, "D3": 6.25, "H3": "north", "J3": "GOOD; better"}
    cells = {**part, "A4": "Tow", "B4": "charge", "C4": 1, "E4": 45}
    job = good_job(tmp_path, {"One-off": cells})
    assert [line.code for line in job.one_off] == ["ONEOFF-1", "ONEOFF-2", "ONEOFF-3"]
    assert (job.one_off[1].supplier, job.one_off[1].tiers, job.one_off[1].unit_cost) == (
        "NORTH", ("good", "better"), Decimal("6.25")
    )  # fmt: skip


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"B2": "part", "D2": 0}, [("zero-cost", "One-off", "D2")]),
        ({"B2": "part"}, [("one-off-without-price", "One-off", "E2")]),
        ({"B2": "part", "E2": 12}, []),
        ({"B2": "sublet", "D2": 40}, []),
        ({"B2": "charge", "D2": 40}, [("one-off-without-price", "One-off", "E2")]),
        ({"K2": "HUB-LOOSE"}, [("unknown-code", "One-off", "K2")]),
        ({"J2": "best"}, [("unknown-code", "One-off", "J2")]),
        ({"C2": 0}, [("zero", "One-off", "C2")]),
    ],
)
def test_what_a_one_off_line_needs(tmp_path: Path, cells: dict[str, Any], expected: list[tuple[str, str, str]]) -> None:
    _, problems = read_job_with(tmp_path, good_book(tmp_path), {"One-off": cells})
    assert codes(problems) == expected


@pytest.mark.parametrize(
    ("sheet", "cells", "expected"),
    [
        ("Extras", {"B2": ""}, [("side-needed", "Extras", "B2")]),
        ("Extras", {"A2": "BELT-OFFER"}, [("side-ignored", "Extras", "B2")]),
        ("Extras", {"A3": "bushing-offer", "B3": "all"}, [("listed-twice", "Extras", "A3")]),
        ("Plan", {"C2": ""}, [("side-needed", "Plan", "C2")]),
        ("Plan", {"A2": "best"}, [("unknown-code", "Plan", "A2")]),
        ("Plan", {"B2": "BUSHING-WORN"}, [("unknown-code", "Plan", "B2")]),
        ("Plan", {"B3": "TEST"}, []),
        ("Parts", {"D2": 0}, [("zero-cost", "Parts", "D2")]),
        ("Parts", {"D2": ""}, [("blank-required", "Parts", "D2")]),
        ("Parts", {"E2": "SOUTH"}, [("unknown-code", "Parts", "E2")]),
        ("Parts", {"F2": "BUSHING", "A3": "BUSHING", "B3": "Bushing", "C3": 1, "D3": 5, "E3": "NORTH", "F3": "belt"},
         [("cycle", "Parts", "F3")]),
        ("Job", {"A8": "Condition", "B8": "RUSTED"}, [("duplicate-field", "Job", "A8")]),
        ("Job", {"B7": "RUSTED"}, [("unknown-code", "Job", "B7")]),
        ("Job", {"B1": "Valu"}, [("missing-column", "Job", "A1"), ("near-column", "Job", "B1")]),
        ("Job", {"B6": ""}, [("blank-required", "Job", "B6")]),
        ("Findings", {"J2": "..\\a.jpg"}, [("photo-not-beside", "Findings", "J2")]),
        ("Findings", {"J2": "a.jpg"}, []),
        ("Findings", {"C2": "20.2 mm"}, [("text-number", "Findings", "C2")]),
        ("Findings", {"D2": "flats"}, [("unit-does-not-convert", "Findings", "D2")]),
    ],
)  # fmt: skip
def test_slips_in_a_job(
    tmp_path: Path, sheet: str, cells: dict[str, Any], expected: list[tuple[str, str, str]]
) -> None:
    _, problems = read_job_with(tmp_path, good_book(tmp_path), {sheet: cells})
    assert codes(problems) == expected


def test_a_job_without_its_book_still_tells_the_faults_of_its_cells(tmp_path: Path) -> None:
    job, problems = read_job_with(tmp_path, None, {"Findings": {"C2": "20,2"}, "Job": {"B6": "03/04/2026"}})
    assert job is None
    assert codes(problems) == [("ambiguous-date", "Job", "B6"), ("text-number", "Findings", "C2")]


def test_a_fault_of_the_book_is_not_told_again_by_the_job(tmp_path: Path) -> None:
    """The book lost an operation, and with it a remedy, an extra and a part: the job names them all."""
    book, _ = read_book(tmp_path, {"Operations": {"C2": "0.6h"}, "Parts": {"E4": "21,40"}})
    job, problems = read_job_with(tmp_path, book)
    assert job is not None and problems == []


SHEETS_THE_JOB_NAMES = ("Labour rates", "Machines", "Operations", "Parts", "Markup", "Findings", "Remedies", "Extras")


@pytest.mark.parametrize("sheet", SHEETS_THE_JOB_NAMES)
def test_a_job_is_checked_against_a_book_that_is_not_whole(tmp_path: Path, sheet: str) -> None:
    """A sheet whose header cannot be found is one fault; the job is blamed for its own alone, in the same pass."""
    book, of_book = read_book(tmp_path, {sheet: {"A1": "?", "B1": "?"}})
    assert codes(of_book) == [("missing-column", sheet, "A1")]
    assert read_job_with(tmp_path, book)[1] == []
    _job, problems = read_job_with(tmp_path, book, {"Job": {"B7": "RUSTIER"}})
    assert codes(problems) == [("unknown-code", "Job", "B7")]


def test_a_rate_in_force_later_stops_only_jobs_that_use_it(tmp_path: Path) -> None:
    rates = {"Labour rates": {"E3": date(2027, 1, 1)}}
    unused = {"Findings": {"A3": "BELT-CRACKED", "C3": "", "A4": ""}}
    book = good_book(tmp_path, rates)
    assert codes(read_job_with(tmp_path, book, unused)[1]) == []
    assert codes(read_job_with(tmp_path, book)[1]) == [("rate-not-in-force", "Operations", "F4")]


def test_a_job_of_two_sheets(tmp_path: Path) -> None:
    """The smallest job: fields and findings; everything else may be missing."""
    assert good_job(tmp_path, without=("Extras", "Parts", "One-off", "Plan")).parts == {}
