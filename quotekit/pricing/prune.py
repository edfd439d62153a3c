"""Leave out choices that cannot win, where that is exact."""

from __future__ import annotations

from collections.abc import Sequence

from quotekit.model.shop_book import Tier
from quotekit.pricing.covers import Cover
from quotekit.pricing.setup import Setup


def keep_undominated(setup: Setup, tier: Tier, sets: Sequence[tuple[Cover, ...]]) -> list[tuple[Cover, ...]]:
    """The covers of each group that no other cover of the group beats whatever the other groups take."""
    return list(sets)
