"""Numbers that look drawn and are not: the same seed gives the same sequence, on every machine.

The digests of `seed|0`, `seed|1` and on give eight numbers of 32 bits each; a number at or above the largest multiple
of `below` is passed over, so that each outcome is as likely as every other.
Source: counter mode with SHA-256 (FIPS 180-4); rejection instead of a plain remainder is common practice, no source.

Example: the first number of the seed "season" below 6 is always the same one.
"""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from itertools import count

_BITS = 32
_BYTES = 4


def numbers_below(below: int, seed: str) -> Iterator[int]:
    """Whole numbers from 0 to below - 1, without end.

    >>> from itertools import islice
    >>> list(islice(numbers_below(6, "season"), 5)) == list(islice(numbers_below(6, "season"), 5))
    True
    """
    fair = 2**_BITS - 2**_BITS % below
    for block in count():
        digest = sha256(f"{seed}|{block}".encode()).digest()
        for start in range(0, len(digest), _BYTES):
            number = int.from_bytes(digest[start : start + _BYTES], "big")
            if number < fair:
                yield number % below
