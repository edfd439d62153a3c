"""A watched folder and what happens in one: copies, names, files that go, and saves in the middle of pricing."""

from __future__ import annotations

import json
import os
import zipfile
from pathlib import Path

import pytest
from openpyxl import load_workbook
from PIL import Image

from quotekit.cli import watching
from quotekit.cli.gone_files import GONE_AFTER
from quotekit.cli.main import main
from quotekit.cli.price_watched import HEADING, problems_file
from quotekit.cli.price_watched import price_watched as really_price
from quotekit.cli.watched_jobs import KEPT
from quotekit.cli.watching import AGAIN_AFTER, LET_IN_WITHIN, WHOLE_WITHIN
from quotekit.ledger.fault import LedgerFault
from quotekit.problems import Place, error
from tests.cli.small_shop import job, write_book
from tests.cli.test_watching import WRITTEN, Clock, clean_book, clean_shop, spoil, text, visible


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return clean_shop(tmp_path)


def save(path: Path, number: str = "117", **fields: object) -> Path:
    """A job of its own number, with other fields."""
    sheets = job()
    sheets["Job"][1] = ["Job number", number]
    sheets["Job"] += [[name, value] for name, value in fields.items()]
    return write_book(path, sheets)


def told_names(clock: Clock, seconds: float = 1.0) -> list[str]:
    return [name for name, _ in clock.told(seconds)]


# where it is written


def test_a_folder_for_quotes_named_from_here(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its name is read from where the person stands, not from the watched folder: there each look would miss it."""
    here = folder / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    clock = Clock(folder, out=Path("quotes"))
    assert told_names(clock, 3) == ["job.xlsx"]
    assert sorted(path.name for path in (here / "quotes").iterdir()) == WRITTEN
    assert told_names(Clock(folder, out=Path("quotes"))) == []


def test_another_folder_for_quotes_is_filled_too(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """What was written elsewhere is not what is asked for now."""
    out = tmp_path_factory.mktemp("quotes")
    assert told_names(Clock(folder)) == ["job.xlsx"]
    assert told_names(Clock(folder, out=out)) == ["job.xlsx"]
    assert sorted(path.name for path in out.iterdir()) == WRITTEN


def test_a_folder_that_is_moved_keeps_what_was_priced(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    clock = Clock(folder, out=folder / "quotes")
    assert told_names(clock) == ["job.xlsx"]
    moved = folder.rename(tmp_path_factory.mktemp("elsewhere") / "shop")
    Clock(moved).told()
    assert told_names(Clock(moved)) == []


# two workbooks of one job


def test_a_copy_of_a_job_does_not_write_over_its_quote(folder: Path) -> None:
    """The copy is told, and priced as soon as it has a number of its own."""
    clock = Clock(folder)
    clock.told()
    save(folder / "job copy.xlsx", Make="Another")
    before = (folder / WRITTEN[0]).read_bytes()
    assert clock.told() == [("job copy.xlsx", [])]
    assert clock.told(30) == []
    assert "job.xlsx is version 1 of job 117 already" in text(folder, "job copy")  # "job-twice"
    assert (folder / WRITTEN[0]).read_bytes() == before
    save(folder / "job copy.xlsx", "118", Make="Another")
    assert clock.told() == [("job copy.xlsx", ["118-1 costing.xlsx", "118-1 quote.xlsx"])]
    assert not problems_file(folder / "job copy.xlsx").exists()


def test_the_copy_takes_over_when_the_first_gives_the_number_up(folder: Path) -> None:
    clock = Clock(folder)
    clock.told()
    save(folder / "b.xlsx", Make="Another")
    clock.told()
    save(folder / "job.xlsx", "118")
    assert sorted(clock.told(2)) == [
        ("b.xlsx", WRITTEN),
        ("job.xlsx", ["118-1 costing.xlsx", "118-1 quote.xlsx"]),
    ]
    assert not problems_file(folder / "b.xlsx").exists()


def test_or_is_put_away(folder: Path) -> None:
    clock = Clock(folder)
    clock.told()
    save(folder / "b.xlsx", Make="Another")
    clock.told()
    (folder / "job.xlsx").unlink()
    assert clock.told(GONE_AFTER - 1) == []
    assert clock.told(3) == [("b.xlsx", WRITTEN)]


def test_a_copy_does_not_slip_in_while_the_first_is_saved(folder: Path) -> None:
    """Some programs delete before they rename."""
    clock = Clock(folder)
    clock.told()
    save(folder / "b.xlsx", Make="Another")
    clock.told()
    data = (folder / "job.xlsx").read_bytes()
    (folder / "job.xlsx").unlink()
    assert clock.told(2) == []
    save(folder / "b.xlsx", Make="A third")
    assert clock.told(2) == []
    (folder / "job.xlsx").write_bytes(data)
    assert clock.told(5) == [("b.xlsx", [])]


def test_started_again_the_first_is_still_the_first(folder: Path) -> None:
    Clock(folder).told()
    save(folder / "a.xlsx", Make="Another")
    clock = Clock(folder)
    assert clock.told() == [("a.xlsx", [])]
    again = Clock(folder)
    assert again.told() == [] and again.watching.with_problems == {"a.xlsx"}


def test_a_job_that_is_renamed(folder: Path) -> None:
    """Priced under its new name, which its costing tells; nothing of the old name is left but the quote itself."""
    spoil(folder)
    clock = Clock(folder)
    clock.told()
    save(folder / "job.xlsx", Make="Another")
    clock.told()
    (folder / "job.xlsx").rename(folder / "job, as agreed.xlsx")
    assert clock.told(2) == [("job, as agreed.xlsx", WRITTEN)]
    assert clock.told(30) == []
    assert visible(folder) == [*WRITTEN, "job, as agreed.xlsx", "shop book.xlsx"]


# problems of what is gone


@pytest.mark.parametrize("gone", ["deleted", "renamed", "between two runs"])
def test_problems_of_a_job_that_is_gone_go_too(folder: Path, gone: str) -> None:
    spoil(folder)
    clock = Clock(folder)
    clock.told()
    assert problems_file(folder / "job.xlsx").exists() and clock.watching.with_problems == {"job.xlsx"}
    if gone == "renamed":
        (folder / "job.xlsx").rename(folder / "other.xlsx")
    else:
        (folder / "job.xlsx").unlink()
    if gone == "between two runs":
        clock = Clock(folder)
    clock.told(GONE_AFTER + 2)
    assert not problems_file(folder / "job.xlsx").exists()
    assert clock.watching.with_problems == ({"other.xlsx"} if gone == "renamed" else set())


def test_back_again_its_problems_are_told_again(folder: Path) -> None:
    spoil(folder)
    clock = Clock(folder)
    clock.told()
    data = (folder / "job.xlsx").read_bytes()
    (folder / "job.xlsx").unlink()
    clock.told(GONE_AFTER + 2)
    (folder / "job.xlsx").write_bytes(data)
    assert clock.told() == [("job.xlsx", [])]
    assert text(folder).startswith(HEADING)


def test_what_a_person_wrote_under_such_a_name_stays(folder: Path) -> None:
    (folder / "brakes problems.txt").write_text("ask Ann")
    Clock(folder).told(GONE_AFTER + 2)
    assert (folder / "brakes problems.txt").read_text() == "ask Ann"


def test_problems_of_a_job_with_macros(folder: Path) -> None:
    """Told under its whole name, as one without macros may lie beside it: neither takes the other's away."""
    spoil(folder)
    (folder / "job.xlsx").rename(folder / "job.xlsm")
    save(folder / "job.xlsx", "118")
    clock = Clock(folder)
    clock.told(2)
    assert sorted(path.name for path in folder.glob("* problems.txt")) == ["job.xlsm problems.txt"]
    again = Clock(folder)
    again.told(GONE_AFTER + 2)
    assert problems_file(folder / "job.xlsm").exists() and again.watching.with_problems == {"job.xlsm"}
    (folder / "job.xlsm").unlink()
    Clock(folder).told(GONE_AFTER + 2)
    assert list(folder.glob("* problems.txt")) == []


def test_started_again_it_knows_which_have_problems(folder: Path) -> None:
    spoil(folder)
    Clock(folder).told()
    clock = Clock(folder)
    assert clock.told() == [] and clock.watching.with_problems == {"job.xlsx"}


# what is no workbook


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "not an .xlsx workbook"),
        (b"no workbook at all", "not an .xlsx workbook"),
        (b"PK\x05\x06" + bytes(18), "workbook"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600), "old format"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"), "password"),
    ],
)
def test_a_bad_file_that_was_never_a_job_is_told_too(folder: Path, data: bytes, said: str) -> None:
    """It may be one: whoever saved it waits for a quote."""
    (folder / "job 118.xlsx").write_bytes(data)
    clock = Clock(folder)
    assert sorted(told_names(clock, WHOLE_WITHIN + 3)) == ["job 118.xlsx", "job.xlsx"]
    assert said in text(folder, "job 118")
    (folder / "job 118.xlsx").unlink()
    clock.told(GONE_AFTER + 2)
    assert visible(folder) == [*WRITTEN, "job.xlsx", "shop book.xlsx"]


def test_a_workbook_of_the_owners_own_is_not_told(folder: Path) -> None:
    write_book(folder / "telephone numbers.xlsx", {"Numbers": [["Name", "Number"], ["Ann", "555-0100"]]})
    assert told_names(Clock(folder), WHOLE_WITHIN + 3) == ["job.xlsx"]


# saves in the middle


def test_an_old_file_written_over_bit_by_bit_is_waited_for(folder: Path) -> None:
    """The end of the old one stands there until the new one is whole: it looks like a workbook all the while."""
    clock = Clock(folder)
    clock.told()
    old = (folder / "job.xlsx").read_bytes()
    new = save(folder.parent / "next.xlsx", Make="Example").read_bytes()
    assert len(new) >= len(old) * 0.9
    part = len(new) // 2
    (folder / "job.xlsx").write_bytes(new[:part] + old[part:])
    assert clock.told(4) == []
    assert not problems_file(folder / "job.xlsx").exists()
    (folder / "job.xlsx").write_bytes(new)
    assert clock.told() == [("job.xlsx", WRITTEN)]


@pytest.mark.parametrize("which", ["job", "shop book"])
@pytest.mark.parametrize("to", ["half", "gone"])
def test_a_save_that_begins_while_it_is_read(
    folder: Path, which: str, to: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was read then is no problem of the job: it is priced when the save is over."""
    path = folder / f"{which}.xlsx"
    whole = path.read_bytes()

    def price(book: Path, job_path: Path, *more: object) -> object:
        monkeypatch.setattr(watching, "price_watched", really_price)
        path.write_bytes(whole[:2000]) if to == "half" else path.unlink()
        return really_price(book, job_path, *more)  # type: ignore[arg-type]

    clock = Clock(folder)
    monkeypatch.setattr(watching, "price_watched", price)
    assert clock.told(3) == []
    assert not problems_file(folder / "job.xlsx").exists()
    path.write_bytes(whole)
    assert clock.told() == [("job.xlsx", WRITTEN)]


def test_a_shop_book_that_is_being_saved_is_waited_for(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Also one that lies elsewhere: half of it standing still is no shop book."""
    elsewhere = tmp_path_factory.mktemp("office") / "prices.xlsx"
    (folder / "shop book.xlsx").rename(elsewhere)
    clock = Clock(folder, book=elsewhere)
    clock.told()
    whole = write_book(elsewhere, clean_book() | {"Notes": [["Mine"]]}).read_bytes()
    elsewhere.write_bytes(whole[:3000])
    assert clock.told(WHOLE_WITHIN - 2) == []
    elsewhere.write_bytes(whole)
    assert clock.told() == [("job.xlsx", WRITTEN)]


@pytest.mark.parametrize("given", [False, True])
def test_a_file_that_stays_shut(
    folder: Path, given: bool, monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Kept by another program, or not ours to read: it is waited for, then told, and read once it is open."""
    shut = folder / "job.xlsx"
    book = folder / "shop book.xlsx"
    if given:
        shut = book = book.rename(tmp_path_factory.mktemp("office") / "prices.xlsx")
    really_open = Path.read_bytes

    def refuse(path: Path) -> bytes:
        if path.name == shut.name:
            raise PermissionError(13, "Permission denied", str(path))
        return really_open(path)

    monkeypatch.setattr(Path, "read_bytes", refuse)
    clock = Clock(folder, **({"book": book} if given else {}))
    assert clock.told(LET_IN_WITHIN - 5) == [] and clock.watching.restless
    assert clock.told(10) == [("job.xlsx", [])] and not clock.watching.restless
    assert f"{shut.name} cannot be read: Permission denied" in text(folder)
    monkeypatch.undo()
    assert clock.told(AGAIN_AFTER + 2) == [("job.xlsx", WRITTEN)]
    assert not problems_file(folder / "job.xlsx").exists()


def of_size(path: Path, size: int) -> None:
    """The same workbook in so many bytes: a comment of the zip fills it up."""
    with zipfile.ZipFile(path, "a") as package:
        package.comment = b" " * (size - path.stat().st_size)


def test_a_time_that_is_set_back_hides_no_save(folder: Path) -> None:
    """As programs do that keep copies alike: the same size and time, another content, written in place."""
    clock = Clock(folder)
    second = save(folder.parent / "next.xlsx", Make="Sample")
    first = save(folder / "job.xlsx", Make="Example")
    size = max(first.stat().st_size, second.stat().st_size) + 1
    for path in (first, second):
        of_size(path, size)
    clock.told()
    known = first.stat()
    with first.open("r+b") as file:
        file.write(second.read_bytes())
    assert first.stat().st_size == known.st_size
    os.utime(folder / "job.xlsx", ns=(known.st_atime_ns, known.st_mtime_ns))
    assert clock.told() == [("job.xlsx", WRITTEN)]


def test_what_is_saved_while_many_are_priced_goes_first(folder: Path) -> None:
    """Whoever has just saved waits for this one, not for all those that hang on the shop book."""
    names = [f"job {number}.xlsx" for number in range(4)]
    for number, name in enumerate(names):
        save(folder / name, str(200 + number))
    clock = Clock(folder)
    clock.told(4)
    book = clean_book()
    book["Shop"].append(["Address", "1 Mill Road"])
    write_book(folder / "shop book.xlsx", book)
    assert told_names(clock, 0.75) == ["job 0.xlsx"]
    assert clock.watching.due == 4
    save(folder / names[3], "203", Make="Example")
    assert told_names(clock, 0.75) == ["job 1.xlsx", "job 2.xlsx", "job 3.xlsx"]
    assert told_names(clock, 3) == ["job.xlsx"]
    assert clock.watching.due == 0


def test_a_photo_that_comes_later(folder: Path) -> None:
    """A telephone sends it after the job was saved: it is put in, and what was told of it goes."""
    sheets = job()
    sheets["Findings"][0].append("Photo")
    sheets["Findings"][1].append("bushing.png")
    write_book(folder / "job.xlsx", sheets)
    clock = Clock(folder)
    assert clock.told() == [("job.xlsx", WRITTEN)]
    assert "Photo bushing.png is left out" in text(folder)
    assert clock.told(30) == []
    Image.new("RGB", (40, 30), "grey").save(folder / "bushing.png")
    assert clock.told() == [("job.xlsx", WRITTEN)]
    assert not problems_file(folder / "job.xlsx").exists()
    assert clock.told(30) == []


# what was issued


def test_an_issued_quote_is_not_written_over(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is what the customer has, and may hold what the customer picked. A changed shop book is no reason to."""
    assert main(["issue", str(folder / "shop book.xlsx"), str(folder / "job.xlsx")]) == 0
    capsys.readouterr()
    picked = b"as the customer sent it back"
    (folder / WRITTEN[1]).write_bytes(picked)
    clock = Clock(folder)
    assert clock.told() == [("job.xlsx", [])] and clock.watching.with_problems == set()
    book = clean_book()
    book["Shop"].append(["Address", "1 Mill Road"])
    write_book(folder / "shop book.xlsx", book)
    clock.told()
    assert clock.watching.with_problems == set()
    save(folder / "job.xlsx", Make="Another")
    assert clock.told() == [("job.xlsx", [])]
    assert "Version 1 of job 117 was issued on" in text(folder) and "Type 2 under Version" in text(folder)
    assert (folder / WRITTEN[1]).read_bytes() == picked
    save(folder / "job.xlsx", Version=2)
    assert clock.told() == [("job.xlsx", ["117-2 costing.xlsx", "117-2 quote.xlsx"])]
    assert not problems_file(folder / "job.xlsx").exists()


def test_a_change_that_was_issued_is_nothing_to_mend(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """After the yes a change is issued under the next number, and the job workbook keeps its own."""
    book, path = str(folder / "shop book.xlsx"), folder / "job.xlsx"
    assert main(["issue", book, str(path)]) == 0
    said = ["--by", "phone", "--who", "R. Alder", "--phone", "555-0100", "--note", "yes"]
    monkeypatch.chdir(folder)
    day = ["--on", "2026-03-02"]
    assert main(["accept", "--job", "117", "--tier", "good", "--at", "09:00", *day, *said]) == 0
    sheets = job()
    del sheets["Findings"][-1]
    write_book(path, sheets)
    clock = Clock(folder)
    clock.told()
    assert "`quotekit revise`" in text(folder)
    capsys.readouterr()
    assert main(["revise", book, str(path), *day]) == 0, capsys.readouterr().err
    write_book(folder / "shop book.xlsx", clean_book() | {"Notes": [["Mine"]]})
    clock.told()
    assert not problems_file(path).exists()


@pytest.mark.parametrize("started_again", [False, True])
def test_a_quote_with_a_choice_in_it_is_not_written_over(folder: Path, started_again: bool) -> None:
    """Sent back by the customer and saved where it was, or picked at the counter: it is all there is of the choice."""
    clock = Clock(folder)
    clock.told()
    quote = folder / WRITTEN[1]
    opened = load_workbook(quote)
    sheet, cell = opened.defined_names["chosen_tier"].attr_text.replace("$", "").replace("'", "").split("!")
    opened[sheet][cell] = "Put right"
    opened.save(quote)
    chosen = quote.read_bytes()
    assert clock.told(3) == []
    save(folder / "job.xlsx", Make="Another")
    assert clock.told() == [("job.xlsx", [])] and clock.told(60) == []
    assert "A choice was made in this quote" in text(folder)  # "choice-made"
    assert quote.read_bytes() == chosen
    if started_again:
        assert Clock(folder).told() == []
        clock = Clock(folder)
    quote.rename(folder / "sent back.xlsx")
    assert clock.told() == [("job.xlsx", WRITTEN)]
    assert not problems_file(folder / "job.xlsx").exists()


def test_a_ledger_that_cannot_be_asked_is_asked_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether a quote was issued is not known then: nothing is written, and it is told once, however often tried."""
    clock = Clock(folder)
    clock.told()
    gone = error(Place("ledger"), "ledger-gone", "The ledger's server does not answer.", "Ask who runs it.")

    def refuse(*_: object) -> None:
        raise LedgerFault(gone)

    monkeypatch.setattr("quotekit.cli.issued_version.issued_version", refuse)
    save(folder / "job.xlsx", Make="Another")
    before = (folder / WRITTEN[0]).read_bytes()
    assert clock.told(AGAIN_AFTER * 3) == [("job.xlsx", [])]
    assert "does not answer" in text(folder) and (folder / WRITTEN[0]).read_bytes() == before
    monkeypatch.undo()
    assert clock.told(AGAIN_AFTER + 2) == [("job.xlsx", WRITTEN)]
    assert not problems_file(folder / "job.xlsx").exists()


# names


@pytest.mark.parametrize(
    "name", ["job 'äöü' 🚜 \"x\".xlsx", "50% off & more; $HOME.xlsx", " job .xlsx", "JOB.XLSX", "résumé d'été.xlsm"]
)
def test_any_name(folder: Path, name: str) -> None:
    (folder / "job.xlsx").rename(folder / name)
    clock = Clock(folder)
    assert clock.told() == [(name, WRITTEN)]
    assert name in json.loads((folder / KEPT).read_text(encoding="utf-8"))
    sheets = job()
    sheets["Findings"][1][0] = "NO-SUCH-FINDING"
    write_book(folder / "next.xlsx", sheets).replace(folder / name)
    assert clock.told() == [(name, [])]
    assert problems_file(folder / name).exists()
    assert told_names(Clock(folder)) == []


def test_a_name_that_is_no_text(folder: Path) -> None:
    """As on old disks: it is priced as any other, what is wrong in it is told, and the watch starts again."""
    name = os.fsdecode(b"gr\xfcn.xlsx")
    (folder / "job.xlsx").rename(folder / name)
    save(folder / "z.xlsx", "118")
    clock = Clock(folder)
    written = {job: [f"{job}-1 costing.xlsx", f"{job}-1 quote.xlsx"] for job in ("117", "118")}
    assert clock.told() == [(name, written["117"]), ("z.xlsx", written["118"])]
    assert told_names(Clock(folder)) == []
    sheets = job()
    sheets["Findings"][1][0] = "NO-SUCH-FINDING"
    write_book(folder / "next.xlsx", sheets).replace(folder / name)
    assert clock.told() == [(name, [])]
    said = problems_file(folder / name).read_text(encoding="utf-8")
    assert "gr\\udcfcn.xlsx:Findings!A2: " in said
