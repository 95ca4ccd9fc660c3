"""A recipe's acts, the plies that they are done to and the cloths of these: what the rules of order are asked of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from booklet.model import Copy
from booklet.seams.table import SeamTable
from booklet.sewing.acts_done import Act, Spot, acts_done
from booklet.sewing.ends import seam_ends


class Work:
    """A recipe's acts and the plies they are done to. `cloths` are those of style.yaml, by name."""

    def __init__(self, table: SeamTable, copies: tuple[Copy, ...], cloths: Mapping[str, Any]) -> None:
        self.acts = acts_done(table, copies)
        self.named: dict[str, list[Act]] = {}
        for act in self.acts:
            self.named.setdefault(act.name, []).append(act)
        self.copies = {c.id: c for c in copies}
        self.ends = {s.id: seam_ends(s, self.copies) for s in table.seams if s.b is not None}
        self.knits = frozenset(k for k, c in cloths.items() if isinstance(c, Mapping) and c.get("knit"))

    def of(self, names: Sequence[str]) -> list[Act]:
        return [act for name in names for act in self.named.get(name, ())]

    def beside(self, spot: Spot, at_high: bool) -> str:
        """The edge round the corner at one end of a stretch."""
        ring = self.copies[spot.copy].edges
        n = next(k for k, h in enumerate(ring) if h.name == spot.edge)
        return ring[(n + 1) % len(ring)].name if at_high else ring[n - 1].name


def same_edge(work: Work, first: Act, then: Act) -> bool:
    """Whether two acts deal with one stretch. Those of one step are all done to its own seam, sewn or not."""
    return first.step == then.step or any(a.overlaps(b) for a in first.spots for b in then.spots)
