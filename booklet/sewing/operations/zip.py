"""zip: a zip set into a stretch of a seam that is left open: centred, lapped or concealed.

The first of the two edges is the one that laps over, or that the hook is sewn to.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.model import Half, Mark, Part, Run, Seam
from booklet.reading.shop import Shop
from booklet.seams.runs import foot_names
from booklet.seams.table import RecipeStep
from booklet.sewing.operations.base import (
    APPLIED,
    EDGE_FINISH,
    LAPPED,
    LOCKSTITCH,
    OVEREDGE,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import Name, edge_words, mark_words, piece_words

# All common practice, no source.
UNDER_OUT = 3.0  # mm: an underlap's fold stands so far outside its stitch line
UNDER_IN = 2.0  # mm from that fold to its row
BESIDE_COIL = 1.0  # mm from a concealed zip's coil to its row
HIDDEN = 30.0  # mm of a concealed zip that must reach below its opening: it cannot be sewn to its very end
BELOW_STOP = 3.0  # mm below the opening, where the bottom stop lies, to the row across it
CUT_BELOW = 15.0  # mm of a shortened zip left below its new bar
TOLERANCE = 1.0  # mm: how far a row may be off


@dataclass(frozen=True)
class Fitted:
    """A zip and the opening it closes, mm. `long` is from stop to stop, `least` the shortest zip that will do."""

    kind: str
    opening: float
    stop: float
    row: float  # from the middle, or the overlap's fold, to the row that shows

    @property
    def long(self) -> float:
        return self.opening - self.stop

    @property
    def least(self) -> float:
        return self.long + (HIDDEN if self.kind == "concealed" else 0.0)


def kind_of(step: RecipeStep) -> str:
    return str(step.spec.get("kind", "centred"))


def fitted(step: RecipeStep, seam: Seam, shop: Shop) -> Fitted:
    kind = kind_of(step)
    row = {"centred": shop.zip["centred"], "lapped": shop.zip["lap"], "concealed": BESIDE_COIL}[kind]
    return Fitted(kind, seam.a_mm, shop.zip["stop"], row)


def zip_at(context: Context, place: object) -> tuple[RecipeStep, Seam] | None:
    """The zip that another step speaks of by PIECE.MARK, the mark at its foot."""
    for step in context.steps:
        for seam in context.of_step(step.id) if step.verb == "zip" else ():
            if str(place) in foot_names(seam, context.copies):
                return step, seam
    return None


# ---------------------------------------------------------------- its two sides, its top and its foot


def top_and_foot(context: Context, run: Run) -> tuple[Half | None, Mark | None]:
    """The edge round the corner at a zip's open end, and the mark at which it ends."""
    ends = ((run.parts[0], True), (run.parts[-1], False))
    marks = [context.mark_at(part, at_start) for part, at_start in ends]
    foot = next((m for m in marks if m is not None), None)
    top = next((context.beyond(*end) for end, m in zip(ends, marks, strict=True) if m is None), None)
    return top, foot


def side_names(context: Context, seam: Seam) -> tuple[Name, Name]:
    """The first and the second edge's pieces: 'left back' and 'right back', or 'front' and 'back'."""
    assert seam.b is not None
    one, two = (context.copies[run.parts[0].copy] for run in (seam.a, seam.b))
    alike = one.piece.name == two.piece.name
    first, second = (
        Name(
            context.tongue.grammar.sided(piece_words(c.piece.title), c.side)
            if alike
            else piece_words(c.piece.title),
            (c.piece.number,),
        )
        for c in (one, two)
    )
    return first, second


def _seam_below(context: Context, seam: Seam) -> str:
    """Whether the rest of the seam has been sewn, comes later, or is no part of this recipe."""
    part: Part = seam.a.parts[0]
    if context.treated(part.copy, part.edge, context.earlier, "join"):
        return "sewn"
    return "later" if context.treated(part.copy, part.edge, context.later, "join") else ""


def facts(context: Context) -> Facts:
    seam = context.group("zip")[0]
    fit = fitted(context.step, seam, context.shop)
    top, foot = top_and_foot(context, seam.a)
    over, under = side_names(context, seam)
    return {
        "kind": fit.kind,
        "over": over,
        "under": under,
        "edge": edge_words(context.half(seam.a.parts[0])),
        "top": edge_words(top) if top else str(context.tongue.small["top"]),
        "foot": mark_words(foot, context.tongue) if foot else str(context.tongue.small["end"]),
        "opening": fit.opening,
        "long": fit.long,
        "stop": fit.stop,
        "row": fit.row,
        "below_stop": BELOW_STOP,
        "under_out": UNDER_OUT,
        "under_in": UNDER_IN,
        "hidden": HIDDEN,
        "cut_below": CUT_BELOW,
        "rows": _rows(fit),
        "below": _seam_below(context, seam),
        "neaten": _neatens(context, seam),
        "tolerance": TOLERANCE,
        "equal": context.shop.equal,
    }


def _neatens(context: Context, seam: Seam) -> bool:
    return seam.neaten == "apart" and not context.neatened(seam.a, seam.b)


def _rows(fit: Fitted) -> float:
    """What is sewn through the tapes in all, mm."""
    below = BELOW_STOP
    across = {"centred": 2 * (fit.row + below), "lapped": fit.row + below, "concealed": 0.0}[fit.kind]
    return 2 * fit.opening + across


def stitching(context: Context) -> tuple[Stitching, ...]:
    seam = context.group("zip")[0]
    fit = fitted(context.step, seam, context.shop)
    out = [Stitching(LOCKSTITCH, _rows(fit), "zip", APPLIED, 2)]
    # The opening and both tapes; the one fold; both tapes.
    basted = {"centred": 3, "lapped": 1, "concealed": 2}[fit.kind]
    out.append(Stitching(LOCKSTITCH, basted * fit.opening, "basting", LAPPED, basted))
    if _neatens(context, seam):
        out.append(Stitching(OVEREDGE, 2 * fit.opening, "neatening", EDGE_FINISH, 2, "neatening"))
    return tuple(out)


def effort(context: Context) -> Effort:
    seam = context.group("zip")[0]
    return Effort(1, matches=2, acts=("press",), iron=2 * seam.a_mm)


OPERATION = Operation("zip", facts, stitching, effort)
