"""A few changes of the shop book killed in each run; `python -m tests.ledger.killed_changes` kills many."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ledger import killed, killed_changes


def test_killed_at_any_moment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The book is the old one or the new one, and the next command tells which."""
    monkeypatch.setenv("QUOTEKIT_SOFFICE", "/nowhere")
    report = killed_changes.kill_many(tmp_path, 3, 7)
    assert (report.wrong, report.killed) == ([], 3)


@pytest.mark.parametrize("verb", ["apply", "undo"])
def test_killed_at_each_of_the_last_steps(verb: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between the entry and what follows it there are few steps: some of them are tried one by one."""
    monkeypatch.setenv("QUOTEKIT_SOFFICE", "/nowhere")
    story = killed_changes.Story(tmp_path)
    story.prepare("undo")
    new = story.shop.book.read_bytes()
    _, steps = killed_changes._cost_of(story, verb)
    moments = set()
    for step in range(steps - 28, steps + 1, 7):
        done, moment, wrong = killed_changes.one_round(
            story,
            verb,
            lambda words, at=step: killed.kill_at_step(words, at),
            (story.first, new),  # type: ignore[misc]
        )
        assert done and wrong == [], (step, moment, wrong)
        moments.add(moment)
    assert {f"{verb}: begun", f"{verb}: begun, replaced"} & moments
