"""Paints the pages that README.md shows: `.venv/bin/python demo/pictures.py`, after a run of `tests/run.py`.

It makes its booklets anew, finds each page by its bookmark and paints it in few colours into `demo/pictures`.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pypdfium2

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "demo" / "pictures"
SHOP = ("--shop", "demo/shop.yaml")
MARIT = ("--body", "demo/bodies/marit.yaml", *SHOP)
BOOKLETS = {
    "top": ("make", "styles/top", *MARIT),
    "nest": ("make", "styles/top", "--sizes", "all", *SHOP),
    "blouse": ("make", "styles/blouse", *SHOP),
    "binder": ("binder", "styles", *SHOP),
}
WIDE = 780  # pixels
COLOURS = 48


@dataclass(frozen=True)
class Shown:
    """A picture of README.md: its booklet, and the bookmark of its page."""

    name: str
    booklet: str
    bookmark: str


PICTURES = (
    Shown("cover", "blouse", ""),
    Shown("chart", "top", "What to cut"),
    Shown("lay", "blouse", "Lay plans"),
    Shown("steps", "blouse", "8 Set the collar between the stands"),
    Shown("print", "top", "Before you print"),
    Shown("tile", "top", "B2"),
    Shown("nest", "nest", "B2"),
    Shown("binder", "binder", "Shop binder"),
)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        for booklet in BOOKLETS:
            paint(booklet, made(booklet, Path(folder) / f"{booklet}.pdf"))


def made(booklet: str, file: Path) -> Path:
    command = [sys.executable, "-m", "booklet", *BOOKLETS[booklet], "-o", str(file)]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    return file


def paint(booklet: str, file: Path) -> None:
    document = pypdfium2.PdfDocument(file)
    pages = {mark.get_title(): mark.get_dest().get_index() for mark in document.get_toc()}
    for shown in PICTURES:
        if shown.booklet == booklet:
            page = document[pages[shown.bookmark] if shown.bookmark else 0]
            picture = page.render(scale=WIDE / page.get_width()).to_pil().convert("RGB")
            target = OUT / f"{shown.name}.png"
            picture.quantize(COLOURS, dither=0).save(target, optimize=True)
            print(f"{target.relative_to(ROOT)}: {target.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
