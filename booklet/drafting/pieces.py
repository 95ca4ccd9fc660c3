"""From shapes to pieces: every entry of `pieces:` drafted in its named states, with allowances, marks and cuts."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from booklet.drafting.cap import fit_cap
from booklet.drafting.darts import put_dart
from booklet.drafting.facing import facing_shape
from booklet.drafting.shape import Run, Shape, outline_entries, rectangle, shape_from_outline, snapped
from booklet.drafting.spread import slash_and_spread
from booklet.drafting.table import Table
from booklet.model import CutRule, Edge, FoldLine, Mark, Opening, Piece, Side
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where, nearest

_PAST = 400.0  # mm: how far a level line or a fold line is drawn out before it is cut by the outline


@dataclass
class PieceMaker:
    """Shapes and pieces of one table, each made once. `fusible` names the cloths whose plies are fused to a host."""

    table: Table
    fusible: frozenset[str] = frozenset()
    _shapes: dict[str, Any] = field(default_factory=dict)

    # ------------------------------------------------ which pieces there are

    @property
    def raw(self) -> Mapping[str, Any]:
        return self.table.data.get("pieces") or {}

    def applies(self, key: str) -> bool:
        return self.table.applies(self.raw[key].get("when"), self.table.where("pieces", key, "when"))

    def keys(self) -> list[str]:
        return [k for k in self.raw if self.applies(k)]

    # ------------------------------------------------ lengths asked for by formulas

    def shape_length(self, table: Table, run: str) -> float | None:
        """`length of` an edge of a piece (one side), or of a ring(...) / chain(...) of edges."""
        called = re.fullmatch(r"(ring|chain)\((.*)\)", run.strip())
        if called:
            whole = called.group(1) == "ring"
            return sum(self._edge_length(table, part.strip(), whole) for part in called.group(2).split(","))
        return self._edge_length(table, run.strip(), False)

    def _edge_length(self, table: Table, name: str, doubled: bool) -> float:
        parts = name.split(".")
        key, edge = parts[0], parts[1] if len(parts) > 1 else ""
        if len(parts) not in (2, 3):
            raise Fault.of("name", f"'{name}' is not an edge such as back.neckline", None)
        raw = self.raw.get(key)
        if raw is None:
            return table.line(key, edge).length
        if table is not self.table:  # a trial of an equation: only lines, no shaping
            return self._trial_length(table, raw, key, edge) * (
                2 if doubled and self._meets_fold(raw, edge) else 1
            )
        shape = self.shape(key)
        if not shape.has(edge):
            if table.has_line(key, edge):
                return table.line(key, edge).length
            raise Fault.of(
                "unknown-edge",
                f"{key} has no edge '{edge}'",
                None,
                nearest(edge, [r.name for r in shape.runs]).strip(),
            )
        double = doubled and shape.fold is not None and edge in [r.name for r in shape.neighbours(shape.fold)]
        return shape.run(edge).sewn * (2 if double else 1)

    def _trial_length(self, table: Table, raw: Mapping[str, Any], key: str, edge: str) -> float:
        for name, lines in outline_entries(raw.get("outline", [])):
            if name == edge:
                return sum((table.line(*_two(line)).length for line in lines), 0.0)
        return table.line(key, edge).length

    def _meets_fold(self, raw: Mapping[str, Any], edge: str) -> bool:
        names = [name for name, _ in outline_entries(raw.get("outline", []))]
        fold = raw.get("fold")
        if fold not in names or edge not in names:
            return False
        return (names.index(edge) - names.index(fold)) % len(names) in (1, len(names) - 1)

    # ------------------------------------------------ shapes

    def shape(self, key: str, asked: Where | None = None) -> Shape:
        if key not in self.raw:
            raise Fault.of(
                "unknown-piece", f"there is no piece '{key}'", asked, nearest(key, self.raw).strip()
            )
        return self.table.once(("pieces", key), lambda: self._placed_shape(key))

    def _placed_shape(self, key: str) -> Shape:
        where = self.table.where("pieces", key)
        try:
            return self._shape(key, self.raw[key])
        except Fault as fault:
            raise fault.at(where) from None
        except ValueError as bad:
            raise Fault.of("geometry", f"{key} cannot be drawn: {bad}", where) from None

    def _side(self, raw: Mapping[str, Any], where: Where) -> Side:
        side: Any = raw.get("half") or raw.get("drawn for") or "whole"
        if side not in ("left", "right", "whole"):
            raise Fault.of(
                "side", f"'{side}' is not a side of the wearer", where, "Write left, right or whole."
            )
        return side

    def _shape(self, key: str, raw: Mapping[str, Any]) -> Shape:
        where = self.table.where("pieces", key)
        kinds = [k for k in ("outline", "rectangle", "facing", "from") if k in raw]
        if len(kinds) != 1:
            raise Fault.of(
                "piece-kind",
                f"{key} is given by {' and '.join(kinds) or 'nothing'}",
                where,
                "Give it one of outline, rectangle, facing or from.",
            )
        if "facing" in raw:
            shape = self._facing(key, raw)
        elif "from" in raw:
            shape = self.shape(str(raw["from"]), where)
        elif "rectangle" in raw:
            shape = rectangle(self.table, key, raw, self._side(raw, where))
        else:
            shape = self._outlined(key, raw, where)
        shape = self._darted(key, raw, shape)
        shape = self._marked(key, raw, shape)
        for n, step in enumerate(raw.get("do", [])):
            shape = self._do(key, shape, step, ("pieces", key, "do", n))
        shape = self._matched(key, raw, shape) if "match" in raw else shape
        return replace(shape, runs=snapped(shape.runs))

    def _outlined(self, key: str, raw: Mapping[str, Any], where: Where) -> Shape:
        shape = shape_from_outline(self.table, key, raw, self._side(raw, where))
        shape = replace(
            shape,
            levels=tuple(self._levels(key, raw, shape)),
            lines_across=tuple(
                FoldLine(str(n), self.table.line(*_two(str(line)), asked=where))
                for n, line in (raw.get("lines across") or {}).items()
            ),
            points=self._points(shape),
        )
        if "fold" in raw:
            if not shape.has(raw["fold"]):
                raise Fault.of(
                    "unknown-edge",
                    f"{key} has no edge '{raw['fold']}' to lie on the fold",
                    where,
                    nearest(raw["fold"], [r.name for r in shape.runs]).strip(),
                )
            shape = replace(shape, fold=raw["fold"])
        return shape.placed(Placement.mirror(0j, 1j)) if raw.get("mirror") else shape

    def _points(self, shape: Shape) -> tuple[tuple[str, complex], ...]:
        """Construction points that are ends of the edges, by their own names."""
        out: list[tuple[str, complex]] = []
        groups = self.table.data.get("construction") or {}
        for group in dict.fromkeys(g for r in shape.runs for g, _ in r.lines):
            raw_lines = groups[group].get("lines", {})
            for g, line in [x for r in shape.runs for x in r.lines if x[0] == group]:
                spec = raw_lines[line]
                for ref in (*(spec.get("straight") or ()), *(spec.get("curve") or ())):
                    name = str(ref).split(".")[-1]
                    out.append((name, self.table.point(str(ref), g)))
        return tuple(dict(out).items())

    def _levels(self, key: str, raw: Mapping[str, Any], shape: Shape) -> list[tuple[str, float]]:
        out = []
        for name, ref in (raw.get("levels") or {}).items():
            text = str(ref)
            if text.startswith("edge "):
                continue  # measured along that edge instead
            out.append(
                (
                    str(name),
                    self.table.point(text, None, self.table.where("pieces", key, "levels", name)).imag,
                )
            )
        return out

    def _level_edges(self, key: str, raw: Mapping[str, Any], shape: Shape) -> tuple[tuple[str, str], ...]:
        out = []
        for name, ref in (raw.get("levels") or {}).items():
            if str(ref).startswith("edge "):
                edge = str(ref).removeprefix("edge ").strip()
                if not shape.has(edge):
                    raise Fault.of(
                        "unknown-edge",
                        f"{key} has no edge '{edge}'",
                        self.table.where("pieces", key, "levels", name),
                        nearest(edge, [r.name for r in shape.runs]).strip(),
                    )
                out.append((str(name), edge))
        return tuple(out)

    def _facing(self, key: str, raw: Mapping[str, Any]) -> Shape:
        spec = raw["facing"]
        path = ("pieces", key, "facing")
        where = self.table.where(*path)
        parent = self.shape(str(spec["of"]), where)
        wide = spec["wide"]
        if isinstance(wide, Mapping) and "start" in wide:
            widths = tuple(self.table.amount(wide[k], *path, "wide", k) for k in ("start", "end"))
        else:
            widths = (self.table.amount(wide, *path, "wide"),) * 2
        deep = self.table.amount(spec["at fold"], *path, "at fold") if "at fold" in spec else None
        return facing_shape(parent, str(spec["of"]), [str(e) for e in spec["along"]], widths, deep, where)  # type: ignore[arg-type]

    # ------------------------------------------------ marks

    def _marked(self, key: str, raw: Mapping[str, Any], shape: Shape) -> Shape:
        for name, spec in (self.table.data.get("marks") or {}).items():
            where = self.table.where("marks", name)
            if not self.table.applies(spec.get("when"), where):
                continue
            for ref in spec["on"] if isinstance(spec["on"], list) else [spec["on"]]:
                parts = str(ref).split(".")
                if parts[0] not in self.raw:
                    raise Fault.of(
                        "unknown-piece",
                        f"mark {name} is on '{ref}': no such piece",
                        where,
                        nearest(parts[0], self.raw).strip(),
                    )
                if parts[0] == key:
                    shape = self._mark(shape, str(name), spec, parts, key, where)
        return shape

    def _mark(
        self, shape: Shape, name: str, spec: Mapping[str, Any], parts: list[str], key: str, where: Where
    ) -> Shape:
        if len(parts) < 2 or not shape.has(parts[1]):
            raise Fault.of(
                "unknown-edge",
                f"mark {name}: {key} has no edge '{'.'.join(parts[1:])}'",
                where,
                nearest(parts[-1], [r.name for r in shape.runs]).strip(),
            )
        run = shape.run(parts[1])
        if "where" in spec:
            at = self._crossing(shape, run, str(spec["where"]), name, where)
        else:
            far = self.table.amount(spec["at"], "marks", name, "at")
            if not 0 < far < run.sewn:
                raise Fault.of(
                    "mark-place",
                    f"mark {name} lies at {far:.1f} mm on {key}.{run.name}, which is {run.sewn:.1f} mm long",
                    where,
                    "Set it within the edge.",
                )
            begins = self._from_start(shape, run, str(spec.get("from", "")), name, where)
            at = _drawn_at(run, far if begins else run.sewn - far)
        side = parts[2] if len(parts) > 2 else None
        mark = Mark(name, spec.get("notch", "single"), at, side)  # type: ignore[arg-type]
        return shape.with_run(replace(run, marks=tuple(sorted((*run.marks, mark), key=lambda m: m.at))))

    def _from_start(self, shape: Shape, run: Run, start: str, what: str, where: Where) -> bool:
        """Whether `from:` (a neighbouring edge, `fold`, or a point at an end) names the edge's start."""
        before, after = shape.neighbours(run.name)
        if start == "fold" and shape.fold:
            start = shape.fold
        if start == before.name:
            return True
        if start == after.name:
            return False
        for name, z in shape.points:
            if name == start:
                if abs(z - run.path.start) < 0.1:
                    return True
                if abs(z - run.path.end) < 0.1:
                    return False
        raise Fault.of(
            "from",
            f"{what}: '{start}' is at neither end of {run.name}",
            where,
            f"Its ends meet {before.name} and {after.name}.",
        )

    def _crossing(self, shape: Shape, run: Run, line: str, what: str, where: Where) -> float:
        across = next((f for f in shape.lines_across if f.name == line), None)
        if across is None:
            raise Fault.of(
                "unknown-line",
                f"{what}: there is no line '{line}' across the piece",
                where,
                nearest(line, [f.name for f in shape.lines_across]).strip(),
            )
        return run.path.nearest(
            min(
                (across.path.start, across.path.end),
                key=lambda z: abs(run.path.point(run.path.nearest(z)) - z),
            )
        )

    # ------------------------------------------------ darts and verbs

    def _darted(self, key: str, raw: Mapping[str, Any], shape: Shape) -> Shape:
        for name, spec in (raw.get("darts") or {}).items():
            path = ("pieces", key, "darts", name)
            where = self.table.where(*path)
            if not self.table.applies(spec.get("when"), where):
                continue
            wide, long, far = (self.table.amount(spec[k], *path, k) for k in ("wide", "long", "at"))
            if wide <= 0 or long <= 0:
                raise Fault.of(
                    "dart-size",
                    f"the dart {name} is {wide:.1f} mm wide and {long:.1f} mm long",
                    where,
                    "Give it a width and a length, or a `when:` under which it vanishes.",
                )
            if not shape.has(spec["on"]):
                raise Fault.of(
                    "unknown-edge",
                    f"the dart {name}: {key} has no edge '{spec['on']}'",
                    where,
                    nearest(spec["on"], [r.name for r in shape.runs]).strip(),
                )
            run = shape.run(spec["on"])
            begins = self._from_start(shape, run, str(spec["from"]), f"the dart {name}", where)
            middle = far if begins else run.path.length - far
            words = str(spec.get("press", "to centre"))
            shape = put_dart(
                shape,
                str(name),
                run.name,
                middle,
                wide,
                long,
                self._press_first(shape, run, middle, words),
                words,
                where,
            )
        return shape

    def _press_first(self, shape: Shape, run: Run, middle: float, words: str) -> bool:
        """Whether 'to centre' lies towards the start of the edge: the fold's end, or where the centre line crosses."""
        towards = words.removeprefix("to ").strip()
        before, after = shape.neighbours(run.name)
        if shape.fold is not None and towards == "centre":
            return before.name == shape.fold
        if towards in (before.name, after.name):
            return before.name == towards
        across = next((f for f in shape.lines_across if f.name == towards), None)
        if across is not None:
            return min(run.path.nearest(across.path.start), run.path.nearest(across.path.end)) < middle
        return True

    def _do(self, key: str, shape: Shape, step: Mapping[str, Any], path: tuple[str | int, ...]) -> Shape:
        where = self.table.where(*path)
        verb, spec = next(iter(step.items()))
        if verb == "fit cap":
            return self._fit_cap(key, shape, spec, (*path, verb), where)
        if verb == "slash and spread":
            return self._spread(key, shape, spec, (*path, verb), where)
        raise Fault.of(
            "verb",
            f"'{verb}' is not a shaping verb",
            where,
            nearest(str(verb), ["fit cap", "slash and spread"]).strip(),
        )

    def _fit_cap(
        self, key: str, shape: Shape, spec: Mapping[str, Any], path: tuple[str | int, ...], where: Where
    ) -> Shape:
        armholes, ease, walk = {}, {}, {}
        for end in ("front", "back"):
            piece, edge = str(spec["to"][end]).split(".")[:2]
            run = self.shape(piece, where).run(edge)
            mark = next((m for m in run.marks if m.name == spec["walk"][end]), None)
            if mark is None:
                raise Fault.of(
                    "unknown-mark",
                    f"{piece}.{edge} has no mark '{spec['walk'][end]}'",
                    where,
                    nearest(spec["walk"][end], [m.name for m in run.marks]).strip(),
                )
            raw_mark = self.table.data["marks"][mark.name]
            begins = self._from_start(self.shape(piece), run, str(raw_mark["from"]), mark.name, where)
            armholes[end] = run
            walk[end] = (mark, mark.at if begins else run.path.length - mark.at)
            ease[end] = self.table.amount(spec["ease"][end], *path, "ease", end)
        return fit_cap(
            shape,
            str(spec["head"]),
            armholes,
            ease,
            walk,
            str(spec.get("by", "height")),
            str(spec.get("top", "top")),
            where,
        )

    def _spread(
        self, key: str, shape: Shape, spec: Mapping[str, Any], path: tuple[str | int, ...], where: Where
    ) -> Shape:
        found = re.fullmatch(r"(\w+)\[(\w+)\.\.(\w+)\]", str(spec["from"]).replace(" ", ""))
        if not found or not shape.has(found.group(1)):
            raise Fault.of(
                "spread-from",
                f"'{spec['from']}' is not an edge with two marks",
                where,
                "Write it as head[first_mark..second_mark].",
            )
        edge, a, b = found.groups()
        run = shape.run(edge)
        marks = {m.name: m for m in run.marks}
        for m in (a, b):
            if m not in marks:
                raise Fault.of(
                    "unknown-mark", f"{key}.{edge} has no mark '{m}'", where, nearest(m, marks).strip()
                )
        start, end = sorted((marks[a], marks[b]), key=lambda m: m.at)
        opens = spec["open"]
        amounts = [
            self.table.amount(opens.get(name, 0), *path, "open", name) for name in (edge, str(spec["to"]))
        ]
        count = int(self.table.amount(spec["slashes"], *path, "slashes", kind="count"))
        if min(amounts) < 0 or not 1 <= count <= 60:
            raise Fault.of(
                "spread",
                f"{count} slashes opened by {amounts[0]:.0f} and {amounts[1]:.0f} mm",
                where,
                "Amounts are 0 or more, slashes 1 to 60.",
            )
        return slash_and_spread(
            shape, edge, start, end, str(spec["to"]), count, amounts[0], amounts[1], where
        )

    def _matched(self, key: str, raw: Mapping[str, Any], shape: Shape) -> Shape:
        """Notches along one edge where the edges it will meet end, cross a centre or carry a notch of their own."""
        spec = raw["match"]
        where = self.table.where("pieces", key, "match")
        if not shape.has(spec["along"]):
            raise Fault.of(
                "unknown-edge",
                f"{key} has no edge '{spec['along']}'",
                where,
                nearest(spec["along"], [r.name for r in shape.runs]).strip(),
            )
        run = shape.run(spec["along"])
        begins = self._from_start(shape, run, str(spec["from"]), f"match along {run.name}", where)
        at, marks = 0.0, []
        stops: list[tuple[float, str, str]] = []
        for n, ref in enumerate(spec["to"]):
            piece, edge = str(ref).split(".")[:2]
            other = self.shape(piece, where)
            size, inner = _whole_edge(other, edge)
            stops += [(at + s, kind, name) for s, kind, name in inner]
            at += size
            if n < len(spec["to"]) - 1:
                stops.append((at, "single", f"{piece}_end"))
        if abs(at - run.sewn) > 0.5:
            raise Fault.of(
                "match",
                f"{key}.{run.name} is {run.sewn:.1f} mm, the edges it matches {at:.1f} mm",
                where,
                "Make the edge the sum of the edges' lengths.",
            )
        for s, kind, name in stops:
            marks.append(Mark(name, kind, s if begins else run.path.length - s))  # type: ignore[arg-type]
        return shape.with_run(replace(run, marks=tuple(sorted(marks, key=lambda m: m.at))))

    # ------------------------------------------------ the finished piece

    def piece(self, key: str) -> Piece:
        raw = self.raw[key]
        where = self.table.where("pieces", key)
        shape = self.shape(key)
        edges = tuple(self._edge(key, raw, shape, run) for run in shape.runs)
        return Piece(
            key=key,
            number=int(raw.get("number", 0)),
            title=str(raw.get("title", key.replace("_", " ").capitalize())),
            drawn_for=shape.drawn_for,
            edges=edges,
            where=where,
            fold=shape.fold,
            grain=self._grain(key, raw, shape),
            cuts=tuple(self._cut_rules(key, raw, shape)),
            darts=shape.darts,
            fold_lines=tuple(self._fold_lines(key, raw, shape)),
            openings=tuple(self._openings(key, raw, shape)),
            lines_across=shape.lines_across,
            levels=shape.levels,
            level_edges=self._level_edges(key, raw, shape),
            facing=shape.facing,
            nap=bool(raw.get("nap", False)),
            trueings=shape.trueings,
            derived_edges=shape.derived,
        )

    def _edge(self, key: str, raw: Mapping[str, Any], shape: Shape, run: Run) -> Edge:
        folds = raw.get("hem folds") or ()
        if isinstance(folds, Mapping):
            hem = run.name in folds and self.table.applies(
                folds[run.name], self.table.where("pieces", key, "hem folds")
            )
        else:
            hem = run.name in folds
        allow = 0.0 if run.name == shape.fold else self.allowance(key, run.name)
        called = str((raw.get("called") or {}).get(run.name, run.name.replace("_", " ")))
        return Edge(run.name, run.path, allow, called, run.marks, run.take_ups, hem)

    def allowance(self, key: str, edge: str, depth: int = 0) -> float:
        """The allowance of an edge by `allow:`; `as PIECE` asks that piece for the edge of the same name."""
        raw = self.raw[key]
        allow = raw.get("allow") or {}
        path = ("pieces", key, "allow")
        name = edge if edge in allow else "other"
        if name not in allow:
            if raw.get("cut") and depth == 0:
                raise Fault.of(
                    "no-allowance",
                    f"{key}.{edge} has no allowance",
                    self.table.where(*path),
                    f"Add {edge} or other to `allow:` (0 where the edge is bound or left raw).",
                )
            return 0.0
        value = allow[name]
        if isinstance(value, str) and value.startswith("as "):
            other = value[3:].strip()
            if other not in self.raw or depth > 8:
                raise Fault.of(
                    "unknown-piece",
                    f"`allow:` of {key} asks '{other}'",
                    self.table.where(*path, name),
                    nearest(other, self.raw).strip(),
                )
            return self.allowance(other, edge, depth + 1)
        width = self.table.amount(value, *path, name)
        if not 0 <= width <= 200:
            raise Fault.of(
                "allowance",
                f"the allowance of {key}.{edge} is {width:.1f} mm",
                self.table.where(*path, name),
                "Write a width from 0 to 200 mm.",
            )
        return width

    def _grain(self, key: str, raw: Mapping[str, Any], shape: Shape) -> tuple[complex, complex]:
        """The declared line, else the longest upright chord of nine across the piece, its middle 60 %."""
        if shape.grain is not None:
            return shape.grain
        path = shape.runs[0].path.joined(*(r.path for r in shape.runs[1:]))
        x0, y0, x1, y1 = path.bbox
        best: tuple[float, complex, complex] | None = None
        for k in range(1, 10):
            x = x0 + (x1 - x0) * k / 10
            ys = sorted(z.imag for _, z in path.crossings(Path.line(complex(x, y0 - 5), complex(x, y1 + 5))))
            for a, b in zip(ys[::2], ys[1::2], strict=False):
                worth = (b - a) * (1 - abs(k - 5) * 0.04)
                if best is None or worth > best[0]:
                    best = (worth, complex(x, b - (b - a) * 0.2), complex(x, a + (b - a) * 0.2))
        if best is None:
            raise Fault.of("grain", f"{key} has no room for a grain line", self.table.where("pieces", key))
        return best[1], best[2]

    def _cut_rules(self, key: str, raw: Mapping[str, Any], shape: Shape) -> list[CutRule]:
        cut = raw.get("cut")
        if not cut:
            return []
        where = self.table.where("pieces", key, "cut")
        if isinstance(cut, Mapping):
            cut = [{"cloth": c, "count": n} for c, n in cut.items()]
        out = []
        for n, rule in enumerate(cut):
            path = ("pieces", key, "cut", n)
            if not self.table.applies(rule.get("when"), self.table.where(*path)):
                continue
            count = int(rule.get("count", 1))
            how: Any = rule.get("as") or (
                "whole on fold" if shape.fold else "pair" if count == 2 else "single"
            )
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
                trim = 0.0 if text == "to stitch line" else self.table.amount(text, *path, "trim")
            fused = str(rule["cloth"]) in self.fusible
            face: Any = rule.get("face") or ("up" if how == "single" else "either")
            out.append(CutRule(str(rule["cloth"]), count, how, face, side or "whole", trim, fused))
        return out

    def _fold_lines(self, key: str, raw: Mapping[str, Any], shape: Shape) -> list[FoldLine]:
        out = []
        for name, spec in (raw.get("fold lines") or {}).items():
            path = ("pieces", key, "fold lines", name)
            where = self.table.where(*path)
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
            if not self.table.applies(spec.get("when"), where):
                continue
            run = shape.run(spec["off"]) if shape.has(spec["off"]) else None
            if run is None:
                raise Fault.of(
                    "unknown-edge",
                    f"{key} has no edge '{spec['off']}'",
                    where,
                    nearest(spec["off"], [r.name for r in shape.runs]).strip(),
                )
            by = self.table.amount(spec["by"], *path, "by")
            out.append(FoldLine(str(name), _inside_line(shape, run, by)))
        return out

    def _openings(self, key: str, raw: Mapping[str, Any], shape: Shape) -> list[Opening]:
        out = []
        for name, spec in (raw.get("openings") or {}).items():
            path = ("pieces", key, "openings", name)
            where = self.table.where(*path)
            if not self.table.applies(spec.get("when"), where):
                continue
            found = re.fullmatch(r"(\w+) at (\w+)", str(spec["from"]))
            if not found or not shape.has(found.group(1)) or found.group(2) not in (shape.fold, "centre"):
                raise Fault.of(
                    "opening",
                    f"'{spec['from']}' is no place for the opening {name}",
                    where,
                    "Write EDGE at centre, on a piece with a fold.",
                )
            fold = shape.run(str(shape.fold)).path
            run = shape.run(found.group(1))
            at = min(
                (fold.start, fold.end), key=lambda z: min(abs(z - run.path.start), abs(z - run.path.end))
            )
            other = fold.end if abs(at - fold.start) < 1e-6 else fold.start
            way = (other - at) / abs(other - at)
            down, mouth = (self.table.amount(spec[k], *path, k) for k in ("down", "mouth"))
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
        return out


def _two(name: str) -> tuple[str, str]:
    """The group and the line of a name such as back.neckline."""
    group, _, line = name.partition(".")
    if not line:
        raise Fault.of("name", f"'{name}' is not a name such as back.neckline", None)
    return group, line


def _whole_edge(shape: Shape, edge: str) -> tuple[float, list[tuple[float, str, str]]]:
    """Sewn length of an edge of the opened piece, and its inner match points (sewn distance, kind, name)."""
    run = shape.run(edge)
    inner: list[tuple[float, str, str]] = [
        (_sewn_at(run, m.at), m.kind, m.name) for m in run.marks if m.kind != "snip"
    ]
    if shape.fold is None:
        return run.sewn, [(s, k, n) for s, k, n in inner]
    before, after = shape.neighbours(edge)
    if shape.fold == before.name:  # the edge leaves the fold
        half = [(run.sewn + s, k, n) for s, k, n in inner]
        return run.sewn * 2, [(run.sewn - s, k, n) for s, k, n in inner] + [
            (run.sewn, "single", "centre")
        ] + half
    if shape.fold == after.name:
        return run.sewn * 2, [
            *inner,
            (run.sewn, "single", "centre"),
            *((2 * run.sewn - s, k, n) for s, k, n in inner),
        ]
    return run.sewn * 2, inner


def _sewn_at(run: Run, at: float) -> float:
    return at - sum(max(0.0, min(at, t.end) - t.start) for t in run.take_ups if at > t.start)


def _drawn_at(run: Run, sewn: float) -> float:
    """Drawn position of a sewn distance from an edge's start: folded stretches are jumped over."""
    at = sewn
    for up in run.take_ups:
        if at > up.start + 1e-9:
            at += up.end - up.start
    return at


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
