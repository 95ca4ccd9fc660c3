"""DXF out, read with ezdxf itself: layers, units, words, no error to its auditor, the same bytes in any process."""

from __future__ import annotations

import io
import math
import os
import subprocess
import sys
from collections import Counter
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import ezdxf
import pytest
import shapely
from ezdxf.document import Drawing

from booklet.cli import main
from booklet.dxf_out import style_dxf
from booklet.exchange import layers
from booklet.exchange.plain import BlockPiece
from booklet.exchange.write_dxf import dxf_bytes, safe_names
from booklet.inputs import read_inputs
from booklet.job import check_style
from booklet.model import CutPiece
from booklet.paths import Path as Line

STYLES = sorted(p.parent for p in (Path(__file__).parents[2] / "styles").glob("*/style.yaml"))
each = pytest.mark.parametrize("folder", STYLES, ids=lambda p: p.name)


@cache
def written(folder: Path) -> tuple[Drawing, list[CutPiece]]:
    """A style's file as it is read back, and what was cut for it. Only for tests that change nothing."""
    given = read_inputs(folder)
    cuts = check_style(given.style, given.body, given.options, given.units, given.shop).prepared.cuts
    with TemporaryDirectory() as place:
        out = Path(place) / "all.dxf"
        out.write_bytes(style_dxf(given)[0])
        read = ezdxf.readfile(out)
    return read, sorted(cuts, key=lambda c: (c.piece.number, c.piece.key))


@each
def test_the_file_is_what_the_layers_say(folder: Path) -> None:
    doc, cuts = written(folder)
    audit = doc.audit()
    assert not audit.errors and not audit.fixes
    assert (doc.dxfversion, doc.units, doc.header["$MEASUREMENT"]) == ("AC1015", 4, 1)
    space = doc.modelspace()
    assert "UNITS: METRIC" in [t.dxf.text for t in space.query("TEXT")]
    inserts = space.query("INSERT")
    assert [i.dxf.name for i in inserts] == safe_names([c.piece.key for c in cuts])
    assert all((i.dxf.xscale, i.dxf.yscale, i.dxf.rotation) == (1, 1, 0) for i in inserts)
    for insert, cut in zip(inserts, cuts, strict=True):
        block = doc.blocks.get(insert.dxf.name)
        drawn = Counter((e.dxftype(), e.dxf.layer) for e in block)
        assert drawn["POLYLINE", layers.CUT] == drawn["POLYLINE", layers.STITCH] == 1
        assert drawn["LINE", layers.GRAIN] == 1
        assert drawn["LINE", layers.MIRROR] == (cut.extent == "half")
        cuttable = [s for n in cut.paper_notches if n.cut for s in n.strokes]
        assert drawn["POINT", layers.NOTCH] == len(cuttable)
        corners = sum(1 for e in block if e.dxf.layer in (layers.TURN, layers.CURVE))
        assert corners == sum(len(p.vertices) for p in block.query("POLYLINE") if p.dxf.layer != layers.INNER)
        words = [t.dxf.text for t in block.query("TEXT")]
        assert f"PIECE NAME: {cut.piece.number} {cut.piece.heading}" in words
        for key in ("SIZE: ", "QUANTITY: ", "MATERIAL: "):
            assert sum(w.startswith(key) for w in words) == 1
        lines = [p for p in block.query("POLYLINE") if p.dxf.layer in (layers.CUT, layers.STITCH)]
        assert all(p.is_closed for p in lines)


@each
def test_nothing_is_drawn_beyond_the_cut_line(folder: Path) -> None:
    doc, cuts = written(folder)
    for name in safe_names([c.piece.key for c in cuts]):
        block = doc.blocks.get(name)
        (ring,) = [p for p in block.query("POLYLINE") if p.dxf.layer == layers.CUT]
        ground = shapely.Polygon([(v.x, v.y) for v in ring.points()]).buffer(0.05)
        inner = [p for p in block.query("POLYLINE") if p.dxf.layer in (layers.INNER, layers.STITCH)]
        for drawn in inner:
            assert ground.covers(shapely.LineString([(v.x, v.y) for v in drawn.points()])), (
                name,
                drawn.dxf.layer,
            )
        for point in block.query("POINT"):
            at = point.dxf.location
            assert ground.covers(shapely.Point(at.x, at.y)), (name, point.dxf.layer)
            if point.dxf.layer == layers.NOTCH:
                way = math.radians(point.dxf.angle)
                deep = point.dxf.thickness
                assert deep > 0
                end = shapely.Point(at.x + deep * math.cos(way), at.y + deep * math.sin(way))
                assert ground.covers(end), name


def test_pieces_stand_beside_each_other_and_y_is_up(root: Path) -> None:
    doc, cuts = written(root / "styles" / "top")
    boxes = []
    for insert in doc.modelspace().query("INSERT"):
        (cut,) = [e for e in insert.virtual_entities() if e.dxftype() == "POLYLINE" and e.dxf.layer == "1"]
        xs, ys = zip(*((v.x, v.y) for v in cut.points()), strict=True)
        boxes.append((min(xs), max(xs), min(ys), max(ys)))
    for n, a in enumerate(boxes):
        for b in boxes[n + 1 :]:
            assert a[1] < b[0] or b[1] < a[0] or a[3] < b[2] or b[3] < a[2]
    front = next(c for c in cuts if c.piece.key == "front")
    tail, head = front.piece.grain
    (grain,) = [e for e in doc.blocks.get("front").query("LINE") if e.dxf.layer == layers.GRAIN]
    assert grain.dxf.start.y == pytest.approx(-tail.imag, abs=1e-4)
    assert grain.dxf.end.y == pytest.approx(-head.imag, abs=1e-4)


def test_curves_keep_within_a_hundredth_of_a_millimetre() -> None:
    circle = Line.circle(100 + 100j, 80)
    piece = BlockPiece("round", (circle,), (circle,), None, (90 + 100j, 110 + 100j), (), (), (), (), ())
    doc = ezdxf.read(io.StringIO(dxf_bytes([piece], []).decode("ascii")))
    (ring, _) = doc.blocks.get("round").query("POLYLINE")
    points = [complex(v.x, -v.y) for v in ring.points()]
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        middle = (a + b) / 2
        assert abs(middle - circle.point(circle.nearest(middle))) < 0.01
    # a curve without a corner has no turn points
    assert not [e for e in doc.blocks.get("round").query("POINT") if e.dxf.layer == layers.TURN]


def test_block_names_are_plain_and_unlike() -> None:
    names = safe_names(["Rücken", "front.left", "front_left", "FRONT_LEFT", "袖", "x" * 99, "*Model_Space"])
    assert names[:5] == ["Rucken", "front_left", "front_left_2", "FRONT_LEFT_3", "piece"]
    assert len(names[5]) == 48
    assert names[6] == "Model_Space"
    assert len({n.upper() for n in names}) == len(names)


def test_the_command_has_its_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["dxf", "--help"]) == 0
    told = capsys.readouterr().out
    assert "booklet dxf" in told and "ASTM D6673" in told


def made(root: Path, out: Path, seed: int) -> bytes:
    env = os.environ | {"PYTHONHASHSEED": str(seed), "PYTHONPATH": str(root)}
    command = [sys.executable, "-m", "booklet", "dxf", "styles/apron", "-o", str(out)]
    done = subprocess.run(command, cwd=root, env=env, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    assert done.stdout == f"Wrote {out}: 3 pieces.\n"
    return out.read_bytes()


def test_two_processes_write_the_same_bytes(root: Path, tmp_path: Path) -> None:
    assert made(root, tmp_path / "a.dxf", 1) == made(root, tmp_path / "b.dxf", 2)


def test_a_failed_run_leaves_an_earlier_file_as_it_was(
    root: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "x.dxf"
    out.write_text("earlier")
    body = tmp_path / "body.yaml"
    body.write_text("name: x\nunits: cm\nmeasures: {waist_girth: 74}\n")
    assert main(["dxf", str(root / "styles" / "top"), "--body", str(body), "-o", str(out)]) == 1
    assert main(["dxf", str(root / "styles" / "apron"), "-o", str(tmp_path / "x.svg")]) == 1

    def full(*_: object) -> None:
        raise OSError("no space left on device")

    monkeypatch.setattr("booklet.printing.files.os.replace", full)
    assert main(["dxf", str(root / "styles" / "apron"), "-o", str(out)]) == 1
    assert out.read_text() == "earlier"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["body.yaml", "x.dxf"]
    told = capsys.readouterr().err
    assert "is no DXF" in told and "cannot be written" in told and "Traceback" not in told


def test_without_the_library_a_sentence_says_how_to_get_it(
    root: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    assert main(["dxf", str(root / "styles" / "apron"), "-o", str(tmp_path / "x.dxf")]) == 1
    assert "pip install 'booklet[dxf]'" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
