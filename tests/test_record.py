"""Records: what a frozen keyword-only dataclass does, without compiling a function for each."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, field, fields, is_dataclass, replace

import pytest

from quotekit.record import record


@record
class Finding:
    """A finding with a default, a made default and a field that does not count."""

    code: str
    note: str = ""
    sides: list[str] = field(default_factory=list)
    seen: int = field(default=0, compare=False)


@record
class Measured(Finding):
    """A record made of another."""

    value: int


def test_defaults_fill_in_and_made_ones_are_made_anew() -> None:
    first, second = Finding(code="A"), Finding(code="B")
    assert (first.note, first.sides, first.seen) == ("", [], 0)
    assert first.sides is not second.sides


def test_equal_by_value_and_hashed_alike_but_not_across_classes() -> None:
    assert Finding(code="A", seen=1) == Finding(code="A", seen=2)
    assert Finding(code="A") != Finding(code="B")
    assert Measured(code="A", value=1) != Finding(code="A")
    assert Finding(code="A") != object()

    @record
    class Key:
        code: str

    assert {Key(code="A"): 1}[Key(code="A")] == 1


def test_nothing_of_a_record_changes() -> None:
    one = Finding(code="A")
    with pytest.raises(FrozenInstanceError):
        one.code = "B"  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError):
        del one.code
    assert replace(one, code="B") == Finding(code="B")
    assert one.code == "A"


def test_every_field_by_its_name_and_no_other() -> None:
    with pytest.raises(TypeError, match="Measured: code, value is missing"):
        Measured()  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="Finding has no field cost"):
        Finding(code="A", cost=1)  # type: ignore[call-arg]
    with pytest.raises(TypeError):
        Finding("A")  # type: ignore[call-arg]


def test_a_record_shows_its_fields() -> None:
    assert repr(Measured(code="A", value=3)) == "Measured(code='A', note='', sides=[], seen=0, value=3)"


def test_records_are_dataclasses_to_others() -> None:
    assert is_dataclass(Measured)
    assert [one.name for one in fields(Measured)] == ["code", "note", "sides", "seen", "value"]


def test_a_record_without_fields_and_one_with_its_own_text() -> None:
    @record
    class Nothing:
        def __repr__(self) -> str:
            return "nothing"

    assert Nothing() == Nothing()
    assert repr(Nothing()) == "nothing"


def test_fields_keep_their_annotations() -> None:
    """They are put aside while the class is made, and are there again for whoever looks."""
    assert Finding.__annotations__ == {"code": "str", "note": "str", "sides": "list[str]", "seen": "int"}
    assert Measured.__annotations__ == {"value": "int"}
    assert [one.type for one in fields(Measured)] == ["str", "str", "list[str]", "int", "int"]


def test_a_wrong_name_in_place_of_a_right_one_is_seen() -> None:
    """As many fields as there should be, and yet not these."""
    with pytest.raises(TypeError, match="Finding: code is missing"):
        Finding(coda="A")  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="Finding has no field coda"):
        Finding(code="A", coda="A")  # type: ignore[call-arg]


def test_two_records_share_nothing() -> None:
    """Each holds its own fields, also where both are made of one mapping."""
    values = {"code": "A", "note": "n"}
    first, second = Finding(**values), Finding(**values)  # type: ignore[arg-type]
    assert vars(first) is not vars(second) and vars(first) is not values
    assert first == second and vars(Finding(code="A")) is not Finding._declared.defaults  # type: ignore[attr-defined]
