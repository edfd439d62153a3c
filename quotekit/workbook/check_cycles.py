"""Loops in the shop book: access that needs itself, work that requires or includes itself, parts that lead back.

Each loop is one problem, at its first row, printed whole: A -> B -> A.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple

from quotekit.model.shop_book import Part, ShopBook
from quotekit.model.source import Source
from quotekit.problems import Problem, error


class Links(NamedTuple):
    """Which codes each code leads to, by one column of one sheet."""

    column: str
    verb: str
    to: Mapping[str, tuple[str, ...]]
    sources: Mapping[str, Source]


def check_cycles(book: ShopBook) -> list[Problem]:
    """Every loop of every kind."""
    return _cycles(_work_links(book)) + check_part_loops(book)


def check_part_loops(book: ShopBook) -> list[Problem]:
    """Loops of parts alone, and kits inside kits."""
    return _cycles(_part_links(book)) + _kits_in_kits(book)


def _cycles(all_links: Iterable[Links]) -> list[Problem]:
    return [_cycle(links, loop) for links in all_links for loop in find_loops(links.to)]


def _work_links(book: ShopBook) -> list[Links]:
    access, work = book.access.values(), book.operations.values()
    return [
        Links("Needs", "needs", {step.code: step.needs for step in access}, _sources(access)),
        Links("Includes", "includes", {each.code: each.includes for each in work}, _sources(work)),
        Links("Requires", "requires", {each.code: each.requires for each in work}, _sources(work)),
    ]


def _part_links(book: ShopBook) -> list[Links]:
    parts = book.parts.values()
    return [
        Links(
            "Replaced by",
            "is replaced by",
            {part.code: (part.replaced_by,) for part in parts if part.replaced_by is not None},
            _sources(parts),
        ),
        Links("Also needs", "also needs", companions(book.parts), _sources(parts)),
    ]


def _sources(records: Iterable[object]) -> dict[str, Source]:
    return {getattr(record, "code"): getattr(record, "source") for record in records}  # noqa: B009


def companions(parts: Mapping[str, Part]) -> dict[str, tuple[str, ...]]:
    """What each part also needs, read from the parts that stand at the end of their supersessions."""
    return {
        part.code: tuple(final_part(parts, also.code) for also in part.also_needs)
        for part in parts.values()
        if part.also_needs and part.replaced_by is None
    }


def final_part(parts: Mapping[str, Part], code: str) -> str:
    """The part at the end of a supersession; a loop ends where it closes.

    >>> final_part({}, "SEAL-19")
    'SEAL-19'
    """
    seen = {code}
    while code in parts and (after := parts[code].replaced_by) is not None and after not in seen:
        seen.add(after)
        code = after
    return code


def find_loops(to: Mapping[str, tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Loops of a graph, each closed and starting at its first code in order; codes share at most one.

    >>> find_loops({"A": ("B",), "B": ("C", "A"), "C": ()})
    [('A', 'B', 'A')]
    """
    done: set[str] = set()
    loops = []
    for start in to:
        path: list[str] = []
        on_path: dict[str, int] = {}
        waiting: list[Callable[[], str | None]] = []
        _step_into(start, to, path, on_path, waiting, done)
        while waiting:
            after = waiting[-1]()
            if after is None:
                waiting.pop()
                done.add(path[-1])
                del on_path[path.pop()]
            elif after in on_path:
                loops.append(_from_first(tuple(path[on_path[after] :]), to))
            else:
                _step_into(after, to, path, on_path, waiting, done)
    return list(dict.fromkeys(loops))


def _step_into(
    code: str,
    to: Mapping[str, tuple[str, ...]],
    path: list[str],
    on_path: dict[str, int],
    waiting: list[Callable[[], str | None]],
    done: set[str],
) -> None:
    if code in done or code not in to:
        return
    on_path[code] = len(path)
    path.append(code)
    following = iter(to[code])
    waiting.append(lambda: next(following, None))


def _from_first(loop: tuple[str, ...], to: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    order = {code: index for index, code in enumerate(to)} if len(loop) > 1 else {}
    start = min(range(len(loop)), key=lambda index: order.get(loop[index], 0))
    turned = loop[start:] + loop[:start]
    return (*turned, turned[0])


def _cycle(links: Links, loop: tuple[str, ...]) -> Problem:
    shown = " -> ".join(loop)
    return error(
        links.sources[loop[0]].place(links.column),
        "cycle",
        f"{loop[0]} {links.verb} itself: {shown}",
        f"Take one of these codes out of {links.column}.",
        "; ".join(links.to[loop[0]]),
    )


def _kits_in_kits(book: ShopBook) -> list[Problem]:
    """A kit that holds a kit: what it contains could not be taken off."""
    problems = []
    for part in book.parts.values():
        for content in part.contains:
            final = final_part(book.parts, content.code)
            if final in book.parts and book.parts[final].contains:
                problems.append(
                    error(
                        part.source.place("Contains"),
                        "kit-in-kit",
                        f"the kit {part.code} contains {content.code}, which is a kit itself",
                        f"List the parts of {final} in its place.",
                        content.code,
                    )
                )
    return problems
