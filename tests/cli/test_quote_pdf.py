"""`quotekit quote --pdf`: a PDF beside the workbooks, or nothing at all."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from quotekit.cli.main import main
from quotekit.workbook import pdf
from tests.cli.quote_contract import check_contract
from tests.cli.small_shop import job, shop_book, write_book
from tests.workbook.stand_ins import SLEEPS, SLEEPS_THROUGH, StandIn

NAMES = ["117-1 costing.xlsx", "117-1 quote.pdf", "117-1 quote.xlsx"]
PRINTS = 'while [ "$1" != --outdir ]; do shift; done; echo "%PDF-1.7 new" > "$2/quote.pdf"; echo converted'


class Shop:
    """A book and a job to quote, in a folder of their own."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir()
        self.folder = folder
        self.inputs = write_book(folder / "book.xlsx", shop_book()), write_book(folder / "job.xlsx", job())

    def quote(self, *options: str) -> int:
        return main(["quote", *map(str, self.inputs), *options])

    def written(self) -> list[str]:
        return sorted(path.name for path in self.folder.iterdir() if path not in self.inputs)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path / "shop")


@pytest.fixture
def stand_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> StandIn:
    return StandIn(tmp_path, monkeypatch)


def test_the_pdf_stands_beside_the_workbooks(
    soffice: str, pdftoppm: str, shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    """The total of the only option, worked out by hand in `test_end_to_end.py`, is on it."""
    assert shop.quote("--pdf") == 0
    assert shop.written() == NAMES
    assert sorted(Path(line).name for line in capsys.readouterr().out.splitlines()) == NAMES
    command = ["pdftotext", str(shop.folder / "117-1 quote.pdf"), "-"]
    text = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    assert "$98.83" in text and "Mill Lane Repairs" in text


def test_json_names_the_pdf_among_the_files(shop: Shop, stand_in: StandIn, capfd: pytest.CaptureFixture[str]) -> None:
    """And what LibreOffice says does not get into the object."""
    stand_in.does(PRINTS)
    assert shop.quote("--pdf", "--json") == 0
    value = json.loads(capfd.readouterr().out)
    check_contract(value)
    assert sorted(Path(name).name for name in value["files"]) == NAMES


def test_without_the_option_libreoffice_is_not_run(shop: Shop, stand_in: StandIn) -> None:
    stand_in.does('touch "$NOTES/ran"')
    assert shop.quote() == 0
    assert not (stand_in.notes / "ran").exists() and "117-1 quote.pdf" not in shop.written()


@pytest.mark.parametrize(
    ("script", "code", "said"),
    [
        ("echo no room; exit 1", "pdf-failed", "    | no room\n"),
        ("exit 0", "pdf-failed", "    | It made no file"),
        (SLEEPS, "pdf-time-out", "after 1 seconds"),
    ],
    ids=["fails", "makes nothing", "sleeps"],
)
def test_without_a_pdf_nothing_is_written(
    script: str,
    code: str,
    said: str,
    shop: Shop,
    stand_in: StandIn,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(pdf, "SECONDS", 1)
    stand_in.does(script)
    assert shop.quote("--pdf", "--json") == 3
    out, err = capsys.readouterr()
    value = json.loads(out)
    check_contract(value)
    assert (value["files"], value["problems"][-1]["code"]) == ([], code)
    assert said in err and "Nothing was written." in err
    assert (shop.written(), stand_in.left_behind()) == ([], [])


def test_without_libreoffice_nothing_is_written(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Known before anything is made, and the way out is said."""
    monkeypatch.delenv("QUOTEKIT_SOFFICE", raising=False)
    monkeypatch.setenv("PATH", str(tmp_path / "empty"))
    assert shop.quote("--pdf") == 3
    assert "117-1 quote.pdf: The PDF is made by LibreOffice, which was not found" in capsys.readouterr().err
    assert shop.quote("--pdf", "--json") == 3
    assert json.loads(capsys.readouterr().out)["problems"][-1]["code"] == "no-libreoffice"
    assert shop.written() == []
    assert shop.quote() == 0


def test_a_pdf_that_is_there_is_not_written_over(
    shop: Shop, stand_in: StandIn, capsys: pytest.CaptureFixture[str]
) -> None:
    stand_in.does(PRINTS)
    earlier = shop.folder / "117-1 quote.pdf"
    earlier.write_text("earlier")
    assert shop.quote("--pdf") == 3
    assert "The file exists already" in capsys.readouterr().err
    assert (shop.written(), earlier.read_text()) == (["117-1 quote.pdf"], "earlier")
    assert shop.quote("--pdf", "--replace") == 0
    assert earlier.read_text() == "%PDF-1.7 new\n"


def test_a_failure_leaves_an_earlier_quote_as_it_was(shop: Shop, stand_in: StandIn) -> None:
    stand_in.does(PRINTS)
    assert shop.quote("--pdf") == 0
    before = {name: (shop.folder / name).read_bytes() for name in NAMES}
    stand_in.does("exit 1")
    assert shop.quote("--pdf", "--replace") == 3
    assert {name: (shop.folder / name).read_bytes() for name in shop.written()} == before


def test_an_earlier_pdf_that_is_not_written_again_is_named(
    shop: Shop, stand_in: StandIn, capsys: pytest.CaptureFixture[str]
) -> None:
    """Else the shop might send a new workbook with an old PDF."""
    stand_in.does(PRINTS)
    assert shop.quote("--pdf") == 0
    capsys.readouterr()
    assert shop.quote("--replace", "--json") == 0
    (problem,) = (each for each in json.loads(capsys.readouterr().out)["problems"] if each["code"] == "earlier-quote")
    assert (problem["place"], problem["severity"]) == (str(shop.folder / "117-1 quote.pdf"), "warning")


def test_a_key_press_ends_libreoffice_and_leaves_nothing(shop: Shop, stand_in: StandIn) -> None:
    """In a process of its own, as in a shop: the terminal sends the signal, and the exit code is that of a stop."""
    stand_in.does(SLEEPS_THROUGH)
    command = [sys.executable, "-m", "quotekit", "quote", *map(str, shop.inputs), "--pdf"]
    environment = {**os.environ, "TMPDIR": str(stand_in.temp)}
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, text=True, env=environment, preexec_fn=hear_key_presses, **pipes) as run:
        wait_until((stand_in.notes / "processes").exists)
        run.send_signal(signal.SIGINT)
        out, err = run.communicate(timeout=60)
    assert (run.returncode, out) == (130, "") and "Stopped." in err
    assert (shop.written(), stand_in.left_behind(), stand_in.still_runs()) == ([], [], [])


def hear_key_presses() -> None:
    """What a shell starts in the background is told to ignore the signal, and its children with it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def wait_until(true: Callable[[], bool]) -> None:
    """Half a minute at most."""
    stop_waiting = time.monotonic() + 30
    while not true() and time.monotonic() < stop_waiting:
        time.sleep(0.01)
    assert true()
