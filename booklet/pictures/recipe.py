"""The pictures of a whole recipe, in order; the bench remembers what is sewn and fused so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from booklet.formula import parse_formula
from booklet.model import Copy, Seam, StepPicture
from booklet.pictures.bench import Bench
from booklet.pictures.folding import closings, darts_closed
from booklet.pictures.steps import StepScene, step_picture
from booklet.prepare import Prepared
from booklet.seams.runs import foot_names
from booklet.seams.table import RecipeStep
from booklet.sewing.operations.fell import CLEAR
from booklet.sewing.operations.hook import BACK
from booklet.sewing.operations.placket import turned_under
from booklet.sewing.operations.pleat import pleats_of
from booklet.sewing.operations.topstitch import row_places
from booklet.sewing.operations.zip import BELOW_STOP, UNDER_OUT, fitted
from booklet.sewing.words import StepWords


@dataclass(frozen=True)
class DrawnStep:
    """A step's pictures (none where it touches no cloth) and the labels that found no place."""

    step: RecipeStep
    pictures: tuple[StepPicture, ...]
    left_over: tuple[str, ...]


def draw_recipe(
    prepared: Prepared,
    units: Literal["cm", "in"],
    words: Sequence[StepWords] = (),
    only: frozenset[str] | None = None,
) -> tuple[DrawnStep, ...]:
    """The pictures of every step, or of those with an id in `only`, in order. With the steps' words they show the same
    worked-out lengths.
    """
    facts = {w.id: w.facts for w in words}
    bench = Bench({c.id: c for c in prepared.copies}, {c.piece.key: c for c in prepared.cuts})
    out = []
    for step in prepared.seams.steps:
        seams = prepared.seams.of_step(step.id)
        if only is not None and step.id not in only:
            bench = _after(bench, step, seams, prepared.copies)
            continue
        scene = StepScene(
            step.verb,
            step.spec,
            step.raw,
            seams,
            bench,
            units,
            _openings(step, prepared),
            {**_numbers(step, seams, prepared), **_told(facts.get(step.id, {}))},
            _ends(step, seams, prepared),
        )
        pictures, left = step_picture(scene)
        out.append(DrawnStep(step, pictures, tuple(label.text for label in left)))
        bench = _after(bench, step, seams, prepared.copies)
    return tuple(out)


def _told(facts: Mapping[str, object]) -> dict[str, float]:
    """Lengths that a step's words and its picture both give."""
    return {key: value for key in ("flat", "drawn") if isinstance(value := facts.get(key), float)}


def _after(bench: Bench, step: RecipeStep, seams: tuple[Seam, ...], copies: tuple[Copy, ...]) -> Bench:
    fused = bench.fused
    if step.verb == "fuse":
        keys = [str(k) for k in (step.spec if isinstance(step.spec, list) else [step.spec])]
        fused = fused | {c.id for c in copies if c.piece.name in keys and c.host is None}
    darted, folds = bench.darted, dict(bench.folds)
    if step.verb == "dart":
        refs = [str(r) for r in (step.spec if isinstance(step.spec, list) else [step.spec])]
        for copy in copies:
            sewn = [d for d in copy.darts if copy.host is None and f"{copy.piece.name}.{d.name}" in refs]
            darted = darted | {f"{copy.id}.{d.name}" for d in sewn}
            if sewn:
                folds[copy.id] = darts_closed(copy, sewn, folds.get(copy.id, ()))
    if step.verb == "pleat":
        for group in pleats_of(copies, step.spec):
            names = tuple(p.name for p in group.pleats)
            for copy in group.copies:
                darted = darted | {f"{copy.id}.{n}" for n in names}
                folds[copy.id] = (*closings(copy, names), *folds.get(copy.id, ()))
    bound = bench.bound | ({str(step.spec["slit"]).partition(".")[0]} if step.verb == "placket" else set())
    return replace(
        bench, done=(*bench.done, *seams), fused=fused, darted=darted, bound=bound, folds=folds
    )  # fmt: skip


def _openings(step: RecipeStep, prepared: Prepared) -> tuple[str, ...]:
    raw = step.raw.get("opening")
    if not raw:
        return ()
    if isinstance(raw, Mapping):
        if not prepared.table.applies(raw.get("when"), step.where):
            return ()
        raw = raw.get("is")
    return (str(raw).partition(".")[2],)


def _ends(step: RecipeStep, seams: tuple[Seam, ...], prepared: Prepared) -> tuple[tuple[str, str], ...]:
    """Copy and edge of a facing's ends that a later step sews to a zip; towards which a slit's strip is turned under."""
    copies = {c.id: c for c in prepared.copies}
    if step.verb == "placket":
        slits = ((c, o) for c in prepared.copies for o in c.openings if c.host is None)
        named = ((c, o) for c, o in slits if f"{c.piece.name}.{o.name}" == str(step.spec["slit"]))
        return tuple((c.id, turned_under(c, o, prepared.seams.seams).name) for c, o in named)
    if step.verb != "face":
        return ()
    feet = {name for s in prepared.seams.seams if s.kind == "zip" for name in foot_names(s, copies)}
    felled = {s.id for s in prepared.seams.steps if s.verb == "fell" and str(s.spec["to"]) in feet}
    mine = {p.copy for s in seams if s.b is not None for p in s.b.parts}
    parts = (p for s in prepared.seams.seams if s.step in felled for p in s.a.parts if p.copy in mine)
    return tuple((p.copy, p.edge) for p in parts)


def _numbers(step: RecipeStep, seams: tuple[Seam, ...], prepared: Prepared) -> dict[str, float]:
    """Worked-out lengths that a picture shows beside the seams' own."""
    out: dict[str, float] = {}
    drawn = [d for d in prepared.seams.drawn if d.step == step.id]
    if drawn and seams:
        first = seams[0]
        out["drawn"] = first.a_mm - sum(d.by for d in drawn if any(d.copy == p.copy for p in first.a.parts))
    if step.verb == "casing" and isinstance(step.spec, Mapping):
        key, _, line = str(step.spec.get("along", "")).partition(".")
        piece = prepared.draft.named(key)
        fold = next((f for f in piece.fold_lines if f.name == line), None) if piece else None
        edge = piece.edge(seams[0].a.parts[0].edge) if piece and seams else None
        if fold is not None and edge is not None:
            mid = fold.path.point(fold.path.length / 2)
            out["casing"] = abs(edge.path.point(edge.path.nearest(mid)) - mid)
    if step.verb == "zip" and seams:
        fit = fitted(step, seams[0], prepared.shop)
        out |= {"row": fit.row, "stop": fit.stop, "under_out": UNDER_OUT, "below_stop": BELOW_STOP}
    if step.verb == "gather" and seams:
        before = prepared.seams.steps[: prepared.seams.steps.index(step)]
        bound = [str(s.spec["slit"]) for s in before if s.verb == "placket"]
        held = {p.copy for p in seams[0].a.parts}
        out["bound"] = float(
            any(c.piece.name == b.split(".")[0] for b in bound for c in prepared.copies if c.id in held)
        )
    if step.verb == "placket":
        out["seam"] = parse_formula(step.spec["seam"], prepared.table.unit, step.where).evaluate(
            prepared.table.value, prepared.table.length_of
        )
    if step.verb in ("topstitch", "edgestitch"):
        out |= {f"row {n}": far for n, far in enumerate(row_places(step, prepared.table), 1)}
    if step.verb == "collar":
        out["trim"] = prepared.shop.trim["trim to"]
    if step.verb in ("fell", "hook", "face"):
        out |= {"clear": CLEAR, "back": BACK}
    if step.verb == "attach":
        out["lap"] = parse_formula(step.spec["lap"], prepared.table.unit, step.where).evaluate(
            prepared.table.value, prepared.table.length_of
        )
    if step.verb == "loop" and isinstance(step.spec, Mapping):
        out["wide"] = parse_formula(step.spec["wide"], prepared.table.unit, step.where).evaluate(
            prepared.table.value, prepared.table.length_of
        )
    return out
