"""Names by which people and programs pick: options by label, extras by the defined name of their cell.

A defined name is letters, digits, dots and underscores: `extra_BELT_4L` for BELT-4L, `extra_SEAL_left` for SEAL@left.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from quotekit.model.shop_book import Tier

_MOST = 200
_ODD = re.compile(r"[^\w.]")


def option_labels(tiers: Sequence[Tier]) -> list[str]:
    """Each option by the owner's name of it; by number too where that alone does not tell them apart."""
    names = [" ".join(tier.tier.split()) for tier in tiers]
    known = [name.casefold() for name in names]
    own = [{tier.code.casefold(), f"option {n + 1}"} for n, tier in enumerate(tiers)]
    taken = any(name in others for n, name in enumerate(known) for m, others in enumerate(own) if m != n)
    clear = len(set(known)) == len(known) and not taken and all(0 < len(name) < _MOST for name in names)
    return names if clear else [f"Option {n + 1}: {name[:_MOST]}" for n, name in enumerate(names)]


def defined_names(keys: Sequence[str]) -> dict[str, str]:
    """A valid name for each key, no two alike but for case.

    >>> defined_names(["BELT-4L", "BELT.4L", "SEAL@left front", "belt 4l"])["belt 4l"]
    'extra_belt_4l_2'
    """
    found: dict[str, str] = {}
    used: set[str] = set()
    for key in keys:
        start = name = "extra_" + _ODD.sub("_", key)[:_MOST]
        number = 1
        while name.casefold() in used:
            number += 1
            name = f"{start}_{number}"
        used.add(name.casefold())
        found[key] = name
    return found
