"""What a change alters besides money."""

from __future__ import annotations

import pytest

from quotekit.pricing.consent.beside_money import exchanged, is_later
from quotekit.pricing.consent.changes import changes_of
from tests.pricing.consent.made import a_part_agreed, an_agreed, an_item


@pytest.mark.parametrize(
    ("agreed", "now", "later"),
    [(3, 9, True), (3, 3, False), (9, 3, False), (3, None, True), (None, 9, False), (None, None, False), (0, 1, True)],
)
def test_a_later_day(agreed: int | None, now: int | None, later: bool) -> None:
    """A day that is no longer known is later than one that was promised; where none was promised none is late."""
    assert is_later(an_agreed(ready_days=agreed), an_agreed(ready_days=now)) is later


@pytest.mark.parametrize(
    ("now", "codes"),
    [
        ([a_part_agreed("BELT")], []),
        ([a_part_agreed("BELT", "2", "11.00")], []),
        ([a_part_agreed("BELT", new_or_used="used")], ["BELT"]),
        ([a_part_agreed("BELT", name="Belt of another make")], ["BELT"]),
        ([a_part_agreed("BELT"), a_part_agreed("SEAL")], []),
        ([a_part_agreed("SEAL")], ["BELT"]),
        ([], ["BELT"]),
    ],
)
def test_a_part_in_the_place_of_another(now: list[object], codes: list[str]) -> None:
    """More of a part, or a dearer one, is a matter of money; one more part is told on the sheet."""
    before = an_agreed(parts=(a_part_agreed("BELT"),))
    found = exchanged(changes_of(before, an_agreed(parts=tuple(now))))
    assert [change.before and change.before.part for change in found] == codes


def test_a_part_that_went_with_its_work_is_no_exchange() -> None:
    """The work that went is told, not its parts one by one."""
    before = an_agreed(items=(an_item("BELT"), an_item("CAP")), parts=(a_part_agreed("BELT"),))
    assert exchanged(changes_of(before, an_agreed(items=(an_item("CAP"),)))) == ()
