"""french seam, flat fell, lapped seam: joins whose raw edges end up inside, each with its own two rows."""

from __future__ import annotations

from booklet.model import Seam
from booklet.sewing.operations import join
from booklet.sewing.operations.base import (
    LAPPED,
    LOCKSTITCH,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Speed,
    Stitching,
    sewn_length,
)
from booklet.sewing.operations.curves import bend_of
from booklet.sewing.operations.names import piece_names

# Common practice, no source, as all widths below.
FRENCH_INSIDE = 6.0  # mm: from the turned edge to the second row of a French seam
FRENCH_TRIM = 3.0  # mm: what is left of its allowances after the first row
FELL_UNDER = 6.0  # mm: what is left of the allowance that is covered
FELL_IN = 2.0  # mm: from the felled fold to its row
LAP_IN = 2.0  # mm: from the lapped fold to its row


def french_facts(context: Context) -> Facts:
    return {
        **join.facts(context),
        "first": context.group("join")[0].allow_a - FRENCH_INSIDE,
        "second": FRENCH_INSIDE,
        "trim": FRENCH_TRIM,
    }


def fell_facts(context: Context) -> Facts:
    seam = context.group("join")[0]
    over, under = covering(seam)
    return {
        **join.facts(context),
        "under_trim": FELL_UNDER if under > FELL_UNDER + 1 else 0.0,
        "turn_in": over - min(FELL_UNDER, under),
        "over_allow": over,
        "covered": _titled(context, seam, covering_side=False),
        "covering": _titled(context, seam, covering_side=True),
        "inside": FELL_IN,
    }


def lap_facts(context: Context) -> Facts:
    seam = context.group("join")[0]
    assert seam.allow_b is not None
    return {
        **join.facts(context),
        "fold": seam.allow_a,
        "under_allow": seam.allow_b,
        "inside": LAP_IN,
    }


def covering(seam: Seam) -> tuple[float, float]:
    """Allowances of a flat fell: the one that is folded over, and the one that it covers. It lies on the side pressed to."""
    a, b = seam.allow_a, seam.allow_b or 0.0
    return (b, a) if seam.press == "to a" else (a, b)


def _titled(context: Context, seam: Seam, covering_side: bool) -> str:
    first = (seam.press == "to a") != covering_side
    run = seam.a if first else seam.b
    return piece_names(context.run_copies(run)[:1])[0].words


def two_rows(context: Context) -> tuple[Stitching, ...]:
    """French: two seams; flat fell: a seam and its topstitching. A lapped seam has its one row."""
    out: list[Stitching] = []
    verb = context.step.verb
    for group in context.groups("join"):
        length = sum(sewn_length(s) for s in group)
        speed: Speed = "curved" if bend_of(context, group[0].a).curved else "straight"
        seam_class = SUPERIMPOSED if verb == "french seam" else LAPPED
        if verb != "lapped seam":
            out.append(Stitching(LOCKSTITCH, length, "seam", seam_class, len(group), speed))
        second = "seam" if verb == "french seam" else "topstitching"
        out.append(Stitching(LOCKSTITCH, length, second, seam_class, len(group), speed))
    return tuple(out)


def effort(context: Context) -> Effort:
    group = context.group("join")
    sections = sum(len(s.sections) for s in group)
    twice = 1 if context.step.verb == "lapped seam" else 2
    acts = ("press",) * twice if context.step.verb == "lapped seam" else ("trim", "press", "press")
    return Effort(
        len(group) * twice, sections, acts * len(group), iron=twice * sum(sewn_length(s) for s in group)
    )


FRENCH = Operation("french seam", french_facts, two_rows, effort)
FELL = Operation("flat fell", fell_facts, two_rows, effort)
LAP = Operation("lapped seam", lap_facts, two_rows, effort)
