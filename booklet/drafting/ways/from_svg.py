"""`svg:` a piece from a drawing in the style's folder: its lines by their ids or labels, at the file's true size.

The user unit of SVG 1.1 and 2 is the px of CSS, 1/96 inch, before the viewBox and the transforms (W3C, SVG 2, chapter 8).
A file whose own width and height are only in px doesn't tell its true size; then the style has to.
"""

from __future__ import annotations

import math
import re
from pathlib import Path as FilePath
from typing import Any

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Shape
from booklet.drafting.ways.measured import closed_ring, listed_edges
from booklet.drafting.ways.taken_in import GAP, style_file
from booklet.exchange.rings import CORNER, corners, divided
from booklet.paths import Path, Segment
from booklet.problems import Fault, Where, nearest

MM_PER_PX = 25.4 / 96
PHYSICAL = ("mm", "cm", "in", "pt", "pc", "q")


def from_svg(asked: Asked) -> Shape:
    """`svg: {file, edges: {NAME: id}}`, or `svg: {file, outline: id, edges: [NAMES from its first corner on]}`; `px:`."""
    path = style_file(asked, asked.words("file"))
    known = scale_of(path, asked.where)
    drawing = read_drawing(path, asked.where)
    if asked.has("px"):
        scale = asked.amount("px")
        if not 0.001 < scale < 1000:
            raise asked.fault(
                "scale", f"a px of {path.name} is said to be {scale:g} mm", "Write px: 1/96 in or such."
            )
    elif known:
        scale = MM_PER_PX
    else:
        raise asked.fault(
            "no-scale",
            f"{path.name} doesn't say how large it is: its width and height have no unit but px",
            "Save it with its page size in mm or in, or say how long a px is, such as px: 1/96 in.",
        )
    if asked.has("outline"):
        return _divided(asked, drawing, path, scale)
    lines = [
        (edge, line_of(drawing, name, path, scale, asked.where))
        for edge, name in listed_edges(asked.spec["edges"])
    ]
    return closed_ring(asked, lines, GAP)


def _divided(asked: Asked, drawing: dict[str, Any], path: FilePath, scale: float) -> Shape:
    whole = line_of(drawing, asked.words("outline"), path, scale, asked.where)
    if abs(whole.start - whole.end) > GAP:
        gap = abs(whole.start - whole.end)
        raise asked.fault("open-outline", f"{asked.words('outline')} does not close: {gap:.1f} mm are open")
    names = asked.listed("edges")
    parts = divided(whole, corners(whole))
    if len(parts) != len(names):
        raise asked.fault(
            "corners",
            f"{asked.words('outline')} has {len(parts)} corners sharper than {math.degrees(CORNER):.0f} degrees, "
            f"and {len(names)} edges are named",
            "Name one edge for each stretch between two corners, or draw each edge as a line of its own.",
        )
    return closed_ring(asked, list(zip(names, parts, strict=True)), GAP)


# ---------------------------------------------------------------- the file


def scale_of(path: FilePath, where: Where) -> bool:
    """Whether the file's width or height is given in a unit of length."""
    head = path.read_bytes()[:200_000].decode("utf-8", "replace")
    tag = re.search(r"<(?:\w+:)?svg\b[^>]*>", head, re.S)
    if not tag:
        raise Fault.of("svg", f"{path.name} is no SVG drawing", where, "Save the drawing as plain SVG.")
    sizes = re.findall(r"\b(?:width|height)\s*=\s*[\"']\s*[\d.eE+-]+\s*([a-zA-Z%]*)\s*[\"']", tag.group())
    return any(unit.lower() in PHYSICAL for unit in sizes)


def read_drawing(path: FilePath, where: Where) -> dict[str, Any]:
    """Every shape of the drawing by its id and its label, transforms done. Raises Fault for what is no drawing."""
    try:
        import svgelements
    except ImportError:
        raise Fault.of(
            "extra",
            "taking in SVG needs a library that is not there",
            where,
            "Install it: pip install 'booklet[svg]'.",
        ) from None
    raw = path.read_bytes()
    if b"<!ENTITY" in raw:
        raise Fault.of("svg", f"{path.name} defines entities of its own", where, "Save it as plain SVG.")
    try:
        drawing = svgelements.SVG.parse(path, reify=True, ppi=96)
    except (Exception, RecursionError) as bad:  # a parser may fail in any way on a damaged file
        words = " ".join(str(bad).split())[:80]
        raise Fault.of(
            "svg", f"{path.name} cannot be read: {words}", where, "Save it as plain SVG."
        ) from None
    out: dict[str, Any] = {}
    for element in drawing.elements():
        attributes = getattr(element, "values", None) or {}
        names = [getattr(element, "id", None), attributes.get("title")]
        names += [
            v
            for k, v in attributes.items()
            if isinstance(k, str) and k.split("}")[-1].split(":")[-1] in LABELS
        ]
        for name in names:
            if isinstance(name, str) and name:
                out.setdefault(name, element)
    return out


LABELS = ("label", "aria-label")


def line_of(drawing: dict[str, Any], name: str, path: FilePath, scale: float, where: Where) -> Path:
    """One drawn line in mm. Raises Fault for an unknown one, or one that is no single line."""
    import svgelements

    if name not in drawing:
        raise Fault.of("no-id", f"{path.name} has no line '{name}'", where, nearest(name, drawing).strip())
    element = drawing[name]
    if not isinstance(element, svgelements.Shape):
        kind = type(element).__name__.lower()
        raise Fault.of(
            "svg", f"'{name}' in {path.name} is no line but a {kind}", where, "Name a path or a shape."
        )
    drawn = svgelements.Path(element)
    drawn.reify()
    segments: list[Segment] = []
    moves = 0
    for seg in drawn.segments():
        kind = type(seg).__name__
        if kind == "Move":
            moves += 1
            continue
        segments += _segments(seg, kind, scale)
    if moves > 1:
        raise Fault.of(
            "svg",
            f"'{name}' in {path.name} is {moves} lines in one",
            where,
            "Break it apart, and name one of them.",
        )
    segments = [s for s in segments if abs(s[-1] - s[0]) > 1e-6]
    numbers = [v for s in segments for z in s for v in (z.real, z.imag)]
    if not segments or not all(math.isfinite(v) and abs(v) < 1e5 for v in numbers):
        raise Fault.of("svg", f"'{name}' in {path.name} has no length that can be measured", where)
    return Path(tuple(segments))


def _segments(seg: Any, kind: str, scale: float) -> list[Segment]:
    def z(point: Any) -> complex:
        return complex(point.x, point.y) * scale

    if kind == "CubicBezier":
        return [(z(seg.start), z(seg.control1), z(seg.control2), z(seg.end))]
    if kind == "QuadraticBezier":  # raised to a cubic, which is exact
        a, c, b = z(seg.start), z(seg.control), z(seg.end)
        return [(a, a + (c - a) * 2 / 3, b + (c - b) * 2 / 3, b)]
    if kind == "Arc":
        count = max(1, math.ceil(abs(seg.sweep) / math.radians(20)))
        return [s for part in seg.as_cubic_curves(count) for s in _segments(part, "CubicBezier", scale)]
    return [(z(seg.start), z(seg.end))] if seg.start is not None and seg.end is not None else []
