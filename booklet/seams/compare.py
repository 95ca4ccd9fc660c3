"""Sewn lengths compared on the stitch line, in total and from match point to match point (the table of verdicts)."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.model import Copy, Run, Seam, Stretch
from booklet.problems import Problem, Severity
from booklet.seams.runs import Stop, sewn_length, stops


@dataclass(frozen=True)
class Tolerances:
    """Limits in mm. Source: careful workers keep 1/16 in, 1/8 in is good enough for many; a setting of the shop."""

    equal: float = 1.5
    warning: float = 3.0
    girth: float = 5.0
    derived: float = 0.5
    declared: float = 1.5


@dataclass(frozen=True)
class Drawn:
    """A stretch of one copy's edge that is drawn up or eased: what it must lose when it is sewn, and who said so."""

    copy: str
    edge: str
    low: float
    high: float
    by: float
    kind: str  # gathers | ease
    step: str


def match_stops(a: list[Stop], b: list[Stop]) -> tuple[list[tuple[Stop, Stop]], list[Stop], list[Stop]]:
    """Pairs of match points in order, and those of either run that met none.

    Longest common order by dynamic programming: a pair may form when the names agree, when either is a seam, or when
    the kinds agree; names count most.
    """

    def worth(x: Stop, y: Stop) -> float:
        if x.kind != "junction" and x.name == y.name:
            return 4.0
        if x.kind == y.kind == "junction":
            return 3.0
        if "junction" in (x.kind, y.kind):
            return 2.0
        if x.kind == y.kind or "snip" in (x.kind, y.kind):
            return 2.0
        return -1.0

    n, m = len(a), len(b)
    best = [[0.0] * (m + 1) for _ in range(n + 1)]
    for i in range(n - 1, -1, -1):
        for j in range(m - 1, -1, -1):
            w = worth(a[i], b[j])
            best[i][j] = max(best[i + 1][j], best[i][j + 1], w + best[i + 1][j + 1] if w > 0 else 0.0)
    pairs, left_a, left_b = [], [], []
    i = j = 0
    while i < n and j < m:
        w = worth(a[i], b[j])
        if w > 0 and best[i][j] == w + best[i + 1][j + 1]:
            pairs.append((a[i], b[j]))
            i, j = i + 1, j + 1
        elif best[i][j] == best[i + 1][j]:
            left_a.append(a[i])
            i += 1
        else:
            left_b.append(b[j])
            j += 1
    return pairs, left_a + a[i:], left_b + b[j:]


def sections_of(
    a: Run, b: Run, copies: dict[str, Copy], drawn: list[Drawn], open_between: tuple[str, str] | None
) -> tuple[tuple[Stretch, ...], list[Stop], list[Stop]]:
    """The sections of a seam, and the marks of either run that have no partner."""
    pairs, alone_a, alone_b = match_stops(stops(a, copies), stops(b, copies))
    ends = (sewn_length(a, copies), sewn_length(b, copies))
    cuts = [(0.0, 0.0, "start"), *((x.at, y.at, _name(x, y)) for x, y in pairs), (*ends, "end")]
    out = []
    names = [n for _, _, n in cuts]
    gap = sorted(names.index(n) for n in open_between or () if n in names)
    for k, ((a0, b0, n0), (a1, b1, n1)) in enumerate(zip(cuts, cuts[1:], strict=False)):
        opened = len(gap) == 2 and gap[0] <= k < gap[1]  # other notches may lie between the two marks
        wanted = _wanted(a, copies, drawn, a0, a1) - _wanted(b, copies, drawn, b0, b1)
        out.append(Stretch(n0, n1, a1 - a0, b1 - b0, wanted if abs(wanted) > 1e-6 else None, opened))
    return tuple(out), alone_a, [s for s in alone_b]


def _name(x: Stop, y: Stop) -> str:
    return y.name if x.kind == "junction" and y.kind != "junction" else x.name


def _wanted(run: Run, copies: dict[str, Copy], drawn: list[Drawn], s0: float, s1: float) -> float:
    """What is drawn up between two sewn distances of a run, shared out by length where a section cuts it."""
    total, before = 0.0, 0.0
    for part in run.parts:
        edge = copies[part.copy].by_name[part.edge].edge
        low, high = min(part.start, part.end), max(part.start, part.end)
        size = edge.sewn(low, high)
        for d in drawn:
            if d.copy != part.copy or d.edge != part.edge:
                continue
            p, q = edge.sewn(low, max(low, d.low)), edge.sewn(low, min(high, d.high))
            if part.backwards:
                p, q = size - q, size - p
            overlap = min(s1, before + q) - max(s0, before + p)
            if overlap > 0 and q - p > 1e-9:
                total += d.by * overlap / (q - p)
        before += size
    return total


def judge_lengths(seam: Seam, tol: Tolerances) -> list[Problem]:
    """The verdicts on one seam: sections first, then the whole."""
    if seam.b is None or seam.b_mm is None:
        return []
    problems: list[Problem] = []
    grouped: list[list[Stretch]] = []
    for s in seam.sections:  # sections that share one drawn-up stretch are judged together
        if s.wanted is not None and grouped and grouped[-1][-1].wanted is not None:
            grouped[-1].append(s)
        else:
            grouped.append([s])
    for group in grouped:
        a, b = sum(s.a_mm for s in group), sum(s.b_mm or 0.0 for s in group)
        wanted = sum(s.wanted or 0.0 for s in group)
        off = a - b - wanted
        limit_equal = tol.derived if seam.derived and wanted == 0 else tol.equal
        if wanted:
            limit_equal = limit_warn = tol.declared
        else:
            limit_warn = max(tol.warning, limit_equal)
        if abs(off) <= limit_equal:
            continue
        where = (
            f" from {group[0].start.replace('_', ' ')} to {group[-1].end.replace('_', ' ')}"
            if len(grouped) > 1
            else ""
        )
        told = f"{seam.a.text} is {a:.1f} mm and {seam.b.text} {b:.1f} mm{where}"
        told += f", with {wanted:.1f} mm to be drawn up" if wanted else ""
        severity: Severity = "warning" if abs(off) <= limit_warn else "error"
        problems.append(
            Problem(
                "seam-length",
                severity,
                seam.where,
                f"{told}: {abs(off):.1f} mm {'too long' if off > 0 else 'too short'}",
                "Correct the draft, move the notch, or declare the difference as ease or gathers.",
            )
        )
    if (
        not problems
        and seam.difference
        and abs(sum((s.a_mm - (s.b_mm or 0) - (s.wanted or 0)) for s in seam.sections)) > tol.girth
    ):
        problems.append(
            Problem(
                "girth",
                "warning",
                seam.where,
                f"{seam.a.text} and {seam.b.text} differ by {seam.difference:.1f} mm in all",
                "Look at the girth of the finished garment.",
            )
        )
    return problems


def unlike_allowances(seam: Seam, copies: dict[str, Copy]) -> tuple[str, float, str, float] | None:
    """The first section whose two sides have unlike allowances: edge and mm of the one, edge and mm of the other."""
    at_a = at_b = 0.0
    for section in seam.sections:
        long_b = section.b_mm or 0.0
        sides = [
            _allowed(run, at, copies)
            for run, at in ((seam.a, at_a + section.a_mm / 2), (seam.b, at_b + long_b / 2))
            if run is not None
        ]
        if len(sides) == 2 and abs(sides[0][1] - sides[1][1]) > 0.05:
            return (*sides[0], *sides[1])
        at_a, at_b = at_a + section.a_mm, at_b + long_b
    return None


def _allowed(run: Run, at: float, copies: dict[str, Copy]) -> tuple[str, float]:
    """The edge at a sewn distance along a run, and its allowance, mm."""
    before = 0.0
    for part in run.parts:
        half = copies[part.copy].by_name[part.edge]
        before += half.edge.sewn(*sorted((part.start, part.end)))
        if at <= before:
            break
    return f"{copies[part.copy].piece.name}.{half.base}", half.edge.allow
