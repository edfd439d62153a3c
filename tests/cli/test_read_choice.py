"""`quotekit read-choice`: the choice of a returned quote or reply, and the command that prices it."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.main import main
from quotekit.cli.reply_file import text_of
from quotekit.documents.reply_text import reply_lines
from tests.workbook.returned import BELT, BUSHING, SENT, fingerprint, job_file, returned, sent

ON = ["--on", "2026-12-01"]
LINES = reply_lines(
    job_number="117",
    version=1,
    option="Put right",
    tier="good",
    extras=("BUSHING-OFFER@right", "BELT-NEW"),
    total="$1.00",
    fingerprint=fingerprint(),
)
CHOSEN = {"chosen_tier": "Put right", BELT: "☑", BUSHING: "Yes"}
COMMAND = "--tier good --extra BELT-NEW --extra BUSHING-OFFER@right"


def run(*arguments: str | Path) -> int:
    return main(["read-choice", *map(str, arguments), *ON])


def as_json(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, dict[str, Any]]:
    code = run(*arguments, "--json")
    out, err = capsys.readouterr()
    assert err == ""
    return code, json.loads(out)


def codes(printed: dict[str, Any]) -> list[str]:
    return [problem["code"] for problem in printed["problems"]]


def test_a_choice_is_exit_0_and_the_command_that_prices_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = job_file(tmp_path / "job 117.xlsx")
    assert run(returned(tmp_path, CHOSEN), "--job", job) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out.splitlines() == [
        "Job 117, version 1, valid until 2026-12-20, as it was sent.",
        "Chosen: Put right [good]; to add: BELT-NEW, BUSHING-OFFER@right.",
        f"Price it: quotekit choice BOOK '{job}' {COMMAND}",
    ]


def test_the_choice_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, printed = as_json(capsys, returned(tmp_path, CHOSEN))
    assert code == 0
    assert printed == {
        "job": "117",
        "version": 1,
        "quote_date": "2026-11-20",
        "valid_until": "2026-12-20",
        "expired": False,
        "tier": "good",
        "option": "Put right",
        "extras": ["BELT-NEW", "BUSHING-OFFER@right"],
        "fingerprint": fingerprint(),
        "unchanged": True,
        "changed": [],
        "problems": [],
    }


def test_an_error_is_exit_1_and_what_is_readable_is_still_given(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, printed = as_json(capsys, returned(tmp_path, {**CHOSEN, "Quote!Z3": "x"}))
    assert (code, codes(printed), printed["changed"]) == (1, ["quote-changed"], ["Quote!Z3"])
    assert (printed["tier"], printed["unchanged"]) == ("good", False)
    assert run(returned(tmp_path, {**CHOSEN, "Quote!Z3": "x"})) == 1
    out, err = capsys.readouterr()
    assert "not as it was sent" in out and "Price it" not in out and "returned.xlsx:Quote!Z3" in err


def test_an_expired_quote_is_said_and_stops_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read-choice", str(returned(tmp_path, CHOSEN)), "--on", "2026-12-21"]) == 0
    out, err = capsys.readouterr()
    assert "The quote was valid until 2026-12-20." in err and COMMAND in out


def test_the_day_is_today_unless_given(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read-choice", str(returned(tmp_path, CHOSEN)), "--json"]) == 0
    assert isinstance(json.loads(capsys.readouterr().out)["expired"], bool)
    assert main(["read-choice", "x.xlsx", "--on", "tomorrow"]) == 2
    assert "no date like 2026-11-25" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("job", "code"),
    [({"number": "118"}, "choice-of-another-job"), ({"version": 2}, "choice-of-older-version"), ({}, "")],
)
def test_the_job_it_must_belong_to(
    job: dict[str, Any], code: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    exit_code, printed = as_json(capsys, returned(tmp_path, CHOSEN), "--job", job_file(tmp_path / "job.xlsx", **job))
    assert (exit_code, codes(printed)) == (int(bool(code)), [code] if code else [])


def test_a_job_that_cannot_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, printed = as_json(capsys, returned(tmp_path, CHOSEN), "--job", tmp_path / "none.xlsx")
    assert (code, codes(printed), printed["tier"]) == (1, ["missing-file"], "good")


def test_a_newer_quote_in_the_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = returned(tmp_path, CHOSEN)
    sent(tmp_path, "117-12 quote.xlsx", version=12)
    sent(tmp_path, "1170-9 quote.xlsx")
    code, printed = as_json(capsys, path)
    assert (code, codes(printed)) == (1, ["choice-of-older-version"])
    assert "version 12" in printed["problems"][0]["message"]


def test_marks_that_are_not_those_of_the_quote_as_sent(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Who seals a changed quote anew is found out by the file in the shop."""
    path = returned(tmp_path, CHOSEN)
    sent(tmp_path)
    assert as_json(capsys, path)[0] == 0
    (tmp_path / SENT).write_bytes(returned_elsewhere(tmp_path).read_bytes())
    code, printed = as_json(capsys, path)
    assert (code, codes(printed)) == (1, ["quote-changed"])
    assert SENT in printed["problems"][0]["message"]


def returned_elsewhere(folder: Path) -> Path:
    """A quote of the same number and version with other marks."""
    from dataclasses import replace

    from quotekit.documents.customer_quote import lay_out_customer_quote
    from quotekit.workbook.write_sheet import write_workbook
    from tests.workbook.returned import small_quote

    quote = small_quote()
    path = folder / "other.xlsx"
    write_workbook(lay_out_customer_quote(replace(quote, job=replace(quote.job, customer="B. Other"))), path)
    return path


@pytest.mark.parametrize("order", [["--text", "FILE"], ["FILE", "--text"]])
def test_a_reply_text(order: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "reply.txt"
    path.write_text("Hello!\n" + "\n".join(LINES), encoding="utf-8")
    assert run(*(str(path) if word == "FILE" else word for word in order)) == 0
    out, _ = capsys.readouterr()
    assert out.splitlines() == [
        "Job 117, version 1.",
        "Chosen: Put right [good]; to add: BUSHING-OFFER@right, BELT-NEW.",
        "Price it: quotekit choice BOOK JOB --tier good --extra BUSHING-OFFER@right --extra BELT-NEW",
    ]


def test_a_reply_beside_the_quote_it_answers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "reply.txt"
    path.write_text("\n".join(LINES), encoding="utf-8")
    sent(tmp_path)
    code, printed = as_json(capsys, path, "--text")
    assert (code, printed["unchanged"], printed["expired"], printed["problems"]) == (0, True, False, [])
    assert printed["extras"] == ["BELT-NEW", "BUSHING-OFFER@right"]
    assert printed["valid_until"] == "2026-12-20" and fingerprint().startswith(printed["fingerprint"])


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("[good]", "[cheap]", ["unknown-option"]),
        ("Put right [good]", "Put right and prevent [good]", ["two-options-ticked"]),
        ("BELT-NEW", "BELT-OLD", ["unknown-tick"]),
        ("Put right [good]", "Put right and prevent [better]", ["nothing-to-add"]),
        (f"Check: {fingerprint()[:12]}", "Check: 0123456789ab", ["quote-changed"]),
        (f"Check: {fingerprint()[:12]}", "", ["quote-changed"]),
        ("117", "118", []),
        ("version 1", "version one", ["reply-unclear"]),
        ("Option", "Choice", ["not-a-reply"]),
    ],
)
def test_what_is_wrong_with_a_reply(
    old: str, new: str, expected: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "reply.txt"
    path.write_text("\n".join(LINES).replace(old, new), encoding="utf-8")
    sent(tmp_path)
    assert codes(as_json(capsys, path, "--text")[1]) == expected


def test_a_reply_of_another_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "reply.txt"
    path.write_text("\n".join(LINES), encoding="utf-8")
    job = job_file(tmp_path / "job.xlsx", number="120")
    code, printed = as_json(capsys, path, "--text", "--job", job)
    assert (code, codes(printed)) == (1, ["choice-of-another-job"])
    assert printed["problems"][0]["place"] == "reply.txt!line 1"


def test_a_reply_from_the_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    typed = io.TextIOWrapper(io.BytesIO("\r\n".join(LINES).encode("utf-8-sig")))
    monkeypatch.setattr(sys, "stdin", typed)
    assert run("-", "--text") == 0
    assert "Chosen: Put right [good]" in capsys.readouterr().out


def test_a_workbook_given_as_a_text_and_the_other_way_round(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert codes(as_json(capsys, sent(tmp_path), "--text")[1]) == ["not-a-reply"]
    path = tmp_path / "reply.txt"
    path.write_text("\n".join(LINES), encoding="utf-8")
    assert codes(as_json(capsys, path)[1]) == ["not-a-workbook"]
    code, printed = as_json(capsys, tmp_path / "none.txt", "--text")
    assert (code, codes(printed), printed["job"], printed["extras"]) == (1, ["missing-file"], None, [])


PLAIN = "Content-Type: text/plain; charset=utf-8\nContent-Transfer-Encoding: quoted-printable\n\n"
HTML = "Content-Type: text/html; charset=utf-8\nContent-Transfer-Encoding: 8bit\n\n"


def test_a_saved_mail() -> None:
    head = "From: a@example.com\nSubject: Re: =?utf-8?q?Quote?=\nMIME-Version: 1.0\n"
    lines = "\n".join(LINES)
    broken = lines.replace("Put right", "Put=\n right=20")
    assert text_of(f"{head}{PLAIN}{broken}".encode()).split() == lines.split()
    html = "".join(f"<p>&gt; <b>{line}</b></p>" for line in LINES)
    read = text_of(f"{head}{HTML}<html><head><style>p{{}}</style></head>{html}".encode())
    assert read.split("\n")[1] == f"> {LINES[1]}"
    assert text_of(b"From: x\nMIME-Version: 1.0\nContent-Type: image/png\n\nxx") == ""
