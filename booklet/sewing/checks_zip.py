"""Checks of zips: where they end, and what comes before and after them (rules 14, 15 and 28 of the trade's order)."""

from __future__ import annotations

from booklet.model import Copy, Part, Run, Seam
from booklet.problems import Collector, nearest
from booklet.seams.runs import foot_names
from booklet.seams.table import RecipeStep, SeamTable

CLOSING = ("face", "band")  # what covers a zip's top end


def check_zips(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """A zip ends at a mark, is set in before its top is closed and in its kind's order with the seam below.

    Steps that sew something to a zip name one that has been set in, by the mark at its foot.
    """
    by_id = {c.id: c for c in copies}
    order = {s.id: n for n, s in enumerate(table.steps)}
    zips = [s for s in table.steps if s.verb == "zip"]
    for step in zips:
        for seam in (s for s in table.of_step(step.id) if s.kind == "zip"):
            _foot(step, seam, by_id, collector)
            _order(table, step, seam, order, by_id, collector)
    for step in table.steps:
        earlier = [s.id for s in table.steps[: order[step.id]]]
        set_in = [
            name
            for z in zips
            if z.id in earlier
            for s in table.of_step(z.id)
            for name in foot_names(s, by_id)
        ]
        if step.verb == "hook":
            _known(step, str(step.spec.get("at")), set_in, "no zip", collector)
        if step.verb == "fell":
            _known(step, str(step.spec.get("to")), [*set_in, *earlier], "no zip or step", collector)


def _known(step: RecipeStep, name: str, known: list[str], what: str, collector: Collector) -> None:
    if name not in known:
        collector.error(
            "unknown-step",
            step.where,
            f"{what} '{name}' has been sewn before this one to sew to",
            nearest(name, known).strip()
            or "Name an earlier step, or a zip as PIECE.MARK, the mark at its foot.",
        )


def _ends(run: Run, copies: dict[str, Copy]) -> tuple[bool, bool]:
    """Whether a run begins, and whether it ends, at an edge's own end."""

    def own(part: Part, at: float) -> bool:
        return at < 0.05 or at > copies[part.copy].by_name[part.edge].edge.length - 0.05

    return own(run.parts[0], run.parts[0].start), own(run.parts[-1], run.parts[-1].end)


def _foot(step: RecipeStep, seam: Seam, copies: dict[str, Copy], collector: Collector) -> None:
    assert seam.b is not None
    for run in (seam.a, seam.b):
        if sum(_ends(run, copies)) != 1:
            collector.error(
                "zip-foot",
                step.where,
                f"the zip in {run.text} does not run from one end of that edge to a mark on it",
                "Write EDGE[NEIGHBOUR..MARK]: from the edge at its top to the mark at its foot.",
            )


def _order(
    table: SeamTable,
    step: RecipeStep,
    seam: Seam,
    order: dict[str, int],
    copies: dict[str, Copy],
    collector: Collector,
) -> None:
    mine = {(p.copy, p.edge) for p in seam.a.parts}
    tops = {(c, _beyond(copies[c], e)) for c, e in mine}
    for other in table.seams:
        parts = {(p.copy, p.edge) for p in (*other.a.parts, *(other.b.parts if other.b else ()))}
        before = order[other.step] < order[step.id]
        if other.kind in CLOSING and before and any(c == t and e in es for c, e in parts for t, es in tops):
            collector.error(
                "zip-late",
                step.where,
                f"the zip is set in after step '{other.step}' has closed its top: the tape's ends cannot be covered",
                "Set the zip in first.",
            )
        if other.kind != "join" or not parts & mine:
            continue
        concealed = step.spec.get("kind") == "concealed"
        if concealed == before:
            collector.warning(
                "zip-order",
                step.where,
                f"the {step.spec.get('kind', 'centred')} zip is set in {'after' if before else 'before'} the seam "
                f"below it (step '{other.step}')",
                "Sew that seam after the zip." if before else "Sew that seam before the zip.",
            )


def _beyond(copy: Copy, edge: str) -> tuple[str, str]:
    """The edges on both sides of an edge."""
    n = next(k for k, h in enumerate(copy.edges) if h.name == edge)
    return copy.edges[n - 1].name, copy.edges[(n + 1) % len(copy.edges)].name
