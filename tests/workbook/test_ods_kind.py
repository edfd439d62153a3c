"""Which .ods is a job or a shop book, by its sheets alone; whatever else lies in a folder is nobody's business."""

from __future__ import annotations

from pathlib import Path
from zipfile import ZipFile

import pytest

from quotekit.workbook.new_books import write_new_folder
from quotekit.workbook.ods_kind import kind_of_ods, ods_sheet_names
from tests.recalculation.office import Office
from tests.workbook.ods_files import write_ods


@pytest.mark.parametrize(
    ("sheets", "kind"),
    [
        (("Start here", "Job", "Findings", "Extras"), "job"),
        (("JOB", "find ings"), "job"),
        (("Shop", "Labour rates", "Operations"), "shop book"),
        (("Shop", "Operations", "Job", "Findings"), "shop book"),
        (("Job",), None),
        (("Findings", "Operations"), None),
        (("Sheet1",), None),
        ((), None),
    ],
)
def test_the_sheets_tell(tmp_path: Path, sheets: tuple[str, ...], kind: str | None) -> None:
    assert kind_of_ods(write_ods(tmp_path / "a.ods", *sheets)) == kind


def test_names_with_signs_are_read_as_written(tmp_path: Path) -> None:
    assert ods_sheet_names(write_ods(tmp_path / "a.ods", "Nuts & bolts", "<1>")) == ["Nuts & bolts", "<1>"]


@pytest.mark.parametrize("data", [b"", b"no zip", b"PK\x03\x04 cut off"])
def test_what_is_no_workbook_is_none(tmp_path: Path, data: bytes) -> None:
    """Half written, empty, something else: nothing is raised."""
    path = tmp_path / "a.ods"
    path.write_bytes(data)
    assert kind_of_ods(path) is None
    assert kind_of_ods(tmp_path / "gone.ods") is None


def test_one_cut_off_within_its_content_is_none(tmp_path: Path) -> None:
    whole = write_ods(tmp_path / "a.ods", "Job", "Findings").read_bytes()
    for length in range(0, len(whole) - 1, 37):
        (tmp_path / "half.ods").write_bytes(whole[:length])
        assert kind_of_ods(tmp_path / "half.ods") is None


def test_one_without_content_or_with_broken_content_is_none(tmp_path: Path) -> None:
    for name, text in (("styles.xml", "<a/>"), ("content.xml", "<a><b></a>")):
        with ZipFile(tmp_path / "a.ods", "w") as archive:
            archive.writestr(name, text)
        assert kind_of_ods(tmp_path / "a.ods") is None


def test_entities_are_not_followed(tmp_path: Path) -> None:
    """A few lines that declare entities within entities would fill the memory."""
    kind = '<!DOCTYPE x [<!ENTITY a "Job"><!ENTITY b "&a;&a;">]>'
    assert kind_of_ods(write_ods(tmp_path / "a.ods", "Job", "Findings", kind=kind)) is None


def test_what_libreoffice_saves_is_known(office: Office, tmp_path: Path) -> None:
    """The job and the shop book that `quotekit new` writes, as LibreOffice saves them."""
    book, job, *_ = write_new_folder(tmp_path / "shop")
    for path, kind in ((book, "shop book"), (job, "job")):
        saved = tmp_path / f"{path.stem}.ods"
        with office.opened(path):
            office.ask({"store": str(saved), "filter": "calc8"})
        assert kind_of_ods(saved) == kind
