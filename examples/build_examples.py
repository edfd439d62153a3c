"""Writes the examples and the blank workbooks anew from the example data. Run it from anywhere:

python examples/build_examples.py

The photo is drawn only when it is asked for (`--photo`): picture libraries differ in the last byte.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from quotekit.workbook.new_books import write_demo_folder, write_templates_folder, write_tiny_folder

ROOT = Path(__file__).parents[1]
PHOTO = ROOT / "quotekit/example_data/worked_example/photos/2611-01 bushing left.jpg"
BUILT: dict[str, Callable[[Path], list[Path]]] = {
    "examples/worked example": write_demo_folder,
    "examples/tiny example": write_tiny_folder,
    "workbook_templates": write_templates_folder,
}
"""What is built, by folder."""


def build(root: Path = ROOT) -> list[Path]:
    """Replace the files of every built folder; others beside them, and the example's own templates, are left alone."""
    written = []
    for name, write in BUILT.items():
        folder = root / name
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory() as fresh:
            write(Path(fresh) / "files")
            for path in sorted(each for each in (Path(fresh) / "files").iterdir() if each.is_file()):
                written.append(Path(shutil.copyfile(path, folder / path.name)))
    return written


def draw_photo(path: Path = PHOTO) -> None:
    """An invented picture of a worn bushing: an egg-shaped hole with the round one it was drawn over it."""
    from PIL import Image, ImageDraw, ImageFilter

    picture = Image.new("RGB", (960, 720), "#6f6a63")
    draw = ImageDraw.Draw(picture)
    for step in range(0, 960, 24):
        draw.line((step, 0, step - 200, 720), fill="#68635d", width=7)
    draw.rounded_rectangle((170, 90, 790, 640), 60, fill="#8d8a86", outline="#4f4c48", width=6)
    for x, y in ((235, 155), (725, 155), (235, 575), (725, 575)):
        draw.ellipse((x - 26, y - 26, x + 26, y + 26), fill="#3b3835", outline="#55514d", width=5)
    draw.ellipse((285, 170, 675, 560), fill="#b08a4a", outline="#7c5f30", width=7)
    draw.ellipse((352, 246, 640, 494), fill="#231f1c")
    picture = picture.filter(ImageFilter.GaussianBlur(1.6))
    draw = ImageDraw.Draw(picture)
    draw.ellipse((360, 245, 600, 485), outline="#f4f1ea", width=4)
    draw.line((600, 365, 640, 365), fill="#f4f1ea", width=4)
    draw.line((640, 365, 730, 300), fill="#f4f1ea", width=3)
    draw.text((610, 262), "worn to 0.782 in", fill="#ffffff", font_size=30)
    draw.text((190, 660), "Left bushing. The white ring is the hole as new, 0.753 in.", fill="#ffffff", font_size=26)
    path.parent.mkdir(parents=True, exist_ok=True)
    picture.save(path, "JPEG", quality=82)


if __name__ == "__main__":
    if "--photo" in sys.argv[1:]:
        draw_photo()
    print("\n".join(str(path) for path in build()))
