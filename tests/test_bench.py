"""The benchmark's tables from canned measures, and a small run of it: its figures are not judged."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.bench.__main__ import main
from tests.bench.paired import ROOT, Spread, Took, here, in_turn, spread
from tests.bench.pricing_speed import exponent
from tests.bench.table import Row, as_json, cells_of, faster, plain_table, readme_table, shown, skipped, slower

TAKEN = {
    "ours": [Took(2.0, 1.0), Took(4.0, 3.0), Took(9.0, 2.0)],
    "theirs": [Took(1.0, 1.0), Took(1.0, 1.0), Took(3.0, 2.0)],
}
MACHINE = {"processor": "some, 2 cores", "Python": "3.11"}


@pytest.mark.parametrize(
    ("figures", "expected"),
    [
        ([5.0], Spread(5.0, 5.0, 5.0)),
        ([3.0, 1.0, 2.0], Spread(2.0, 1.0, 3.0)),
        ([1.0, 2.0, 3.0, 4.0, 5.0], Spread(3.0, 2.0, 4.0)),
    ],
)
def test_the_middle_half(figures: list[float], expected: Spread) -> None:
    assert spread(figures) == expected


def test_ratios_are_those_of_each_round() -> None:
    """The medians alone would say 2 by 1: what is compared stands in the same round."""
    row = slower("A", "b", TAKEN, "ours", "theirs", aim=1.5)
    assert row.ratio == Spread(1.0, 1.0, 3.0) and (row.ours, row.beside) == (2.0, 1.0) and row.met
    by_clock = slower("A", "b", TAKEN, "ours", "theirs", by="clock", aim=1.5)
    assert by_clock.ratio == Spread(3.0, 2.0, 4.0) and by_clock.met is False
    quick = faster("A", "b", TAKEN, "theirs", "ours", aim=2.5)
    assert quick.ratio == Spread(3.0, 2.0, 4.0) and quick.met


def test_each_job_once_a_round_and_the_first_round_not_counted() -> None:
    order: list[str] = []
    taken = in_turn(2, {name: here(lambda name=name: order.append(name)) for name in "ab"})  # type: ignore[misc]
    assert "".join(order) == "ab" + "ab" + "ba" and [len(taken[name]) for name in "ab"] == [2, 2]


@pytest.mark.parametrize(
    ("figure", "unit", "expected"),
    [(None, "s", ""), (2.5, "s", "2.5 s"), (0.0123, "s", "12.3 ms"), (3.1e-5, "s", "31 µs"), (512.4, "MB", "512 MB")],
)
def test_how_a_figure_is_shown(figure: float | None, unit: str, expected: str) -> None:
    assert shown(figure, unit) == expected


def test_the_tables_hold_every_row() -> None:
    rows = [
        slower("One", "read", TAKEN, "ours", "theirs", aim=1.5),
        Row("One", "memory", 12.5, 11.0, "MB", "theirs", aim=10),
        skipped("Two", "the office", "soffice is not installed"),
    ]
    plain, readme, held = plain_table(rows, MACHINE), readme_table(rows, MACHINE), as_json(rows, MACHINE, {"rounds": 3})
    for text in (plain, readme):
        for row in rows:
            assert all(cell in text for cell in cells_of(row) if cell)
    assert "1.00 (1.00 to 3.00)" in plain and "1.5: met" in plain and "10: not met" in plain
    assert readme.count("|---|---|---|---|---|") == 2 and "some, 2 cores" in readme
    found = json.loads(held)
    assert [row["what"] for row in found["rows"]] == ["read", "memory", "the office"]
    assert [row["met"] for row in found["rows"]] == [True, False, None] and found["machine"] == MACHINE


@pytest.mark.parametrize(("power", "expected"), [(0, 0.0), (1, 1.0), (2, 2.0)])
def test_the_exponent_of_growth(power: int, expected: float) -> None:
    sizes = [10, 100, 1000]
    assert exponent(sizes, [0.5 * size**power for size in sizes]) == pytest.approx(expected)


def test_a_quick_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Sections that need another program, or some seconds, are left out here; `--quick` alone runs them all."""
    out, readme = tmp_path / "bench.json", tmp_path / "bench.md"
    chosen = ["solver", "warm", "used"]
    assert main(["--quick", "--only", *chosen, "--out", str(out), "--readme", str(readme)]) == 0
    found = json.loads(out.read_text(encoding="utf-8"))
    assert len({row["section"] for row in found["rows"]}) == 3 and found["options"]["rounds"] == 1
    figures = [row for row in found["rows"] if row["ours"] is not None]
    assert len(figures) > 5 and all(row["ours"] > 0 for row in figures)
    said = capsys.readouterr().out
    assert "HiGHS alone" in said and readme.read_text(encoding="utf-8").count("| aim |") == 3
    assert str(ROOT) not in out.read_text(encoding="utf-8") + said
