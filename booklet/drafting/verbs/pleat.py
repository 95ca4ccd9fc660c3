"""Pleats and tucks: the cloth opened by what they take up, their lines drawn, their ends cut as they lie pressed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from booklet.drafting.asked import Asked
from booklet.drafting.darts import presses_first
from booklet.drafting.fullness import even_pleats, take_up
from booklet.drafting.places import drawn_at, sewn_at
from booklet.drafting.shape import Run, Shape, snapped
from booklet.drafting.strips import Slash, Strips, slashed
from booklet.drafting.verbs.slash_and_spread import Stretch, ask_stretch
from booklet.drafting.verbs.spread_edges import Opened, drawn_smooth
from booklet.model import Pleat, TakeUp, Trueing
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where, nearest

Kind = Literal["knife", "box", "inverted", "tuck"]
ROOM = 1.0  # mm: a pleat this near to the fold lies on it


@dataclass(frozen=True)
class Fold:
    """One fold of a pleat, before the cloth is opened: where on both edges, and which way the fold points."""

    pleat: str
    at: float
    foot: float
    press_first: bool  # towards the start of the edge


@dataclass(frozen=True)
class PleatPlan:
    """Pleats of one kind and depth between two edges. `sewn` are the edges they are folded out of."""

    kind: Kind
    group: str
    edge: str
    to: str
    deep: float
    deep_foot: float
    sewn: tuple[str, ...]
    press_first: bool
    press_words: str
    folds: tuple[Fold, ...]


def pleated(shape: Shape, plan: PleatPlan, where: Where, key: str = "") -> Shape:
    """The shape opened by every fold's take-up, the ends shaped by folding as pressed and cutting across.

    The sewn length of the edges stays as it was. Where the pleats taper to nothing their foot is drawn smooth.
    """
    at, foot = 2 * plan.deep, 2 * plan.deep_foot
    slashes = [Slash(f.at, f.foot, at, foot) for f in plan.folds]
    strips = slashed(shape, plan.edge, plan.to, slashes, where, key)
    ends = [
        _end_shape(shape.run(plan.edge), s.at, strips.placings[k], strips.placings[k + 1], strips.lines[k],
                   plan, f.press_first, where)
        for k, (f, s) in enumerate(zip(plan.folds, slashes, strict=True))
    ]  # fmt: skip
    new_at = _with_ends(
        shape.run(plan.edge), strips.parts_at(), [s.at for s in slashes], ends, plan, plan.edge
    )
    changes: tuple[Trueing, ...] = ()
    run = shape.run(plan.to)
    if plan.deep_foot > 0:
        feet = [
            _end_shape(run, s.foot, strips.placings[k + 1], strips.placings[k], strips.lines[k][::-1],
                       plan, not f.press_first, where)
            for k, (f, s) in enumerate(zip(plan.folds, slashes, strict=True))
        ]  # fmt: skip
        cuts = [s.foot for s in reversed(slashes)]
        new_foot = _with_ends(run, strips.parts_foot(), cuts, feet[::-1], plan, plan.to)
    else:
        parts = [p for p in strips.parts_foot() if p is not None]
        cut = tuple(s.foot for s in reversed(slashes))
        opened = Opened(run, parts, cut, (0.0,) * len(cut), 0.0, run.path.length, False)
        new_foot = drawn_smooth(opened, True, where)
        changes = (
            Trueing(plan.to, f"drawn smooth under {plan.group}", run.path.length, new_foot.path.length),
        )
    made = strips.spread(new_at, new_foot)
    return replace(
        made,
        runs=snapped(made.runs),
        pleats=(*made.pleats, *_drawn(strips, plan)),
        trueings=(*made.trueings, *changes),
    )


def _end_shape(
    run: Run,
    s: float,
    before: Placement,
    after: Placement,
    line: tuple[complex, complex],
    plan: PleatPlan,
    press_first: bool,
    where: Where,
) -> Path:
    """The edge of what is folded away at `s`, from the strip before it to the strip after it.

    Folded, the two layers lie along the stretch of the edge that they cover: under the side that the fold points away
    from, or for a tuck over the side that it is pressed to. The inner layer is the outer one mirrored in the crease.
    """
    near = before if press_first else after
    top, foot = line
    crease = [(before.apply(z) + after.apply(z)) / 2 for z in (top, foot)]
    onwards = press_first != (plan.kind == "tuck")  # the layers lie along the edge's way
    beside = _beside(run, s, onwards)
    if plan.kind == "tuck":
        beside = beside.placed(Placement.mirror(top, foot - top))
    a, b = (near.inverse.apply(z) for z in crease)
    way = (b - a) / abs(b - a) if abs(b - a) > 1e-6 else (foot - top) / abs(foot - top)
    reach = abs(foot - top) / 2
    met = beside.crossings(Path.line(a - way * reach, a + way * reach))
    if not met:
        raise Fault.of(
            "pleat-end",
            f"{plan.group}: {run.name} turns so sharply that a pleat {plan.deep:.0f} mm deep cannot lie along it",
            where,
            "Make it less deep, or move it.",
        )
    covered = met[0][0]
    lo, hi = (s, s + covered) if onwards else (s - covered, s)
    for up in run.take_ups:
        if up.end > lo + 1e-6 and up.start < hi - 1e-6:
            raise Fault.of(
                "pleat-dart", f"{plan.group}: the fold at {s:.0f} mm of {run.name} would lie over {up.name}", where,
                "Move one of them, or draw the later one less deep.",
            )  # fmt: skip
    outer = beside.part(0, covered).placed(near)
    inner = outer.placed(Placement.mirror(crease[0], crease[1] - crease[0])).reversed()
    whole = outer.joined(inner)
    return whole if press_first else whole.reversed()


def _beside(run: Run, s: float, onwards: bool) -> Path:
    """The edge from `s` onwards or back, running away from it, and straight on beyond the edge's end."""
    path = run.path
    if onwards:
        line = path.part(s, path.length) if path.length - s > 1e-6 else None
        end, way = path.end, path.end_tangent
    else:
        line = path.part(0, s).reversed() if s > 1e-6 else None
        end, way = path.start, -path.start_tangent
    beyond = Path.line(end, end + way * path.length)
    return line.joined(beyond) if line else beyond


def _with_ends(
    run: Run, parts: list[Path | None], cuts: list[float], ends: list[Path], plan: PleatPlan, edge: str
) -> Run:
    """The edge's stretches with the folded ones between them; marks stay on their strip, take-ups are added."""
    pieces: list[Path] = []
    ups: list[TakeUp] = []
    names = [f.pleat for f in plan.folds] if edge == plan.edge else [f.pleat for f in reversed(plan.folds)]
    size = 0.0
    for k, part in enumerate(parts):
        if part is not None:
            pieces.append(part)
            size += part.length
        if k < len(ends):
            pieces.append(ends[k])
            if edge in plan.sewn:
                ups.append(TakeUp(names[k], size, size + ends[k].length))
            size += ends[k].length

    def moved(at: float) -> float:
        return at + sum(e.length for c, e in zip(cuts, ends, strict=True) if c < at - 1e-9)

    kept = [replace(t, start=moved(t.start), end=moved(t.end)) for t in run.take_ups]
    return replace(
        run,
        path=pieces[0].joined(*pieces[1:]),
        marks=tuple(replace(m, at=moved(m.at)) for m in run.marks),
        take_ups=tuple(sorted([*kept, *ups], key=lambda t: t.start)),
    )


def _drawn(strips: Strips, plan: PleatPlan) -> list[Pleat]:
    """The pleats with their fold and placement lines, edge to foot."""
    moves: dict[str, list[tuple[Path, Path]]] = {}
    for k, (fold, (top, foot)) in enumerate(zip(plan.folds, strips.lines, strict=True)):
        before, after = (
            Path.line(p.apply(top), p.apply(foot)) for p in (strips.placings[k], strips.placings[k + 1])
        )
        moves.setdefault(fold.pleat, []).append((after, before) if fold.press_first else (before, after))
    return [
        Pleat(name, plan.group, plan.kind, plan.edge, plan.to, plan.sewn, plan.deep, tuple(lines),
              plan.press_first, plan.press_words)
        for name, lines in moves.items()
    ]  # fmt: skip


# ------------------------------------------------------------------ as the file asks for it


def ask_pleat(asked: Asked, shape: Shape) -> Shape:
    """`pleat: {kind, name, on or from, to, at | places | face, wide, foot, deep, press}`."""
    kind: Kind = asked.spec["kind"]
    whole_length = asked.has("from")
    text = asked.words("from" if whole_length else "on")
    group = asked.words("name", "pleat")
    if not re.fullmatch(r"[^\W\d]\w*", group):
        raise asked.fault("name", f"'{group}' is not a name for a pleat", "Write letters, digits and '_'.")
    taken = {p.group for p in shape.pleats} | {d.name for d in shape.darts}
    if group in taken:
        raise asked.fault(
            "twice", f"{asked.key} has two pleats or darts called '{group}'", "Give it another name:."
        )
    top, foot = ask_stretch(asked, shape, text), ask_stretch(asked, shape, asked.words("to"))
    run = shape.run(top.edge)
    deep, deep_foot = _ask_deep(asked)
    press_first, words = _ask_press(asked, shape, run, top, kind)
    backwards = press_first == (kind == "tuck")  # the layers lie against the edge's way
    middles = _ask_middles(asked, shape, top, deep, kind, backwards)
    folds: list[Fold] = []
    for n, middle in enumerate(middles):
        name = group if len(middles) == 1 else f"{group}_{n + 1}"
        for at, first in _folds_of(asked, shape, run, kind, middle, press_first, deep):
            folds.append(Fold(name, at, _foot_of(asked, shape, top, foot, at), first))
    _check_room(asked, shape, run, folds, deep, kind)
    sewn = (top.edge, foot.edge) if whole_length else (top.edge,)
    plan = PleatPlan(
        kind, group, top.edge, foot.edge, deep, deep_foot, sewn, press_first, words, tuple(folds)
    )  # fmt: skip
    return pleated(shape, plan, asked.where, asked.key)


def _ask_deep(asked: Asked) -> tuple[float, float]:
    ends = isinstance(asked.spec["deep"], Mapping) and "at" in asked.spec["deep"]
    deep = asked.amount("deep", "at") if ends else asked.amount("deep")
    foot = asked.amount("deep", "foot", default=0.0) if ends else deep
    if not deep > 0.5 or foot < 0:
        raise asked.fault(
            "pleat-deep", f"{asked.key}: a pleat is {deep:.1f} mm deep at its edge and {foot:.1f} mm at its foot",
            "Give it a depth of 1 mm or more, and 0 or more at its foot.",
        )  # fmt: skip
    return deep, foot


def _ask_middles(
    asked: Asked, shape: Shape, top: Stretch, deep: float, kind: Kind, backwards: bool
) -> list[float]:
    """Where the pleats lie along the edge, mm from its start, in order. What is folded already doesn't count."""
    run = shape.run(top.edge)
    begin, end = sewn_at(run, top.s0), sewn_at(run, top.s1)
    size = end - begin
    if asked.has("at"):
        if "[" not in asked.words("from" if asked.has("from") else "on"):
            raise asked.fault(
                "pleat-place",
                f"{asked.key}: `at:` needs to know from which end of {top.edge} it is measured",
                f"Write '{top.edge}[END..END]', the end to measure from first.",
            )
        far = asked.amount("at")
        if not -1e-6 <= far <= size + 1e-6:
            raise asked.fault(
                "pleat-place", f"{asked.key}: a pleat lies {far:.1f} mm along {top.edge}, which has {size:.1f} mm",
                "Set it within the edge.",
            )  # fmt: skip
        return [drawn_at(run, end - far if top.turned else begin + far)]
    if asked.has("face"):
        try:
            count = even_pleats(size, deep, asked.amount("face"), kind).count
        except ValueError as bad:
            raise asked.fault("pleat-face", f"{asked.key}: {bad}", "Give it a smaller face:.") from None
    else:
        count = round(asked.amount("places", kind="count"))
    if not 1 <= count <= 200:
        raise asked.fault("pleat-count", f"{asked.key}: {count} pleats are asked for", "Write 1 to 200.")
    by = 0.0
    if kind in (
        "knife",
        "tuck",
    ):  # moved on together, so that the last one's depth still lies within the stretch
        by = max(0.0, min(deep, size / count) - size / count / 2)
    return [
        drawn_at(run, begin + size * (k + 0.5) / count + (by if backwards else -by)) for k in range(count)
    ]


def _ask_press(asked: Asked, shape: Shape, run: Run, top: Stretch, kind: Kind) -> tuple[bool, str]:
    words = asked.words("press", "both ways")
    if kind in ("box", "inverted"):
        return True, words
    towards = words.removeprefix("to ").strip()
    before, after = shape.neighbours(run.name)
    known = [
        before.name,
        after.name,
        *(["centre"] if shape.fold else []),
        *(f.name for f in shape.lines_across),
    ]
    if towards not in known:
        raise asked.fault(
            "pleat-press", f"{asked.key}: a pleat is pressed '{words}', which is no edge beside {run.name}",
            nearest(towards, known).strip(),
        )  # fmt: skip
    return presses_first(shape, run, (top.s0 + top.s1) / 2, words), words


def _folds_of(
    asked: Asked, shape: Shape, run: Run, kind: Kind, middle: float, press_first: bool, deep: float
) -> list[tuple[float, bool]]:
    """(place, points to the start) of a pleat's folds; of one on the fold of a half piece, the half's own fold."""
    if kind in ("knife", "tuck"):
        return [(middle, press_first)]
    before, after = shape.neighbours(run.name)
    at_start = middle < ROOM and before.name == shape.fold
    at_end = run.path.length - middle < ROOM and after.name == shape.fold
    if kind == "inverted":  # the folds meet on the face
        if at_start:
            return [(0.0, True)]
        if at_end:
            return [(run.path.length, False)]
        return [(middle, False), (middle, True)]
    half = asked.amount("wide", default=2 * deep) / 2
    if half < deep - 1e-6:
        raise asked.fault(
            "pleat-wide",
            f"{asked.key}: a box pleat {2 * half:.0f} mm wide has no room for two folds {deep:.0f} mm deep behind it",
            "Make it at least twice as wide as deep.",
        )
    if at_start:
        return [(half, False)]
    if at_end:
        return [(run.path.length - half, True)]
    return [(middle - half, True), (middle + half, False)]


def _foot_of(asked: Asked, shape: Shape, top: Stretch, foot: Stretch, at: float) -> float:
    """Where a pleat's line meets the other edge: straight down, at a given share, or at the same share as on the edge."""
    run, other = shape.run(top.edge), shape.run(foot.edge)
    on_fold = (at < 1e-6 or run.path.length - at < 1e-6) and shape.fold is not None
    if asked.words("foot") == "straight down" and not on_fold:
        start = run.path.point(at)
        way = 1j
        if shape.fold is not None:
            line = shape.run(shape.fold).path
            way = (line.end - line.start) / abs(line.end - line.start)
        met = other.path.crossings(Path.line(start - way * 1e5, start + way * 1e5))
        if not met:
            raise asked.fault(
                "pleat-foot", f"{asked.key}: straight down from {top.edge}, a pleat does not meet {foot.edge}",
                "Give it a foot: as a share of that edge.",
            )  # fmt: skip
        return min(met, key=lambda sz: abs(sz[1] - start))[0]
    if asked.has("foot") and not on_fold and asked.words("foot") != "straight down":
        share = asked.amount("foot", kind="ratio")
        if not 0 < share < 1:
            raise asked.fault(
                "pleat-foot", f"{asked.key}: a pleat's foot lies outside {foot.edge}",
                "Write a share between 0 and 1.",
            )  # fmt: skip
        return foot.s0 + (foot.s1 - foot.s0) * (share if top.turned else 1 - share)
    # The same share as on the edge, between the ends and the lines of pleats folded before.
    stops = {top.s0: foot.s1, top.s1: foot.s0}
    for pleat in shape.pleats:
        if (pleat.edge, pleat.foot) == (top.edge, foot.edge):
            for line in (line for move in pleat.moves for line in move):
                stops[run.path.nearest(line.start)] = other.path.nearest(line.end)
    known = sorted(stops.items())
    return float(np.interp(at, [k for k, _ in known], [v for _, v in known]))


def _check_room(asked: Asked, shape: Shape, run: Run, folds: list[Fold], deep: float, kind: Kind) -> None:
    """Every fold lies on the edge, and so does what it folds away."""
    size = run.path.length
    taken = take_up(kind, deep) * len({f.pleat for f in folds})
    before, after = shape.neighbours(run.name)
    for fold in folds:
        onwards = fold.press_first != (kind == "tuck")
        room = size - fold.at if onwards else fold.at
        on_fold = shape.fold == (after.name if onwards else before.name)
        if not -1e-6 <= fold.at <= size + 1e-6 or (room < deep - 1e-6 and not on_fold):
            raise asked.fault(
                "pleat-room",
                f"{asked.key}: {fold.pleat}, folded {deep:.0f} mm deep at {fold.at:.0f} mm of {run.name}, runs beyond "
                f"its end at {0 if not onwards else size:.0f} mm ({taken:.0f} mm are folded away in all)",
                "Make it less deep, press it the other way, or move it from the end.",
            )
