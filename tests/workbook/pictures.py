"""Invented photos, made on the spot."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from PIL import Image


def a_picture(width: int, height: int) -> Image.Image:
    """A colour ramp with a red corner at its top left, so that a turn can be seen."""
    across = Image.linear_gradient("L").resize((width, height))
    down = across.transpose(Image.Transpose.ROTATE_90).resize((width, height))
    shown = Image.merge("RGB", (Image.new("L", (width, height), 20), across, down))
    shown.paste((250, 10, 10), (0, 0, width // 4, height // 4))
    return shown


def a_photo(width: int, height: int, kind: str = "JPEG", **saving: Any) -> bytes:
    """The same, encoded."""
    stream = BytesIO()
    a_picture(width, height).save(stream, kind, **saving)
    return stream.getvalue()
