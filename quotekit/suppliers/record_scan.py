"""Where the records of a delimited list begin and end, and how many fields each has, before any library splits it.

The library that reads lists quickly drops fields that are too many and joins lines where quotes are not as they should
be, without a word. So the bytes are looked at first: quotes must open after a separator or a line end and close before
one (RFC 4180, `""` within), and each record's separators outside quotes are counted. Records that have as many as the
table are left to the library; all others are read one by one; where quotes are wrong, the whole list is.

Each kind of mark becomes a row of bits, one for each byte, 64 to a word, and all else is worked out on the words:
whether a byte stands between quotes is the parity of the quotes before it (shifts and exclusive or), what stands beside
a quote is a shift by one, separators are counted by the bits set, and a line end's place is that of its bit.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from quotekit.record import record

if TYPE_CHECKING:
    import numpy

_BLOCK = 1 << 20
_QUOTE, _LINE_END, _RETURN = 34, 10, 13


@record
class Scanned:
    """Where each record ends (the place after its line end), its separators, all lines; whether quotes are `sound`."""

    ends: Any
    separators: Any
    lines: int
    sound: bool

    @property
    def count(self) -> int:
        """How many records there are."""
        return int(self.ends.size)

    @property
    def lines_within(self) -> int:
        """Line ends within quotes."""
        return self.lines - self.count


def scan_records(data: bytes, separator: str, *, quoted: bool = True) -> Scanned:
    """Every record of UTF-8 bytes. Without `quoted` a quote is a character like any other."""
    import numpy as np

    whole = np.frombuffer(data, np.uint8)
    ends: list[Any] = [np.empty(0, np.int64)]
    counts: list[Any] = [np.empty(0, np.int64)]
    waiting = lines = inside = 0
    quoted = quoted and b'"' in data
    returns = quoted and b"\r" in data
    for start in range(0, whole.size, _BLOCK):
        block = whole[start : start + _BLOCK]
        line_ends = _words(block == _LINE_END)
        separators = _words(block == ord(separator))
        if quoted:
            quotes = _words(block == _QUOTE)
            if inside or quotes.any():
                returned = _words(block == _RETURN) if returns else None
                marks = _Marks(quotes=quotes, line_ends=line_ends, separators=separators, returns=returned)
                between = _between_quotes(quotes, inside)
                if not _sound(whole, start, block.size, marks, between, ord(separator)):
                    return _unsound()
                outside = ~between
                lines += int(_bits_set(line_ends & between).sum())
                separators = separators & outside
                line_ends = line_ends & outside
                inside = int(between[-1] >> np.uint64(63))
        places = _places(line_ends)
        lines += places.size
        before, together = _set_before(separators, places)
        if places.size:
            counts.append(np.diff(before, prepend=-waiting))
            ends.append(places + (start + 1))
            waiting = together - int(before[-1])
        else:
            waiting += together
    if inside:
        return _unsound()
    if whole.size and whole[-1] != _LINE_END:
        ends, counts, lines = [*ends, np.array([whole.size])], [*counts, np.array([waiting])], lines + 1
    return Scanned(ends=np.concatenate(ends), separators=np.concatenate(counts), lines=lines, sound=True)


def _unsound() -> Scanned:
    import numpy as np

    nothing = np.empty(0, np.int64)
    return Scanned(ends=nothing, separators=nothing, lines=0, sound=False)


def _words(marks: Any) -> Any:
    """A bit for each byte, the first the lowest, 64 to a word."""
    import numpy as np

    bits = np.packbits(marks, bitorder="little")
    if bits.size % 8:
        bits = np.concatenate((bits, np.zeros(-bits.size % 8, np.uint8)))
    return bits.view("<u8")


def _places(words: Any) -> Any:
    """The places of the bits set, ascending: the lowest of each word, then the next lowest of those that have more."""
    import numpy as np

    at = np.flatnonzero(words)
    left = words[at]
    counts = _bits_set(left)
    if not at.size or int(counts.max()) == 1:
        return (at << 6) + _bits_set(left - np.uint64(1))
    if 3 * at.size < 2 * int(counts.sum(dtype=np.int64)):  # short lines: quicker byte by byte
        return np.flatnonzero(np.unpackbits(words.view(np.uint8), bitorder="little").view(bool))
    firsts = np.cumsum(counts, dtype=np.int64) - counts
    places = np.repeat(at << 6, counts)
    nth = 0
    while firsts.size:
        places[firsts + nth] += _bits_set(~left & (left - np.uint64(1)))
        left = left & (left - np.uint64(1))
        more = np.flatnonzero(left)
        firsts, left = firsts[more], left[more]
        nth += 1
    return places


def _between_quotes(quotes: Any, inside: int) -> Any:
    """For each byte whether an odd number of quotes stands up to it: an opening quote is in, a closing one is not."""
    import numpy as np

    words = quotes.copy()
    for shift in (1, 2, 4, 8, 16, 32):
        words ^= words << np.uint64(shift)
    odd = np.bitwise_xor.accumulate((words >> np.uint64(63)).astype(np.uint8))
    before = np.concatenate(([0], odd[:-1])) ^ inside
    return np.where(before.astype(bool), ~words, words)


def _set_before(words: Any, places: Any) -> tuple[Any, int]:
    """How many bits are set before each place, and in all."""
    import numpy as np

    counted = _bits_set(words)
    upto = np.cumsum(counted, dtype=np.int64)
    at = places >> 6
    below = (np.uint64(1) << (places & 63).astype(np.uint64)) - np.uint64(1)
    return upto[at] - counted[at] + _bits_set(words[at] & below), int(upto[-1]) if upto.size else 0


def _bits_set(words: Any) -> Any:
    """How many bits of each word are set."""
    import numpy as np

    if hasattr(np, "bitwise_count"):
        return np.bitwise_count(words)
    return np.unpackbits(words.view(np.uint8).reshape(-1, 8), axis=1).sum(axis=1)  # numpy before 2.0


@record
class _Marks:
    """The marks of a block, wherever they stand; no `returns` where the list has none."""

    quotes: Any
    line_ends: Any
    separators: Any
    returns: Any


def _sound(whole: Any, start: int, size: int, marks: _Marks, between: Any, separator: int) -> bool:
    """Whether each quote opens after a separator or line end and closes before one."""
    import numpy as np

    one, last = np.uint64(1), np.uint64(63)
    edges = marks.quotes | marks.line_ends | marks.separators
    after_edge = edges << one
    after_edge[1:] |= edges[:-1] >> last
    known = (separator, _LINE_END, _QUOTE)
    if not start or whole[start - 1] in known:
        after_edge[0] |= one
    if (marks.quotes & between & ~after_edge).any():
        return False
    if marks.returns is not None:
        edges = edges | (marks.returns & _before(marks.line_ends, size, _is(whole, start + size)))
    follows = _before(edges, size, _ends_a_field(whole, start + size, known))
    return not (marks.quotes & ~between & ~follows).any()


def _before(words: Any, size: int, next_one: bool) -> Any:
    """The bits of the bytes before those that are set; `next_one` says whether the byte behind the block is."""
    import numpy as np

    shifted = words >> np.uint64(1)
    shifted[:-1] |= words[1:] << np.uint64(63)
    if next_one:
        shifted[-1] |= np.uint64(1) << np.uint64((size - 1) % 64)
    return shifted


def _is(whole: Any, place: int) -> bool:
    """Whether a line ends there; behind the last byte it does."""
    return place >= whole.size or bool(whole[place] == _LINE_END)


def _ends_a_field(whole: Any, place: int, known: tuple[int, ...]) -> bool:
    """Whether a closing quote may stand before this place."""
    if place >= whole.size or whole[place] in known:
        return True
    return bool(whole[place] == _RETURN) and _is(whole, place + 1)


def records_at(data: bytes, scanned: Scanned, places: numpy.ndarray) -> Iterator[bytes]:
    """The bytes of some records, without their line ends."""
    for place in places.tolist():
        start = int(scanned.ends[place - 1]) if place else 0
        yield data[start : int(scanned.ends[place])].rstrip(b"\r\n")
