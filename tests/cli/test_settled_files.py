"""When a file of a folder counts as saved, in the steps in which spreadsheet programs save."""

from __future__ import annotations

import pytest

from quotekit.cli.settled_files import Look, SettledFiles, is_workbook_name

OLD, NEW = Look(9_000, 1, 11), Look(10_000, 2, 12)
HALF = Look(4_000, 2, 12)


@pytest.mark.parametrize(
    ("name", "is_one"),
    [
        ("job 117.xlsx", True),
        ("JOB.XLSX", True),
        ("with macros.xlsm", True),
        ("~$job 117.xlsx", False),
        (".~lock.job 117.xlsx#", False),
        (".~job.xlsx", False),
        ("lu12345abc.tmp", False),
        ("1A2B3C4D", False),
        ("job.ods", False),
        ("job 117 problems.txt", False),
        ("2611-02-1 quote.pdf", False),
    ],
)
def test_names_of_workbooks(name: str, is_one: bool) -> None:
    """What a program makes in passing never counts, whatever it ends in."""
    assert is_workbook_name(name) is is_one


def told(*looks: tuple[float, dict[str, Look]]) -> list[tuple[float, list[str]]]:
    """What is told at which moment."""
    files = SettledFiles(quiet=0.4)
    return [(now, names) for now, there in looks if (names := files.look(there, now))]


def test_a_file_that_was_there_is_told_once() -> None:
    there = {"job.xlsx": OLD}
    assert told((0, there), (0.2, there), (0.4, there), (0.6, there), (60, there)) == [(0.4, ["job.xlsx"])]


def test_renamed_onto_the_old_one() -> None:
    """LibreOffice: a temporary file beside, then its name is the job's; the lock file stays while it is open."""
    before = {"job.xlsx": OLD}
    assert told(
        (0, before), (0.5, before), (1.0, {"job.xlsx": NEW}), (1.2, {"job.xlsx": NEW}), (1.5, {"job.xlsx": NEW})
    ) == [
        (0.5, ["job.xlsx"]),
        (1.5, ["job.xlsx"]),
    ]


def test_deleted_before_it_comes_back() -> None:
    """Excel: the old file goes, another takes its name; between them there is none."""
    before, after = {"job.xlsx": OLD}, {"job.xlsx": NEW}
    assert told((0, before), (0.5, before), (1.0, {}), (1.1, after), (1.6, after)) == [
        (0.5, ["job.xlsx"]),
        (1.6, ["job.xlsx"]),
    ]


def test_written_slowly_in_place() -> None:
    """It is told when it grows no more."""
    assert told(
        (0, {"job.xlsx": HALF}), (0.3, {"job.xlsx": NEW}), (0.6, {"job.xlsx": NEW}), (0.8, {"job.xlsx": NEW})
    ) == [(0.8, ["job.xlsx"])]


def test_saved_again_before_it_came_to_rest() -> None:
    """Two saves in a moment are one."""
    first, second = {"job.xlsx": OLD}, {"job.xlsx": NEW}
    assert told((0, first), (0.2, second), (0.4, second), (0.7, second)) == [(0.7, ["job.xlsx"])]


def test_each_file_for_itself() -> None:
    """One that is being saved holds up no other."""
    files = SettledFiles(quiet=0.4)
    files.look({"a.xlsx": OLD, "b.xlsx": OLD}, 0)
    assert files.look({"a.xlsx": OLD, "b.xlsx": NEW}, 0.4) == ["a.xlsx"]
    assert files.restless
    assert files.look({"a.xlsx": OLD, "b.xlsx": NEW}, 0.8) == ["b.xlsx"]
    assert not files.restless


def test_what_could_not_be_read_is_told_again() -> None:
    files = SettledFiles(quiet=0.4)
    there = {"job.xlsx": OLD}
    files.look(there, 0)
    assert files.look(there, 0.4) == ["job.xlsx"]
    files.again("job.xlsx", 0.4)
    assert files.restless
    assert (files.look(there, 0.6), files.look(there, 0.8)) == ([], ["job.xlsx"])


def test_what_is_gone_is_forgotten() -> None:
    """A file put back as it was is told anew: whether its content was seen is for another to know."""
    there = {"job.xlsx": OLD}
    assert told((0, there), (0.5, there), (1, {}), (2, there), (2.5, there)) == [
        (0.5, ["job.xlsx"]),
        (2.5, ["job.xlsx"]),
    ]
    files = SettledFiles()
    files.look(there, 0)
    files.look({}, 1)
    assert not files.restless
