"""A slit inside a piece: its stitching runs down one side, across the foot and up the other."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from booklet.model import Copy, Opening
from booklet.sewing.operations.base import Context, Facts
from booklet.sewing.operations.names import edge_words, piece_names

CUT_SHORT = 1.0  # mm that the cut stops before the stitching at the foot (common practice, no source)


@dataclass(frozen=True)
class Slit:
    """An opening and the ply that it lies in."""

    copy: Copy
    opening: Opening
    called: str = ""

    @property
    def side_length(self) -> float:
        """Length of the stitching on one side, mm, from the edge's stitch line to the foot."""
        return math.hypot(self.opening.depth, self.opening.mouth / 2)

    @property
    def stitching(self) -> float:
        return 2 * self.side_length


def slit_named(context: Context, text: str) -> Slit | None:
    """The slit that 'back.slit' names."""
    piece, _, name = text.partition(".")
    for copy in context.plies(piece):
        for opening in copy.openings:
            if opening.name == name:
                return Slit(copy, opening, context.tongue.said(opening.name.replace("_", " ")))
    return None


def slit_of(context: Context, raw: Any) -> Slit | None:
    """The slit of a step's `opening:`, plain or {is:, when:}."""
    if raw is None:
        return None
    if isinstance(raw, Mapping):
        if not context.draft.applies(raw.get("when"), context.step.where):
            return None
        raw = raw["is"]
    return slit_named(context, str(raw))


def slit_facts(slit: Slit) -> Facts:
    half = next(h for h in slit.copy.edges if h.base == slit.opening.edge)
    return {
        "name": slit.called,
        "piece": piece_names([slit.copy])[0],
        "edge": edge_words(half),
        "depth": slit.opening.depth,
        "beside": slit.opening.mouth / 2,
        "mouth": slit.opening.mouth,
        "stitching": slit.stitching,
        "cut_short": CUT_SHORT,
        "allow": half.edge.allow,
    }
