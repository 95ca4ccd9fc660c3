"""`all in one facing:` one facing for the neckline and the armhole of a sleeveless bodice, through the shoulder."""

from __future__ import annotations

import numpy as np

from booklet.drafting.asked import Asked
from booklet.drafting.bands import band_along, square_to
from booklet.drafting.places import edge_of
from booklet.drafting.shape import Shape
from booklet.drafting.ways.facing import asked_turn, smaller, turned_over
from booklet.paths import Path
from booklet.splines import smooth_curve

NEAREST = 0.8  # of the width: how near the lower edge may come to the edges that are faced
STEP = 10.0  # mm between the places of the edges that are looked at


def ring_between(shape: Shape, edges: list[str]) -> list[str]:
    """The shortest run of neighbouring edges round the ring that has all of `edges`, clockwise."""
    ring = [r.name for r in shape.runs]
    runs = [[ring[(start + k) % len(ring)] for k in range(size)]
            for size in range(len(edges), len(ring)) for start in range(len(ring))]  # fmt: skip
    return next(names for names in runs if set(edges) <= set(names) and shape.fold not in names)


def lower_edge(spine: Path, head: Path, foot: Path, wide: float) -> Path:
    """One smooth line from the foot's end to the head's, square to both, that keeps clear of the faced edges.

    Where it would come nearer to them than most of the width, it is led round that place at the full width.
    """
    stops = np.linspace(0.0, spine.length, max(12, round(spine.length / STEP)) + 1)[1:-1]
    faced = [spine.point(float(s)) for s in stops]
    via: list[tuple[float, complex]] = []
    way = head.end - foot.end
    leave, arrive = square_to(foot.end_tangent, way), square_to(head.end_tangent, way)

    def drawn() -> Path:
        return smooth_curve(
            [foot.end, *(z for _, z in sorted(via, key=lambda v: v[0])), head.end], leave, arrive
        )

    line = drawn()
    for _ in range(4):
        gaps = [(abs(line.point(line.nearest(z)) - z), z) for z in faced]
        gap, z = min(gaps, key=lambda g: g[0])
        if gap >= wide * NEAREST:
            break
        inward = spine.tangent(spine.nearest(z)) * 1j
        off = z + inward * wide
        via.append((((off - foot.end) * way.conjugate()).real, off))
        line = drawn()
    return line


def from_all_in_one(asked: Asked) -> Shape:
    """`all in one facing: {of, edges: [neckline, armhole], wide, at fold, turn}`. Its lower edge is `outer`."""
    parent, key = asked.other(asked.words("of")), asked.words("of")
    edges = asked.listed("edges")
    for name in edges:
        edge_of(parent, name, key, asked.where)
    wide = asked.amount("wide")
    if not wide > 10:
        raise asked.fault("facing-wide", f"{asked.key} is {wide:.1f} mm wide", "Give it 1 cm or more.")
    if parent.fold in edges or len(edges) < 2:
        raise asked.fault(
            "facing-edges", f"{asked.key} faces {' and '.join(edges)} of {key}",
            "Name the two edges it begins and ends with, such as neckline and armhole.",
        )  # fmt: skip
    along = ring_between(parent, edges)
    deep = asked.amount("at fold") if asked.has("at fold") else None
    band = band_along(
        parent, key, along, (wide, wide), deep, asked.where, lambda s, h, f: lower_edge(s, h, f, wide)
    )
    faced = sum(band.shape.run(n).path.length for n in edges)
    made = smaller(band.shape, faced, asked_turn(asked))
    # The shoulder is there too, but it is not sewn to the parent.
    return turned_over(made, parent, key, tuple(n for n in band.order if n in edges))
