"""Checks of bound slits: slit and strip are there and fit each other, and the cuff or band comes after (rule 22)."""

from __future__ import annotations

from booklet.model import Copy, Opening
from booklet.problems import Collector, nearest
from booklet.seams.table import RecipeStep, SeamTable

SHORT = 1.0  # mm: so much may lack at the strip's ends
# How often the slit's own length the strip may be at most: the rest would be cut off. Common practice, no source.
MOST = 1.4


def needed(copy: Copy, opening: Opening) -> float:
    """How long a strip must be: up and down the slit, its lower edge's allowance at both ends, mm."""
    half = next(h for h in copy.edges if h.base == opening.edge)
    return 2 * (opening.depth + half.edge.allow)


def cut_size(strip: Copy) -> tuple[float, float]:
    """Length and width of a rectangular strip with its allowances, mm."""
    first, second, third, fourth = (h.edge for h in strip.edges[:4])
    across = (first.length + second.allow + fourth.allow, second.length + first.allow + third.allow)
    return max(across), min(across)


def check_plackets(
    table: SeamTable, copies: tuple[Copy, ...], consuming: tuple[str, ...], collector: Collector
) -> frozenset[str]:
    """The pieces used as strips: their edges lie folded in, so that no other step deals with them."""
    used = []
    slits = {f"{c.piece.name}.{o.name}" for c in copies for o in c.openings}
    for n, step in enumerate(table.steps):
        if step.verb != "placket":
            continue
        slit, key = str(step.spec.get("slit")), str(step.spec.get("with"))
        strips = [c for c in copies if c.piece.name == key and c.host is None]
        used.append(key)
        if slit not in slits:
            collector.error(
                "unknown-opening",
                step.where,
                f"there is no opening '{slit}'",
                nearest(slit, sorted(slits)).strip(),
            )
        elif not strips or len(strips[0].edges) != 4:
            collector.error(
                "unknown-strip",
                step.where,
                f"'{key}' is not a strip that is cut" if not strips else f"{key} is no strip with four edges",
                nearest(key, dict.fromkeys(c.piece.name for c in copies)).strip()
                or "Draw it as a rectangle:.",
            )
        else:
            hosts = [(c, o) for c in copies for o in c.openings if f"{c.piece.name}.{o.name}" == slit]
            _fits(step, hosts, strips, collector)
            _order(table, n, hosts, consuming, collector)
    return frozenset(used)


def _fits(
    step: RecipeStep, hosts: list[tuple[Copy, Opening]], strips: list[Copy], collector: Collector
) -> None:
    key = strips[0].piece.name
    if len(hosts) != len(strips):
        collector.error(
            "strip-count",
            step.where,
            f"{len(strips)} of {key} are cut, for {len(hosts)} slits",
            "Cut one strip for each slit.",
        )
    long = cut_size(strips[0])[0]
    least = max(needed(*h) for h in hosts)
    if not least - SHORT <= long <= least * MOST:
        collector.error(
            "strip-length",
            step.where,
            f"{key} is cut {long:.0f} mm long; up one side of the slit and down the other it takes {least:.0f} mm",
            "Draw it twice as long as the slit is deep, and the lower edge's allowance at both ends.",
        )


def _order(
    table: SeamTable,
    n: int,
    hosts: list[tuple[Copy, Opening]],
    consuming: tuple[str, ...],
    collector: Collector,
) -> None:
    before = {s.id for s in table.steps[:n]}
    sewn = [s for s in table.seams if s.step in before and s.kind in consuming]
    edges = {(c.id, h.name) for c, o in hosts for h in c.edges if h.base == o.edge}
    for seam in sewn:
        if edges & {(p.copy, p.edge) for p in (*seam.a.parts, *(seam.b.parts if seam.b else ()))}:
            collector.error(
                "placket-late",
                table.steps[n].where,
                f"the slit is bound after step '{seam.step}' has closed the edge it begins at",
                "Bind the slit first.",
            )
            return
    pieces = {c.id for c, _ in hosts}
    for seam in sewn:
        if seam.b and pieces & {p.copy for p in seam.a.parts} & {p.copy for p in seam.b.parts}:
            collector.warning(
                "placket-round",
                table.steps[n].where,
                f"the slit is bound after step '{seam.step}' has made its piece round",
                "Bind it while the piece lies flat.",
            )
            return
