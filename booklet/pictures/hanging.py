"""Copies that hang together, opened out flat along their joined seams: where each lies, and where a seam closes a ring.

A copy is laid edge to edge beside one that lies there, if it then lies on no other: what closes to a ring is opened at
one seam, whose two sides then lie apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from booklet.drawing import look
from booklet.model import Part, Run, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, on_grain
from booklet.pictures.canvas import Frame, outlines, polygon
from booklet.pictures.plies import (
    allowance_strip,
    draw_darts,
    draw_notches,
    lay_cloth,
    placed_area,
)

OPENING = ("join", "zip")  # kinds of seam whose two pieces lie edge to edge when the work is opened out
ON_EACH_OTHER = 0.04  # of the smaller copy: what may lie on another, where unlike edges meet
APART = 6.0  # mm: partners further from each other than that are drawn as lying apart
NEAR = 90.0  # mm: what counts as beside a run
ALONG = 12.0  # mm along a seam between two lines that tie its sides


@dataclass(frozen=True)
class Spread:
    """Copies lying edge to edge, in the order in which they were laid, and the seams whose two sides lie apart."""

    at: dict[str, Placement]
    open_seams: tuple[Seam, ...]

    def then(self, move: Placement) -> Spread:
        return Spread({c: p.then(move) for c, p in self.at.items()}, self.open_seams)

    @property
    def copies(self) -> tuple[str, ...]:
        return tuple(self.at)


def spreads(
    bench: Bench, copies: Sequence[str], wrong_side: bool = False, near: Run | None = None
) -> tuple[Spread, ...]:
    """The copies in groups that hang together, each opened out, with one that is whole, or best connected, on its grain.

    Unlike edges do not meet all along when they are laid side by side: with `near` they meet beside that run.
    """
    left = list(dict.fromkeys(copies))
    out = []
    while left:
        first = max(left, key=lambda c: (bench.copies[c].side == "whole", len(_seams_of(bench, c, left))))
        base = on_grain(bench.copies[first])
        at = {first: base.then(Placement.mirror(0j, 1j)) if wrong_side else base}
        known = [first]
        for beside in known:  # grows as copies are laid
            for seam, copy in _seams_of(bench, beside, left):
                if copy in at:
                    continue
                about = _beside_run(bench, seam, beside, copy, near) if near else None
                laid = bench.lay(copy, beside, at[beside], [seam], face_to_face=False, about=about)
                if laid is not None and not _lies_on(bench, copy, laid, at):
                    at[copy] = laid
                    known.append(copy)
        left = [c for c in left if c not in at]
        out.append(Spread(at, open_seams(bench, at)))
    return tuple(out)


def _beside_run(bench: Bench, seam: Seam, on: str, copy: str, run: Run) -> tuple[complex, float] | None:
    """The point of a copy at which a seam comes nearest to the ends of a run's parts on it, and how far to look."""
    ends = [z for p in run.parts if p.copy == on for z in (bench.part_path(p).start, bench.part_path(p).end)]
    if not ends:
        return None
    meets = [a for a, _ in bench.between(on, copy, [seam])]
    return min(meets, key=lambda z: min(abs(z - e) for e in ends)), NEAR


def _seams_of(bench: Bench, copy: str, among: Sequence[str]) -> list[tuple[Seam, str]]:
    """Sewn seams from a copy to others, each with the other copy; the first part to meet counts."""
    out = []
    for seam in bench.done:
        if seam.kind not in OPENING or seam.b is None:
            continue
        for one, other in ((seam.a, seam.b), (seam.b, seam.a)):
            if any(p.copy == copy for p in one.parts):
                out += [
                    (seam, c) for c in dict.fromkeys(p.copy for p in other.parts) if c != copy and c in among
                ]
    return [(s, c) for s, c in out if len(bench.between(copy, c, [s])) > 2]


def _net(bench: Bench, copy: str, at: Placement) -> shapely.Geometry:
    return polygon(bench.stitch_line(copy).placed(at))


def _lies_on(bench: Bench, copy: str, laid: Placement, at: dict[str, Placement]) -> bool:
    own = _net(bench, copy, laid)
    return any(
        own.intersection(net).area > ON_EACH_OTHER * min(own.area, net.area)
        for net in (_net(bench, c, p) for c, p in at.items())
    )


def _meetings(bench: Bench, seam: Seam, at: dict[str, Placement]) -> list[tuple[complex, complex]]:
    """Where points that were sewn together lie now."""
    if seam.b is None:
        return []
    count = max(2, round(seam.a_mm / ALONG))
    pairs = zip(bench.sewn_points(seam.a, count), bench.sewn_points(seam.b, count), strict=True)
    return [(at[a].apply(x), at[b].apply(y)) for (a, x), (b, y) in pairs if a in at and b in at]


def open_seams(bench: Bench, at: dict[str, Placement]) -> tuple[Seam, ...]:
    """The sewn seams whose two sides lie apart: not those of zips, which open."""
    out = []
    for seam in bench.done:
        met = _meetings(bench, seam, at) if seam.kind == "join" else []
        if met and min(abs(a - b) for a, b in met) > APART:
            out.append(seam)
    return tuple(out)


def joined_parts(bench: Bench, copy: str, among: Sequence[str]) -> list[Part]:
    """The parts of a copy that are sewn to copies among those: their allowances lie underneath."""
    out = []
    for seam in bench.done:
        if seam.kind not in OPENING or seam.b is None:
            continue
        if {p.copy for p in (*seam.a.parts, *seam.b.parts)} <= set(among):
            out += [p for p in (*seam.a.parts, *seam.b.parts) if p.copy == copy]
    return out


def body_of(bench: Bench, copy: str, at: Placement, among: Sequence[str]) -> shapely.Geometry:
    """A copy where it lies, without the allowances of its seams to the copies among those."""
    area = polygon(bench.cut_line(copy).placed(at))
    for part in joined_parts(bench, copy, among):
        area = area.difference(placed_area(allowance_strip(bench, part), at))
    return max(getattr(area, "geoms", [area]), key=lambda g: g.area)


def draw_spread(frame: Frame, bench: Bench, spread: Spread, notches: bool = True) -> None:
    """The group as one thing: the joined seams as lines; thin lines tie the two sides of a seam that lies open."""
    for copy, at in spread.at.items():
        lay_cloth(frame, bench, copy, at, body_of(bench, copy, at, spread.copies))
        draw_darts(frame, bench, copy, at)
        if notches:
            draw_notches(frame, bench, copy, at)
    tie_open_seams(frame, bench, spread)


def tie_open_seams(frame: Frame, bench: Bench, spread: Spread) -> None:
    """Two thin lines from end to end of each seam that lies open, where both show in the frame."""
    told = False
    for seam in spread.open_seams:
        met = _meetings(bench, seam, spread.at)
        ends = (met[0], met[-1])
        if not all(frame.visible(z) for pair in ends for z in pair):
            continue
        for a, b in ends:
            frame.line(Path.line(a, b), look.HIDDEN, "tie")
        outer = max(ends, key=lambda pair: abs(pair[0] - pair[1]))
        if not told:
            frame.label("sewn together\nhere", sum(outer) / 2, None, dot=False)
        told = True


def surface_of(bench: Bench, copy: str, at: Placement, among: Sequence[str]) -> Path:
    return outlines(body_of(bench, copy, at, among))[0]
