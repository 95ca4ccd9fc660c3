"""Paints the pages that README.md shows: `.venv/bin/python demo/pictures.py`, after a run of `tests/run.py`.

It makes its booklets anew, finds each page by its bookmark or by words on it, and paints it in few colours into
`demo/pictures`. The phone is painted by a chromium browser; where there is none its picture stays as it is.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
from PIL import Image

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "demo" / "pictures"
SHOP = ("--shop", "demo/shop.yaml")
MARIT = ("--body", "demo/bodies/marit.yaml", *SHOP)
BOOKLETS = {
    "top": ("make", "styles/top", *MARIT),
    "nest": ("make", "styles/top", "--sizes", "all", *SHOP),
    "blouse": ("make", "styles/blouse", *SHOP),
    "binder": ("binder", "styles", *SHOP),
    "phone": ("make", "styles/blouse", *SHOP, "--also", "html"),
}
WIDE = 780  # pixels
SCREEN = (375, 760)  # pixels of a phone
# Where a screen begins: the heading with these words.
SCREENS = ("</h1>", "</span>Join the back to the yoke")
BROWSERS = ("chromium", "chromium-browser")
COLOURS = 128
FAR_APART = Image.Quantize.MAXCOVERAGE  # keeps few red strokes red on a white page


@dataclass(frozen=True)
class Shown:
    """A picture of README.md: its booklet, and the bookmark of its page; else words, of which the last page is meant."""

    name: str
    booklet: str
    bookmark: str = ""
    words: str = ""


PICTURES = (
    Shown("cover", "blouse"),
    Shown("chart", "top", "What to cut"),
    Shown("lay", "top", "Lay plans"),
    Shown("steps", "blouse", "8 Set the collar between the stands"),
    Shown("print", "top", "Before you print"),
    Shown("tile", "top", words="Front neck facing"),
    Shown("nest", "nest", words="Back neck facing"),
    Shown("binder", "binder", "Shop binder"),
    Shown("phone", "phone"),
)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        for booklet in BOOKLETS:
            file = made(booklet, Path(folder) / f"{booklet}.pdf")
            if booklet == "phone":
                paint_phone(file.with_suffix(".html"))
            else:
                paint_pages(booklet, file)


def made(booklet: str, file: Path) -> Path:
    command = [sys.executable, "-m", "booklet", *BOOKLETS[booklet], "-o", str(file)]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    return file


def paint_pages(booklet: str, file: Path) -> None:
    document = pypdfium2.PdfDocument(file)
    pages = {mark.get_title(): mark.get_dest().get_index() for mark in document.get_toc()}
    for shown in PICTURES:
        if shown.booklet == booklet:
            number = pages[shown.bookmark] if shown.bookmark else 0
            if shown.words:
                number = max(n for n, page in enumerate(document) if shown.words in words_of(page))
            page = document[number]
            keep(shown.name, page.render(scale=WIDE / page.get_width()).to_pil())


def words_of(page: pypdfium2.PdfPage) -> str:
    return " ".join(page.get_textpage().get_text_range().split())


def paint_phone(file: Path) -> None:
    """Two screens side by side."""
    browser = next((path for path in map(shutil.which, BROWSERS) if path), None)
    if browser is None:
        print("demo/pictures/phone.png stays as it is: it takes a chromium browser.")
        return
    both = Image.new("RGB", (WIDE, SCREEN[1]), "#B8B3AB")
    head, _, body = file.read_text(encoding="utf-8").partition("<body>")
    for n, words in enumerate(SCREENS):
        page, target = file.with_name(f"screen-{n}.html"), file.with_name(f"screen-{n}.png")
        begins = body.rindex("<h", 0, body.index(words))
        page.write_text(f"{head}<body>{body[begins:]}", encoding="utf-8")
        size = f"--window-size={SCREEN[0]},{SCREEN[1]}"
        flags = ["--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", size]
        subprocess.run(
            [browser, *flags, f"--screenshot={target}", page.as_uri()], check=True, capture_output=True
        )
        with Image.open(target) as screen:
            both.paste(screen.crop((0, 0, *SCREEN)), (n * (WIDE - SCREEN[0]), 0))
    keep("phone", both)


def keep(name: str, picture: Image.Image) -> None:
    target = OUT / f"{name}.png"
    picture.convert("RGB").quantize(COLOURS, FAR_APART, dither=0).save(target, optimize=True)
    print(f"{target.relative_to(ROOT)}: {target.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
