"""A smaller run of `many_arguments`: the functions over the pipe are those of the engine, to the cent."""

from __future__ import annotations

from tests.addin.many_arguments import an_engine, compare

CALLS = 600


def test_functions_over_the_pipe_are_the_engines() -> None:
    """Random shops and arguments; every function is refused sometimes and has a figure sometimes; one process."""
    engine = an_engine()
    try:
        differences, seen = compare(engine, CALLS, seed=7)
    finally:
        engine.stop()
    assert differences == []
    assert seen["calls"] == CALLS and engine.starts == 1
    for name in ("SELLING_PRICE", "SHARED_HOURS", "TAX_ON", "REMEDY_PRICE"):
        assert seen[f"{name} with a figure"] > 20 and seen[f"{name} refused"] > 2
