"""Checks of collars: both sides fit each other, and the collar is made before it is sewn to anything (rule 16)."""

from __future__ import annotations

from booklet.model import Copy, Run
from booklet.problems import Collector
from booklet.seams.table import RecipeStep, SeamTable

# The upper side is larger by the turn of cloth, 1 to 3 mm all round: some 2 % of its edges. Common practice, no source.
LARGER = 0.05
SHORT = 1.5  # mm: the under side must not be longer by more than what counts as equal


def check_collars(
    table: SeamTable, copies: tuple[Copy, ...], consuming: tuple[str, ...], collector: Collector
) -> None:
    by_id = {c.id: c for c in copies}
    for n, step in enumerate(table.steps):
        if step.verb == "collar" and "pieces" in step.spec:
            _fits(table, step, collector)
            _early(table, n, by_id, consuming, collector)
            _soft(step, copies, collector)


def _fits(table: SeamTable, step: RecipeStep, collector: Collector) -> None:
    for seam in table.of_step(step.id):
        assert seam.b is not None and seam.b_mm is not None
        more = seam.difference
        if more < -SHORT or more > max(SHORT, LARGER * seam.a_mm):
            collector.error(
                "collar-fit",
                step.where,
                f"{seam.a.text} is {seam.a_mm:.1f} mm and {seam.b.text} {seam.b_mm:.1f} mm: "
                f"the under side is {abs(more):.1f} mm {'shorter' if more > 0 else 'longer'}",
                "Draw the under side from the upper one: `collar: {under: PIECE, turn: 2 mm}`; name the upper one first.",
            )


def _soft(step: RecipeStep, copies: tuple[Copy, ...], collector: Collector) -> None:
    """One side of a collar has interfacing."""
    pieces = [str(p) for p in step.spec["pieces"]]
    if pieces and not any(c.piece.name in pieces and c.host is not None for c in copies):
        collector.warning(
            "collar-soft",
            step.where,
            f"neither {' nor '.join(pieces)} has interfacing: the collar does not keep its shape",
            f"Cut {pieces[0]} from interfacing too and fuse it, or say why not: `although:`.",
        )


def _early(
    table: SeamTable, n: int, copies: dict[str, Copy], consuming: tuple[str, ...], collector: Collector
) -> None:
    step = table.steps[n]
    pieces = [str(p) for p in step.spec["pieces"]]
    before = {s.id for s in table.steps[:n]}

    def of_collar(run: Run | None) -> bool:
        return run is not None and any(copies[p.copy].piece.name in pieces for p in run.parts)

    for seam in table.seams:
        if seam.kind in consuming and seam.step in before and (of_collar(seam.a) or of_collar(seam.b)):
            collector.error(
                "collar-late",
                step.where,
                f"the collar is made after step '{seam.step}' has sewn it on: it cannot be turned any more",
                "Make the collar first.",
            )
            return
