"""From shapes to pieces: every entry of `pieces:` drafted in its named states, each once, with its details."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from booklet.drafting import details, laid
from booklet.drafting.asked import Asked
from booklet.drafting.buttons import button_marks
from booklet.drafting.darts import ask_dart
from booklet.drafting.marking import marked, matched
from booklet.drafting.places import edge_of
from booklet.drafting.shape import Shape, outline_entries, snapped
from booklet.drafting.splitting import split_of
from booklet.drafting.stretches import BENT, bent_levels
from booklet.drafting.table import Table
from booklet.drafting.verbs import VERBS
from booklet.drafting.ways import WAYS
from booklet.model import FoldLine, Piece, Side
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where, nearest


@dataclass
class PieceMaker:
    """Shapes and pieces of one table, each made once. `fusible` names the cloths whose plies are fused to a host."""

    table: Table
    fusible: frozenset[str] = frozenset()
    sides: Mapping[Side, PieceMaker] = field(
        default_factory=dict
    )  # a body whose left and right differ: one for each

    # ------------------------------------------------ which pieces there are

    @property
    def raw(self) -> Mapping[str, Any]:
        return self.table.data.get("pieces") or {}

    def applies(self, key: str) -> bool:
        return self.table.applies(self.raw[key].get("when"), self.table.where("pieces", key, "when"))

    def keys(self) -> list[str]:
        return [k for k in self.raw if self.applies(k)]

    def asked(self, key: str, *path: str | int) -> Asked:
        """What the entry of a piece says under some keys."""
        return Asked(self, key, self.raw[key], ("pieces", key)).within(*path)

    def side(self, key: str) -> Side:
        """The wearer's side that the drawing of a piece is for."""
        raw = self.raw[key]
        side: Any = raw.get("half") or raw.get("drawn for") or "whole"
        if side not in ("left", "right", "whole"):
            raise Fault.of(
                "side",
                f"'{side}' is not a side of the wearer",
                self.table.where("pieces", key),
                "Write left, right or whole.",
            )
        return side

    def cut_for(self, key: str) -> Side:
        """The one side of the wearer that a piece is cut for; whole where it is for both or for neither."""
        cut = self.raw[key].get("cut")
        sides = {r.get("side", "whole") for r in cut} if isinstance(cut, list) else {"whole"}
        only: Any = next(iter(sides)) if len(sides) == 1 else "whole"
        return only

    # ------------------------------------------------ lengths asked for by formulas

    def shape_length(self, table: Table, run: str) -> float | None:
        """`length of` an edge of a piece (one side), or of a ring(...) / chain(...) of edges."""
        if self.sides and table is self.table:  # of what belongs to neither side: the mean of the two
            found = [m.shape_length(m.table, run) or 0.0 for m in self.sides.values()]
            return sum(found) / len(found)
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
            raw = self._outlined(raw)
            return self._trial_length(table, raw, key, edge) * (
                2 if doubled and self._meets_fold(raw, edge) else 1
            )
        shape = self.shape(key)
        if shape.has(".".join(parts[1:])):  # of an opened piece
            edge = ".".join(parts[1:])
        elif len(parts) == 3 and shape.fold is None and shape.drawn_for == "whole" and shape.has(edge):
            raise Fault.of(
                "side", f"{key} is opened out, and its {edge} is one edge from left to right", None,
                f"Write {key}.{edge} for its whole length.",
            )  # fmt: skip
        if not shape.has(edge) and table.has_line(key, edge):
            return table.line(key, edge).length
        run = edge_of(shape, edge, key, None)
        double = doubled and shape.fold is not None and edge in [r.name for r in shape.neighbours(shape.fold)]
        return run.sewn * (2 if double else 1)

    def _outlined(self, raw: Mapping[str, Any]) -> Mapping[str, Any]:
        """The entry in which a piece's outline stands: its own, or that of a piece it is made from."""
        for _ in self.raw:
            if "outline" not in raw and raw.get("from") in self.raw:
                raw = {**self.raw[raw["from"]], **({"fold": raw["fold"]} if "fold" in raw else {})}
        return raw

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

    def edge_path(self, key: str, edge: str, asked: Where | None) -> Path:
        """The net line of a piece's edge, as drawn."""
        return edge_of(self.shape(key, asked), edge, key, asked).path

    # ------------------------------------------------ shapes

    def shape(self, key: str, asked: Where | None = None) -> Shape:
        """A piece's shape with all that its entry does to it. Raises Fault for an unknown piece or a shaping that fails."""
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

    def shaped_until(self, key: str, step: int) -> Shape:
        """A piece's shape as it stands before one entry of its `do:`."""
        raw = {k: v for k, v in self.raw[key].items() if k != "match"}
        return self._shape(key, {**raw, "do": raw["do"][:step]})

    def _shape(self, key: str, raw: Mapping[str, Any]) -> Shape:
        given = [k for k in WAYS if k in raw]
        if len(given) != 1:
            raise Fault.of(
                "piece-kind",
                f"{key} is given by {' and '.join(given) or 'nothing'}",
                self.table.where("pieces", key),
                f"Give it one of {', '.join(WAYS)}.",
            )
        shape = WAYS[given[0]](self.asked(key, given[0]))
        shape = self._drawn_on(key, raw, shape)
        for name in raw.get("darts") or {}:
            dart = self.asked(key, "darts", name)
            shape = ask_dart(dart, shape, str(name)) if dart.applies() else shape
        shape = marked(self, key, shape)
        for n, step in enumerate(raw.get("do", [])):
            verb = next(iter(step))
            shape = self._done(self.asked(key, "do", n, verb), shape, str(verb))
        shape = matched(self.asked(key, "match"), shape) if "match" in raw else shape
        return replace(shape, runs=snapped(shape.runs))

    def _done(self, asked: Asked, shape: Shape, verb: str) -> Shape:
        if verb not in VERBS:
            raise asked.fault("verb", f"'{verb}' is not a shaping verb", nearest(verb, VERBS).strip())
        if not asked.applies():
            return shape
        try:
            made = VERBS[verb](asked, shape)
        except Fault as fault:
            raise fault.at(asked.where) from None
        except ValueError as bad:
            raise asked.fault("geometry", f"{asked.key}, {verb}: {bad}") from None
        return replace(made, runs=snapped(made.runs))

    def _drawn_on(self, key: str, raw: Mapping[str, Any], shape: Shape) -> Shape:
        """The fold, levels and lines across that the entry adds to the shape it is given."""
        where = self.table.where("pieces", key)
        levels = dict(shape.levels)
        for name, ref in (raw.get("levels") or {}).items():
            text = str(ref)
            if not text.startswith("edge "):  # those are measured along that edge instead
                point = self.table.point(text, None, self.table.where("pieces", key, "levels", name))
                levels[str(name)] = point.imag
        across = {f.name: f for f in shape.lines_across}
        for name, line in (raw.get("lines across") or {}).items():
            across[str(name)] = FoldLine(str(name), self.table.line(*_two(str(line)), asked=where))
        shape = replace(shape, levels=tuple(levels.items()), lines_across=tuple(across.values()))
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

    # ------------------------------------------------ the finished piece

    def piece(self, key: str) -> Piece:
        raw = self.raw[key]
        shape = self.shape(key)
        asked = self.asked(key)
        grain = details.grain(asked, shape)
        edges = tuple(details.edge(asked, shape, run) for run in shape.runs)
        return Piece(
            key=key,
            number=int(raw.get("number", 0)),
            title=str(raw.get("title", key.replace("_", " ").capitalize())),
            drawn_for=shape.drawn_for,
            edges=edges,
            where=asked.where,
            fold=shape.fold,
            grain=grain,
            cuts=details.cut_rules(asked, shape),
            darts=tuple(replace(d, edge=details.side_of(d.edge)[0]) for d in shape.darts),
            fold_lines=details.fold_lines(asked, shape),
            openings=details.openings(asked, shape),
            lines_across=tuple(f for f in shape.lines_across if not f.name.startswith(BENT)),
            levels=shape.levels,
            level_lines=bent_levels(shape.lines_across),
            level_edges=details.level_edges(asked, shape),
            facing=shape.facing,
            binding=shape.binding,
            places=laid.places(asked, grain),
            nap=bool(raw.get("nap", False)),
            may_cross=raw.get("may turn") == "across",
            match=details.match_point(asked, edges),
            split=split_of(asked, shape, edges, grain),
            trueings=shape.trueings,
            derived_edges=shape.derived,
            pleats=tuple(details.pleat(p) for p in shape.pleats),
            ring=details.halves(edges),
            buttons=button_marks(asked, shape),
        )


def _two(name: str) -> tuple[str, str]:
    """The group and the line of a name such as back.neckline."""
    group, _, line = name.partition(".")
    if not line:
        raise Fault.of("name", f"'{name}' is not a name such as back.neckline", None)
    return group, line
