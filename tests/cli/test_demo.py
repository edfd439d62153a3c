"""`quotekit demo`: the worked example, each job quoted."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.cli import demo
from quotekit.cli.main import main


def test_six_jobs_are_quoted_and_it_says_where_to_look(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "example"
    assert main(["demo", str(folder)]) == 0
    out, err = capsys.readouterr()
    assert len(list(folder.glob("* quote.xlsx"))) == 6
    assert len(list(folder.glob("* costing.xlsx"))) == 6
    assert len(out.splitlines()) == 12 and all(Path(line).exists() for line in out.splitlines())
    assert str(folder) in err.splitlines()[-1]


def test_without_a_folder_the_next_free_name_is_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(demo, "_quote", lambda book, job: 0)
    (tmp_path / "quotekit demo").mkdir()
    assert main(["demo"]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["quotekit demo", "quotekit demo 2"]


def test_a_folder_with_the_example_in_it_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "shop book.xlsx").write_text("years of work")
    assert main(["demo", str(tmp_path)]) == 3
    assert [path.name for path in tmp_path.iterdir()] == ["shop book.xlsx"]
    assert "Traceback" not in capsys.readouterr().err
