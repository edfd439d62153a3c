"""Lists within what an entry tells: each record once, with its place, whatever lies between."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.ledger.export_lines import lines_of


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ({"amount": "60.00", "extras": ["A"], "own": {"a": 1}}, []),
        ({"lines": []}, []),
        (
            {"lines": [{"part": "BELT", "packs": 1}, {"part": "SEAL"}]},
            [("lines", "1", {"part": "BELT", "packs": 1}), ("lines", "2", {"part": "SEAL"})],
        ),
        (
            {"agreed": {"work": [{"code": "A", "cell": {"sheet": "Jobs", "at": {"row": 3}}, "notes": ["x", "y"]}]}},
            [("agreed work", "1", {"code": "A", "cell.sheet": "Jobs", "cell.at.row": 3, "notes": ["x", "y"]})],
        ),
        (
            {"orders": [{"from": "N"}, {"from": "S", "lines": [{"part": "A"}, {"part": "B"}]}]},
            [
                ("orders", "1", {"from": "N"}),
                ("orders", "2", {"from": "S"}),
                ("orders lines", "2.1", {"part": "A"}),
                ("orders lines", "2.2", {"part": "B"}),
            ],
        ),
        (
            {"one": {"two": [{"three": {"four": [{"five": None}]}}]}},
            [("one two", "1", {}), ("one two three four", "1.1", {"five": None})],
        ),
    ],
)
def test_the_lines_of_a_body(body: dict[str, Any], expected: list[tuple[str, str, dict[str, Any]]]) -> None:
    assert [tuple(line) for line in lines_of(body)] == expected


_TREES = st.recursive(
    st.none() | st.integers(0, 9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from("abc"), inner, max_size=3),
    max_leaves=12,
)


def _records_in_lists(value: Any, in_list: bool = False) -> int:
    """How many records stand directly in lists that are reached through records and lists of records."""
    if isinstance(value, dict):
        return int(in_list) + sum(_records_in_lists(one) for one in value.values())
    if isinstance(value, list):
        return sum(_records_in_lists(one, True) for one in value if isinstance(one, dict))
    return 0


@given(st.dictionaries(st.sampled_from("abc"), _TREES, max_size=3))
def test_each_record_is_told_once(body: dict[str, Any]) -> None:
    lines = list(lines_of(body))
    assert len(lines) == _records_in_lists(body)
    assert len({(line.path, line.place) for line in lines}) == len(lines)
