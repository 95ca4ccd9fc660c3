"""The finished PDF, read by other people's parsers and renderers."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path as FilePath

import numpy as np
import pikepdf
import pypdfium2 as pdfium
import pytest
from helpers.page_paths import paths_of

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing, Group, box_path
from booklet.drawing.page import Bookmark, PageSpec
from booklet.paths import Path, Placement
from booklet.printing.pdf import pdf_bytes, write_pdf_pages
from booklet.problems import Fault

TURNED = Placement.rotation(0.5).then(Placement.move(60 + 150j))


def sample() -> list[PageSpec]:
    """Two pages: squares and words; one form placed three times, once mirrored, once on a layer."""
    first = Board()
    first.box(20, 20, 100, 100, look.CUT, role="square")
    first.text(30, 40, "Sew 10\u00a0mm \u2013 \u1ecd\u0301 AVA \u00bd \u2702", 10, 600)
    first.text(150, 60, "turned", 10, angle_deg=-90)
    first.path(box_path(130, 80, 30, 20), look.CUT, look.INTERFACING, "cut")
    first.path(box_path(130, 110, 30, 20), look.CUT, look.LINING, "cut")
    scene = Board()
    scene.path(Path.polyline([0j, 30 + 0j, 30 + 10j], True), look.CUT, look.RIGHT_SIDE, "cut")
    scene.text(5, 4, "form", 8)
    items = tuple(scene.items)
    second = Board()
    second.group(items, Placement.move(10 + 10j), name="scene")
    second.group(items, TURNED, name="scene", layer="Size 38 \u00bd")
    second.group(items, Placement(1 + 0j, 100 + 200j, True), name="scene")
    second.group(items, Placement.move(100 + 100j), clip=box_path(5, -1, 10, 20))
    return [
        PageSpec(first.drawing(210, 297), "i", (Bookmark("Start \u1ecd"), Bookmark("Below", 1, 100))),
        PageSpec(second.drawing(215.9, 279.4), "B2", (Bookmark("Far", 3),)),
    ]


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> FilePath:
    out = tmp_path_factory.mktemp("pdf") / "sample.pdf"
    write_pdf_pages(sample(), out, title="Ro\u00fcnd top", author="Tern & Thimble", language="en-GB")
    return out


def test_a_square_reads_back_true_from_the_content(file: FilePath) -> None:
    with pikepdf.open(file) as pdf:
        assert pdf.check_pdf_syntax() == []
        square = paths_of(pdf.pages[0])[0]
        assert [float(v) for v in pdf.pages[0].MediaBox] == pytest.approx(
            [0, 0, 595.2756, 841.8898], abs=1e-3
        )
        assert [float(v) for v in pdf.pages[1].MediaBox] == pytest.approx([0, 0, 612, 792], abs=1e-3)
    xs = [z.real for z in square.subpaths[0]]
    ys = [z.imag for z in square.subpaths[0]]
    assert (min(xs), max(xs), min(ys), max(ys)) == pytest.approx((20, 120, 20, 120), abs=0.001)


def test_a_square_renders_true_within_a_pixel(file: FilePath) -> None:
    page = pdfium.PdfDocument(file)[0]
    scale = 300 / 72
    grey = np.asarray(page.render(scale=scale).to_pil().convert("L"))
    mm = (210 / grey.shape[1], 297 / grey.shape[0])
    row = grey[round(70 / mm[1]), : round(125 / mm[0])]
    dark = np.flatnonzero(row < 128)
    left, right = dark[dark < 600].mean(), dark[dark > 600].mean()
    assert (right - left) * mm[0] == pytest.approx(100, abs=25.4 / 300)


def test_a_form_is_written_once_and_placed_where_its_groups_lie(file: FilePath) -> None:
    with pikepdf.open(file) as pdf:
        forms = [o for o in pdf.objects if isinstance(o, pikepdf.Stream) and o.get("/Subtype") == "/Form"]
        assert len(forms) == 1
        found = [d for d in paths_of(pdf.pages[1]) if d.operator == "B*"]
    expected = [
        Placement.move(10 + 10j),
        TURNED,
        Placement(1 + 0j, 100 + 200j, True),
        Placement.move(100 + 100j),
    ]
    for drawn, placement in zip(found, expected, strict=True):
        for got, point in zip(drawn.subpaths[0], (0j, 30 + 0j, 30 + 10j), strict=False):
            assert abs(got - placement.apply(point)) < 0.001
    assert found[-1].clips == (
        (pytest.approx(105), pytest.approx(99), pytest.approx(115), pytest.approx(119)),
    )


def test_the_catalogue_says_what_it_must(file: FilePath) -> None:
    with pikepdf.open(file) as pdf:
        root = pdf.Root
        assert root.ViewerPreferences.PrintScaling == "/None"
        assert root.ViewerPreferences.DisplayDocTitle
        assert str(root.Lang) == "en-GB"
        assert str(pdf.docinfo.Title) == "Ro\u00fcnd top" and str(pdf.docinfo.Author) == "Tern & Thimble"
        assert [p.label for p in pdf.pages] == ["i", "B2"]
        with pdf.open_outline() as outline:
            (top,) = outline.root
            assert top.title == "Start \u1ecd"
            assert [c.title for c in top.children] == ["Below"]
            assert [c.title for c in top.children[0].children] == ["Far"], "no level is skipped"
        groups = root.OCProperties.OCGs
        assert [str(g.Name) for g in groups] == ["Size 38 \u00bd"]
        assert root.OCProperties.D.BaseState == "/ON"
        assert "Usage" not in groups[0]
        assert groups[0] == pdf.pages[1].Resources.Properties.L0


def test_every_font_is_embedded_and_words_can_be_read_out(file: FilePath) -> None:
    with pikepdf.open(file) as pdf:
        fonts = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/Font"]
        assert fonts and all("/FontFile2" in f.FontDescriptor for f in fonts)
        names = sorted(str(f.BaseFont)[8:] for f in fonts)
        assert names == ["BookletText-Regular", "BookletText-SemiBold", "DejaVuSans-Bold"]
    text = pdfium.PdfDocument(file)[0].get_textpage().get_text_bounded()
    for words in ("Sew 10 mm \u2013", "AVA", "\u00bd", "\u2702", "turned"):
        assert words in text


def test_a_layer_switched_off_hides_its_own_form_alone(file: FilePath, tmp_path: FilePath) -> None:
    off = tmp_path / "off.pdf"
    with pikepdf.open(file) as pdf:
        pdf.Root.OCProperties.D.OFF = pikepdf.Array([pdf.Root.OCProperties.OCGs[0]])
        pdf.save(off)

    def ink(path: FilePath) -> np.ndarray:
        return np.asarray(pdfium.PdfDocument(path)[1].render(scale=1).to_pil().convert("L"))

    gone = ink(off).astype(int) - ink(file)
    ys, xs = np.nonzero(gone)
    corners = [TURNED.apply(z) for z in (0j, 30 + 0j, 30 + 10j, 0 - 4j)]
    mm = 25.4 / 72
    assert len(xs) > 100
    assert (
        xs.min() * mm > min(z.real for z in corners) - 2 and xs.max() * mm < max(z.real for z in corners) + 2
    )
    assert (
        ys.min() * mm > min(z.imag for z in corners) - 2 and ys.max() * mm < max(z.imag for z in corners) + 2
    )


def test_two_processes_write_the_same_bytes(file: FilePath) -> None:
    code = (
        "import sys, hashlib; sys.path[:0] = [sys.argv[1], sys.argv[2], sys.argv[3]];"
        "from test_pdf_file import sample; from booklet.printing.pdf import pdf_bytes;"
        "print(hashlib.sha256(pdf_bytes(sample(), title='x')).hexdigest())"
    )
    here = FilePath(__file__).resolve()
    folders = [str(here.parents[2]), str(here.parents[1]), str(here.parent)]
    sums = set()
    for seed in ("1", "77"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        run = subprocess.run(
            [sys.executable, "-c", code, *folders], env=env, capture_output=True, text=True, check=True
        )
        sums.add(run.stdout)
    assert len(sums) == 1


def test_what_came_before_in_a_process_changes_nothing() -> None:
    one = pdf_bytes(sample(), title="x")
    board = Board()
    board.text(10, 20, "\u1eb9\u0301 \u1ecd\u0300 \u1e63\u0301 other letters first", 10, 600)
    pdf_bytes([PageSpec(board.drawing(100, 100))], title="other")
    assert pdf_bytes(sample(), title="x") == one


def test_two_groups_of_one_name_must_be_one_thing() -> None:
    board = Board()
    board.path(box_path(0, 0, 5, 5), look.CUT)
    group = Group(tuple(board.items), name="a")
    other = Group((), name="a")
    with pytest.raises(ValueError, match="both named 'a'"):
        pdf_bytes([PageSpec(Drawing(50, 50, (group, other)))], title="x")


def test_a_failed_run_leaves_an_earlier_file_and_nothing_else(tmp_path: FilePath) -> None:
    out = tmp_path / "booklet.pdf"
    out.write_bytes(b"earlier")
    board = Board()
    board.text(10, 20, "\u6f22", 10)
    with pytest.raises(Fault, match="U\\+6F22"):
        write_pdf_pages([PageSpec(board.drawing(100, 100))], out, title="x")
    assert out.read_bytes() == b"earlier" and [p.name for p in tmp_path.iterdir()] == ["booklet.pdf"]
    with pytest.raises(Fault, match="cannot be written"):
        write_pdf_pages(sample(), tmp_path / "no folder" / "x.pdf", title="x")
    folder = tmp_path / "taken.pdf"
    folder.mkdir()
    with pytest.raises(Fault, match="cannot be written"):
        write_pdf_pages(sample(), folder, title="x")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["booklet.pdf", "taken.pdf"]
