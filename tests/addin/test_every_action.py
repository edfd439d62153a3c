"""Every entry of the menu over every kind of document, in a real LibreOffice: a clear window, no change, no freeze."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from quotekit.addin.build import extension_bytes
from quotekit.addin.office.menu_words import MENU
from quotekit.cli.answers.serve import version
from tests.cli.small_shop import job, shop_book, write_book

HERE = Path(__file__).parent
ACTIONS = [entry.word for entry in MENU if not entry.form]
FORMS = [entry.word for entry in MENU if entry.form]
KINDS = ("empty", "no spreadsheet", "shop book", "job", "ods", "unsaved", "read-only", "macros", "password")
FORMS_ON = {"ods": FORMS, "empty": FORMS[::6], "macros": FORMS[3::12], "password": FORMS[4::12]}
"""All forms with a shop book at hand; without one they end the same way, so a few will do."""

FROZEN_SECONDS = 5.0
"""The longest that the office may stand still while an entry is carried out, on a busy machine."""


def words_in(folder: Path) -> dict[str, Any]:
    """What the office's side is told."""
    for name in ("temporary", "shop"):
        (folder / name).mkdir()
    extension = folder / "quotekit.oxt"
    extension.write_bytes(extension_bytes(version(), [sys.executable, "-P", "-m", "quotekit", "answer"]))
    return {
        "folder": folder,
        "extension": extension,
        "temporary": folder / "temporary",
        "book": write_book(folder / "shop" / "shop book.xlsx", shop_book()),
        "job": write_book(folder / "shop" / "job 117.xlsx", job()),
        "entries": [(word, False) for word in ACTIONS] + [(word, True) for word in FORMS],
        "forms_on": FORMS_ON,
    }


@pytest.fixture(scope="module")
def found(uno_python: str, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """One session with all of it."""
    folder = tmp_path_factory.mktemp("every")
    (folder / "words.json").write_text(json.dumps(words_in(folder), default=str))
    command = [uno_python, str(HERE / "in_office" / "every_action.py"), str(folder / "words.json")]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=900)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


PAIRS = [(kind, word) for kind in KINDS for word in [*ACTIONS, *FORMS_ON.get(kind, ())]]


@pytest.mark.parametrize(("kind", "word"), PAIRS)
def test_an_entry_over_a_document(found: dict[str, Any], kind: str, word: str) -> None:
    """It tells something in a window or opens a workbook; no fault, the document unmodified, the office usable."""
    one = found[kind][word]
    said = [text for window in one["windows"] for text in (window["title"], *window["texts"])]
    said += [f"opened the workbook {title}" for title in one["opened"]]
    assert any(len(text.split()) > 2 for text in said), "a person is told something"
    assert not [text for text in said if "fault of the extension" in text or "fault of quotekit" in text]
    assert not [text for text in said if "Traceback" in text or "Exception" in text or "Error:" in text]
    assert one["modified"] is False
    assert one["busy"] < FROZEN_SECONDS and one["slowest"] < FROZEN_SECONDS
    assert one["left"] == [], "each window can be closed"


@pytest.mark.parametrize("kind", KINDS)
def test_the_file_stays_byte_for_byte(found: dict[str, Any], kind: str) -> None:
    assert found[kind]["bytes stay"] is True


def test_no_copy_is_left(found: dict[str, Any]) -> None:
    assert found["left"] == []
