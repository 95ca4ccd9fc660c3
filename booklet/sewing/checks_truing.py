"""Whether the edges that a seam or a dart brings together run on smoothly, as one line of the garment (truing)."""

from __future__ import annotations

import cmath
import math

from booklet.model import Copy, Part, Run
from booklet.problems import Collector
from booklet.seams.table import SeamTable
from booklet.sewing.ends import seam_ends

SMOOTH = 3.0  # degrees that one need not see (common practice, no source)
PRESSED = 0.5  # mm beside a dart's mouth at which the edge's way is taken


def check_truing(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """Warns of bends over 3 degrees in a line that is sewn in one run.

    A line that is gathered or drawn in by elastic is not asked: its fullness takes up a bend. Nor is a point where four
    seams meet, such as an underarm, for there two seams may turn.
    """
    by_id = {c.id: c for c in copies}
    on = _run_on(table)
    told: set[tuple[str, str, str]] = set()
    for seam in table.seams:
        for end in seam_ends(seam, by_id):
            pair = frozenset(((end.copy_a, end.beyond_a), (end.copy_b, end.beyond_b)))
            if pair not in on or abs(end.bend) <= SMOOTH:
                continue
            words = [_words(by_id[c], e) for c, e in ((end.copy_a, end.beyond_a), (end.copy_b, end.beyond_b))]
            key = (seam.step, words[0], words[1])
            if key in told:
                continue
            told.add(key)
            collector.warning(
                "run-on",
                seam.where,
                f"{words[0]} and {words[1]} meet at {_bend(end.bend)} where this step joins them, and are sewn as one "
                f"line in step '{on[pair]}'",
                "Draw both square to the seam, or say why not: `although:`.",
            )
    _darts(table, copies, collector)
    _folds(table, copies, collector)


def _bend(degrees: float) -> str:
    return f"{'a corner that stands out' if degrees > 0 else 'a dent'} of {abs(degrees):.1f}°"


def _words(copy: Copy, edge: str) -> str:
    return f"{copy.piece.name}.{copy.by_name[edge].base}"


def _run_on(table: SeamTable) -> dict[frozenset[tuple[str, str]], str]:
    """Pairs of edges that follow each other in one run, and the step that sews them so."""
    drawn = {(d.copy, d.edge) for d in table.drawn}
    out: dict[frozenset[tuple[str, str]], str] = {}
    for seam in table.seams:
        if seam.kind == "casing" or seam.kind == "zip":
            continue
        for run, other in ((seam.a, seam.b), *(((seam.b, seam.a),) if seam.b else ())):
            if other is not None and len(other.parts) > 1 and seam.kind == "join":
                continue
            for pair in _followers(run):
                if not pair & drawn:
                    out.setdefault(pair, seam.step)
    return out


def _followers(run: Run) -> list[frozenset[tuple[str, str]]]:
    names = [(p.copy, p.edge) for p in run.parts]
    pairs = list(zip(names, names[1:], strict=False))
    return [frozenset(p) for p in ([*pairs, (names[-1], names[0])] if run.closed else pairs)]


def _darts(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """With the dart folded, the edge runs on over its mouth."""
    steps = {
        str(ref): s for s in table.steps if s.verb == "dart" and isinstance(s.spec, list) for ref in s.spec
    }
    told: set[str] = set()
    for copy in copies:
        for dart in copy.darts:
            ref = f"{copy.piece.name}.{dart.name}"
            if ref in told or ref not in steps:
                continue
            for half in copy.edges:
                mouth = next((t for t in half.edge.take_ups if t.name == dart.name), None)
                if mouth is None or mouth.start < 5 or mouth.end > half.edge.length - 5:
                    continue
                before = half.edge.path.tangent(mouth.start - PRESSED)
                after = half.edge.path.tangent(mouth.end + PRESSED)
                a, b = half.edge.path.point(mouth.start), half.edge.path.point(mouth.end)
                point = min((d.point for d in copy.darts if d.name == dart.name), key=lambda z: abs(z - a))
                bend = math.degrees(cmath.phase(after * (a - point) / (b - point) / before))
                if abs(bend) > SMOOTH:
                    told.add(ref)
                    collector.warning(
                        "run-on",
                        steps[ref].where,
                        f"{_words(copy, half.name)} has {_bend(bend * copy.sign)} where the dart {ref} is folded",
                        "Draw the edge with the dart folded, or say why not: `although:`.",
                    )
                    break


def _folds(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """An edge meets the fold square, or it has a point there when the piece is opened out. Told where it is sewn."""
    told: set[str] = set()
    for copy in (c for c in copies if c.host is None and c.piece.fold):
        ring = copy.piece.edges
        n = next(k for k, e in enumerate(ring) if e.name == copy.piece.fold)
        fold = ring[n].path
        for edge, way, along in (
            (ring[n - 1], -ring[n - 1].path.end_tangent, fold.start_tangent),
            (ring[(n + 1) % len(ring)], ring[(n + 1) % len(ring)].path.start_tangent, -fold.end_tangent),
        ):
            name = f"{copy.piece.name}.{edge.name}"
            off = 180.0 - 2 * abs(math.degrees(cmath.phase(way / along)))
            if abs(off) <= SMOOTH or name in told:
                continue
            told.add(name)
            seam = next(
                (
                    s
                    for s in table.seams
                    for r in (s.a, s.b)
                    if r
                    for p in r.parts
                    if _same(p, copy, edge.name)
                ),
                None,
            )
            if seam:
                collector.warning(
                    "run-on",
                    seam.where,
                    f"{name} has {_bend(off)} on the fold of {copy.piece.name}",
                    "Draw it square to the fold, or say why not: `although:`.",
                )


def _same(part: Part, copy: Copy, base: str) -> bool:
    return part.copy == copy.id and copy.by_name[part.edge].base == base
