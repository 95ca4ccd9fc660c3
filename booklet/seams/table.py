"""The seam table: the recipe walked once in order, every run found, every pair of runs compared."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from booklet.drafting.table import Table
from booklet.formula import parse_formula
from booklet.model import Copy, Part, Run, Seam, Side, Stretch
from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.yaml_source import Source
from booklet.seams.compare import Drawn, Tolerances, judge_lengths, sections_of, unlike_allowances
from booklet.seams.follow import followed, held_by, is_edge, length_along, names_step, sewn_by
from booklet.seams.runs import (
    Corners,
    Found,
    RunText,
    chain_way,
    corner_at,
    instances,
    make_run,
    parse_run,
    sewn_length,
)
from booklet.seams.uses import Use, uses_of, verb_of

TACK = 10.0  # mm of hand stitches in one place (common practice, no source)
NO_EASE = 0.05  # mm: less is none


@dataclass(frozen=True)
class RecipeStep:
    """One entry of the recipe that the options made ask for."""

    id: str
    verb: str
    spec: Any  # what stands after the verb
    raw: Mapping[str, Any]
    where: Where
    index: int  # its place in the file


@dataclass(frozen=True)
class SeamTable:
    steps: tuple[RecipeStep, ...]
    seams: tuple[Seam, ...]
    drawn: tuple[Drawn, ...]

    def of_step(self, step: str) -> tuple[Seam, ...]:
        return tuple(s for s in self.seams if s.step == step)


def recipe_steps(sewing: Source, table: Table, collector: Collector) -> tuple[RecipeStep, ...]:
    """The steps of the options made, in order. Every id is unique; one is made from the verb where none is given."""
    out: list[RecipeStep] = []
    seen: dict[str, Where] = {}
    for n, raw in enumerate(sewing.data.get("steps") or ()):
        where = sewing.where("steps", n)
        with collector.catching():
            verb = verb_of(raw, where)
            if not table.applies(raw.get("when"), where):
                continue
            step_id = str(raw.get("id") or f"{verb.replace(' ', '-')}-{n + 1}")
            if step_id in seen:
                raise Fault.of(
                    "step-id",
                    f"two steps are called '{step_id}' (the other is at {seen[step_id]})",
                    where,
                    "Give each step an id of its own.",
                )
            seen[step_id] = where
            out.append(RecipeStep(step_id, verb, raw[verb], raw, where, n))
    return tuple(out)


@dataclass
class _Walk:
    copies: tuple[Copy, ...]
    table: Table
    tol: Tolerances
    collector: Collector
    corners: Corners = field(default_factory=Corners)
    drawn: list[Drawn] = field(default_factory=list)
    seams: list[Seam] = field(default_factory=list)
    turned: tuple[str, ...] = ()  # ids of steps that turn what they have sewn

    @property
    def by_id(self) -> dict[str, Copy]:
        return {c.id: c for c in self.copies}


def build_seam_table(
    steps: tuple[RecipeStep, ...],
    copies: tuple[Copy, ...],
    table: Table,
    defaults: Mapping[str, Any],
    tol: Tolerances,
    collector: Collector,
) -> SeamTable:
    turned = tuple(s.id for s in steps if "turn" in (s.raw.get("then") or ()))
    walk = _Walk(copies, table, tol, collector, turned=turned)
    for step in steps:
        with collector.catching():
            for use in uses_of(step.verb, step.spec, step.raw, step.where, defaults):
                with collector.catching():
                    _sew(walk, step, use)
    return SeamTable(steps, tuple(walk.seams), tuple(walk.drawn))


def _sew(walk: _Walk, step: RecipeStep, use: Use) -> None:
    if use.kind in ("topstitch", "tack") and names_step(use.a):
        _follow(walk, step, use)
        return
    spot = _spot(step, use)
    if spot is not None:
        _tack_at(walk, step, use, *spot)
        return
    texts = [parse_run(use.a, step.where)] + ([parse_run(use.b, step.where)] if use.b is not None else [])
    rows = instances(texts, walk.copies, step.where)
    for side, picked in rows:
        _sew_one(walk, step, use, texts, side, picked, _seam_id(walk, step, side))
        if use.kind == "topstitch":
            row = walk.seams[-1]
            held = held_by(row, walk.seams[:-1])
            walk.seams[-1] = replace(row, press="edge" if is_edge(held, walk.turned) else "seam")


def _spot(step: RecipeStep, use: Use) -> tuple[str, str] | None:
    """The edge and the mark of a place to tack: 'PIECE.EDGE at MARK', or the middle of PIECE.EDGE."""
    if use.kind != "tack" or not isinstance(step.spec, Mapping) or "at" not in step.spec:
        return None
    edge, _, mark = (word.strip() for word in str(use.a).partition(" at "))
    return edge, mark


def _tack_at(walk: _Walk, step: RecipeStep, use: Use, edge: str, mark: str) -> None:
    """A place of its own on an edge: a stretch as long as a tack, about a mark or the middle, within the edge."""
    texts = [parse_run(edge, step.where)]
    for side, picked in instances(texts, walk.copies, step.where):
        _sew_one(walk, step, use, texts, side, picked, _seam_id(walk, step, side))
        whole = walk.seams.pop()
        part = whole.a.parts[0]
        half = walk.by_id[part.copy].by_name[part.edge].edge
        middle = half.length / 2
        if mark:
            found = half.mark(mark)
            if found is None:
                known = [m.name for m in half.marks]
                raise Fault.of("unknown-mark", f"{edge} has no mark '{mark}' to tack at", step.where,
                               nearest(mark, known).strip() or "Name the edge alone: its middle is tacked.")  # fmt: skip
            middle = found.at
        low = min(max(middle - TACK / 2, 0.0), max(half.length - TACK, 0.0))
        high = min(low + TACK, half.length)
        ends = (high, low) if part.backwards else (low, high)
        run = Run(str(use.a), (replace(part, start=ends[0], end=ends[1]),))
        walk.seams.append(replace(whole, a=run, press="at", a_mm=high - low,
                                  sections=(Stretch("start", "end", high - low, None),)))  # fmt: skip


def _seam_id(walk: _Walk, step: RecipeStep, side: Side) -> str:
    number = sum(1 for s in walk.seams if s.step == step.id and s.side == side)
    suffix = "" if side == "whole" else f".{side}"
    return f"{step.id}{suffix}" + (f"#{number + 1}" if number else "")


def _follow(walk: _Walk, step: RecipeStep, use: Use) -> None:
    """Rows along the seams of an earlier step, or tacks at them: they take no edge up, and no lengths are compared."""
    name, tack = str(use.a), use.kind == "tack"
    met = (
        [(s, s.a) for s in sewn_by(name, walk.seams, "tack-early", step.where)]
        if tack
        else followed(name, walk.seams, walk.turned, step.where)
    )
    for seam, run in met:
        long = length_along(seam, run)
        walk.seams.append(
            Seam(
                id=_seam_id(walk, step, seam.side),
                step=step.id,
                kind=use.kind,
                a=run,
                b=None,
                side=seam.side,
                press="at" if tack else "edge" if is_edge(seam, walk.turned) else "seam",
                neaten=use.neaten,
                allow_a=_allowance(run, walk.by_id),
                allow_b=None,
                a_mm=long,
                b_mm=None,
                sections=(Stretch("start", "end", long, None),),
                treatment="alone",
                where=step.where,
            )
        )


def _sew_one(
    walk: _Walk,
    step: RecipeStep,
    use: Use,
    texts: list[RunText],
    side: Side,
    picked: list[list[Found]],
    seam_id: str,
) -> None:
    where = step.where
    way = chain_way(picked[0], walk.corners, where, texts[0].text)
    clockwise = True if way is None else way
    closed = texts[0].closed or _comes_round(picked[0], walk.corners, clockwise)
    a = make_run(texts[0].text, picked[0], clockwise, closed, where)
    b: Run | None = None
    if use.b is not None:
        elements = picked[1]
        way_b = chain_way(elements, walk.corners, where, texts[1].text)
        if way_b is not None and way_b == clockwise and not texts[1].closed:
            elements = elements[::-1]
        b = make_run(
            texts[1].text,
            elements,
            not clockwise,
            texts[1].closed or _comes_round(elements, walk.corners, not clockwise),
            where,
        )
    _check_closed(texts, (a,) if b is None else (a, b), walk, where)
    copies = walk.by_id
    a_mm = sewn_length(a, copies)
    b_mm = sewn_length(b, copies) if b else None
    table = walk.table.of_side(side)
    _declare_drawn(walk, table, step, use, a, a_mm)
    sections: tuple[Stretch, ...] = (Stretch("start", "end", a_mm, b_mm),)
    treatment = "alone" if b is None else "equal"
    if b is not None:
        gap = _open_marks(use.leave_open, where)
        _declare_ease(walk, table, step, use, a, b)
        sections, alone_a, alone_b = sections_of(a, b, copies, walk.drawn, gap)
        for stop, run in [(s, texts[0].text) for s in alone_a] + [(s, texts[1].text) for s in alone_b]:
            if stop.kind not in ("junction", "snip"):
                walk.collector.warning(
                    "notch-alone",
                    where,
                    f"the notch '{stop.name.replace('_', ' ')}' of {run} meets none on the other side",
                    "Give the partner the same notch, or take this one away.",
                )
        kinds = {
            d.kind for d in walk.drawn for p in (*a.parts, *b.parts) if (d.copy, d.edge) == (p.copy, p.edge)
        }
        treatment = "gathers" if "gathers" in kinds else "ease" if "ease" in kinds else "equal"
        if gap and not any(s.open for s in sections):
            raise Fault.of(
                "leave-open",
                f"{step.id}: the marks {gap[0]} and {gap[1]} are not both on the seam",
                where,
                "Put both marks on both edges.",
            )
    derived = b is not None and _derived(b, copies)
    seam = Seam(
        id=seam_id,
        step=step.id,
        kind=use.kind,
        a=a,
        b=b,
        side=side,
        press=use.press,
        neaten=use.neaten,
        allow_a=_allowance(a, copies),
        allow_b=_allowance(b, copies) if b else None,
        a_mm=a_mm,
        b_mm=b_mm,
        sections=sections,
        treatment=treatment,
        where=where,
        derived=derived,
    )
    walk.seams.append(seam)
    walk.collector.add(*judge_lengths(seam, walk.tol))
    if b is not None and seam.allow_b is not None:
        unlike = unlike_allowances(seam, copies) if use.kind in ("join", "face") and use.plain else None
        if unlike:
            walk.collector.error(
                "allowances",
                where,
                f"{unlike[0]} has {unlike[1]:.1f} mm allowance and {unlike[2]} {unlike[3]:.1f} mm",
                "Give both sides of a plain seam the same `allow:`.",
            )
        unlike = unlike_allowances(seam, copies) if use.kind == "band" else None
        if unlike:
            walk.collector.warning(
                "band-allowances",
                where,
                f"{unlike[0]} has {unlike[1]:.1f} mm allowance and {unlike[2]}, the band's, {unlike[3]:.1f} mm: their "
                "raw edges do not lie level when the band is sewn on",
                "Give both the same `allow:`.",
            )
        if use.kind != "zip":  # a zip opens: its ends stay apart
            _join_corners(walk, a, b)


def _comes_round(elements: list[Found], corners: Corners, clockwise: bool) -> bool:
    """Whether a run walked in this order ends at the point where it began."""
    first, last = elements[0], elements[-1]
    if first.element.start is not None or last.element.start is not None:
        return False
    return corners.same(corner_at(first, not clockwise), corner_at(last, clockwise))


def _check_closed(texts: list[RunText], runs: tuple[Run, ...], walk: _Walk, where: Where) -> None:
    """A ring comes round: one still open is told with the place where it gapes."""
    for text, run in zip(texts, runs, strict=True):
        if not text.closed:
            continue
        parts = run.parts
        ends = [_ends(p, walk.by_id) for p in parts]
        for n, (_, end) in enumerate(ends):
            nxt = ends[(n + 1) % len(ends)][0]
            if not walk.corners.same(end, nxt):
                raise Fault.of(
                    "ring-open",
                    f"{text.text} is not a closed ring yet: {parts[n].copy}.{parts[n].edge} and "
                    f"{parts[(n + 1) % len(parts)].copy}.{parts[(n + 1) % len(parts)].edge} are not joined",
                    where,
                    "Sew that seam in an earlier step.",
                )


def _ends(part: Part, copies: dict[str, Copy]) -> tuple[tuple[str, int], tuple[str, int]]:
    ring = copies[part.copy].edges
    n = next(k for k, h in enumerate(ring) if h.name == part.edge)
    first, last = (part.copy, n), (part.copy, (n + 1) % len(ring))
    return (last, first) if part.backwards else (first, last)


def _join_corners(walk: _Walk, a: Run, b: Run) -> None:
    """The two runs' ends have become one point each, and so have inner junctions that meet junctions."""
    copies = walk.by_id
    ends_a = [_ends(p, copies) for p in a.parts]
    ends_b = [_ends(p, copies) for p in b.parts]
    if _reaches(a.parts[0], True, copies) and _reaches(b.parts[0], True, copies):
        walk.corners.join(ends_a[0][0], ends_b[0][0])
    if _reaches(a.parts[-1], False, copies) and _reaches(b.parts[-1], False, copies):
        walk.corners.join(ends_a[-1][1], ends_b[-1][1])
    if len(ends_a) == len(ends_b):
        for (_, end_a), (_, end_b) in zip(ends_a[:-1], ends_b[:-1], strict=True):
            walk.corners.join(end_a, end_b)


def _reaches(part: Part, at_start: bool, copies: dict[str, Copy]) -> bool:
    """Whether a part begins (or ends) at its edge's own end, not at a mark on the way."""
    size = copies[part.copy].by_name[part.edge].edge.length
    at = part.start if at_start else part.end
    return at < 0.05 or at > size - 0.05


def _allowance(run: Run, copies: dict[str, Copy]) -> float:
    return max(copies[p.copy].by_name[p.edge].edge.allow for p in run.parts)


def _derived(b: Run, copies: dict[str, Copy]) -> bool:
    """Whether our own code drew one side to fit the other (a facing's copied edge)."""
    for p in b.parts:
        half = copies[p.copy].by_name[p.edge]
        if copies[p.copy].piece.facing is None or half.base not in copies[p.copy].piece.derived_edges:
            return False
    return True


def _open_marks(text: object, where: Where) -> tuple[str, str] | None:
    if text is None:
        return None
    one = text[0] if isinstance(text, list) else text
    found = re.fullmatch(r"\[?\s*(\w+)\s*\.\.\s*(\w+)\s*\]?", str(one))
    if not found:
        raise Fault.of(
            "leave-open", f"'{one}' does not name two marks", where, "Write [first_mark..second_mark]."
        )
    return found.group(1), found.group(2)


def _declare_drawn(walk: _Walk, table: Table, step: RecipeStep, use: Use, a: Run, a_mm: float) -> None:
    if use.kind not in ("gather", "ease"):
        return
    by = (
        _amount(table, use.by, step.where)
        if use.by is not None
        else a_mm - _amount(table, use.to, step.where)
    )
    if by <= 0:
        raise Fault.of(
            "gather" if use.kind == "gather" else "ease-amount",
            f"{a.text} is {a_mm:.1f} mm long: {-by:.1f} mm too short to be {use.kind.rstrip('e')}ed",
            step.where,
            "Add fullness in the draft, or ask for a shorter length.",
        )
    kind = "gathers" if use.kind == "gather" else "ease"
    for p in a.parts:
        share = by * abs(p.end - p.start) / sum(abs(q.end - q.start) for q in a.parts)
        walk.drawn.append(
            Drawn(p.copy, p.edge, min(p.start, p.end), max(p.start, p.end), share, kind, step.id)
        )


def _declare_ease(walk: _Walk, table: Table, step: RecipeStep, use: Use, a: Run, b: Run) -> None:
    if use.ease is None:
        return
    by = _amount(table, use.ease, step.where)
    drawn = _eased(walk, a) - _eased(walk, b)
    if abs(drawn) >= NO_EASE:  # rows of an earlier step have drawn it up: it is the same ease
        if abs(drawn - by) > walk.tol.declared:
            walk.collector.error(
                "ease-unlike",
                step.where,
                f"this join says {by:.1f} mm of ease; the rows sewn before draw up {drawn:.1f} mm",
                "Take ease: out of one of the two, or make them equal.",
            )
        return
    if abs(by) < NO_EASE:
        return
    run = a if by >= 0 else b
    total = sum(abs(p.end - p.start) for p in run.parts)
    for p in run.parts:
        walk.drawn.append(
            Drawn(
                p.copy,
                p.edge,
                min(p.start, p.end),
                max(p.start, p.end),
                abs(by) * abs(p.end - p.start) / total,
                "ease",
                step.id,
            )
        )


def _eased(walk: _Walk, run: Run) -> float:
    """What rows of easing have drawn up along a run so far, mm."""
    rows = {s.step for s in walk.seams if s.kind == "ease"}
    return sum(
        d.by
        for d in walk.drawn
        if d.step in rows
        and any(
            (d.copy, d.edge) == (p.copy, p.edge)
            and min(d.high, max(p.start, p.end)) - max(d.low, min(p.start, p.end)) > NO_EASE
            for p in run.parts
        )
    )


def _amount(table: Table, raw: Any, where: Where) -> float:
    return parse_formula(raw, table.unit, where).evaluate(table.value, table.length_of)
