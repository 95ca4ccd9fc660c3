"""Every pleat is folded, and before a seam that crosses its end: else the seam would hold it open."""

from __future__ import annotations

from booklet.model import Copy, Pleat, Seam
from booklet.problems import Collector, nearest
from booklet.seams.table import SeamTable


def check_pleats(
    table: SeamTable, copies: tuple[Copy, ...], consuming: tuple[str, ...], collector: Collector
) -> None:
    """`consuming` are the kinds of seam that deal with an edge for good. Source of the order: TRADE.md 5, rule 7."""
    groups: dict[tuple[str, str], list[Pleat]] = {}
    for copy in copies:
        for pleat in copy.pleats:
            groups.setdefault((copy.piece.name, pleat.group), []).append(pleat)
    order: dict[tuple[str, str], int] = {}
    for n, step in enumerate(table.steps):
        for ref in step.spec if step.verb == "pleat" else ():
            key, _, name = str(ref).partition(".")
            group = next(
                (g for g, ps in groups.items() if g[0] == key and name in (g[1], *(p.name for p in ps))), None
            )
            if group is None:
                known = [f"{k}.{g}" for k, g in groups]
                collector.error(
                    "unknown-pleat",
                    step.where,
                    f"there is no pleat '{ref}'",
                    nearest(str(ref), known).strip(),
                )
            else:
                order.setdefault(group, n)
    for (key, name), pleats in groups.items():
        plies = [c for c in copies if c.piece.name == key]
        crossing = next((s for s in table.seams if s.kind in consuming and _crosses(s, plies, pleats)), None)
        if (key, name) not in order:
            collector.error(
                "pleat-open",
                crossing.where if crossing else plies[0].piece.where,
                f"the pleat {key}.{name} is never folded",
                f"Add a step `pleat: [{key}.{name}]` before this one.",
            )


def _crosses(seam: Seam, plies: list[Copy], pleats: list[Pleat]) -> bool:
    """Whether a seam is sewn over a stretch that the pleats fold away."""
    names = {p.name for p in pleats}
    for part in (*seam.a.parts, *(seam.b.parts if seam.b else ())):
        copy = next((c for c in plies if c.id == part.copy), None)
        if copy is None:
            continue
        low, high = sorted((part.start, part.end))
        ups = copy.by_name[part.edge].edge.take_ups
        if any(u.name in names and u.start < high - 0.1 and u.end > low + 0.1 for u in ups):
            return True
    return False
