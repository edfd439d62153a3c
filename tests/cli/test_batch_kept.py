"""What is kept on the disk: found again, torn ends cut off, and nothing old taken for new."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.batch.kept_frames import NOT_KEPT, key_of
from quotekit.cli.batch_kept import Kept, kept_file, opened_kept

A, B = key_of("a"), key_of("b")


def test_what_was_put_is_found_by_another_run(tmp_path: Path) -> None:
    with opened_kept(tmp_path / "kept") as kept:
        spot = kept.put(A, b"first")
        kept.put(B, b"second")
        assert kept.packed(spot) == b"first"
    with opened_kept(tmp_path / "kept") as again:
        found = [again.find(key) for key in (A, B, key_of("c"))]
        assert [spot and again.packed(spot) for spot in found] == [b"first", b"second", None]


def test_what_may_not_be_kept_is_not_found(tmp_path: Path) -> None:
    """It is in the file, as every outcome is read from there, and no other run takes it."""
    with opened_kept(tmp_path / "kept") as kept:
        assert kept.packed(kept.put(NOT_KEPT, b"a fault")) == b"a fault"
    with opened_kept(tmp_path / "kept") as again:
        assert again.find(NOT_KEPT) is None


@pytest.mark.parametrize("cut", [1, 3, 30, 49])
def test_a_torn_end_is_written_over(tmp_path: Path, cut: int) -> None:
    """A run killed while it wrote: what is whole counts, and what follows is whole again."""
    path = tmp_path / "kept"
    with opened_kept(path) as kept:
        kept.put(A, b"first")
        kept.put(B, b"second")
    path.write_bytes(path.read_bytes()[:-cut])
    with opened_kept(path) as again:
        spot = again.find(A)
        assert spot is not None and again.packed(spot) == b"first"
        assert again.find(B) is None
        again.put(B, b"once more")
    with opened_kept(path) as third:
        spots = [third.find(key) for key in (A, B)]
        assert [third.packed(spot) for spot in spots if spot] == [b"first", b"once more"]


@pytest.mark.parametrize(
    "data", [b"", b"QK", b"\0" * 100, b"QK1\0\xff\xff\xff\xff\0\0\0\0", b"something of another program"]
)
def test_a_file_that_is_none_of_ours_is_begun_anew(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "kept"
    path.write_bytes(data)
    with opened_kept(path) as kept:
        assert kept.find(A) is None
        kept.put(A, b"first")
    with opened_kept(path) as again:
        assert again.find(A) is not None


def test_a_whole_run_leaves_what_it_used(tmp_path: Path) -> None:
    with opened_kept(tmp_path / "kept") as kept:
        kept.put(B, b"of the book before")
        used = [kept.put(A, b"first")]
        assert kept.holds_more_than(used)
        kept.write_only(used, tmp_path / "left")
    with opened_kept(tmp_path / "left") as left:
        assert left.find(B) is None
        spot = left.find(A)
        assert spot is not None and left.packed(spot) == b"first"
        assert not left.holds_more_than([spot])


def test_without_a_file_nothing_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with opened_kept(None) as kept:
        assert isinstance(kept, Kept)
        assert kept.packed(kept.put(A, b"first")) == b"first"
    assert list(tmp_path.iterdir()) == []


def test_two_folders_may_share_a_place_to_write(tmp_path: Path) -> None:
    names = {kept_file(tmp_path, tmp_path / name).name for name in ("north shop", "south shop")}
    assert names == {".quotekit batch north shop", ".quotekit batch south shop"}
