"""The garment's own measures across its pieces, and what its openings pass. Below the least ease is an error."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from booklet.drafting.maker import PieceMaker
from booklet.drafting.sides import World
from booklet.drafting.stretches import level_within
from booklet.drafting.table import Table
from booklet.formula import parse_formula
from booklet.model import Dart, Draft, Finished, FoldLine, Piece
from booklet.paths import Path
from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.yaml_source import Source

_WIDE = 6000.0


def finished_measures(style: Source, worlds: Sequence[World], collector: Collector) -> tuple[Finished, ...]:
    """Every `finished:` entry that applies, compared with the body. Problems go to the collector.

    `worlds` is one, or the right and the left side's. A measure round the body adds both sides up; one of an arm or a
    leg, or along an edge, is told for each side where the two differ.
    """
    out = []
    for name, spec in (style.data.get("finished") or {}).items():
        where = style.where("finished", name)
        with collector.catching():
            if not worlds[0].table.applies(spec.get("when"), where):
                continue
            for measure in _by_sides(str(name), spec, style, worlds, where):
                out.append(measure)
                _judge(measure, where, collector)
    return tuple(out)


def _by_sides(
    name: str, spec: Mapping[str, Any], style: Source, worlds: Sequence[World], where: Where
) -> list[Finished]:
    """One measure, or the right's and the left's."""
    body = str(spec.get("covers"))
    if len(worlds) > 1:
        own = [_measure(name, spec, style, [world], where) for world in worlds]
        sided = len({round(world.table.measures.get(body, 0.0), 3) for world in worlds}) > 1
        once = "along" in spec or "down" in spec
        if sided or (once and abs(own[0].garment_mm - own[1].garment_mm) > 0.5):
            return [
                replace(m, title=f"{m.title}, {world.side}") for m, world in zip(own, worlds, strict=True)
            ]
    return [_measure(name, spec, style, worlds, where)]


def _length(style: Source, raw: Any, table: Table, where: Where) -> float:
    if isinstance(raw, Mapping) and "is" in raw:
        raw = raw["is"] if table.applies(raw.get("when"), where) else raw.get("else", 0)
    unit = str(style.data.get("units", "cm"))
    return parse_formula(raw, unit, where).evaluate(table.value, table.length_of)


def _measure(
    name: str, spec: Mapping[str, Any], style: Source, worlds: Sequence[World], where: Where
) -> Finished:
    table = worlds[0].table
    title = str(spec.get("title", name.replace("_", " ")))
    least = _length(style, spec["least"], table, where) if "least" in spec else None
    intended = _length(style, spec["intended"], table, where) if "intended" in spec else None
    if "across" in spec:
        garment = sum(_mean(worlds, str(ref), _across, str(spec["level"]), where) for ref in spec["across"])
    elif "overlap of" in spec:
        garment = sum(_mean(worlds, str(p), _beyond, str(spec["level"]), where) for p in spec["overlap of"])
    elif "along" in spec:
        garment = sum(w.maker.shape_length(w.table, str(spec["along"])) or 0.0 for w in worlds) / len(worlds)
    elif "down" in spec:
        key, start, end = str(spec["down"]), str(spec["from"]), str(spec["to"])
        garment = sum(_down(_piece(key, w.draft, where), start, end, where) for w in worlds) / len(worlds)
    else:
        raise Fault.of(
            "finished",
            f"'{name}' does not say where it is measured",
            where,
            "Give it level and across, overlap of, along, or down.",
        )
    body_name = spec.get("covers")
    body = table.measures.get(str(body_name)) if body_name else None
    if body_name and body is None:
        raise Fault.of(
            "unknown-measure",
            f"'{name}' covers {body_name}, which the body does not have",
            where,
            nearest(str(body_name), table.measures).strip(),
        )
    if body is None and least is not None:
        body_name, body = None, 0.0
        return Finished(name, title, garment, None, None, least, intended, "overlap")
    return Finished(name, title, garment, body_name, body, least, intended)


def _mean(
    worlds: Sequence[World],
    ref: str,
    measured: Callable[[str, str, Draft, Where], float],
    level: str,
    where: Where,
) -> float:
    """One term of a measure: what a piece for both sides adds is the mean of the two, since each stands for a half."""
    named = re.search(r"\w+", ref.removeprefix("both "))
    key = named.group() if named else ""
    serving = [w for w in worlds if key not in w.maker.raw or w.serves(key, len(worlds))]
    return sum(measured(ref, level, w.draft, where) for w in serving) / max(1, len(serving))


def _judge(measure: Finished, where: Where, collector: Collector) -> None:
    if measure.least_mm is None:
        return
    if measure.body_mm is None:
        if measure.garment_mm < measure.least_mm - 0.05:
            collector.error(
                "least",
                where,
                f"{measure.title} is {measure.garment_mm:.0f} mm, at least {measure.least_mm:.0f} mm is asked",
                "Add to it in the draft.",
            )
        return
    ease = measure.garment_mm - measure.body_mm
    if ease < measure.least_mm - 0.05:
        collector.error(
            "ease",
            where,
            f"{measure.title}: the garment is {measure.garment_mm:.0f} mm round, the body {measure.body_mm:.0f} mm: "
            f"{ease:.0f} mm ease where at least {measure.least_mm:.0f} mm is asked",
            "Widen the pieces at that level, or ask for less.",
        )
    elif measure.intended_mm is not None and abs(ease - measure.intended_mm) > 60:
        collector.note(
            "ease-far",
            where,
            f"{measure.title}: {ease:.0f} mm ease where {measure.intended_mm:.0f} mm was intended",
        )


def _piece(key: str, draft: Draft, where: Where) -> Piece:
    if key not in draft.pieces:
        raise Fault.of(
            "unknown-piece", f"there is no piece '{key}'", where, nearest(key, draft.pieces).strip()
        )
    return draft.pieces[key]


def _across(ref: str, level: str, draft: Draft, where: Where) -> float:
    """Net width of one term, whole garment's share: a half piece counts twice, and so does `both PIECE`, cut as a pair."""
    found = re.fullmatch(r"(both\s+)?(\w+)(?:\.(\w+)\s+to\s+(\w+))?", ref.strip())
    if not found:
        raise Fault.of(
            "across",
            f"'{ref}' is no piece to measure across",
            where,
            "Write PIECE, both PIECE where it goes round on the left and the right, or PIECE.EDGE to LINE for a part.",
        )
    both, key, edge, line = found.groups()
    piece = _piece(key, draft, where)
    factor = 2.0 if piece.half or both else 1.0
    along = dict(piece.level_edges).get(level)
    if along is not None:
        return factor * _along_level_edge(piece, along, edge, line, where)
    bent = dict(piece.level_lines).get(level, ()) if level not in dict(piece.levels) else ()
    if bent and edge is None:
        return factor * sum(path.length - _folded_out(piece, path) for path in bent)
    y = _level(piece, level, where)
    inside = _inside(piece, y)
    if edge is None:
        return factor * (sum(b - a for a, b in inside) - _folded_width(piece, y, *_ends(inside)))
    a = _crossing(piece, edge, y, where)
    b = _line_x(_line(piece, line, where), y)
    lo, hi = min(a, b), max(a, b)
    return factor * (hi - lo - _folded_width(piece, y, lo, hi))


def _ends(inside: list[tuple[float, float]]) -> tuple[float, float]:
    return inside[0][0], inside[-1][1]


def _level(piece: Piece, level: str, where: Where) -> float:
    levels = dict(piece.levels)
    if level not in levels and level in dict(piece.level_lines):
        raise Fault.of(
            "level-bent", f"the level '{level}' of {piece.key} is bent by a moved dart", where,
            "Measure there across the whole piece, or declare a level after the move.",
        )  # fmt: skip
    if level not in levels:
        raise Fault.of(
            "unknown-level",
            f"{piece.key} has no level '{level}'",
            where,
            nearest(level, [*levels, *dict(piece.level_edges)]).strip(),
        )
    return levels[level]


def _inside(piece: Piece, y: float) -> list[tuple[float, float]]:
    """Stretches of the level line inside the outline."""
    inside = level_within(piece.outline, y)
    if not inside:
        raise Fault.of("level", f"the level line does not cross {piece.key}", piece.where)
    return inside


def _crossing(piece: Piece, edge: str, y: float, where: Where) -> float:
    drawn = piece.edge(edge)
    if drawn is None:
        raise Fault.of(
            "unknown-edge",
            f"{piece.key} has no edge '{edge}'",
            where,
            nearest(edge, [e.name for e in piece.edges]).strip(),
        )
    met = drawn.path.crossings(Path.line(complex(-_WIDE, y), complex(_WIDE, y)))
    if not met:
        raise Fault.of("level", f"the level line does not cross {piece.key}.{edge}", where)
    return met[0][1].real


def _line(piece: Piece, name: str, where: Where) -> FoldLine:
    for line in piece.lines_across:
        if line.name == name:
            return line
    raise Fault.of(
        "unknown-line",
        f"{piece.key} has no line '{name}' across it",
        where,
        nearest(name, [f.name for f in piece.lines_across]).strip(),
    )


def _line_x(line: FoldLine, y: float) -> float:
    a, b = line.path.start, line.path.end
    return (
        a.real
        if abs(b.imag - a.imag) < 1e-9
        else a.real + (b.real - a.real) * (y - a.imag) / (b.imag - a.imag)
    )


def _folded_width(piece: Piece, y: float, lo: float, hi: float) -> float:
    """What darts and pleats take up at a level."""
    return _folded_out(piece, Path.line(complex(lo, y), complex(hi, y)))


def _folded_out(piece: Piece, level: Path) -> float:
    """What darts and pleats take out of a line across the piece."""
    total = 0.0
    for dart in piece.darts:
        inside = [x for seg in level.segments if (x := _in_dart(dart, seg[0], seg[-1])) is not None]
        if inside:
            # Folded, the line goes on from the one leg to the other, along the seam where it meets them at unlike depths.
            total += sum(abs(b - a) for a, b in inside)
            total -= abs(_depth(dart, inside[0][0]) - _depth(dart, inside[-1][1]))
    first, last = level.start_tangent * 0.1, level.end_tangent * 0.1
    longer = Path.line(level.start - first, level.start).joined(level, Path.line(level.end, level.end + last))
    for pleat in piece.pleats:
        for fold, placement in pleat.moves:
            met = [longer.crossings(p) for p in (fold, placement)]
            if all(met):
                total += abs(met[0][0][0] - met[1][0][0])
    return total


def _in_dart(dart: Dart, a: complex, b: complex) -> tuple[complex, complex] | None:
    """The stretch of a straight line between a dart's legs, or within its end; None where it has none."""
    t0, t1 = 0.0, 1.0
    longer = 1 + dart.intake / abs(dart.first - dart.point)  # the dart's end reaches so far out at the most
    ends = (dart.point + (z - dart.point) * longer for z in (dart.first, dart.second))
    corners = (*ends, dart.point)  # clockwise
    for p, q in zip(corners, (*corners[1:], corners[0]), strict=True):
        way = (q - p).conjugate()
        u, v = ((a - p) * way).imag, ((b - p) * way).imag  # positive inside
        if u < 0 and v < 0:
            return None
        if (u < 0) != (v < 0):
            t = u / (u - v)
            t0, t1 = (max(t0, t), t1) if u < 0 else (t0, min(t1, t))
    return (a + (b - a) * t0, a + (b - a) * t1) if t1 - t0 > 1e-9 else None


def _depth(dart: Dart, z: complex) -> float:
    """How far along its leg, from the point, a line meets a dart; the whole leg where it runs out through the mouth."""
    legs = [(end - dart.point) / abs(end - dart.point) for end in (dart.first, dart.second)]
    on_leg = min(abs(((z - dart.point) * leg.conjugate()).imag) for leg in legs) < 1e-6
    return abs(z - dart.point) if on_leg else abs(dart.first - dart.point)


def _along_level_edge(piece: Piece, along: str, edge: str | None, line: str | None, where: Where) -> float:
    run = piece.edge(along)
    assert run is not None  # the piece's maker looked it up
    if edge is None or line is None:
        return run.sewn_length
    across = _line(piece, line, where).path
    at = min((across.start, across.end), key=lambda z: abs(run.path.point(run.path.nearest(z)) - z))
    s = run.path.nearest(at)
    n = next(k for k, e in enumerate(piece.edges) if e.name == along)
    before = piece.edges[n - 1].name
    return run.sewn(0.0, s) if before == edge else run.sewn(s, run.length)


def _beyond(ref: str, level: str, draft: Draft, where: Where) -> float:
    """How far a piece reaches past a line across it at a level: the smaller of the two parts."""
    found = re.fullmatch(r"(\w+) beyond (\w+)", ref.strip())
    if not found:
        raise Fault.of(
            "overlap", f"'{ref}' does not say which part overlaps", where, "Write PIECE beyond LINE."
        )
    piece = _piece(found.group(1), draft, where)
    y = _level(piece, level, where)
    lo, hi = _ends(_inside(piece, y))
    x = _line_x(_line(piece, found.group(2), where), y)
    return min(hi - x, x - lo)


def _down(piece: Piece, mark: str, edge: str, where: Where) -> float:
    """From a mark straight down the grain to an edge."""
    for e in piece.edges:
        m = e.mark(mark)
        if m is not None:
            start = e.path.point(m.at)
            target = piece.edge(edge)
            if target is None:
                break
            met = target.path.crossings(Path.line(start, start + 3000j)) or target.path.crossings(
                Path.line(start, start - 3000j)
            )
            if met:
                return abs(met[0][1] - start)
    raise Fault.of(
        "down",
        f"{piece.key}: no way from '{mark}' down to '{edge}'",
        where,
        "Name a mark and an edge of the piece.",
    )


def opening_measures(
    style: Source,
    draft: Draft,
    table: Table,
    maker: PieceMaker,
    stretched: Mapping[str, tuple[float, float]],
    collector: Collector,
) -> tuple[Finished, ...]:
    """What each opening passes. `stretched` maps an edge run to (relaxed, stretched) elastic lengths, mm."""
    out = []
    for name, spec in (style.data.get("openings") or {}).items():
        where = style.where("openings", name)
        with collector.catching():
            if not table.applies(spec.get("when"), where) or spec.get("wraps"):
                continue
            ring = str(spec["ring"])
            flat = maker.shape_length(table, ring) or 0.0
            passes = str(spec["passes"])
            body = table.measures.get(passes)
            if body is None:
                raise Fault.of(
                    "unknown-measure",
                    f"the opening {name} passes {passes}, which the body does not have",
                    where,
                    nearest(passes, table.measures).strip(),
                )
            note, told = "", None
            size = flat
            slit = _slit(spec.get("slit"), draft)
            zipped = _zip(spec.get("zip"), ring, draft, where)
            if zipped:
                size, note, told = flat + 2 * zipped, "with the zip open; closed", flat
            elif slit:
                size, note, told = flat + 2 * slit, "with the slit open; closed", flat
            elif ring in stretched:
                relaxed, most = stretched[ring]
                size, note, told = min(flat, most), "stretched; relaxed", relaxed
            least = _length(style, spec.get("least", 0), table, where)
            out.append(
                Finished(
                    str(name),
                    str(spec.get("title", name)).replace("_", " "),
                    size,
                    passes,
                    body,
                    least,
                    None,
                    note,
                    told,
                )
            )
            if size - body < least - 0.05:
                collector.error(
                    "opening",
                    where,
                    f"the {str(name).replace('_', ' ')} opening is {size:.0f} mm, {passes.replace('_', ' ')} is "
                    f"{body:.0f} mm: at least {body + least:.0f} mm is needed to pass",
                    "Make the opening larger, or give it a slit or more stretch.",
                )
    return tuple(out)


def _zip(ref: Any, ring: str, draft: Draft, where: Where) -> float:
    """How far a zip opens the ring: from the ring's edge down to the mark at the zip's foot, mm."""
    if ref is None:
        return 0.0
    key, _, name = str(ref).partition(".")
    piece = draft.named(key)
    for n, edge in enumerate(piece.edges if piece else ()):
        mark = edge.mark(name)
        if piece is None or mark is None:
            continue
        before, after = piece.edges[n - 1], piece.edges[(n + 1) % len(piece.edges)]
        for near, size in ((before, mark.at), (after, edge.length - mark.at)):
            if re.search(rf"\b{key}\.{near.name}\b", ring):
                return size
    raise Fault.of(
        "zip-foot",
        f"there is no mark '{ref}' on an edge that meets {ring}",
        where,
        "Write PIECE.MARK: the mark at which the zip ends.",
    )


def _slit(ref: Any, draft: Draft) -> float:
    if ref is None:
        return 0.0
    key, _, name = str(ref).partition(".")
    piece = draft.named(key)
    return next((o.depth for o in piece.openings if o.name == name), 0.0) if piece else 0.0
