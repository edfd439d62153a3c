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

from collections.abc import Mapping
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
    found: Kind = _read(kind, value, kind.__name__)
    return found


def _read(kind: Any, value: JsonValue, where: str) -> Any:
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _read_optional(kind, value, where)
    if origin is Literal:
        return _one_of(get_args(kind), value, where)
    if origin is tuple:
        return _read_tuple(get_args(kind), _as(list, value, where), where)
    if origin is not None and issubclass(origin, Mapping):
        of = get_args(kind)[1]
        return {key: _read(of, one, f"{where}.{key}") for key, one in _as(dict, value, where).items()}
    if is_dataclass(kind):
        return _read_record(kind, _as(dict, value, where), where)
    return _read_plain(kind, value, where)


def _read_optional(kind: Any, value: JsonValue, where: str) -> Any:
    kinds = get_args(kind)
    if value is None and NoneType in kinds:
        return None
    return _read(next(one for one in kinds if one is not NoneType), value, where)


def _one_of(choices: tuple[object, ...], value: JsonValue, where: str) -> object:
    if value not in choices:
        raise UnreadableRecord(f"{where}: {value!r} is none of {', '.join(map(str, choices))}")
    return value


def _read_tuple(kinds: tuple[Any, ...], values: list[JsonValue], where: str) -> tuple[Any, ...]:
    if kinds[-1] is Ellipsis:
        return tuple(_read(kinds[0], one, f"{where}[{place}]") for place, one in enumerate(values))
    return tuple(_read(one, value, where) for one, value in zip(kinds, values, strict=True))


def _read_record(kind: Any, value: Mapping[str, JsonValue], where: str) -> Any:
    hints = _hints(kind)
    given: dict[str, Any] = {}
    for field in fields(kind):
        if field.name in value:
            given[field.name] = _read(hints[field.name], value[field.name], f"{where}.{field.name}")
        elif field.default is MISSING and field.default_factory is MISSING:
            raise UnreadableRecord(f"{where}.{field.name} is missing")
    return kind(**given)


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)


def _read_plain(kind: Any, value: JsonValue, where: str) -> Any:
    try:
        if kind is Decimal:
            return Decimal(_as(str, value, where))
        if kind is date:
            return date.fromisoformat(_as(str, value, where))
    except (InvalidOperation, ValueError) as fault:
        raise UnreadableRecord(f"{where}: {value!r} is no {kind.__name__}") from fault
    if kind is int and isinstance(value, bool):
        raise UnreadableRecord(f"{where}: {value!r} is no number")
    return _as(kind, value, where)


def _as(kind: type[Kind], value: JsonValue, where: str) -> Kind:
    if not isinstance(value, kind):
        raise UnreadableRecord(f"{where}: {value!r} is no {kind.__name__}")
    return value
