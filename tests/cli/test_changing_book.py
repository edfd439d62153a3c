"""What a command that was stopped half way leaves, and how the next one mends it; two commands at once."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.cli import changing_book
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Unchanged
from quotekit.workbook.in_place import replace_file
from tests.cli import small_shop
from tests.cli.price_shop import DEARER, KEPT, ON, Shop, change

D = Decimal
ROOT = Path(__file__).parents[2]


class Stopped(BaseException):
    """As a power cut: nothing after it runs."""


def stop(*_: object) -> None:
    """In place of a step."""
    raise Stopped


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop with seven sheets."""
    return Shop(tmp_path / "shop")


def stopped_before_the_file(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The entry is there, the file is the old one."""
    with monkeypatch.context() as patch:
        patch.setattr(replace_file.Ready, "take_place", stop)
        with pytest.raises(Stopped):
            shop.apply()


def stopped_after_the_file(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file is the new one, and nothing says so."""
    with monkeypatch.context() as patch:
        patch.setattr(changing_book, "_written", stop)
        with pytest.raises(Stopped):
            shop.apply()


def test_stopped_before_the_file(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same command again tells that it never reached the book, and does it."""
    stopped_before_the_file(shop, monkeypatch)
    assert (shop.digest(), [one.state for one in shop.changes()]) == (shop.made_from, ["begun"])
    found = shop.apply()
    assert (found.code, found.codes, found.json["change"]) == (0, ["change-stopped-half-way"], 2)
    assert "never reached the workbook" in found.json["problems"][0]["message"]
    assert [one.kind for one in shop.entries()] == ["changed", "unchanged", "changed", "written"]
    assert shop.entries()[1].told(Unchanged) == Unchanged(of=1, reason="stopped half way")
    assert [one.state for one in shop.changes()] == ["not made", "made"]
    assert shop.undo("--change", "1").codes == ["undone-already"]
    assert shop.undo().json["undoes"] == 2 and shop.digest() == shop.made_from


def test_stopped_after_the_file(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same command again tells that the book has it; no second change is made."""
    stopped_after_the_file(shop, monkeypatch)
    found = shop.apply()
    assert (found.code, found.codes, found.json["change"]) == (0, ["change-stopped-half-way"], None)
    assert "the workbook has it" in found.json["problems"][0]["message"]
    assert [one.kind for one in shop.entries()] == ["changed", "written"]
    assert shop.undo().json["whole"] is True and shop.digest() == shop.made_from


def test_undo_mends_too(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """It takes back what was made, also where nothing said so yet."""
    stopped_after_the_file(shop, monkeypatch)
    found = shop.undo()
    assert (found.code, found.codes) == (0, ["change-stopped-half-way"])
    assert shop.digest() == shop.made_from


def test_an_undo_that_was_stopped(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    shop.apply()
    with monkeypatch.context() as patch:
        patch.setattr(changing_book, "_written", stop)
        with pytest.raises(Stopped):
            shop.undo()
    found = shop.undo()
    assert (found.code, found.codes, found.json["undoes"], found.json["change"]) == (
        0, ["change-stopped-half-way"], 1, 2,
    )  # fmt: skip
    assert found.json["whole"] is True and shop.digest() == shop.made_from
    assert [(one.state, one.stands) for one in shop.changes()] == [("made", False), ("made", True)]
    assert shop.undo().codes == ["nothing-to-undo"]


def test_an_undo_that_was_stopped_takes_no_second_change_back(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run again it tells that it is done; only once more run it takes back the change before."""
    shop.apply()
    shop.apply([change("pack cost", "D4", D(15), D(16), part="SEAL")])
    for words in ((), ("--change", "1")):
        with monkeypatch.context() as patch:
            patch.setattr(changing_book, "_written", stop)
            with pytest.raises(Stopped):
                shop.undo(*words)
        before = shop.book.read_bytes()
        assert shop.undo(*words).json["undoes"] == (1 if words else 2)
        assert shop.book.read_bytes() == before
    assert shop.digest() == shop.made_from


@pytest.mark.parametrize("made", [True, False])
def test_the_owner_saved_before_it_was_mended(made: bool, shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The cells tell: the file is made whole or not at all."""
    (stopped_after_the_file if made else stopped_before_the_file)(shop, monkeypatch)
    sheets = small_shop.shop_book()
    sheets["Parts"][2][3] = 21.25 if made else 19.5
    sheets["Operations"][1][2] = 0.7
    shop.write(sheets)
    shop.undo()
    assert next(one.state for one in shop.changes()) == ("made" if made else "not made")


def test_a_book_that_is_no_workbook_any_more(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """What can't be read has no change in it."""
    stopped_after_the_file(shop, monkeypatch)
    shop.book.write_bytes(b"words")
    assert shop.undo().codes == ["change-stopped-half-way", "nothing-to-undo"]


def test_a_disk_that_refuses_the_rename(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The old file stays, the ledger says that it was not made, and nothing hidden is left."""

    def refused(*_: object) -> None:
        raise OSError(28, "No space left on device")

    replace = os.replace
    monkeypatch.setattr(os, "replace", lambda *names: refused() if str(names[1]) == str(shop.book) else replace(*names))
    found = shop.apply()
    assert found.code == 3 and "No space left" in found.err
    assert (shop.digest(), [one.state for one in shop.changes()]) == (shop.made_from, ["not made"])
    assert shop.left() == ["proposals.xlsx", KEPT, "shop book.xlsx"]


def test_a_disk_that_refuses_before(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The copy can't be written: nothing is recorded."""

    def refused(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(replace_file, "_write", refused)
        assert shop.apply().code == 3
    assert shop.digest() == shop.made_from and shop.entries() == []


def test_a_rename_that_was_made_all_the_same(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk refuses only to wait for the folder: the file has it, and the next command says so."""

    def refused(*_: object) -> None:
        raise OSError(5, "Input/output error")

    take_place = replace_file.Ready.take_place

    def then_refused(ready: replace_file.Ready) -> None:
        take_place(ready)
        refused()

    with monkeypatch.context() as patch:
        patch.setattr(replace_file.Ready, "take_place", then_refused)
        assert shop.apply().code == 3
    assert [one.state for one in shop.changes()] == ["begun"]
    assert shop.apply().codes == ["change-stopped-half-way"]
    assert [one.state for one in shop.changes()] == ["made"]


def _save(shop: Shop) -> None:
    sheets = small_shop.shop_book()
    sheets["Operations"][1][2] = 0.7
    shop.write(sheets)


def _open(shop: Shop) -> None:
    (shop.folder / ".~lock.shop book.xlsx#").write_bytes(b"")


@pytest.mark.parametrize(
    ("meanwhile", "code"), [(_save, "file-changed"), (_open, "output-open"), (None, "file-changed")]
)
def test_what_happens_while_results_are_worked_out(
    meanwhile: Callable[[Shop], None] | None, code: str, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The owner saves, opens or moves the book away: it is refused, and nothing was recorded."""
    make = changing_book.make_change

    def late(*given: object) -> object:
        (meanwhile or (lambda of: of.book.unlink()))(shop)
        return make(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(changing_book, "make_change", late)
    if meanwhile is None:
        monkeypatch.setattr(replace_file, "_like", lambda *_: None)
    found = shop.apply()
    assert (found.code, found.codes) == (3 if code == "output-open" else 1, [code])
    assert shop.entries() == []


def test_the_last_look_is_at_the_rename(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Saved after the entry was made: the ledger says that the change never reached the book."""
    draft = changing_book._record

    def late(*given: object) -> object:
        entry = draft(*given)  # type: ignore[arg-type]
        if entry.kind == "changed":
            _save(shop)
        return entry

    monkeypatch.setattr(changing_book, "_record", late)
    found = shop.apply()
    assert (found.code, found.codes) == (1, ["file-changed"])
    assert [one.state for one in shop.changes()] == ["not made"]
    assert shop.cell("D3") == 19.5 and shop.cell("C2", "Operations") == 0.7


ONE_OF_MANY = """
import sys
from decimal import Decimal
from pathlib import Path
from unittest import mock
from quotekit.cli.main import main
from tests.cli.price_shop import READER, Shop, change
folder, made_from, new = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
ticks = [change("pack cost", "D3", Decimal("19.5"), Decimal(new))]
shop = Shop.__new__(Shop)
shop.folder, shop.book, shop.made_from = folder, folder / "shop book.xlsx", made_from
with mock.patch(READER, lambda path: (shop.ticked(ticks), [])):
    sys.exit(main(["prices", "apply", str(shop.book), str(folder / "proposals.xlsx"), "--json"]))
"""


def test_two_and_more_at_once(shop: Shop) -> None:
    """Of six with prices of their own one is first; the others are refused or told, and nothing is recorded twice."""
    with open_ledger(shop.ledger):
        pass
    words = [sys.executable, "-c", ONE_OF_MANY, str(shop.folder), shop.made_from]
    runs = [
        subprocess.Popen([*words, str(20 + number)], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        for number in range(6)
    ]
    told = [(run.communicate(timeout=300), run.returncode) for run in runs]
    assert sorted(code for _, code in told) == [0, 1, 1, 1, 1, 1], told
    (made,) = [one for one in shop.changes() if one.state == "made"]
    assert shop.digest() == made.body.file.after
    assert shop.cell("D3") == float(made.body.file.cells[0].new.text)
    assert shop.left() == ["proposals.xlsx", shop.left()[1], "shop book.xlsx"]


def test_the_same_twice_at_once(shop: Shop) -> None:
    words = [sys.executable, "-c", ONE_OF_MANY, str(shop.folder), shop.made_from, "21"]
    runs = [subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) for _ in range(4)]
    told = [(run.communicate(timeout=300), run.returncode) for run in runs]
    assert {code for _, code in told} <= {0, 1, 3}, told  # 3: the file changed while another thought it out
    assert [one.state for one in shop.changes()] == ["made"] and shop.cell("D3") == 21


def test_an_earlier_change_of_another_book_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two shop books with one ledger: each command mends what is of its own."""
    ledger = str(tmp_path / "one ledger.db")
    first, second = Shop(tmp_path / "a"), Shop(tmp_path / "b")
    second.book = second.book.rename(second.folder / "other book.xlsx")
    second.write({**small_shop.shop_book(), "Cautions": [["Code", "Caution"], ["C", "Mind"]]})
    second.made_from = second.digest()
    with monkeypatch.context() as patch:
        patch.setattr(replace_file.Ready, "take_place", stop)
        with pytest.raises(Stopped):
            first.apply(DEARER, "--ledger", ledger)
    assert second.apply(DEARER, "--ledger", ledger).codes == []
    assert first.undo("--ledger", ledger).codes == ["change-stopped-half-way", "nothing-to-undo"]


def test_who_and_why(shop: Shop) -> None:
    """The ledger keeps who did it, on which day, and why."""
    shop.apply([change("pack cost", "D3", D("19.5"), D(20))], "--because", "the list of 2027")
    entry = shop.entries()[0]
    assert (entry.who, entry.why, entry.day.isoformat()) == (ON[3], "the list of 2027", ON[1])


def test_two_shops_with_one_ledger(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both call their book the same: each takes back its own change, and neither mends what the other left."""
    ledger = ("--ledger", str(tmp_path / "both ledger.db"))
    first, second = Shop(tmp_path / "a"), Shop(tmp_path / "b")
    second.write({**small_shop.shop_book(), "Cautions": [["Code", "Caution"], ["C", "Mind"]]})
    second.made_from = second.digest()
    assert [shop.apply(DEARER, *ledger).json["change"] for shop in (first, second)] == [1, 2]
    with monkeypatch.context() as patch:
        patch.setattr(replace_file.Ready, "take_place", stop)
        with pytest.raises(Stopped):
            second.apply([change("pack cost", "D4", D(15), D(16), part="SEAL")], *ledger)
    assert first.undo(*ledger).codes == [] and first.digest() == first.made_from
    found = second.undo(*ledger)
    assert (found.codes, found.json["undoes"], second.digest()) == (["change-stopped-half-way"], 2, second.made_from)
