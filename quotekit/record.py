"""Frozen keyword-only records: `@record` stands for `@dataclass(frozen=True, kw_only=True)` and is quick to declare.

A dataclass compiles six functions for each class; over the records of this package that takes longer than reading a
workbook. Records share theirs. `dataclasses.replace` and `fields` work on them, and a type checker sees dataclasses.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from operator import attrgetter
from typing import Any, NamedTuple, NoReturn, TypeVar, dataclass_transform

Kind = TypeVar("Kind")
_set = object.__setattr__


class _Declared(NamedTuple):
    """What the shared functions know of one class."""

    names: frozenset[str]
    defaults: Mapping[str, Any]
    factories: tuple[tuple[str, Callable[[], Any]], ...]
    required: frozenset[str]
    compared: Callable[[object], Any]


@dataclass_transform(kw_only_default=True, frozen_default=True, field_specifiers=(field,))
def record(kind: type[Kind]) -> type[Kind]:
    """A class of annotated fields as a frozen record: equal by value, and its fields given by name.

    >>> @record
    ... class Length:
    ...     value: int
    ...     unit: str = "mm"
    >>> Length(value=3), Length(value=3) == Length(value=3, unit="mm"), Length(value=3) == 3
    (Length(value=3, unit='mm'), True, False)
    >>> Length(unit="in")
    Traceback (most recent call last):
    TypeError: Length: value is missing
    """
    declared = _as_dataclass(kind)
    for name, function in _SHARED.items():
        if name == "__init__" or name not in vars(kind):
            setattr(declared, name, function)
    declared._declared = _declared(declared)
    return kind


def _as_dataclass(kind: type) -> Any:
    """The class with its fields; annotations are put aside meanwhile, which spares a search in the text of each.

    A record therefore has no class variables among its annotations.
    """
    annotations = vars(kind).get("__annotations__", {})
    kind.__annotations__ = dict.fromkeys(annotations, object)
    found: Any = dataclass(kw_only=True, init=False, repr=False, eq=False)(kind)
    kind.__annotations__ = annotations
    for name, annotation in annotations.items():
        found.__dataclass_fields__[name].type = annotation
    return found


def _declared(kind: Any) -> _Declared:
    known = fields(kind)
    compared = [one.name for one in known if one.compare]
    names = frozenset(one.name for one in known)
    defaults = {one.name: one.default for one in known if one.default is not MISSING}
    factories = tuple((one.name, one.default_factory) for one in known if one.default_factory is not MISSING)
    return _Declared(
        names=names,
        defaults=defaults,
        factories=factories,
        required=names - defaults.keys() - dict(factories).keys(),
        compared=attrgetter(*compared) if compared else lambda one: (),
    )


def _init(self: Any, /, **values: Any) -> None:
    names, defaults, factories, required, _ = self._declared
    given = {**defaults, **values}
    for name, make in factories:
        if name not in given:
            given[name] = make()
    if len(given) != len(names) or not required <= given.keys():
        raise TypeError(_wrong_names(self, given))
    _set(self, "__dict__", given)


def _wrong_names(one: Any, given: Mapping[str, Any]) -> str:
    missing = [known.name for known in fields(one) if known.name not in given]
    unknown = [name for name in given if name not in one._declared.names]
    kind = type(one).__name__
    return f"{kind}: {', '.join(missing)} is missing" if missing else f"{kind} has no field {', '.join(unknown)}"


def _repr(self: Any) -> str:
    shown = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in fields(self) if one.repr)
    return f"{type(self).__qualname__.rpartition('.')[2]}({shown})"


def _eq(self: Any, other: Any) -> Any:
    if type(self) is not type(other):
        return NotImplemented
    compared = self._declared.compared
    return compared(self) == compared(other)


def _hash(self: Any) -> int:
    return hash(self._declared.compared(self))


def _refuse(self: Any, name: str, *_: object) -> NoReturn:
    raise FrozenInstanceError(f"cannot change {name!r} of a record")


_SHARED: dict[str, Callable[..., Any]] = {
    "__init__": _init,
    "__repr__": _repr,
    "__eq__": _eq,
    "__hash__": _hash,
    "__setattr__": _refuse,
    "__delattr__": _refuse,
}
