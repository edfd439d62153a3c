"""The door to polars, which reads large lists: asked for only when a list is read, and told where it is missing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quotekit.problems import Place, Problem, error

if TYPE_CHECKING:
    pass


class NoDataframes(Exception):
    """polars is not installed; `problem` says what to do."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def dataframes() -> Any:
    """The library itself. Raises NoDataframes, which the command line tells like any other problem."""
    try:
        import polars
    except ImportError as missing:
        raise NoDataframes(
            error(
                Place(""),
                "no-polars",
                "Price lists are read with polars, and it is not installed.",
                "Install it beside quotekit: pip install 'quotekit[prices]'.",
            )
        ) from missing
    return polars
