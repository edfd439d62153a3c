"""Loops are found whatever their length, once each, and printed whole."""

from __future__ import annotations

import itertools

from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.check_cycles import final_part, find_loops
from tests.build import a_part


def test_a_loop_starts_at_its_first_row() -> None:
    assert find_loops({"A": (), "B": ("C",), "C": ("D",), "D": ("B",)}) == [("B", "C", "D", "B")]


def test_a_code_that_leads_to_itself() -> None:
    assert find_loops({"A": ("A",)}) == [("A", "A")]


def test_two_loops_are_two() -> None:
    assert find_loops({"A": ("B",), "B": ("A",), "C": ("C", "A")}) == [("A", "B", "A"), ("C", "C")]


def test_shared_steps_are_no_loop() -> None:
    """Two operations behind the same cover need it both: that is what access is for."""
    assert find_loops({"A": ("B", "C"), "B": ("D",), "C": ("D",), "D": ()}) == []


def test_a_chain_of_many_supersessions_needs_no_deep_stack() -> None:
    chain = {f"P{i}": (f"P{i + 1}",) for i in range(20_000)}
    assert find_loops(chain) == []
    assert len(find_loops({**chain, "P20000": ("P0",)})[0]) == 20_002


def test_the_final_part_of_a_loop_is_some_part_of_it() -> None:
    parts = {code: a_part(code, replaced_by=other) for code, other in (("A", "B"), ("B", "A"))}
    assert final_part(parts, "A") in parts


@given(st.dictionaries(st.sampled_from("ABCDEF"), st.lists(st.sampled_from("ABCDEF"), max_size=4).map(tuple)))
def test_a_loop_is_found_exactly_when_there_is_one(to: dict[str, tuple[str, ...]]) -> None:
    """Against taking codes away one by one while they lead to nothing that is left."""
    left = dict(to)
    while ends := [code for code, after in left.items() if not any(other in left for other in after)]:
        for code in ends:
            del left[code]
    loops = find_loops(to)
    assert bool(loops) == bool(left)
    for loop in loops:
        assert loop[0] == loop[-1] and all(b in to[a] for a, b in itertools.pairwise(loop))
