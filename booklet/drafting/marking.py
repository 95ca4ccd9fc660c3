"""Marks on the edges of a shape: those of `marks:`, and those that `match:` takes from the edges to be met."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from booklet.drafting.asked import Asked
from booklet.drafting.mouths import mouth_marks
from booklet.drafting.places import Inner, whole_edge
from booklet.drafting.shape import Run, Shape
from booklet.model import Mark, Side
from booklet.problems import Fault, nearest

if TYPE_CHECKING:
    from booklet.drafting.maker import PieceMaker


def marked(maker: PieceMaker, key: str, shape: Shape) -> Shape:
    """The shape with every mark of the draft that lies on one of its edges."""
    others = maker.raw.keys() - {key}
    for name, spec in (maker.table.data.get("marks") or {}).items():
        asked = Asked(maker, key, spec, ("marks", str(name)))
        refs = asked.listed("on")
        if all(r.partition(".")[0] in others for r in refs) or not asked.applies():
            continue
        for ref in refs:
            piece, *rest = ref.split(".")
            if piece not in maker.raw:
                raise Fault.of(
                    "unknown-piece",
                    f"mark {name} is on '{ref}': no such piece",
                    asked.where,
                    nearest(piece, maker.raw).strip(),
                )
            if piece == key:
                shape = _mark(asked, shape, str(name), spec, rest)
    for pocket, raw in maker.raw.items():
        if "pocket" in raw and raw["pocket"]["in"] == key and maker.applies(pocket):
            shape = mouth_marks(maker.asked(pocket, "pocket"), shape)
    return shape


def _mark(asked: Asked, shape: Shape, name: str, spec: Mapping[str, Any], rest: list[str]) -> Shape:
    half = shape.has(".".join(rest))  # an edge of a piece that was opened out while it was shaped
    edge = ".".join(rest) if half else rest[0] if rest else ""
    run = asked.run(shape, edge, f"mark {name}: {asked.key}")
    at = asked.along(shape, run, f"mark {name}")
    side: Any = rest[1] if len(rest) > 1 and not half else None
    return with_marks(shape, run, [*run.marks, Mark(name, spec.get("notch", "single"), at, side)])


def with_marks(shape: Shape, run: Run, marks: list[Mark]) -> Shape:
    return shape.with_run(replace(run, marks=tuple(sorted(marks, key=lambda m: m.at))))


def matched(asked: Asked, shape: Shape) -> Shape:
    """Notches along one edge where the edges it will meet end, cross a centre or carry a notch of their own."""
    run = asked.run(shape, asked.words("along"))
    begins = asked.begins(shape, run, asked.words("from"), f"match along {run.name}")
    at = 0.0
    stops: list[tuple[float, str, str]] = []
    refs = asked.listed("to")
    for n, ref in enumerate(refs):
        size, inner = met_by(asked, ref, refs)
        stops += [(at + s, kind, name) for s, kind, name in inner]
        at += size
        if n < len(refs) - 1:
            stops.append((at, "single", f"{ref.split('.')[0]}_end"))
    if abs(at - run.sewn) > 0.5:
        raise asked.fault(
            "match",
            f"{asked.key}.{run.name} is {run.sewn:.1f} mm, the edges it matches {at:.1f} mm",
            "Make the edge the sum of the edges' lengths.",
        )
    marks = [Mark(name, kind, s if begins else run.path.length - s) for s, kind, name in stops]  # type: ignore[arg-type]
    return with_marks(shape, run, marks)


def met_by(asked: Asked, ref: str, refs: list[str]) -> tuple[float, list[Inner]]:
    """An edge to be met. Of a body whose left and right differ, each half as its own side drafts it."""
    other, edge = asked.edge(ref)
    sides = asked.maker.sides
    if not sides:
        return whole_edge(other, edge.name)
    ends = [asked.maker.cut_for(r.split(".")[0]) for r in refs]
    first: Side = "right" if ends[0] == "right" or ends[-1] == "left" else "left"
    own = asked.maker.cut_for(ref.split(".")[0])
    if own != "whole":
        return whole_edge(sides[own].shape(ref.split(".")[0], asked.where), edge.name)
    shapes = {side: maker.shape(ref.split(".")[0], asked.where) for side, maker in sides.items()}
    return whole_edge(shapes[first], edge.name, shapes["left" if first == "right" else "right"])
