"""The sheet for a change, answered in LibreOffice: saved there it is still the one that was sent, with its answer."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from quotekit.documents.consent_answer import NO, NO_CODE, YES
from quotekit.documents.consent_sheet import lay_out_consent_sheet
from quotekit.workbook.read_returned import read_returned
from quotekit.workbook.write_sheet import write_workbook
from tests.documents.changed_jobs import a_changed_job
from tests.workbook.returned import IN_TIME, saved_by_libreoffice, small_quote, type_in

CHANGED = a_changed_job(small_quote())


def answered(folder: Path, answer: object, name: str) -> Path:
    """The sheet with an answer typed."""
    path = folder / f"{name}.xlsx"
    write_workbook(lay_out_consent_sheet(CHANGED), path)
    book = openpyxl.load_workbook(path)
    type_in(book, {"chosen_tier": answer})
    book.save(path)
    return path


ANSWERS = {"yes": (YES, CHANGED.revision.tier), "no": (NO, NO_CODE), "blank": (None, None), "option": ("option 1", "")}


def test_saved_by_libreoffice(soffice: str, tmp_path: Path) -> None:
    """In one run: each answer is read as it was picked, and nothing else differs."""
    paths = [answered(tmp_path, said, name) for name, (said, _) in ANSWERS.items()]
    for name, path in zip(ANSWERS, saved_by_libreoffice(soffice, paths, tmp_path), strict=True):
        choice, problems = read_returned(path, IN_TIME)
        assert choice is not None and choice.unchanged is True, (name, problems)
        expected = CHANGED.revision.tier if name == "option" else ANSWERS[name][1]
        assert choice.tier == expected, name
        assert choice.extras == ()


@pytest.mark.parametrize(("name", "said", "tier"), [(name, *pair) for name, pair in ANSWERS.items() if pair[1]])
def test_saved_by_openpyxl(name: str, said: str, tier: str, tmp_path: Path) -> None:
    choice, problems = read_returned(answered(tmp_path, said, name), IN_TIME)
    assert choice is not None and (choice.tier, choice.unchanged, problems) == (tier, True, [])
