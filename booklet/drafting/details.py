"""What a finished piece says beside its shape: allowances, grain, cut rules, fold lines, openings, level edges."""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from booklet.drafting.asked import Asked
from booklet.drafting.places import edge_of
from booklet.drafting.shape import Run, Shape
from booklet.model import CutRule, Edge, FoldLine, Half, Opening, Pleat, Side
from booklet.paths import Path
from booklet.problems import Fault, nearest


def edge(asked: Asked, shape: Shape, run: Run) -> Edge:
    """One edge of the piece, with its allowance and its words for readers."""
    key, raw = asked.key, asked.spec
    base, _ = side_of(run.name)
    folds = raw.get("hem folds") or ()
    named = run.name if run.name in folds else base
    if isinstance(folds, Mapping):
        hem = named in folds and asked.table.applies(
            folds[named], asked.table.where("pieces", key, "hem folds")
        )
    else:
        hem = named in folds
    allow = 0.0 if run.name == shape.fold else allowance(asked, run.name)
    words = raw.get("called") or {}
    called = str(words.get(run.name, words.get(base, base.replace("_", " "))))
    return Edge(run.name, run.path, allow, called, run.marks, run.take_ups, hem)


def side_of(edge: str) -> tuple[str, Side]:
    """An edge's name without its side, and the side: `hem.left` of an opened piece is its hem, left."""
    base, _, side = edge.rpartition(".")
    return (base, side) if base and side in ("left", "right") else (edge, "whole")  # type: ignore[return-value]


def halves(edges: tuple[Edge, ...]) -> tuple[Half, ...]:
    """The ring of a piece that was opened out while it was shaped: its edges with their sides. None for any other."""
    sides = [side_of(e.name) for e in edges]
    if all(side == "whole" for _, side in sides):
        return ()
    return tuple(Half(e, base, side) for e, (base, side) in zip(edges, sides, strict=True))


def pleat(made: Pleat) -> Pleat:
    """A pleat with its edges named as the piece's readers do, its side told by `side` alone."""
    edge, foot, sewn = side_of(made.edge)[0], side_of(made.foot)[0], (side_of(e)[0] for e in made.sewn)
    return replace(made, edge=edge, foot=foot, sewn=tuple(sewn))


def allowance(asked: Asked, edge: str, depth: int = 0) -> float:
    """The allowance of an edge by `allow:`; `as PIECE` asks that piece for the edge of the same name."""
    key, raw = asked.key, asked.spec
    allow = raw.get("allow") or {}
    path = ("pieces", key, "allow")
    base = side_of(edge)[0]
    name = edge if edge in allow else base if base in allow else "other"
    if name not in allow:
        if raw.get("cut") and depth == 0:
            raise Fault.of(
                "no-allowance",
                f"{key}.{edge} has no allowance",
                asked.table.where(*path),
                f"Add {edge} or other to `allow:` (0 where the edge is bound or left raw).",
            )
        return 0.0
    value = allow[name]
    if isinstance(value, str) and value.startswith("as "):
        other = value[3:].strip()
        if other not in asked.maker.raw or depth > 8:
            raise Fault.of(
                "unknown-piece",
                f"`allow:` of {key} asks '{other}'",
                asked.table.where(*path, name),
                nearest(other, asked.maker.raw).strip(),
            )
        return allowance(asked.maker.asked(other), edge, depth + 1)
    width = asked.table.amount(value, *path, name)
    if not 0 <= width <= 200:
        raise Fault.of(
            "allowance",
            f"the allowance of {key}.{edge} is {width:.1f} mm",
            asked.table.where(*path, name),
            "Write a width from 0 to 200 mm.",
        )
    return width


def grain(asked: Asked, shape: Shape) -> tuple[complex, complex]:
    """The line of `grain:`, else the shape's own, else the longest upright chord of nine across, its middle 60 %."""
    if asked.has("grain"):
        return _declared_grain(asked, shape)
    if shape.grain is not None:
        return shape.grain
    a = np.concatenate([r.path.flatten(1.0)[:-1] for r in shape.runs])
    b = np.roll(a, -1)
    x0, x1 = float(a.real.min()), float(a.real.max())
    best: tuple[float, complex, complex] | None = None
    for k in range(1, 10):
        x = x0 + (x1 - x0) * k / 10
        over = (a.real < x) != (b.real < x)
        p, q = a[over], b[over]
        ys = sorted((p.imag + (q.imag - p.imag) * (x - p.real) / (q.real - p.real)).tolist())
        for top, foot in zip(ys[::2], ys[1::2], strict=False):
            worth = (foot - top) * (1 - abs(k - 5) * 0.04)
            if best is None or worth > best[0] + 1e-9:
                margin = (foot - top) * 0.2
                best = (worth, complex(x, foot - margin), complex(x, top + margin))
    if best is None:
        raise asked.fault("grain", f"{asked.key} has no room for a grain line")
    return best[1], best[2]


def _declared_grain(asked: Asked, shape: Shape) -> tuple[complex, complex]:
    """`bias`, `N degrees` (turned clockwise from upright, as seen), or `along EDGE`; through the piece's middle."""
    words = asked.words("grain").strip()
    where = asked.table.where(*asked.path, "grain")
    along = re.fullmatch(r"along (\w+)", words)
    angle = re.fullmatch(r"(-?\d+(?:\.\d+)?) degrees", words)
    if along:
        path = edge_of(shape, along.group(1), asked.key, where).path
        way = (path.start - path.end) / abs(path.start - path.end)
        way = -way if way.imag > 1e-9 or (abs(way.imag) <= 1e-9 and way.real < 0) else way
    elif angle or words == "bias":
        way = -1j * cmath.rect(1.0, math.radians(45.0 if angle is None else float(angle.group(1))))
    else:
        raise Fault.of("grain", f"'{words}' is no way for the grain of {asked.key}", where,
                       "Write bias, a number of degrees such as 30 degrees, or along EDGE.")  # fmt: skip
    outline = shape.runs[0].path.joined(*(r.path for r in shape.runs[1:]))
    x0, y0, x1, y1 = outline.bbox
    best: tuple[float, complex, complex] | None = None
    far = abs(complex(x1 - x0, y1 - y0)) + 10.0
    for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8):
        z = complex(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)
        met = [s for s, _ in Path.line(z - way * far, z + way * far).crossings(outline)]
        for a, b in zip(met[::2], met[1::2], strict=False):
            if best is None or b - a > best[0] + 1e-9:
                tail, size = z + way * (a - far), b - a
                best = (size, tail + way * size * 0.2, tail + way * size * 0.8)
    if best is None:
        raise Fault.of("grain", f"{asked.key} has no room for a grain line", where)
    return best[1], best[2]


def match_point(asked: Asked, edges: tuple[Edge, ...]) -> complex | None:
    """The point of `stripe at: EDGE.MARK` (or EDGE.start, EDGE.end) that lies on a line of a cloth's repeat."""
    if not asked.has("stripe at"):
        return None
    where = asked.table.where(*asked.path, "stripe at")
    name, _, mark = asked.words("stripe at").partition(".")
    edge = next((e for e in edges if e.name == name), None)
    if edge is None:
        raise Fault.of("unknown-edge", f"{asked.key} has no edge '{name}' to meet the stripe", where,
                       nearest(name, [e.name for e in edges]).strip())  # fmt: skip
    ends = {"start": 0.0, "end": edge.length}
    found = edge.mark(mark)
    if found is None and mark not in ends:
        raise Fault.of("unknown-mark", f"{asked.key}.{name} has no mark '{mark}' to meet the stripe", where,
                       nearest(mark, [*ends, *(m.name for m in edge.marks)]).strip())  # fmt: skip
    return edge.path.point(ends[mark] if found is None else found.at)


def cut_rules(asked: Asked, shape: Shape) -> tuple[CutRule, ...]:
    """The lines of `cut:` that apply; none for a piece that is only construction."""
    key, raw = asked.key, asked.spec
    cut = raw.get("cut")
    if not cut:
        return ()
    where = asked.table.where("pieces", key, "cut")
    if isinstance(cut, Mapping):
        cut = [{"cloth": c, "count": n} for c, n in cut.items()]
    out = []
    for n, rule in enumerate(cut):
        path = ("pieces", key, "cut", n)
        if not asked.table.applies(rule.get("when"), asked.table.where(*path)):
            continue
        count = int(rule.get("count", 1))
        plain = "same" if shape.binding else "pair" if count == 2 else "single"
        how: Any = rule.get("as") or ("whole on fold" if shape.fold else plain)
        if shape.binding:  # each binding is made of several strips
            count *= shape.binding.strips
        side = rule.get("side")
        if how == "single" and side is None and shape.drawn_for != "whole":
            raise Fault.of("side", f"{key}: a single copy needs `side: left` or `side: right`", where)
        if how == "whole on fold" and shape.fold is None:
            raise Fault.of(
                "fold", f"{key} is cut on the fold but names no fold edge", where, "Add `fold: EDGE`."
            )
        if how != "whole on fold" and shape.fold is not None:
            raise Fault.of(
                "fold", f"{key} is drawn as a half but cut as {how}", where, "Write `as: whole on fold`."
            )
        trim: float | None = None
        if "trim" in rule and rule["trim"] != "none":
            text = str(rule["trim"])
            trim = 0.0 if text == "to stitch line" else asked.table.amount(text, *path, "trim")
        fused = str(rule["cloth"]) in asked.maker.fusible
        # A fusible lies glue side up under the paper, as it is then turned over onto the wrong side.
        plain_face = "either" if how != "single" else "down" if fused else "up"
        face: Any = rule.get("face") or plain_face
        out.append(CutRule(str(rule["cloth"]), count, how, face, side or "whole", trim, fused))
    return tuple(out)


def fold_lines(asked: Asked, shape: Shape) -> tuple[FoldLine, ...]:
    """The lines of `fold lines:` that apply, each cut where it meets the outline."""
    key, raw = asked.key, asked.spec
    out = []
    for name, spec in (raw.get("fold lines") or {}).items():
        path = ("pieces", key, "fold lines", name)
        where = asked.table.where(*path)
        if isinstance(spec, str):
            found = re.fullmatch(r"midway between (\w+) and (\w+)", spec.strip())
            if not found or not all(shape.has(e) for e in found.groups()):
                raise Fault.of(
                    "fold-line",
                    f"'{spec}' is not a fold line of {key}",
                    where,
                    "Write `midway between EDGE and EDGE`, or {off: EDGE, by: LENGTH}.",
                )
            a, b = (shape.run(e).path for e in found.groups())
            b = b.reversed() if abs(b.start - a.start) > abs(b.end - a.start) else b
            out.append(FoldLine(str(name), Path.line((a.start + b.start) / 2, (a.end + b.end) / 2)))
            continue
        if not asked.table.applies(spec.get("when"), where):
            continue
        run = shape.run(spec["off"]) if shape.has(spec["off"]) else None
        if run is None:
            raise Fault.of(
                "unknown-edge",
                f"{key} has no edge '{spec['off']}'",
                where,
                nearest(spec["off"], [r.name for r in shape.runs]).strip(),
            )
        by = asked.table.amount(spec["by"], *path, "by")
        out.append(FoldLine(str(name), _inside_line(shape, run, by)))
    return tuple(out)


def openings(asked: Asked, shape: Shape) -> tuple[Opening, ...]:
    """The slits of `openings:` that apply."""
    key, raw = asked.key, asked.spec
    out = []
    for name, spec in (raw.get("openings") or {}).items():
        path = ("pieces", key, "openings", name)
        where = asked.table.where(*path)
        if not asked.table.applies(spec.get("when"), where):
            continue
        found = re.fullmatch(r"(\w+) at (\w+)", str(spec["from"]))
        if (
            found
            and shape.has(found.group(1))
            and any(m.name == found.group(2) for m in shape.run(found.group(1)).marks)
        ):
            out.append(_opening_at_mark(asked, shape, str(name), *found.groups()))
            continue
        if not found or not shape.has(found.group(1)) or found.group(2) not in (shape.fold, "centre"):
            raise Fault.of(
                "opening",
                f"'{spec['from']}' is no place for the opening {name}",
                where,
                "Write EDGE at MARK, or EDGE at centre on a piece with a fold.",
            )
        fold = shape.run(str(shape.fold)).path
        run = shape.run(found.group(1))
        at = min((fold.start, fold.end), key=lambda z: min(abs(z - run.path.start), abs(z - run.path.end)))
        other = fold.end if abs(at - fold.start) < 1e-6 else fold.start
        way = (other - at) / abs(other - at)
        down, mouth = (asked.table.amount(spec[k], *path, k) for k in ("down", "mouth"))
        if not 0 < down < fold.length or mouth <= 0:
            raise Fault.of(
                "opening",
                f"the opening {name} is {down:.0f} mm deep and {mouth:.1f} mm wide",
                where,
                f"It must be deeper than 0 and less than the {fold.length:.0f} mm of the centre line.",
            )
        out.append(
            Opening(
                str(name),
                run.name,
                at,
                at + way * down,
                mouth,
                str(spec.get("closes", "")),
                str(spec.get("faced by", "")),
            )
        )
    return tuple(out)


def _opening_at_mark(asked: Asked, shape: Shape, name: str, edge: str, mark: str) -> Opening:
    """A slit square to an edge at one of its marks, such as that of a sleeve above its cuff."""
    one = asked.within("openings", name)
    run = shape.run(edge)
    s = next(m.at for m in run.marks if m.name == mark)
    at, inward = run.path.point(s), run.path.tangent(s) * 1j
    down, mouth = one.amount("down"), one.amount("mouth", default=0.0)
    outline = shape.runs[0].path.joined(*(r.path for r in shape.runs[1:]))
    met = [t for t, _ in Path.line(at + inward, at + inward * 3000).crossings(outline)]
    if not 0 < down < min(met, default=0.0) or mouth < 0:
        raise one.fault(
            "opening",
            f"the opening {name} is {down:.0f} mm deep and {mouth:.1f} mm wide",
            "It must be deeper than 0 and end within the piece.",
        )
    return Opening(name, edge, at, at + inward * down, mouth, one.words("closes"), one.words("faced by"))


def level_edges(asked: Asked, shape: Shape) -> tuple[tuple[str, str], ...]:
    """Levels that are an edge of the piece, such as `waist: edge waist`."""
    key, raw = asked.key, asked.spec
    out = []
    for name, ref in (raw.get("levels") or {}).items():
        if str(ref).startswith("edge "):
            edge = str(ref).removeprefix("edge ").strip()
            if not shape.has(edge):
                raise Fault.of(
                    "unknown-edge",
                    f"{key} has no edge '{edge}'",
                    asked.table.where("pieces", key, "levels", name),
                    nearest(edge, [r.name for r in shape.runs]).strip(),
                )
            out.append((str(name), edge))
    return tuple(out)


def _inside_line(shape: Shape, run: Run, by: float) -> Path:
    """A line `by` mm inside an edge, cut where it meets the two neighbouring edges."""
    count = max(2, math.ceil(run.path.length / 25))
    stops = [run.path.length * k / count for k in range(count + 1)]
    points = [run.path.point(s) + run.path.tangent(s) * 1j * by for s in stops]
    ends = (points[0] - points[1], points[-1] - points[-2])
    long = Path.polyline(
        [points[0] + ends[0] / abs(ends[0]) * 60, *points, points[-1] + ends[1] / abs(ends[1]) * 60]
    )
    before, after = shape.neighbours(run.name)
    cuts = [long.crossings(n.path) for n in (before, after)]
    if not all(cuts):
        return Path.polyline(points)
    return long.part(cuts[0][0][0], cuts[1][-1][0])
