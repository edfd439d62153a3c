"""A watched folder, look by look, with a clock of its own: what is priced, how often, and what is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.cli.price_watched import HEADING, problems_file, tell_problems
from quotekit.cli.watched_jobs import KEPT, Priced
from quotekit.cli.watching import AGAIN_AFTER, WHOLE_WITHIN, Watching
from quotekit.problems import Place, error
from tests.cli.small_shop import Sheets, job, shop_book, write_book

WRITTEN = ["117-1 costing.xlsx", "117-1 quote.xlsx"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return clean_shop(tmp_path)


def clean_shop(folder: Path) -> Path:
    """A shop book and one job that prices without a problem."""
    write_book(folder / "shop book.xlsx", clean_book())
    write_book(folder / "job.xlsx", job())
    return folder


def clean_book() -> Sheets:
    """A shop book that gives no warning."""
    sheets = shop_book()
    for row, cell in zip(sheets["Parts"], ["Lead days", *[2] * 99], strict=False):
        row.append(cell)
    return sheets


class Clock:
    """Looks at a folder at moments of a clock that is set by hand."""

    def __init__(self, folder: Path, **given: Path) -> None:
        self.watching, self.now = Watching(folder, **given), 0.0

    def told(self, seconds: float = 1.0) -> list[tuple[str, list[str]]]:
        """Jobs that were tried meanwhile, with what was written."""
        found = []
        for _ in range(round(seconds / 0.25)):
            self.now += 0.25
            found += [(told.job, sorted(told.priced.files)) for told in self.watching.step(self.now)]
        return found


def text(folder: Path, name: str = "job") -> str:
    return (folder / f"{name} problems.txt").read_text(encoding="utf-8")


def spoil(folder: Path) -> None:
    """A finding that the shop book does not know."""
    sheets = job()
    sheets["Findings"][1][0] = "NO-SUCH-FINDING"
    write_book(folder / "job.xlsx", sheets)


def visible(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if not path.name.startswith("."))


def test_what_is_there_is_priced_once(folder: Path) -> None:
    clock = Clock(folder)
    assert clock.told() == [("job.xlsx", WRITTEN)]
    assert clock.told(30) == []
    assert visible(folder) == [*WRITTEN, "job.xlsx", "shop book.xlsx"]


def test_a_save_of_the_job_prices_it_again(folder: Path) -> None:
    clock = Clock(folder)
    clock.told()
    sheets = job()
    sheets["Job"].append(["Make", "Example"])
    write_book(folder / "job.xlsx", sheets)
    before = (folder / WRITTEN[0]).read_bytes()
    assert clock.told() == [("job.xlsx", WRITTEN)]
    assert (folder / WRITTEN[0]).read_bytes() != before


def test_a_save_without_a_change_prices_nothing(folder: Path) -> None:
    """The same content under another time."""
    clock = Clock(folder)
    clock.told()
    data = (folder / "job.xlsx").read_bytes()
    (folder / "job.xlsx").unlink()
    clock.told(0.25)
    (folder / "job.xlsx").write_bytes(data)
    assert clock.told(3) == []


def test_a_save_of_the_shop_book_prices_every_job(folder: Path) -> None:
    sheets = job()
    sheets["Job"][1] = ["Job number", "118"]
    write_book(folder / "other.xlsx", sheets)
    clock = Clock(folder)
    assert [name for name, _ in clock.told()] == ["job.xlsx", "other.xlsx"]
    book = clean_book()
    book["Shop"].append(["Address", "1 Mill Road"])
    write_book(folder / "shop book.xlsx", book)
    assert [name for name, _ in clock.told()] == ["job.xlsx", "other.xlsx"]


def test_started_again_nothing_is_priced_again(folder: Path) -> None:
    """Unless what was written is gone."""
    Clock(folder).told()
    assert Clock(folder).told() == []
    (folder / WRITTEN[1]).unlink()
    assert Clock(folder).told() == [("job.xlsx", WRITTEN)]


@pytest.mark.parametrize("kept", ["", "{", "[]", '{"job.xlsx": 5}', '{"job.xlsx": {"contents": 1}}'])
def test_what_was_kept_and_cannot_be_read_costs_one_more_time(folder: Path, kept: str) -> None:
    Clock(folder).told()
    (folder / KEPT).write_text(kept)
    assert Clock(folder).told() == [("job.xlsx", WRITTEN)]


def test_problems_stand_beside_the_job_until_they_are_mended(folder: Path) -> None:
    clock = Clock(folder)
    clock.told()
    spoil(folder)
    assert clock.told() == [("job.xlsx", [])]
    assert text(folder).startswith(HEADING)
    assert "NO-SUCH-FINDING" in text(folder) and "an earlier quote is out of date" in text(folder)
    assert clock.watching.with_problems == {"job.xlsx"}
    assert clock.told(30) == []
    write_book(folder / "job.xlsx", job())
    clock.told()
    assert not problems_file(folder / "job.xlsx").exists()
    assert clock.watching.with_problems == set()


def test_a_file_of_that_name_that_a_person_wrote_stays(folder: Path) -> None:
    problems_file(folder / "job.xlsx").write_text("my own remarks")
    clock = Clock(folder)
    clock.told()
    assert text(folder) == "my own remarks"
    spoil(folder)
    clock.told()
    assert text(folder) == "my own remarks"


def test_a_file_that_is_not_whole_is_waited_for(folder: Path) -> None:
    """Half of it stands still for longer than a save does; then the rest comes."""
    clock = Clock(folder)
    clock.told()
    sheets = job()
    sheets["Job"].append(["Make", "Example"])
    data = write_book(folder / "new.xlsx", sheets).read_bytes()
    (folder / "new.xlsx").unlink()
    (folder / "job.xlsx").write_bytes(data[: len(data) // 2])
    assert clock.told(5) == []
    (folder / "job.xlsx").write_bytes(data)
    assert clock.told() == [("job.xlsx", WRITTEN)]


def test_one_that_never_becomes_whole_is_told(folder: Path) -> None:
    clock = Clock(folder)
    clock.told()
    (folder / "job.xlsx").write_bytes(b"no workbook")
    assert clock.told(WHOLE_WITHIN + 2) == [("job.xlsx", [])]
    assert "not an .xlsx workbook" in text(folder)


def test_a_bad_file_holds_up_no_other(folder: Path) -> None:
    sheets = job()
    sheets["Job"][1] = ["Job number", "118"]
    write_book(folder / "a bad one.xlsx", sheets)
    clock = Clock(folder)
    clock.told()
    (folder / "a bad one.xlsx").write_bytes(b"no workbook")
    sheets["Job"][1] = ["Job number", "119"]
    write_book(folder / "z.xlsx", sheets)
    assert [name for name, files in clock.told() if files] == ["z.xlsx"]


def test_a_quote_that_is_open_elsewhere_is_written_when_it_is_closed(folder: Path) -> None:
    clock = Clock(folder)
    clock.told()
    lock = folder / f".~lock.{WRITTEN[1]}#"
    lock.write_text("Ida")
    sheets = job()
    sheets["Job"].append(["Make", "Example"])
    write_book(folder / "job.xlsx", sheets)
    assert clock.told() == [("job.xlsx", [])]
    assert "open in another program" in text(folder)
    assert clock.told(30) == []
    lock.unlink()
    assert clock.told() == [("job.xlsx", WRITTEN)]
    assert not problems_file(folder / "job.xlsx").exists()


def test_what_the_disk_refused_is_tried_again_later(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from quotekit.cli import output_files

    real = output_files.put_in_place

    def refuse(staged: object) -> None:
        if any(name.endswith("quote.xlsx") for name in map(str, staged)):  # type: ignore[call-overload]
            raise OSError(28, "No space left on device")
        real(staged)  # type: ignore[arg-type]

    monkeypatch.setattr(output_files, "put_in_place", refuse)
    clock = Clock(folder)
    assert clock.told() == [("job.xlsx", [])]
    assert "No space left" in text(folder)
    monkeypatch.undo()
    assert clock.told(AGAIN_AFTER - 5) == []
    assert clock.told(10) == [("job.xlsx", WRITTEN)]


@pytest.mark.parametrize(("books", "why"), [(0, "no shop book in this folder"), (2, "several shop books here")])
def test_without_one_shop_book_it_says_so(folder: Path, books: int, why: str) -> None:
    if books:
        write_book(folder / "second book.xlsx", shop_book())
    else:
        (folder / "shop book.xlsx").unlink()
    clock = Clock(folder)
    assert clock.told() == []
    assert why in clock.watching.why_idle()


def test_a_copy_that_was_kept_of_the_shop_book_is_not_taken_for_it(folder: Path) -> None:
    """Not even while a save has deleted the shop book for a moment: the copy holds the old prices."""
    write_book(folder / "shop book before 2026-12-01.xlsx", shop_book())
    clock = Clock(folder)
    assert clock.told() == [("job.xlsx", WRITTEN)]
    saved = (folder / "shop book.xlsx").read_bytes()
    (folder / "shop book.xlsx").unlink()
    assert clock.told(30) == []
    assert "no shop book in this folder" in clock.watching.why_idle()
    (folder / "shop book.xlsx").write_bytes(saved)
    assert clock.told(30) == []


def test_a_shop_book_from_elsewhere(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Watched too: a change of it prices the jobs."""
    elsewhere = tmp_path_factory.mktemp("office") / "prices.xlsx"
    (folder / "shop book.xlsx").rename(elsewhere)
    clock = Clock(folder, book=elsewhere)
    assert clock.told() == [("job.xlsx", WRITTEN)]
    book = clean_book()
    book["Shop"].append(["Address", "1 Mill Road"])
    write_book(elsewhere, book)
    assert clock.told() == [("job.xlsx", WRITTEN)]
    elsewhere.unlink()
    clock.told()


def test_where_it_writes(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    out = tmp_path_factory.mktemp("quotes")
    clock = Clock(folder, out=out)
    ((name, files),) = clock.told()
    assert (name, sorted(Path(file).name for file in files)) == ("job.xlsx", WRITTEN)
    assert sorted(path.name for path in out.iterdir()) == WRITTEN
    assert clock.told(5) == []


def test_errors_come_before_warnings(tmp_path: Path) -> None:
    from quotekit.problems import warning

    job_path = tmp_path / "job.xlsx"
    found = (
        warning(Place("job.xlsx"), "old-price", "Old.", "Ask."),
        error(Place("job.xlsx"), "no-name", "None.", "Type it."),
    )
    assert tell_problems(job_path, Priced(contents=("a", "b"), problems=found))
    said = problems_file(job_path).read_text(encoding="utf-8")
    assert said.index("None.") < said.index("Old.")
    assert "1 error, 1 warning." in said
