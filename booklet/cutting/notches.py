"""Notches and snips: on the stitch line, carried square to the cut edge."""

from __future__ import annotations

from booklet.model import Copy, Half, Mark, NotchStroke
from booklet.paths import Path

LONGEST = 6.0  # mm: a notch, or half the allowance where that is less
APART = 6.0  # mm between the strokes of a double notch
INWARDS = 3.0  # mm: a mark on an edge without allowance, drawn, not cut
COUNT = {"single": 1, "double": 2, "triple": 3, "snip": 1}


def notch_strokes(ring: tuple[Half, ...]) -> tuple[NotchStroke, ...]:
    out = []
    for half in ring:
        for mark in half.edge.marks:
            out.append(_strokes(half.edge.path, half.name, half.edge.allow, mark))
    return tuple(out)


def _strokes(path: Path, edge: str, allow: float, mark: Mark) -> NotchStroke:
    if mark.kind == "dot":
        z, t = path.point(mark.at), path.tangent(mark.at)
        return NotchStroke(mark, edge, ((z - t * 1.5, z + t * 1.5), (z - t * 1.5j, z + t * 1.5j)), False)
    count = COUNT[mark.kind]
    strokes = []
    for k in range(count):
        s = min(max(mark.at + (k - (count - 1) / 2) * APART, 0.0), path.length)
        strokes.append(_stroke(path.point(s), path.tangent(s) * -1j, allow))
    return NotchStroke(mark, edge, tuple(strokes), allow > 0.05)


def _stroke(z: complex, outward: complex, allow: float) -> tuple[complex, complex]:
    if allow < 0.05:
        return z, z - outward * INWARDS
    size = min(LONGEST, allow / 2)
    return z + outward * allow, z + outward * (allow - size)


def hem_snip(edge: str, on_cut: complex, corner: complex) -> NotchStroke:
    """The end of a hem's fold line at the side's cut edge."""
    gap = corner - on_cut
    size = min(LONGEST, abs(gap) / 2)
    way = gap / abs(gap) if abs(gap) > 1e-6 else 1 + 0j
    mark = Mark("hem fold", "snip", 0.0, match=False)
    return NotchStroke(mark, edge, ((on_cut, on_cut + way * size),), True)


def fold_and_dart_snips(copy: Copy) -> tuple[NotchStroke, ...]:
    """Both ends of every fold line and line across, and both legs of every dart."""
    out = []
    for line in (*copy.fold_lines, *copy.lines_across):
        for end in (line.path.start, line.path.end):
            half = min(copy.edges, key=lambda h: abs(h.edge.path.point(h.edge.path.nearest(end)) - end))
            s = half.edge.path.nearest(end)
            if abs(half.edge.path.point(s) - end) > 0.5:
                continue  # the line ends inside the piece
            if min(s, half.edge.length - s) < 1.0:
                continue  # at a corner the corner itself tells
            if any(abs(m.at - s) < 0.5 for m in half.edge.marks):
                continue  # a notch stands there already
            out.append(
                _strokes(half.edge.path, half.name, half.edge.allow, Mark(line.name, "snip", s, match=False))
            )
    for half in copy.edges:
        for up in half.edge.take_ups:
            for s in (up.start, up.end):
                mark = Mark(up.name, "snip", s, match=False)
                before = (
                    half.edge.path.part(max(0.0, s - 1.0), s)
                    if s == up.start
                    else half.edge.path.part(s, s + 1.0)
                )
                way = before.end_tangent if s == up.start else before.start_tangent
                out.append(
                    NotchStroke(
                        mark, half.name, (_stroke(half.edge.path.point(s), way * -1j, half.edge.allow),), True
                    )
                )
    return tuple(out)
