"""Photos of findings, made small and plain: turned upright, stripped of all metadata, at most 640 pixels a side.

A photo that is missing or cannot be read is a warning and no picture; the quote goes on without it.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterable, Mapping
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageOps

from quotekit.documents.sheet import Picture
from quotekit.model.job import Job
from quotekit.problems import Place, Problem, warning
from quotekit.workbook.photos_named import named_photos

_MOST_SIDE = 640
"""On paper a photo is 2 to 3 cm wide; this leaves enough to enlarge it on a screen."""
_MOST_PIXELS = 60_000_000
_MOST_BYTES = 60_000_000
_KINDS = ("JPEG", "PNG", "WEBP", "TIFF", "BMP", "GIF")
_REMEDY = "Put a JPEG or PNG photo of that name beside the job workbook, or empty the cell."


class _Refused(ValueError):
    """Why a file is not taken as a photo, in words."""


def read_photos(job: Job, folder: Path) -> tuple[Mapping[str, Picture], tuple[Problem, ...]]:
    """The photos that the job's findings name, by the name in the cell, and a warning for each that cannot be had."""
    pictures: dict[str, Picture] = {}
    problems: list[Problem] = []
    for name, place in named_photos(job):
        try:
            pictures[name] = _read(name, folder)
        except _Refused as refused:
            problems.append(_problem(name, place, str(refused)))
    return pictures, tuple(problems)


def photo_problems(named: Iterable[tuple[str, Place]], folder: Path) -> list[Problem]:
    """A warning for each photo that cannot be had, of photos by name and the cell that names them."""
    problems = []
    for name, place in named:
        try:
            _read(name, folder)
        except _Refused as refused:
            problems.append(_problem(name, place, str(refused)))
    return problems


def shrink(data: bytes) -> Picture:
    """One photo as it goes into the workbook; the same bytes in give the same bytes out."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        opened = _open(data)
        try:
            return _encoded(_upright(opened))
        except Exception as broken:  # a decoder may fail in any way on a broken file
            raise _Refused("the picture is broken and cannot be read to its end") from broken


def _read(name: str, folder: Path) -> Picture:
    if name in (".", "..") or any(mark in name for mark in "/\\\0:"):
        raise _Refused("the photo has a folder in its name, and photos are looked for beside the job workbook only")
    path = folder / name
    try:
        if not path.is_file():
            raise _Refused("there is no such file beside the job workbook")
        if path.stat().st_size > _MOST_BYTES:
            raise _Refused("the file is larger than 60 MB")
        return shrink(path.read_bytes())
    except OSError as failure:
        raise _Refused("the file cannot be opened") from failure


def _open(data: bytes) -> Image.Image:
    try:
        opened = Image.open(BytesIO(data), formats=_KINDS)
    except Exception as broken:  # a decoder may fail in any way on a broken file
        raise _Refused("the file is not a picture that can be read") from broken
    if opened.width * opened.height > _MOST_PIXELS:
        raise _Refused(f"the picture has {opened.width} x {opened.height} points, more than 60 million")
    return opened


def _upright(opened: Image.Image) -> Image.Image:
    """Shrunk, turned as the camera was held, in plain colours, on white where it was see-through."""
    opened.draft("RGB", (_MOST_SIDE, _MOST_SIDE))
    turned = ImageOps.exif_transpose(opened)
    turned.thumbnail((_MOST_SIDE, _MOST_SIDE), Image.Resampling.BICUBIC)
    seen = turned.convert("RGBA") if _see_through(turned) else turned.convert("RGB")
    plain = Image.new("RGB", seen.size, "white")
    plain.paste(seen, mask=seen if seen.mode == "RGBA" else None)
    return plain


def _see_through(picture: Image.Image) -> bool:
    return picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info


def _encoded(plain: Image.Image) -> Picture:
    """PNG where few colours make it a drawing, JPEG otherwise; both without any metadata."""
    stream = BytesIO()
    drawing = plain.getcolors(maxcolors=256) is not None
    if drawing:
        plain.save(stream, "PNG", optimize=False)
    else:
        plain.save(stream, "JPEG", quality=82, subsampling=2, optimize=False, progressive=False)
    return Picture(
        data=stream.getvalue(), width=plain.width, height=plain.height, extension="png" if drawing else "jpg"
    )


def _problem(name: str, place: Place, why: str) -> Problem:
    return warning(place, "photo-left-out", f"Photo {name} is left out: {why}.", _REMEDY, name)
