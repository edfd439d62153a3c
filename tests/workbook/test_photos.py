"""Photos of findings: small, upright, without metadata; what cannot be read is a warning and no picture."""

from __future__ import annotations

import struct
import zlib
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from quotekit.model.job import Job
from quotekit.model.source import Source
from quotekit.workbook.photos import read_photos, shrink
from tests.documents import quotes
from tests.workbook.pictures import a_photo, a_picture

SECRET = "Canary camera, 59.91 N 10.75 E"
SOURCE = Source(file="job.xlsx", sheet="Findings", row=5, columns={"Photo": "J"})


def job(name: str) -> Job:
    """A job whose two findings show the same photo."""
    found = replace(quotes.FINDINGS[0], photo=name, source=SOURCE)
    return quotes.job((found, replace(found, side="right")))


def opened(data: bytes) -> Image.Image:
    """A picture, decoded."""
    picture = Image.open(BytesIO(data))
    picture.load()
    return picture


@pytest.mark.parametrize(
    ("size", "expected"), [((3200, 1600), (640, 320)), ((480, 1440), (213, 640)), ((80, 60), (80, 60))]
)
def test_a_photo_is_shrunk_and_never_enlarged(size: tuple[int, int], expected: tuple[int, int]) -> None:
    shown = shrink(a_photo(*size))
    assert (shown.width, shown.height) == opened(shown.data).size == expected


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_it_is_turned_as_the_camera_was_held(orientation: int) -> None:
    """The red corner ends where the camera says the top left of the scene is."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    shown = shrink(a_photo(400, 200, exif=exif))
    corner = {1: (10, 10), 3: (390, 190), 6: (190, 10), 8: (10, 390)}[orientation]
    red, green, _ = opened(shown.data).convert("RGB").getpixel(corner)  # type: ignore[misc]
    assert red > 200 > 100 > green
    assert (shown.width, shown.height) == ((400, 200) if orientation in (1, 3) else (200, 400))


def test_no_metadata_is_left() -> None:
    exif = Image.Exif()
    exif[0x010F] = SECRET
    data = a_photo(300, 200, exif=exif, comment=SECRET.encode(), icc_profile=SECRET.encode(), dpi=(300, 300))
    assert SECRET.encode() in data
    shown = shrink(data)
    assert SECRET.encode() not in shown.data and b"Exif" not in shown.data
    assert set(opened(shown.data).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_a_drawing_stays_a_drawing() -> None:
    """Few colours, sharp edges: PNG; what is see-through lies on white."""
    stream = BytesIO()
    drawing = Image.new("RGBA", (60, 40), (0, 0, 0, 0))
    drawing.paste((0, 0, 200, 255), (0, 0, 20, 20))
    drawing.save(stream, "PNG")
    shown = shrink(stream.getvalue())
    assert shown.extension == "png"
    assert opened(shown.data).getpixel((50, 30)) == (255, 255, 255)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "BMP", "WEBP", "TIFF"])
def test_the_same_photo_gives_the_same_bytes(kind: str) -> None:
    data = a_photo(500, 400, kind)
    assert shrink(data) == shrink(data)


@pytest.mark.parametrize("mode", ["L", "P", "1", "CMYK", "I;16", "LA", "RGBA"])
def test_every_kind_of_colour_becomes_plain(mode: str) -> None:
    stream = BytesIO()
    kind = "TIFF" if mode == "CMYK" else "PNG"
    grey = a_picture(50, 40).convert("L")
    shown = grey.convert("I").convert("I;16") if mode == "I;16" else a_picture(50, 40).convert(mode)
    shown.save(stream, kind)
    assert opened(shrink(stream.getvalue()).data).mode == "RGB"


def test_photos_are_read_once_by_name(tmp_path: Path) -> None:
    (tmp_path / "bushing.jpg").write_bytes(a_photo(300, 200))
    pictures, problems = read_photos(job("bushing.jpg"), tmp_path)
    assert list(pictures) == ["bushing.jpg"] and problems == ()


def bomb() -> bytes:
    """A PNG of a few bytes that says it is 40,000 points square."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = chunk(b"IHDR", struct.pack(">IIBBBBB", 40_000, 40_000, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", zlib.compress(b"\0")) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", "not a picture"),
        (b"hello", "not a picture"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not a picture"),
        (a_photo(400, 300)[:2000], "broken"),
        (a_photo(400, 300, "PNG")[:900], "broken"),
        (bomb(), "more than 60 million|not a picture"),
    ],
)
def test_what_is_no_picture_is_a_warning(data: bytes, expected: str, tmp_path: Path) -> None:
    (tmp_path / "bushing.jpg").write_bytes(data)
    pictures, problems = read_photos(job("bushing.jpg"), tmp_path)
    assert pictures == {}
    assert len(problems) == 1
    assert any(part in problems[0].message for part in expected.split("|"))


def test_the_warning_names_the_cell_its_text_and_what_to_do(tmp_path: Path) -> None:
    (problem,) = read_photos(job("gone.jpg"), tmp_path)[1]
    assert (problem.code, problem.severity, problem.text) == ("photo-left-out", "warning", "gone.jpg")
    assert str(problem.place) == "job.xlsx:Findings!J5"
    assert problem.message == "Photo gone.jpg is left out: there is no such file beside the job workbook."
    assert "JPEG or PNG" in problem.remedy


@pytest.mark.parametrize("name", ["../bushing.jpg", "/etc/hostname", "a\\b.jpg", "c:x.jpg", "..", "."])
def test_only_files_beside_the_job_are_looked_at(name: str, tmp_path: Path) -> None:
    (tmp_path / "bushing.jpg").write_bytes(a_photo(40, 30))
    inner = tmp_path / "inner"
    inner.mkdir()
    pictures, problems = read_photos(job(name), inner)
    assert pictures == {} and len(problems) == 1
