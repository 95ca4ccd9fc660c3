"""A shop's mark: an SVG of filled or stroked shapes, or a PNG, as a drawing whose longer side is 100 mm."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Sequence
from pathlib import Path as FilePath
from typing import Any

from booklet.drawing.display import Drawing, Fill, PathItem, Stroke, box_path
from booklet.paths import Path, Segment
from booklet.problems import Fault, Where
from booklet.units import MM_PER_POINT

LARGEST_BYTES = 4_000_000
MOST_SHAPES = 400
MOST_DOTS = 4000  # of a PNG, each way
LONG = 100.0  # mm, of the longer side


def read_mark(path: FilePath, where: Where) -> Drawing:
    """Raises `Fault` at `where` for what cannot be printed."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise _refused(path, where, f"cannot be read: {(error.strerror or str(error)).lower()}") from None
    if len(data) > LARGEST_BYTES:
        raise _refused(path, where, f"has over {LARGEST_BYTES // 1_000_000} MB", "Save it smaller.")
    kind = path.suffix.lower()
    if kind == ".png":
        return _png(path, data, where)
    if kind == ".svg":
        return _svg(path, data, where)
    raise _refused(path, where, "is neither an SVG nor a PNG")


def _refused(path: FilePath, where: Where, what: str, mend: str = "") -> Fault:
    return Fault.of("mark", f"the mark {path.as_posix()} {what}", where, mend)


def _png(path: FilePath, data: bytes, where: Where) -> Drawing:
    from PIL import Image

    try:
        with Image.open(io.BytesIO(data), formats=("PNG",)) as image:
            wide, high = image.size
            if max(wide, high) > MOST_DOTS:
                raise _refused(
                    path, where, f"is {wide} by {high} dots", f"{MOST_DOTS} each way are the most."
                )
            image.load()
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        if isinstance(error, Fault):
            raise
        raise _refused(path, where, "is no PNG that can be read", "Save it as a PNG again.") from None
    scale = LONG / max(wide, high)
    box = box_path(0, 0, wide * scale, high * scale)
    return Drawing(wide * scale, high * scale, (PathItem((box,), fill=Fill(image=data), role="mark"),))


def _svg(path: FilePath, data: bytes, where: Where) -> Drawing:
    try:
        import svgelements
    except ImportError:
        raise Fault.of("extra", "an SVG as the shop's mark needs a library that is not there", where,
                       "Install it: pip install 'booklet[svg]', or give a PNG.") from None  # fmt: skip
    if b"<!ENTITY" in data:
        raise _refused(path, where, "defines entities of its own", "Save it as plain SVG.")
    try:
        drawing = svgelements.SVG.parse(io.BytesIO(data), reify=True, ppi=96)
        elements = list(drawing.elements())
        lost = _lost(elements)
        shapes = [e for e in elements if isinstance(e, svgelements.Shape)]
        items = [item for shape in shapes[: MOST_SHAPES + 1] if (item := _item(shape)) is not None]
    except (Exception, RecursionError) as bad:  # a parser may fail in any way on a damaged file
        said = " ".join(str(bad).split())[:80]
        raise _refused(path, where, f"cannot be read: {said}", "Save it as plain SVG.") from None
    if lost:
        raise _refused(path, where, *lost)
    if len(shapes) > MOST_SHAPES:
        raise _refused(path, where, f"has over {MOST_SHAPES} shapes", "Save a simpler one.")
    if not items:
        raise _refused(path, where, "has no shape", "Draw it of filled or stroked shapes.")
    boxes = [p.bbox for item in items for p in item.subpaths]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    wide, high = max(b[2] for b in boxes) - x0, max(b[3] for b in boxes) - y0
    if not math.isfinite(wide + high) or min(wide, high) <= 0:
        raise _refused(path, where, "has no size", "It needs some width and some height.")
    scale = LONG / max(wide, high)
    return Drawing(wide * scale, high * scale, tuple(_scaled(i, complex(x0, y0), scale) for i in items))


def _lost(elements: Sequence[Any]) -> tuple[str, str] | None:
    """What of a drawing would not be printed as it is seen, and what mends it; None for one of plain shapes."""
    import svgelements

    for e in elements:
        if isinstance(e, svgelements.Text) and str(e.text or "").strip():
            return f"holds the words '{' '.join(str(e.text).split())[:30]}'", "Turn words into paths."
        if isinstance(e, svgelements.Image):
            return "holds a picture of dots", "Give the picture itself as a PNG."
        values = getattr(e, "values", None) or {}
        for key in ("fill", "stroke"):
            if str(values.get(key)).strip().startswith("url("):
                return "has a shape filled with a gradient or a pattern", "Give it one colour, or save a PNG."
        for key in ("clip-path", "mask", "filter"):
            if str(values.get(key)).strip().startswith("url("):
                return f"has a shape with a {key}", "Cut the shape itself to its form, or save a PNG."
    return None


def _item(shape: Any) -> PathItem | None:
    """One shape in the drawing's own units; None for one that is not seen."""
    import svgelements

    drawn = svgelements.Path(shape)
    drawn.reify()
    fill, stroke = _colour(shape.fill), _colour(shape.stroke)
    paths = tuple(_paths(drawn))
    if not paths or (fill is None and stroke is None):
        return None
    wide = float(shape.stroke_width or 1.0)
    pen = Stroke(wide, stroke, (), "butt", "miter") if stroke else None
    return PathItem(paths, pen, Fill(fill) if fill else None, "mark")


def _colour(colour: Any) -> str | None:
    if colour is None or colour.value is None or not colour.alpha:
        return None
    told = re.match(r"#[0-9a-fA-F]{6}", str(colour.hexrgb))
    if told is None:
        return None
    parts = [int(told.group()[k : k + 2], 16) for k in (1, 3, 5)]
    seen = colour.alpha / 255  # half transparent is printed as it looks on white paper
    return "#" + "".join(f"{round(255 - (255 - part) * seen):02X}" for part in parts)


def _paths(drawn: Any) -> list[Path]:
    import svgelements

    found: list[list[Segment]] = [[]]
    for seg in drawn.segments():
        if isinstance(seg, svgelements.Move):
            found.append([])
            continue
        parts = seg.as_cubic_curves() if isinstance(seg, svgelements.Arc) else [seg]
        for part in parts:
            made = _segment(part)
            if made is not None:
                found[-1].append(made)
    return [Path(tuple(segments)) for segments in found if segments]


def _segment(seg: Any) -> Segment | None:
    import svgelements

    a, b = complex(seg.start), complex(seg.end)
    if isinstance(seg, svgelements.CubicBezier):
        return (a, complex(seg.control1), complex(seg.control2), b)
    if isinstance(seg, svgelements.QuadraticBezier):
        c = complex(seg.control)
        return (a, a + (c - a) * 2 / 3, b + (c - b) * 2 / 3, b)
    return (a, b) if abs(b - a) > 1e-9 else None


def _scaled(item: PathItem, origin: complex, scale: float) -> PathItem:
    paths = tuple(
        Path(tuple(tuple((p - origin) * scale for p in seg) for seg in path.segments))
        for path in item.subpaths
    )
    pen = item.stroke
    if pen is not None:
        pen = Stroke(pen.width_pt * scale / MM_PER_POINT, pen.colour, (), pen.cap, pen.join)
    return PathItem(paths, pen, item.fill, item.role)
