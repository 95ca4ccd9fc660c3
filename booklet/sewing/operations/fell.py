"""fell: a raw end turned in and its fold sewn down by hand, to a zip's tape or over an earlier seam."""

from __future__ import annotations

from booklet.model import Half, Run, Seam
from booklet.sewing.operations.base import (
    HAND,
    LAPPED,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import called_together, edge_names, edge_words, seam_called
from booklet.sewing.operations.zip import zip_at

CLEAR = 6.0  # mm from a zip's teeth to the fold, so that they never catch (common practice, no source)


def _seams(context: Context) -> tuple[Seam, ...]:
    return tuple(s for g in context.groups("fell") for s in g)


def ends_at_zip(context: Context, run: Run | None) -> tuple[Half, ...]:
    """The ends of a facing's run that are sewn to a zip later: they are turned in before the facing is sewn on."""
    if run is None:
        return ()
    out = []
    for part, at_start in ((run.parts[0], True), (run.parts[-1], False)):
        end = context.beyond(part, at_start)
        felled = context.treated(part.copy, end.name, (*context.seams, *context.later), "fell")
        step = next((s for s in context.steps if felled is not None and s.id == felled.step), None)
        if step is not None and zip_at(context, str(step.spec["to"])) is not None:
            out.append(end)
    return tuple(out)


def _faced(context: Context, seam: Seam) -> Seam | None:
    """The seam by which the facing of a felled end was sewn on before."""
    copies = {p.copy for p in seam.a.parts}
    return next(
        (s for s in context.earlier if s.kind == "face" and s.b and copies & {p.copy for p in s.b.parts}),
        None,
    )


def facts(context: Context) -> Facts:
    seams = _seams(context)
    target = str(context.spec["to"])
    tape = zip_at(context, target) is not None
    over = next((s for s in context.of_step(target) if s.b is not None), None)
    copies = {c.id: c for s in seams for c in context.run_copies(s.a)}
    allow = seams[0].allow_a
    faced = _faced(context, seams[0]) if tape else None
    return {
        "pieces": called_together(context, copies.values()),
        "edges": tuple(dict.fromkeys(e for s in seams for e in edge_names(context, s.a))),
        "count": len(seams),
        "tape": tape,
        "faced": edge_words(context.half(faced.a.parts[0])) if faced else "",
        "clear": CLEAR,
        "turn": allow + CLEAR if tape else allow,
        "over": "" if tape or over is None else seam_called(context, over),
        "length": seams[0].a_mm,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    seams = _seams(context)
    return (Stitching(HAND, sum(s.a_mm for s in seams), "felling", LAPPED, len(seams), "hand"),)


def effort(context: Context) -> Effort:
    seams = _seams(context)
    return Effort(len(seams), acts=("press",), iron=sum(s.a_mm for s in seams))


OPERATION = Operation("fell", facts, stitching, effort)
