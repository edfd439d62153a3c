"""Random shops with access of several levels, and every work order of theirs looked over: `python -m ... many N SEED`.

python -m tests.pricing.work_order.many 5000
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from random import Random

from quotekit.model.shop_book import Caution, ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.agreed import agreed_of
from quotekit.pricing.work_order import build_work_order
from tests import build
from tests.pricing.work_order.recount import Recount
from tests.random_jobs import JobMaker

_WORDS = ("Fit", "Test", "Make safe", "Clean", "Check", "Pruefen")


class DeepShop(JobMaker):
    """A shop whose access lies several levels deep, with work on it that requires and includes other work."""

    def _draw_steps(self) -> None:
        codes: list[str] = []
        for n in range(self.random.randint(3, 10)):
            needs = self.some(codes[-3:], 2) if self.chance(85) else ()
            self.steps.append(
                build.a_step(
                    f"STEP-{n}",
                    self.tenths(0, 5),
                    self.tenths(0, 4),
                    needs=needs,
                    each_side=self.chance(40),
                    labour=self._labour(),
                    parts=self.quantities(self._part_codes(), 1),
                    cautions=self._cautions(),
                )
            )
            codes.append(f"STEP-{n}")

    def _draw_operations(self) -> None:
        names: list[str] = []
        for n in range(self.random.randint(5, 11)):
            self.operations.append(
                build.an_operation(
                    f"OP-{n}",
                    self.tenths(1, 15),
                    operation=f"{self.random.choice(_WORDS)} {n}",
                    each_side=self.chance(50),
                    labour=self._labour(),
                    parts=self.quantities(self._part_codes(), 1),
                    access=self.some([step.code for step in self.steps], 2),
                    requires=self.some(names, 2) if self.chance(50) else (),
                    includes=self.some(names, 2) if self.chance(20) else (),
                    slowed_by_rust=self.chance(50),
                    cautions=self._cautions(),
                )
            )
            names.append(f"OP-{n}")

    def _always(self) -> tuple[str, ...]:
        once = [operation.code for operation in self.operations if not self._is_sided([operation.code])]
        return tuple(self.some(once, 3))

    def _cautions(self) -> list[str]:
        return self.some(["FIRE", "PLUG", "BLOCK", "EYES"], 2)


def differences(seed: int) -> Iterator[str]:
    """What is wrong with the work orders of every option of one random job."""
    maker = DeepShop(Random(seed))
    book = _with_cautions(maker.book())
    job = maker.job(book)
    for tier in build_quote(book, job).tiers:
        if tier.items:
            agreed = agreed_of(book, job, tier)
            order = build_work_order(book, job, agreed)
            yield from (f"seed {seed}, {tier.code}: {one}" for one in Recount(book, job, agreed, order).differences())


def _with_cautions(book: ShopBook) -> ShopBook:
    from dataclasses import replace

    return replace(
        book, cautions={code: Caution(code=code, caution=code) for code in ("FIRE", "PLUG", "BLOCK", "EYES")}
    )


def main() -> None:
    """Look at many, and say what was found."""
    count, first = (int(word) for word in (*sys.argv[1:], "1000", "1")[:2])
    wrong = [one for seed in range(first, first + count) for one in differences(seed)]
    print(*wrong[:40], sep="\n")
    print(f"{count} jobs, {len(wrong)} differences")


if __name__ == "__main__":
    main()
