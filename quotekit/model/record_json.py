"""Records as JSON values and back, so that what was recorded years ago can still be read.

Decimals become text with every digit, dates ISO text, tuples lists, records objects by field name.
A field that has its default may be missing in the JSON, and a field that is no longer known is passed over: a record
may gain and lose fields without a change of what was written before.

>>> from quotekit.model.entries import Paid
>>> to_json(Paid(amount=Decimal("60.00"), purpose="deposit", how="cash"))
{'amount': '60.00', 'purpose': 'deposit', 'how': 'cash'}
>>> from_json(Paid, {"amount": "60.00", "purpose": "deposit", "how": "cash"}).amount
Decimal('60.00')
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

Kind = TypeVar("Kind")
JsonValue = Any
"""None, a bool, an int, a text, a list or an object of these."""


class UnreadableRecord(ValueError):
    """JSON that is not of the record it should be; the message names the field."""


def to_json(value: object) -> JsonValue:
    """A record, or a value of one, as JSON. Raises TypeError for a float or anything else that is not of records."""
    if value is None or isinstance(value, (bool, int, str)):
        return value
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (tuple, list)):
        return [to_json(one) for one in value]
    if isinstance(value, Mapping):
        return {str(key): to_json(one) for key, one in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_json(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"{type(value).__name__} is no value of a record")


def from_json(kind: type[Kind], value: JsonValue) -> Kind:
    """The record of a kind that `to_json` wrote. Raises UnreadableRecord where it is not one."""
    try:
        found: Kind = _reader(kind)(value)  # type: ignore[arg-type]
    except _Unreadable as fault:
        raise UnreadableRecord(f"{kind.__name__}{fault.where}{fault.why}") from fault
    return found


class _Unreadable(Exception):
    """What is wrong, and where within the record: each reader on the way out puts its own step before it."""

    def __init__(self, why: str, *, stop: str = ": ") -> None:
        self.why, self.where = f"{stop}{why}", ""

    def below(self, step: str) -> _Unreadable:
        self.where = f"{step}{self.where}"
        return self


Reader = Callable[[JsonValue], Any]


@cache
def _reader(kind: Any) -> Reader:
    """The function that reads a kind: made once, since a year of quotes holds a million values."""
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _optional(get_args(kind))
    if origin is Literal:
        return _one_of(get_args(kind))
    if origin is tuple:
        return _tuple(get_args(kind))
    if origin is not None and issubclass(origin, Mapping):
        return _mapping(get_args(kind)[1])
    return _record(kind) if is_dataclass(kind) else _plain(kind)


def _optional(kinds: tuple[Any, ...]) -> Reader:
    read = _reader(next(one for one in kinds if one is not NoneType))
    return lambda value: None if value is None and NoneType in kinds else read(value)


def _one_of(choices: tuple[object, ...]) -> Reader:
    def read(value: JsonValue) -> object:
        if value not in choices:
            raise _Unreadable(f"{value!r} is none of {', '.join(map(str, choices))}")
        return value

    return read


def _tuple(kinds: tuple[Any, ...]) -> Reader:
    readers = [_reader(one) for one in kinds if one is not Ellipsis]
    endless = kinds[-1] is Ellipsis

    def read(value: JsonValue) -> tuple[Any, ...]:
        values, found = _as(list, value), []
        if not endless and len(values) != len(readers):
            raise _Unreadable(f"{len(values)} values for {len(readers)}")
        for place, one in enumerate(values):
            try:
                found.append((readers[0] if endless else readers[place])(one))
            except _Unreadable as fault:
                raise fault.below(f"[{place}]") from None
        return tuple(found)

    return read


def _mapping(kind: Any) -> Reader:
    inner = _reader(kind)

    def read(value: JsonValue) -> dict[str, Any]:
        found = {}
        for key, one in _as(dict, value).items():
            try:
                found[key] = inner(one)
            except _Unreadable as fault:
                raise fault.below(f".{key}") from None
        return found

    return read


def _record(kind: Any) -> Reader:
    hints = get_type_hints(kind)
    readers = [(field.name, _reader(hints[field.name])) for field in fields(kind)]
    required = {field.name for field in fields(kind) if field.default is MISSING and field.default_factory is MISSING}

    def read(value: JsonValue) -> Any:
        held, given = _as(dict, value), {}
        for name, inner in readers:
            if name in held:
                try:
                    given[name] = inner(held[name])
                except _Unreadable as fault:
                    raise fault.below(f".{name}") from None
            elif name in required:
                raise _Unreadable(f".{name} is missing", stop="")
        return kind(**given)

    return read


def _plain(kind: Any) -> Reader:
    if kind is Decimal:
        return lambda value: _made(Decimal, value, kind)
    if kind is date:
        return lambda value: _made(date.fromisoformat, value, kind)
    if kind is int:
        return _whole
    return lambda value: _as(kind, value)


def _made(make: Callable[[str], Any], value: JsonValue, kind: Any) -> Any:
    try:
        return make(_as(str, value))
    except (InvalidOperation, ValueError) as fault:
        raise _Unreadable(f"{value!r} is no {kind.__name__}") from fault


def _whole(value: JsonValue) -> int:
    if isinstance(value, bool):
        raise _Unreadable(f"{value!r} is no number")
    return _as(int, value)


def _as(kind: type[Kind], value: JsonValue) -> Kind:
    if not isinstance(value, kind):
        raise _Unreadable(f"{value!r} is no {kind.__name__}")
    return value
