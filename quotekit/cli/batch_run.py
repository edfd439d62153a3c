"""A run over a folder: what is kept already, what is due, and every outcome in the order of file names."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Generator, Iterator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from quotekit.cli.batch_files import bytes_of
from quotekit.cli.batch_work import program_digest

if TYPE_CHECKING:
    from quotekit.batch.in_order import InOrder
    from quotekit.batch.outcome import Outcome, Result, Task
    from quotekit.batch.price_job import BookRead
    from quotekit.cli.batch_kept import Kept, Spot


class Engine(Protocol):
    """Who prices: processes of this computer, or a cluster."""

    def run(self, tasks: Iterator[Task], total: int) -> Generator[Result, None, None]:
        """Every task's result, as they are ready."""
        ...


def engine_of(options: argparse.Namespace, read: BookRead) -> Engine:
    """The cluster that was named, else processes of this computer, one a core."""
    if options.cluster is not None:
        from quotekit.cli.batch_cluster import Cluster

        return Cluster(read, options.cluster, most=options.workers)
    from quotekit.cli.batch_pool import Pool, usable_cores

    return Pool(read, options.workers or usable_cores())


class Run:
    """The jobs of a folder under a shop book, in the order of their names."""

    def __init__(self, folder: Path, names: list[str], read: BookRead, kept: Kept) -> None:
        self.folder, self.names, self._read, self._kept = folder, names, read, kept
        self._keys: dict[int, bytes] = {}
        self._before: set[bytes] = set()
        self.known = 0
        """How many jobs were kept by an earlier run, as far as this one has come."""
        self.used: list[Spot] = []
        """What this run used and another may use, as far as it has come."""

    def outcomes(self, engine: Engine, done: Callable[[], None]) -> Generator[Outcome, None, None]:
        """Every outcome, in order; `done` is called as each workbook is finished, in any order. Raises OSError."""
        from quotekit.batch.in_order import InOrder
        from quotekit.batch.kept_frames import NOT_KEPT

        order: InOrder[Spot] = InOrder()
        with closing(engine.run(self._due(order, done), len(self.names))) as results:
            for number, packed, keep in results:
                key = self._keys.pop(number)
                order.put(number, self._kept.put(key if keep else NOT_KEPT, packed))
                done()
                yield from self._told(order)
        yield from self._told(order)

    def _told(self, order: InOrder[Spot]) -> Iterator[Outcome]:
        from quotekit.batch.kept_frames import NOT_KEPT
        from quotekit.batch.outcome import unpack

        for spot in order.ready():
            outcome = unpack(self._kept.packed(spot))
            if spot.key != NOT_KEPT:
                self.used.append(spot)
                self.known += outcome.kind == "job" and spot.key in self._before
            yield outcome

    def _due(self, order: InOrder[Spot], done: Callable[[], None]) -> Iterator[Task]:
        """What is to be priced; what is known, or can't be read, goes into the order at once."""
        from quotekit.batch.kept_frames import NOT_KEPT
        from quotekit.batch.outcome import Task, pack
        from quotekit.batch.price_job import refused
        from quotekit.cli.inputs import file_sha256

        for number, name in enumerate(self.names):
            held = bytes_of(self.folder / name)
            if isinstance(held, list):
                told = refused(self._read, name, held, sha256=file_sha256(self.folder / name))
                order.put(number, self._kept.put(NOT_KEPT, pack(told)))
                done()
                continue
            data, sha = held
            key = self._key(name, sha)
            spot = self._kept.find(key)
            if spot is None:
                self._keys[number] = key
                yield Task(number, name, data)
            else:
                self._before.add(key)
                order.put(number, spot)
                done()

    def _key(self, name: str, sha: str) -> bytes:
        """Of everything that an outcome hangs on; without a shop book nothing is kept."""
        from quotekit.batch.kept_frames import NOT_KEPT, key_of

        read = self._read
        if read.book is None or read.sha256 is None:
            return NOT_KEPT
        return key_of(program_digest(), read.book.file, read.sha256, name, sha)
