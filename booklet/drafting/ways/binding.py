"""`binding:` a bias strip for an edge, its length from the edge's and its width from the finished binding's."""

from __future__ import annotations

from dataclasses import replace

from booklet import bias
from booklet.drafting.asked import Asked
from booklet.drafting.shape import Run, Shape
from booklet.model import BindingOf
from booklet.paths import Path

# All common practice, no source.
TURN_OF_CLOTH = 4.0  # mm added to the width of the strip
JOIN = 6.0  # mm allowance of a join
TURNED_IN = 10.0  # mm at each end of a binding that does not come round
LONGEST = 900.0  # mm: strips longer than this are awkward to cut on the bias


def from_binding(asked: Asked) -> Shape:
    """`binding: {of: RUN, wide, kind, turn, before, after, join, longest}`: one of the equal strips that make it."""
    wide = asked.amount("wide")
    kind: bias.BindingKind = "double" if asked.words("kind", "single") == "double" else "single"
    turn = asked.amount("turn", default=TURN_OF_CLOTH)
    before, after = asked.amount("before", default=0.0), asked.amount("after", default=0.0)
    join, longest = asked.amount("join", default=JOIN), asked.amount("longest", default=LONGEST)
    of = asked.words("of")
    ring = of.replace(" ", "").startswith("ring(")
    covers = asked.maker.shape_length(asked.table, of) or 0.0
    if not wide > 0 or min(turn, before, after) < 0 or not join > 0:
        raise asked.fault(
            "binding",
            f"{asked.key} is a binding {wide:.1f} mm wide that runs on by {before:.0f} and {after:.0f} mm",
            "Give it a width above 0, and 0 or more beyond its ends.",
        )
    if ring and (before or after):
        raise asked.fault("binding", f"{asked.key} binds a ring, so it has no ends to run on",
                          "Take out before: and after:.")  # fmt: skip
    if kind == "double" and (before or after):
        raise asked.fault(
            "binding",
            f"{asked.key} is double: beyond its ends it would be too thick to fold into a tie",
            "Make it single, or sew ties of their own.",
        )
    width = bias.cut_width(wide, kind, turn)
    made = BindingOf(of, kind, wide, covers, before, after, 0.0 if ring else TURNED_IN, 1, join)
    # A binding that comes round is joined to itself along its slanted ends, which then are not cut square.
    need = covers + bias.join_loss(join) - width if ring else made.long
    try:
        strips = bias.strips_for(need, width, join, longest)
    except ValueError as bad:
        raise asked.fault("binding", f"{asked.key}: {bad}", "Let `longest:` be more.") from None
    return _strip(strips, replace(made, strips=strips.count))


def _strip(strips: bias.Strips, binding: BindingOf) -> Shape:
    """A strip lying across, its ends on the straight grain, which runs at 45 degrees."""
    long, wide = strips.each, strips.width
    corners = [0j, complex(long), complex(long + wide, wide), complex(wide, wide)]
    names = ("sewn_edge", "end", "other_edge", "start")
    runs = tuple(Run(n, Path.line(corners[k], corners[(k + 1) % 4])) for k, n in enumerate(names))
    middle, reach = complex((long + wide) / 2, wide / 2), (1 - 1j) * wide * 0.3
    return Shape(runs, "whole", grain=(middle - reach, middle + reach), binding=binding)
