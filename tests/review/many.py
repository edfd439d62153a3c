"""How often a review finds planted times, and how often it finds what was not planted.

`python -m tests.review.many [SEASONS] [FIRST SEED]` makes seasons (200 unless told, from seed 1), reviews each and
prints the detection rate, the false findings, and how far the proposed times are from the true ones.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from quotekit.model.review import Review
from quotekit.pricing.review.review import Kept, review_of
from tests.review.season import RUST, YEAR, Season, a_season


@dataclass
class Tally:
    """What many reviews found."""

    seasons: int = 0
    planted: int = 0
    found: int = 0
    wrong: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)
    seasons_with_wrong: int = 0
    off: list[float] = field(default_factory=list)
    """How far the proposed time is from the true one, as a share of the true one."""
    held: int = 0
    """Planted times whose true ratio lies in the interval."""

    def add(self, seed: int, season: Season, review: Review) -> None:
        """One season."""
        got = found_times(review)
        self.seasons += 1
        self.planted += len(season.planted)
        self.found += len(got & season.planted.keys())
        self.missed += [f"seed {seed}: {code}" for _, code in sorted(season.planted.keys() - got)]
        wrong = [f"seed {seed}: {code}" for _, code in sorted(got - season.planted.keys())]
        self.wrong += wrong
        self.seasons_with_wrong += bool(wrong)
        for proposal in review.proposals:
            truth = season.planted.get((proposal.kind, proposal.code))
            if truth is not None:
                self.off.append(abs(float(proposal.shrunk) / truth - 1))
        for row in review.accuracy:
            truth = season.planted.get((row.kind, row.code))
            if truth is not None and row.circumstance == "usual":
                self.held += row.low <= Decimal(truth) <= row.high

    def lines(self) -> Iterable[str]:
        """In words."""
        yield f"{self.seasons} seasons, {self.planted} planted times"
        yield f"found {self.found} ({self.found / self.planted:.1%}), missed {len(self.missed)}"
        yield f"found without being planted {len(self.wrong)}, in {self.seasons_with_wrong} seasons"
        yield f"true ratio within the interval: {self.held} of {self.planted} ({self.held / self.planted:.1%})"
        if self.off:
            yield f"proposed ratio off the true one by {sum(self.off) / len(self.off):.1%} on average"
        yield from self.wrong
        yield from (f"missed {one}" for one in self.missed)


def found_times(review: Review) -> set[tuple[str, str]]:
    """Operations and steps that are proposed."""
    return {(one.kind, one.code) for one in review.proposals if one.kind != "condition"}


def tally(seasons: int, first: int = 1) -> Tally:
    """Review seasons with seeds one after the other."""
    found = Tally()
    for seed in range(first, first + seasons):
        season = a_season(seed)
        found.add(seed, season, review_of(Kept(stories=season.stories), YEAR))
    return found


if __name__ == "__main__":
    arguments = [int(text) for text in sys.argv[1:]]
    print(f"rust really adds {RUST - 1:.0%}")
    print("\n".join(tally(*(arguments or [200])).lines()))
