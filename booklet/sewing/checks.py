"""The recipe against the copies: every ply used, every edge dealt with once, every step at a time when it can be done.

The rules of order are data: see rules.py.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from booklet.model import Copy, Part, Run, Seam
from booklet.problems import Collector, nearest
from booklet.seams.table import SeamTable
from booklet.sewing.check_order import check_order
from booklet.sewing.checks_applied import check_bindings, check_patches
from booklet.sewing.checks_buttons import check_buttons
from booklet.sewing.checks_collar import check_collars
from booklet.sewing.checks_ease import check_ease
from booklet.sewing.checks_enclosed import check_enclosed
from booklet.sewing.checks_gaps import check_gaps
from booklet.sewing.checks_hems import check_hems
from booklet.sewing.checks_placket import check_plackets
from booklet.sewing.checks_pleats import check_pleats
from booklet.sewing.checks_tack import check_tacks
from booklet.sewing.checks_truing import check_truing
from booklet.sewing.checks_zip import check_zips

CONSUMING = (
    "join",
    "face",
    "band",
    "close",
    "catch",
    "end",
    "beyond",
    "hem",
    "casing",
    "bind",
    "patch",
    "attach",
    "zip",
    "fell",
)
ENDING = (*CONSUMING, "finish")


@dataclass(frozen=True)
class Taken:
    """A stretch of a copy's edge that a step has dealt with."""

    low: float
    high: float
    seam: Seam
    order: int
    open: tuple[tuple[float, float], ...] = ()  # what the seam leaves open of it, such as a pocket's mouth


def check_recipe(
    table: SeamTable, copies: tuple[Copy, ...], style: Mapping[str, Any], collector: Collector
) -> None:
    taken = _taken(table, copies)
    _once(taken, copies, collector)
    bound = check_bindings(table, copies, collector)
    bound |= check_plackets(table, copies, CONSUMING, collector)
    _all_edges(table, taken, copies, bound, collector)
    _all_copies(table, copies, bound, collector)
    check_patches(table, copies, collector)
    check_zips(table, copies, collector)
    check_enclosed(table, collector)
    check_hems(table, copies, collector)
    check_ease(table, collector)
    check_tacks(table, copies, collector)
    check_buttons(table, copies, CONSUMING, collector)
    check_collars(table, copies, CONSUMING, collector)
    _fusing(table, copies, collector)
    _darts(table, copies, collector)
    check_pleats(table, copies, CONSUMING, collector)
    _references(table, copies, collector)
    _ends(table, collector)
    check_order(table, copies, style.get("cloths") or {}, collector)
    check_gaps(table, copies, collector)
    check_truing(table, copies, collector)


def _parts(run: Run | None) -> tuple[Part, ...]:
    return run.parts if run else ()


def _taken(table: SeamTable, copies: tuple[Copy, ...]) -> dict[tuple[str, str], list[Taken]]:
    by_id = {c.id: c for c in copies}
    out: dict[tuple[str, str], list[Taken]] = {}
    for order, seam in enumerate(table.seams):
        if seam.kind not in ENDING:
            continue
        for run, second in ((seam.a, False), (seam.b, True)):
            along = 0.0
            for part in _parts(run):
                low, high = sorted((part.start, part.end))
                gaps = _left_open(seam, part, along, second)
                out.setdefault((part.copy, part.edge), []).append(Taken(low, high, seam, order, gaps))
                along += by_id[part.copy].by_name[part.edge].edge.sewn(low, high)
    return out


def _left_open(seam: Seam, part: Part, along: float, second: bool) -> tuple[tuple[float, float], ...]:
    """What a seam leaves open of a part, mm along its edge; the part begins `along` mm along its run."""
    out, at = [], -along
    for section in seam.sections:
        size = (section.b_mm or 0.0) if second else section.a_mm
        if section.open:
            ends = (part.start - at, part.start - at - size) if part.backwards else (
                part.start + at, part.start + at + size)  # fmt: skip
            out.append((min(ends), max(ends)))
        at += size
    return tuple(out)


def _once(taken: dict[tuple[str, str], list[Taken]], copies: tuple[Copy, ...], collector: Collector) -> None:
    """No stretch of an edge is sewn into two seams."""
    told: set[tuple[str, str, str]] = set()
    for (copy, edge), uses in taken.items():
        sewn = [u for u in uses if u.seam.kind in CONSUMING]
        for n, later in enumerate(sewn):
            for earlier in sewn[:n]:
                low, high = max(later.low, earlier.low), min(later.high, earlier.high)
                overlap = high - low
                for a, b in (*later.open, *earlier.open):
                    overlap -= max(0.0, min(b, high) - max(a, low))
                key = (copy.split(".")[0], later.seam.step, earlier.seam.step)
                if overlap > 1.0 and key not in told:
                    told.add(key)
                    words = _edge_words(copies, copy, edge)
                    if later.seam.step == earlier.seam.step:
                        what, mend = (
                            f"this step is done once a side, and takes {words} both times",
                            "Name one side of its partner (.left, .right), or cut as many plies of both.",
                        )
                    else:
                        what, mend = (
                            f"{words} is sewn again here; step '{earlier.seam.step}' ({earlier.seam.where}) has "
                            "taken it already",
                            "Take it out of one of the two steps.",
                        )
                    collector.error("sewn-twice", later.seam.where, what, mend)


def _edge_words(copies: tuple[Copy, ...], copy: str, edge: str) -> str:
    piece = next(c.piece for c in copies if c.id == copy)
    return f"{piece.name}.{edge.removesuffix('.left').removesuffix('.right')}"


def _all_edges(
    table: SeamTable,
    taken: dict[tuple[str, str], list[Taken]],
    copies: tuple[Copy, ...],
    bound: frozenset[str],
    collector: Collector,
) -> None:
    """Nothing is left raw that nobody declared raw. The strips of a binding that is used lie folded in, all round.

    Edges of steps that could not be sewn are left out: those steps have been told of already.
    """
    sewn = {s.step for s in table.seams}
    told = {n for s in table.steps if s.id not in sewn for n in re.findall(r"\w+\.\w+", str(s.spec))}
    for copy in copies:
        if copy.host is not None or copy.piece.name in bound:
            continue
        for half in copy.edges:
            uses = taken.get((copy.id, half.name), [])
            covered = _covered(uses, half.edge.length)
            words = f"{copy.piece.name}.{half.base}"
            left = half.edge.length - covered
            if left > 1.0 and words not in told:
                told.add(words)
                some = "is" if covered < 1.0 else f"has {left:.0f} mm that is"
                collector.error(
                    "edge-left",
                    copy.piece.where,
                    f"{words} {some} never joined, hemmed or finished",
                    "Add a step for it, or `finish:` it.",
                )


def _covered(uses: list[Taken], length: float) -> float:
    total, at = 0.0, 0.0
    for use in sorted(uses, key=lambda u: u.low):
        low, high = max(use.low, at), min(use.high, length)
        if high > low:
            total += high - low
            at = high
    return total


def _all_copies(
    table: SeamTable, copies: tuple[Copy, ...], bound: frozenset[str], collector: Collector
) -> None:
    used = {p.copy for s in table.seams for p in (*_parts(s.a), *_parts(s.b))}
    told: set[str] = set()
    for copy in copies:
        if copy.piece.name in bound:
            continue
        if copy.host is None and copy.id not in used and copy.piece.name not in told:
            told.add(copy.piece.name)
            collector.error(
                "copy-unused",
                copy.piece.where,
                f"{copy.piece.name} is cut from {copy.cloth} but no step uses it",
                "Sew it somewhere, or take it out of `pieces:`.",
            )


def _first_seam(table: SeamTable, copy: str) -> tuple[int, Seam] | None:
    for seam in table.seams:
        if seam.kind in CONSUMING and any(p.copy == copy for p in (*_parts(seam.a), *_parts(seam.b))):
            return _step_order(table, seam.step), seam
    return None


def _step_order(table: SeamTable, step_id: str) -> int:
    return next(n for n, s in enumerate(table.steps) if s.id == step_id)


def _listed(value: Any) -> list[str]:
    return [str(v) for v in (value if isinstance(value, list) else [value])]


def _fusing(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """A fusible ply is fused."""
    fused: dict[str, int] = {}
    known = {c.piece.name for c in copies}
    for n, step in enumerate(table.steps):
        if step.verb == "fuse":
            for key in _listed(step.spec):
                fused[key] = n
                if key not in known:
                    collector.error(
                        "unknown-piece",
                        step.where,
                        f"'{key}' is not cut, so it cannot be fused",
                        nearest(key, sorted(known)).strip(),
                    )
                elif not any(c.piece.name == key and c.host for c in copies):
                    collector.error(
                        "no-interfacing",
                        step.where,
                        f"{key} has no interfacing to fuse",
                        "Add it to the piece's `cut:`, or take the piece out of this step.",
                    )
    for copy in copies:
        if copy.host is None:
            continue
        key = copy.piece.name
        first = _first_seam(table, copy.host)
        if key not in fused:
            if first:
                collector.error(
                    "not-fused",
                    first[1].where,
                    f"{key} is sewn here, but its interfacing was never fused",
                    f"Add a step `fuse: [{key}]` before.",
                )
            fused[key] = -1


def _darts(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """Every dart is sewn."""
    order: dict[tuple[str, str], int] = {}
    known = {(c.piece.name, d.name) for c in copies for d in c.darts}
    for n, step in enumerate(table.steps):
        if step.verb != "dart":
            continue
        for ref in _listed(step.spec):
            key, _, name = ref.partition(".")
            if (key, name) not in known:
                collector.error(
                    "unknown-dart",
                    step.where,
                    f"there is no dart '{ref}'",
                    nearest(ref, sorted(f"{k}.{d}" for k, d in known)).strip(),
                )
            order[(key, name)] = n
    for key, name in sorted(known):
        crossing = [
            s
            for s in table.seams
            if s.kind in CONSUMING
            and any(
                p.copy == c.id and c.by_name[p.edge].base == d.edge
                for c in copies
                if c.piece.name == key
                for d in c.darts
                if d.name == name
                for p in (*_parts(s.a), *_parts(s.b))
            )
        ]
        if (key, name) not in order:
            where = (
                crossing[0].where if crossing else next(c.piece.where for c in copies if c.piece.name == key)
            )
            collector.error(
                "dart-open",
                where,
                f"the dart {key}.{name} is never sewn",
                f"Add a step `dart: [{key}.{name}]` before this one.",
            )


def _references(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """Steps that speak of other steps, openings or fold lines name ones that are there, and earlier."""
    openings = {f"{c.piece.name}.{o.name}" for c in copies for o in c.openings}
    seen: list[str] = []
    faced: set[str] = set()
    for step in table.steps:
        if step.verb == "understitch":
            ref = str(step.spec.get("seam", "")) if isinstance(step.spec, Mapping) else str(step.spec)
            if ref not in seen:
                collector.error(
                    "understitch",
                    step.where,
                    f"no step '{ref}' before this one has been sewn to understitch",
                    nearest(ref, seen).strip(),
                )
        if step.verb in ("button", "loop") and isinstance(step.spec, Mapping):
            ref = str(step.spec.get("at", ""))
            if ref not in openings:
                collector.error(
                    "unknown-opening",
                    step.where,
                    f"there is no opening '{ref}'",
                    nearest(ref, sorted(openings)).strip(),
                )
        if step.verb == "placket":
            faced.add(str(step.spec.get("slit")))
        if step.verb == "face":
            raw = step.raw.get("opening")
            faced |= {str(raw.get("is") if isinstance(raw, Mapping) else raw)} if raw else set()
        seen.append(step.id)
    for name in sorted(openings - faced):
        key = name.split(".")[0]
        where = next(c.piece.where for c in copies if c.piece.name == key)
        collector.error(
            "opening-raw",
            where,
            f"the opening {name} is never faced",
            "Name it in a face step: `opening: PIECE.OPENING`.",
        )


def _ends(table: SeamTable, collector: Collector) -> None:
    """A seam left raw that nobody declared raw is told."""
    for seam in table.seams:
        step = table.steps[_step_order(table, seam.step)]
        if seam.kind == "join" and seam.neaten == "raw" and step.raw.get("neaten") != "raw":
            collector.warning(
                "left-raw",
                seam.where,
                f"the allowances of {seam.a.text} are left raw",
                "Write how they are neatened, or `neaten: raw`.",
            )
