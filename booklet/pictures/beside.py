"""Unlike curves side by side, with arrows between partners."""

from __future__ import annotations

import shapely

from booklet.drawing import marks
from booklet.model import Seam
from booklet.paths import Placement
from booklet.pictures.bench import Bench, box_of, common, grown
from booklet.pictures.canvas import Box, Frame, fit_frame, polygon
from booklet.pictures.chains import at_sewn, chain_beside
from booklet.pictures.plies import (
    draw_copy,
    side_words,
)
from booklet.pictures.scenes import Room, into


def side_by_side(bench: Bench, seam: Seam, room: Room) -> Frame:
    """Unlike curves: the chained side at the left, opened flat; the single one at the right; arrows between partners."""
    assert seam.b is not None
    single, chain = (seam.a, seam.b) if len(seam.a.parts) <= len(seam.b.parts) else (seam.b, seam.a)
    at = chain_beside(bench, chain, bench.done, Placement.IDENTITY)
    placed = [p for p in chain.parts if p.copy in at]
    first, last = (
        bench.part_path(placed[0]).placed(at[placed[0].copy]),
        bench.part_path(placed[-1]).placed(at[placed[-1].copy]),
    )
    chord = last.end - first.start
    # A neckline comes nearly round: only at its middle does it face away from its chord.
    middle = placed[len(placed) // 2]
    edge = bench.half(middle).edge.path
    out = bench.outward(middle.copy, edge.tangent(edge.length / 2))
    turn = Placement(1j * abs(chord) / chord)
    mean = turn.direction(at[middle.copy].direction(out))
    if mean.real < 0:
        turn = Placement(-1j * abs(chord) / chord)
    at = {c: p.then(turn) for c, p in at.items()}
    chain_paths = bench.run_path(chain, at)
    box_chain = box_of(chain_paths)
    cloth = box_of([bench.cut_line(c).placed(at[c]) for c in at])
    depth = (box_chain[3] - box_chain[1]) * 0.42
    # A chain that comes nearly round, as a neckline does, needs cloth on all sides to be known again.
    around = depth if abs(chord) < 0.5 * sum(p.length for p in chain_paths) else 22.0
    left = common(
        (box_chain[0] - depth, box_chain[1] - around, box_chain[2] + around, box_chain[3] + around),
        grown(cloth, 3),
    )
    # the single piece, turned so that its edge faces left
    copy = single.parts[0].copy
    path = bench.part_path(single.parts[0])
    chord = path.end - path.start
    base = Placement(1j * abs(chord) / chord)
    if into(bench, copy, base, path.placed(base)).real < 0:
        base = base.then(Placement(-1 + 0j))
    own = bench.cut_line(copy).placed(base).bbox
    gap = max(70.0, (left[3] - left[1]) * 0.28)
    base = base.then(
        Placement.move(complex(left[2] + gap - own[0], (left[1] + left[3]) / 2 - (own[1] + own[3]) / 2))
    )
    own = bench.cut_line(copy).placed(base).bbox
    right = (own[0] - 3, own[1] - 3, min(own[2], own[0] + 0.9 * (own[3] - own[1])) + 3, own[3] + 3)
    total = (left[0], min(left[1], right[1]), right[2], max(left[3], right[3]))
    frame = fit_frame(total, room.width, room.height, room.corner)
    for shown, window_box in ((list(at), left), ([copy], right)):
        part = Frame(window_box, frame.scale, frame.on_paper(complex(window_box[0], window_box[1])))
        for c in shown:
            draw_copy(part, bench, c, at.get(c, base))
        part.waves()
        frame.board.add(*part.board.items)
    spot = _spot(bench, copy, base, right)
    if spot is not None:
        frame.label(side_words(bench, copy, base), spot, bench.cut_line(copy).placed(base))
    for c in at:
        spot = _spot(bench, c, at[c], left)
        if spot is not None:
            frame.label(side_words(bench, c, at[c]), spot, bench.cut_line(c).placed(at[c]))
    _partner_arrows(frame, bench, seam, {**at, copy: base}, single is seam.a)
    return frame


def _spot(bench: Bench, copy: str, at: Placement, box: Box) -> complex | None:
    area = polygon(bench.cut_line(copy).placed(at)).intersection(shapely.box(*box))
    if area.is_empty:
        return None
    spot = max(getattr(area, "geoms", [area]), key=lambda g: g.area).representative_point()
    return complex(spot.x, spot.y)


def _partner_arrows(
    frame: Frame, bench: Bench, seam: Seam, at: dict[str, Placement], single_is_a: bool
) -> None:
    """From each match point of the single piece to its partner, straight, exactly on both cut edges' stitch lines."""
    stops = [0.0]
    for s in seam.sections:
        stops.append(stops[-1] + s.a_mm)
    stops_b = [0.0]
    for s in seam.sections:
        stops_b.append(stops_b[-1] + (s.b_mm or 0.0))
    assert seam.b is not None
    pairs = list(zip(stops, stops_b, strict=True))
    wanted = pairs[1:-1] if len(pairs) > 2 else pairs
    for sa, sb in wanted:
        pa, pb = at_sewn(bench, seam.a, sa), at_sewn(bench, seam.b, sb)
        za, zb = at[pa[0]].apply(pa[1]), at[pb[0]].apply(pb[1])
        start, tip = (za, zb) if single_is_a else (zb, za)
        frame.board.add(*marks.action_arrow(frame.on_paper(start), frame.on_paper(tip)))
