"""Both painters put the same ink in the same places."""

from __future__ import annotations

import io
from pathlib import Path as FilePath

import numpy as np
import pypdfium2 as pdfium
import pytest
from PIL import Image
from scipy.ndimage import distance_transform_edt

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Drawing, PathItem, box_path
from booklet.drawing.page import PageSpec
from booklet.drawing.text import paragraph
from booklet.paths import Path, Placement
from booklet.printing.pdf import pdf_bytes
from booklet.printing.picture import picture_bytes, write_picture

DPI = 200


def page() -> Drawing:
    """A step's page in small: words in both weights, pieces, patterns, arrows, a close-up under a clip."""
    board = Board()
    board.text(8, 14, "5", look.STEP_NUMBER_PT, 600, look.ACCENT)
    board.text(18, 14, "Face the neckline \u1ecd\u0301 \u2702", look.STEP_TITLE_PT, 600)
    paragraph(board, 18, 22, "Sew round **10 mm** from the edge, AVATo \u00bd. Trim, clip and turn.", 46)
    front = Path(
        (
            (70 + 10j, 80 + 30j, 95 + 30j, 110 + 10j),
            (110 + 10j, 112 + 50j),
            (112 + 50j, 68 + 50j),
            (68 + 50j, 70 + 10j),
        )
    )
    board.path(front, look.CUT, look.RIGHT_SIDE, "cut")
    board.path(box_path(20, 50, 20, 14), look.CUT, look.INTERFACING, "cut")
    board.path((box_path(44, 50, 20, 14), Path.circle(54 + 57j, 4)), look.CUT, look.LINING, "cut")
    board.path(Path.line(72 + 44j, 108 + 44j), look.SEW_NOW, role="seam")
    board.add(
        *marks.action_arrow(80 + 60j, 90 + 40j), *marks.measure_line(68 + 50j, 112 + 50j, "443 mm flat", -5)
    )
    close = [
        PathItem((front.stretched(2, 2),), look.CUT, look.RIGHT_SIDE),
        PathItem((Path.line(150 + 40j, 210 + 42j),), look.STITCH),
    ]
    board.group(
        close, Placement.rotation(0.4).then(Placement.move(-20 - 60j)), clip=Path.circle(155 + 40j, 12)
    )
    board.add(marks.ring(125 + 40j, 12))
    return board.drawing(150, 75)


def near_enough(one: np.ndarray, other: np.ndarray, reach: float) -> float:
    """Share of one picture's ink with no ink of the other within `reach` pixels."""
    far = distance_transform_edt(~other) > reach
    return float((one & far).sum() / max(1, one.sum()))


def test_pdf_and_png_agree_within_half_a_millimetre() -> None:
    drawing = page()
    png = np.asarray(Image.open(io.BytesIO(picture_bytes(drawing, "png", DPI))).convert("L"))
    document = pdfium.PdfDocument(pdf_bytes([PageSpec(drawing)], title="x"))
    pdf = np.asarray(document[0].render(scale=DPI / 72).to_pil().convert("L").resize(png.shape[::-1]))
    reach = 0.5 * DPI / 25.4
    # What is surely inked in one is at least touched with ink in the other; lines and words first, then tints.
    for sure, touched in ((110, 200), (235, 250)):
        assert (png < sure).sum() > 2000
        assert near_enough(png < sure, pdf < touched, reach) == 0
        assert near_enough(pdf < sure, png < touched, reach) == 0
    # And the test can tell: a shift of 0.8 mm is found.
    moved = np.roll(pdf, round(0.8 * DPI / 25.4), axis=1) < 110
    assert near_enough(moved, png < 200, reach) > 0.01


@pytest.mark.parametrize("kind", ["png", "svg"])
def test_the_same_drawing_gives_the_same_bytes(kind: str) -> None:
    assert picture_bytes(page(), kind) == picture_bytes(page(), kind)


def test_a_picture_is_written_whole_or_not_at_all(tmp_path: FilePath) -> None:
    write_picture(page(), tmp_path / "step.svg")
    assert (tmp_path / "step.svg").read_text(encoding="utf-8").lstrip().startswith("<?xml")
    with pytest.raises(ValueError, match="PNG or SVG"):
        write_picture(page(), tmp_path / "step.gif")
    assert [p.name for p in tmp_path.iterdir()] == ["step.svg"]


def test_a_curve_that_leaves_the_picture_is_drawn_as_a_curve() -> None:
    """An outline of curves and straights far larger than the picture: the same ink as its chords."""
    far = Path(
        (
            (-95 - 128j, -30 + 14j, 118 - 131j, -35 + 55j),
            (-35 + 55j, -149 + 80j),
            (-149 + 80j, 221 - 142j, 135 + 137j, -22 - 45j),
            (-22 - 45j, 161 + 13j),
            (161 + 13j, -143 + 118j, -11 + 47j, -95 - 128j),
        )
    )
    shown = []
    for path in (far, Path.polyline([complex(z) for z in far.flatten(0.005)])):
        board = Board()
        board.group([PathItem((path,), look.CUT)], clip=box_path(5, 5, 70, 30))
        png = picture_bytes(board.drawing(80, 40), "png", DPI)
        shown.append(np.asarray(Image.open(io.BytesIO(png)).convert("L")) < 140)
    curves, chords = shown
    assert chords.sum() > 100
    assert near_enough(curves, chords, 1.5) < 0.01 and near_enough(chords, curves, 1.5) < 0.01
