"""Pages of a shop's own PDF: turned, cut to a box, larger than the paper; and files that cannot be taken in."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from helpers.readers import remarks
from pypdf import PdfReader, PdfWriter
from pypdf.generic import RectangleObject
from reportlab.pdfgen.canvas import Canvas

from booklet.drawing.display import Drawing
from booklet.drawing.page import PageSpec
from booklet.printing.pdf import pdf_bytes
from booklet.printing.weave import weave
from booklet.problems import Fault, Where
from booklet.reading.packs import count_pages

HERE = Where("packs/own.yaml", 4)
EMPTY = Drawing(210.0, 297.0, ())


def one_page(folder: Path, wide: float = 300, high: float = 500) -> Path:
    """A page with a red square of 40 points in its lower left corner."""
    path = folder / "plain.pdf"
    canvas = Canvas(str(path), pagesize=(wide, high))
    canvas.setFillColorRGB(1, 0, 0)
    canvas.rect(0, 0, 40, 40, stroke=0, fill=1)
    canvas.showPage()
    canvas.save()
    return path


def changed(path: Path, turn: int = 0, box: tuple[float, float, float, float] | None = None) -> Path:
    writer = PdfWriter()
    page = writer.add_page(PdfReader(path).pages[0])
    if box is not None:
        page.cropbox = RectangleObject(box)
    if turn:
        page.rotate(turn)
    writer.write(path.with_name("changed.pdf"))
    return path.with_name("changed.pdf")


def red(file: Path, out: Path) -> tuple[float, float, float, float]:
    """The box of what is red once the page is woven in, in points from the paper's top left."""
    page = PageSpec(EMPTY, "1", woven=(file.as_posix(), 0))
    out.write_bytes(weave(pdf_bytes([page], title="own"), [page]))
    assert remarks(out) == []
    document = pypdfium2.PdfDocument(out)
    seen = np.asarray(document[0].render(scale=1.0).to_pil().convert("RGB")).astype(int)
    document.close()
    y, x = np.nonzero((seen[:, :, 0] > 200) & (seen[:, :, 1] < 90))
    return float(x.min()), float(y.min()), float(x.max() + 1), float(y.max() + 1)


WIDE, HIGH = 210 / 25.4 * 72, 297 / 25.4 * 72


@pytest.mark.parametrize(
    ("turn", "corner"), [(0, (0, 1)), (90, (0, 0)), (180, (1, 0)), (270, (1, 1))]
)  # of the page as a reader shows it: across, down
def test_a_turned_page_stands_as_readers_show_it(turn: int, corner: tuple[int, int], tmp_path: Path) -> None:
    file = changed(one_page(tmp_path), turn)
    x0, y0, x1, y1 = red(file, tmp_path / "out.pdf")
    wide, high = (500, 300) if turn % 180 else (300, 500)
    left, top = (WIDE - wide) / 2 + corner[0] * (wide - 40), (HIGH - high) / 2 + corner[1] * (high - 40)
    assert (x0, y0, x1, y1) == pytest.approx((left, top, left + 40, top + 40), abs=2.0)


def test_a_page_larger_than_the_paper_is_made_smaller_and_whole(tmp_path: Path) -> None:
    box = red(one_page(tmp_path, 1190, 842), tmp_path / "out.pdf")
    scale = WIDE / 1190
    foot = HIGH / 2 + 421 * scale
    assert box == pytest.approx((0, foot - 40 * scale, 40 * scale, foot), abs=2.0)


def test_only_what_a_page_shows_is_taken(tmp_path: Path) -> None:
    """The page is cut to a box that begins in the middle of the square."""
    file = changed(one_page(tmp_path), 0, (20, 20, 220, 320))
    left, foot = (WIDE - 200) / 2, (HIGH + 300) / 2
    assert red(file, tmp_path / "out.pdf") == pytest.approx((left, foot - 20, left + 20, foot), abs=2.0)


def test_pages_that_cannot_be_taken_in_are_told_at_the_pack_s_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plain = one_page(tmp_path)
    bad: dict[str, tuple[bytes | None, str]] = {
        "none.pdf": (None, "cannot be read: no such file"),
        "junk.pdf": (b"hello", "is no PDF that can be read"),
        "void.pdf": (b"", "is no PDF that can be read"),
        "half.pdf": (plain.read_bytes()[:400], "is no PDF that can be read"),
    }
    for name, (data, _) in bad.items():
        if data is not None:
            (tmp_path / name).write_bytes(data)
    for name, user in (("locked.pdf", "secret"), ("guarded.pdf", "")):
        writer = PdfWriter()
        writer.add_page(PdfReader(plain).pages[0])
        writer.encrypt(user, "owner", algorithm="RC4-128")
        writer.write(tmp_path / name)
        bad[name] = (b"", "is locked with a password. Save it without.")
    writer = PdfWriter()
    writer.write(tmp_path / "pageless.pdf")
    bad["pageless.pdf"] = (b"", "has 0 pages")
    flat = changed(plain, 0, (0, 0, 0, 0))
    bad[flat.name] = (b"", "has a page 1 without a size")
    for name, (_, said) in bad.items():
        with pytest.raises(Fault) as caught:
            count_pages(tmp_path / name, HERE)
        (problem,) = caught.value.problems
        assert problem.where == HERE and said in problem.sentence(), name
    assert capsys.readouterr() == ("", "")  # a library's own remarks are not for a pattern maker
