"""hem: an edge turned to the inside, once or twice, and sewn down; its kinds narrow and blind are in hem_kinds.py."""

from __future__ import annotations

from booklet.model import Seam
from booklet.seams.uses import TWICE
from booklet.sewing.operations.base import (
    EDGE_FINISH,
    LOCKSTITCH,
    OVEREDGE,
    Context,
    Effort,
    Facts,
    Operation,
    Speed,
    Stitching,
    is_ring,
)
from booklet.sewing.operations.curves import hem_surplus
from booklet.sewing.operations.hem_kinds import NARROW_IN, kind_facts, kind_rows
from booklet.sewing.operations.names import edge_names, edge_words, end_words, piece_names, seam_words

# All common practice, no source.
STITCH_IN = 3.0  # mm from the inner edge of a single hem, and
STITCH_IN_DOUBLE = 2.0  # from the inner fold of a double one; of a shallow hem
SHALLOW = 0.2  # this share of its depth
TELLS = 3.0  # mm of surplus in all that the sewer feels
TOLERANCE = 2.0  # mm of depth; half of it where the hem is
SHALLOW_HEM = 5.0  # mm deep or less
SHARP = 30.0  # mm of surplus in a metre of hem above which an ease row is drawn up


def depth(seam: Seam) -> float:
    """How deep the finished hem is, mm: the allowance, or half of it where it is turned twice."""
    return seam.allow_a / 2 if seam.neaten in TWICE else seam.allow_a


def facts(context: Context) -> Facts:
    group = context.group("hem")
    seam = group[0]
    double = seam.neaten == "double"
    deep = depth(seam)
    surplus = hem_surplus(context, seam.a, deep)
    first = seam.a.parts[0]
    ring = is_ring(seam.a)
    return {
        "sides": len(group),
        "double": double,
        "depth": deep,
        "allow": seam.allow_a,
        "length": seam.a_mm,
        "sew": deep - _from_inner(seam.neaten, deep),
        "edges": edge_names(context, seam.a),
        "pieces": piece_names(context.run_copies(seam.a)),
        "ring": ring,
        "start": end_words(context, seam.a, True),
        "start_seam": seam_words(context, first, True),
        "end": end_words(context, seam.a, False),
        "surplus": surplus if abs(surplus) >= TELLS else 0.0,
        "sharp": surplus > SHARP * seam.a_mm / 1000,
        "beside_facing": [] if ring else _beside_facing(context, seam),
        "tolerance": TOLERANCE if deep > SHALLOW_HEM else TOLERANCE / 2,
        **kind_facts(context, seam),
    }


def _from_inner(kind: str, deep: float) -> float:
    """How far from the inner edge or fold of a hem its row is sewn, mm."""
    if kind == "narrow":
        return NARROW_IN
    return min(STITCH_IN_DOUBLE if kind == "double" else STITCH_IN, SHALLOW * deep)


def _beside_facing(context: Context, seam: Seam) -> list[Facts]:
    """Ends of the hem at a faced edge: their raw end is neatened too and caught to the facing."""
    out = []
    for part, at_start in ((seam.a.parts[0], True), (seam.a.parts[-1], False)):
        near = context.beyond(part, at_start)
        met = context.treated(part.copy, near.name, context.earlier, "face")
        if met is not None:
            out.append({"piece": piece_names([context.copies[part.copy]])[0], "edge": edge_words(near)})
    return out


def stitching(context: Context) -> tuple[Stitching, ...]:
    group = context.group("hem")
    length = sum(s.a_mm for s in group)
    speed: Speed = "straight"
    out = [Stitching(LOCKSTITCH, length, "hem", EDGE_FINISH, len(group), speed)]
    f = facts(context)
    if f["kind"] in ("narrow", "blind"):
        out = kind_rows(context, group[0], length, len(group))
    if f["kind"] not in TWICE:
        ends = f["allow"] * len(f["beside_facing"])
        out.append(
            Stitching(
                OVEREDGE, length + f["surplus"] + ends, "neatening", EDGE_FINISH, len(group), "neatening"
            )
        )
    if f["sharp"] and f["kind"] != "narrow":  # a narrow hem is drawn in on its first row
        out.append(Stitching(LOCKSTITCH, length + f["surplus"], "ease row", EDGE_FINISH, len(group), speed))
    return tuple(out)


def effort(context: Context) -> Effort:
    group = context.group("hem")
    turns = 2 if group[0].neaten in TWICE else 1
    return Effort(len(group), acts=("press",) * len(group), iron=turns * sum(s.a_mm for s in group))


OPERATION = Operation("hem", facts, stitching, effort)
