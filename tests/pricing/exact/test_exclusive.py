"""Remedies of which one at most is taken, because another would be needless beside it."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.exact.exclusive import alternatives, told_apart


def fixing(**fixes: str) -> dict[str, frozenset[str]]:
    """Remedies by name, with a letter for each finding they fix."""
    return {name: frozenset(findings) for name, findings in fixes.items()}


@pytest.mark.parametrize(
    ("fixes", "sets"),
    [
        (fixing(a="1", b="12", c="123", d="24"), ["abc"]),
        (fixing(a="1", b="1", c="1"), ["abc"]),
        (fixing(a="1", b="2", c="12"), ["ac", "bc"]),
        (fixing(a="12", b="23"), []),
        (fixing(a="1", b="12", c="13"), ["ab", "ac"]),
        (fixing(a="1"), []),
        ({}, []),
    ],
)
def test_what_lies_within_another_is_an_alternative(fixes: dict[str, frozenset[str]], sets: list[str]) -> None:
    """The worked example first; two that share a finding and each fix one more may be taken together."""
    assert sorted("".join(sorted(one)) for one in alternatives(fixes)) == sets


FIXES = st.dictionaries(
    st.sampled_from("abcdefgh"), st.frozensets(st.sampled_from("12345"), min_size=1, max_size=4), max_size=8
)


@given(FIXES)
def test_each_pair_within_is_in_some_set_and_no_other_is(fixes: dict[str, frozenset[str]]) -> None:
    sets = alternatives(fixes)
    within = {
        frozenset(pair)
        for pair in combinations(fixes, 2)
        if fixes[pair[0]] <= fixes[pair[1]] or fixes[pair[1]] <= fixes[pair[0]]
    }
    assert {frozenset(pair) for one in sets for pair in combinations(one, 2)} == within
    assert not any(one < other for one in sets for other in sets)


@given(FIXES)
def test_sets_told_apart_share_nothing_and_lose_nothing(fixes: dict[str, frozenset[str]]) -> None:
    sets = alternatives(fixes)
    parts = told_apart(sets)
    assert sum(map(len, parts)) == len(frozenset().union(*parts)) == len(frozenset().union(*sets))
    assert all(any(part <= one for one in sets) for part in parts)
    assert not sets or max(map(len, parts)) == max(map(len, sets))
