"""The seal of an entry: one text for one value, every field in it, and any change breaks it."""

from __future__ import annotations

import hashlib
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.ledger.chain import START, Sealed, canonical_json, hash_of

FIRST = Sealed(
    seq=1,
    at="2026-11-28T12:55:13.123456Z",
    day="2026-11-28",
    who="Ida",
    why="",
    kind="noted",
    job="117",
    version=None,
    number=None,
    body='{"text":"the belt came"}',
    before=START,
)


def test_the_hash_by_hand() -> None:
    """Written down once, as another program would work it out: a JSON list of what is sealed, in its order."""
    text = (
        '[1,"2026-11-28T12:55:13.123456Z","2026-11-28","Ida","","noted","117",null,null,'
        '"{\\"text\\":\\"the belt came\\"}","' + "0" * 64 + '"]'
    )
    assert hash_of(FIRST) == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize("field", Sealed._fields)
def test_every_field_is_sealed(field: str) -> None:
    value = getattr(FIRST, field)
    changed = 2 if value is None or isinstance(value, int) else f"{value} "
    assert hash_of(FIRST._replace(**{field: changed})) != hash_of(FIRST)


def test_text_cannot_move_from_one_field_to_the_next() -> None:
    """`Ida` and nothing is not `Id` and `a`: fields are told apart."""
    assert hash_of(FIRST._replace(who="Id", why="a")) != hash_of(FIRST._replace(who="Ida", why=""))


def test_no_number_is_not_zero() -> None:
    assert hash_of(FIRST._replace(number=0)) != hash_of(FIRST)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ({"b": 1, "a": [True, None]}, '{"a":[true,null],"b":1}'),
        ({"ä": "€"}, '{"ä":"€"}'),
        ("\n\x00", '"\\n\\u0000"'),
        ([], "[]"),
    ],
)
def test_one_text_for_one_value(value: object, expected: str) -> None:
    assert canonical_json(value) == expected


@pytest.mark.parametrize("value", [float("nan"), float("inf"), Decimal("1"), object()])
def test_what_is_no_json_is_refused(value: object) -> None:
    with pytest.raises((ValueError, TypeError)):
        canonical_json(value)


@given(st.dictionaries(st.text(), st.integers() | st.text() | st.none(), max_size=6))
def test_the_order_of_keys_does_not_matter(value: dict[str, object]) -> None:
    assert canonical_json(dict(reversed(value.items()))) == canonical_json(value)
