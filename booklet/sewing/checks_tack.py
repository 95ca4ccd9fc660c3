"""Checks of tacking: it holds something that is there, and an edge that no longer frays."""

from __future__ import annotations

from booklet.model import Copy, Seam
from booklet.problems import Collector, nearest
from booklet.seams.table import RecipeStep, SeamTable

DONE = ("finish", "hem", "bind", "casing", "face", "band", "join")  # what has dealt with a raw edge


def check_tacks(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    order = {s.id: n for n, s in enumerate(table.steps)}
    pieces = list(dict.fromkeys(c.piece.name for c in copies if c.host is None))
    for step in table.steps:
        if step.verb != "tack":
            continue
        earlier = [s for s in table.seams if order[s.step] < order[step.id]]
        sewn = list(dict.fromkeys(s.step for s in earlier if s.b is not None or s.kind == "hem"))
        to = str(step.spec.get("to"))
        if to not in sewn and to not in pieces:
            collector.error(
                "tack-to",
                step.where,
                f"'{to}' is neither a piece nor a step before this one that has sewn a seam to tack to",
                nearest(to, [*sewn, *pieces]).strip()
                or "Name the piece, or the step whose allowances hold it.",
            )
        for seam in table.of_step(step.id)[:1]:
            if seam.press != "at":
                _raw(step, seam, earlier, collector)


def _raw(step: RecipeStep, seam: Seam, earlier: list[Seam], collector: Collector) -> None:
    """Every edge that is tacked has been finished before: it lies open inside the garment."""
    done = {
        (p.copy, p.edge) for s in earlier if s.kind in DONE for p in (*s.a.parts, *(s.b.parts if s.b else ()))
    }
    if any((p.copy, p.edge) not in done for p in seam.a.parts):
        collector.warning(
            "tack-raw",
            step.where,
            f"{seam.a.text} is tacked down raw: it frays inside",
            f"Finish it before: `finish: [{seam.a.text}]`, or say why not: `although:`.",
        )
