"""Every node of every tree follows from its inputs, and its value is the one in the JSON of the quote."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from quotekit.model.explanation import nodes
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_priced
from tests.pricing.explain.cases import EXAMPLES, example_quote, missing
from tests.pricing.explain.recompute import faults
from tests.random_jobs import a_random_case, seeds


@pytest.mark.parametrize("name", EXAMPLES)
def test_trees_of_the_examples_follow(name: str) -> None:
    """The jobs a person reads: every number on the way can be worked out again from the ones below it."""
    for tier in example_quote(name).tiers:
        assert faults(explain_priced(example_quote(name), tier)) == []


@settings(max_examples=60, deadline=None)
@given(seeds())
def test_trees_of_random_jobs_follow(seed: int) -> None:
    """Any job: bundles, kits, upgrades taxed apart, own parts, plans, line rounding, freight, one-off lines."""
    quote = build_quote(*a_random_case(seed))
    for tier in quote.tiers:
        assert faults(explain_priced(quote, tier)) == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_leaf_of_the_examples_json_has_a_tree(name: str) -> None:
    """No figure of the JSON without an answer, and none that says another value."""
    quote = example_quote(name)
    assert [missing(quote, tier) for tier in quote.tiers] == [[] for _ in quote.tiers]


@settings(max_examples=60, deadline=None)
@given(seeds())
def test_each_leaf_of_random_json_has_a_tree(seed: int) -> None:
    """The same for any job, tiers that could not be worked out too."""
    quote: Quote = build_quote(*a_random_case(seed))
    for tier in quote.tiers:
        assert missing(quote, tier) == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_money_goes_down_to_cells(name: str) -> None:
    """With workbooks that were read, every number that is given names a cell or says why it has none."""
    quote = example_quote(name)
    for tier in quote.tiers:
        for tree in explain_priced(quote, tier):
            bare = [node for node in nodes(tree) if node.operation == "given" and not node.cells and node.number]
            allowed = ("nothing is said", "Counted in this tier", "pack of one", "time it comes round")
            assert [node for node in bare if not any(words in node.rule for words in allowed)] == []
