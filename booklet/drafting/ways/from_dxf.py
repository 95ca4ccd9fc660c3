"""`dxf:` a piece from a block of a DXF file in the style's folder, by the layers of ASTM D6673 or one that is named.

The stitching line is taken; a file that has only the cut line says with `allowance:` what lies outside the stitching.
A mirror line on one of its edges makes the piece a half with that edge on the fold. Its grain comes along.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import shapely

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Run, Shape
from booklet.drafting.ways.inset import inset
from booklet.drafting.ways.measured import closed_ring
from booklet.drafting.ways.notches_in import NotchFound, named_notches, notches_found
from booklet.drafting.ways.taken_in import GAP, style_file
from booklet.exchange import layers
from booklet.exchange.plain import Block, DxfFile
from booklet.exchange.read_dxf import read_dxf
from booklet.exchange.rings import at_turns, chains, corners, divided, off_line, ring_among
from booklet.model import Mark
from booklet.paths import Path, Placement, area
from booklet.problems import Fault, nearest

UNIT = {"mm": 1.0, "cm": 10.0, "in": 25.4}
ON_MIRROR = 0.1  # mm: an edge that lies so near to the mirror line lies on it
LARGEST = 1e5  # mm
SHOWN = 16


def from_dxf(asked: Asked) -> Shape:
    """`dxf: {file, piece, edges: [NAMES] or {NAME: stretches}}`, with `units`, `line`, `layer`, `allowance`, `notches`."""
    path = style_file(asked, asked.words("file"))
    try:
        drawn = read_dxf(path)
    except Fault as fault:
        raise fault.at(asked.where) from None
    block = _block(asked, drawn, path.name)
    block = block.scaled(_scale(asked, drawn, path.name))
    ring, is_cut = _ring(asked, block)
    ring = ring if area(ring.flatten(0.5)) > 0 else ring.reversed()
    turns = at_turns(ring, block.points_on(layers.TURN))
    parts = divided(ring, turns if len(turns) > 1 else corners(ring))
    lines = _named(asked, parts, block.name)
    fold = _fold(asked, block, lines)
    if is_cut:
        lines = inset(lines, [_allowance(asked, name, fold) for name, _ in lines], asked)
    _check(asked, lines, block.name)
    points = block.points_on(*layers.NOTCHES) if asked.has("notches") else ()
    notches = named_notches(asked, notches_found(points, lines), block.name)
    return _shape(asked, block, lines, fold, notches)


def _shape(
    asked: Asked,
    block: Block,
    lines: list[tuple[str, Path]],
    fold: str | None,
    notches: list[tuple[str, NotchFound]],
) -> Shape:
    """The ring as a shape, its upper left corner at nought."""
    shape = closed_ring(asked, lines, GAP)
    runs = [_marked(run, notches) for run in shape.runs]
    grains = block.on(layers.GRAIN)
    grain = (grains[0].start, grains[0].end) if grains else None
    shape = replace(shape, runs=tuple(runs), fold=fold, grain=grain)
    boxes = [run.path.bbox for run in shape.runs]
    corner = complex(min(b[0] for b in boxes), min(b[1] for b in boxes))
    return shape.placed(Placement.move(-corner))


def _marked(run: Run, notches: list[tuple[str, NotchFound]]) -> Run:
    marks = [
        Mark(name, found.kind, run.path.nearest(found.at))
        for name, found in notches
        if found.edge == run.name
    ]
    return replace(run, marks=tuple(sorted(marks, key=lambda m: m.at)))


# ---------------------------------------------------------------- what is asked for


def _block(asked: Asked, drawn: DxfFile, file: str) -> Block:
    names = [b.name for b in drawn.blocks]
    wanted = asked.words("piece")
    if not wanted:
        if len(names) > 1:
            listed = ", ".join(names[:SHOWN])
            raise asked.fault(
                "which-piece", f"{file} has {len(names)} pieces", f"Say piece: one of {listed}."
            )
        found = drawn.blocks[0] if names else replace(drawn.loose, name=file)
    else:
        by_name = [b for b in drawn.blocks if b.name.upper() == wanted.upper()]
        by_words = [b for b in drawn.blocks if wanted.upper() in _titles(b)]
        if not (by_name or by_words):
            hint = nearest(wanted, names).strip() if names else "It has no blocks: leave piece: out."
            raise asked.fault("no-block", f"{file} has no piece '{wanted}'", hint)
        found = (by_name or by_words)[0]
    if found.faults:
        raise asked.fault("dxf", f"{found.name} in {file} cannot be taken in: {found.faults[0]}")
    if not found.lines:
        raise asked.fault("dxf", f"{file} has no lines", "Save the outlines of the pieces in it.")
    return found


def _titles(block: Block) -> list[str]:
    """What a block's words call the piece."""
    pairs = (text.partition(":") for text in block.words)
    return [value.strip().upper() for key, _, value in pairs if key.strip().upper() == "PIECE NAME"]


def _scale(asked: Asked, drawn: DxfFile, file: str) -> float:
    """mm to one unit of the file."""
    if asked.has("units"):
        return UNIT[asked.words("units")]
    said = [v for v in (drawn.unit, drawn.worded) if v is not None]
    if not said:
        raise asked.fault(
            "no-scale",
            f"{file} doesn't say what its unit is",
            "Say it beside the file's name: units: mm, cm or in.",
        )
    if abs(said[0] - said[-1]) > 1e-9:
        one, other = (layers.NAMED.get(v, f"{v:g} mm") for v in said)
        raise asked.fault(
            "no-scale",
            f"the header of {file} gives its unit as {one}, its words as {other}",
            "Measure one piece, and say which is true: units: mm, cm or in.",
        )
    return said[0]


def _ring(asked: Asked, block: Block) -> tuple[Path, bool]:
    """The closed line that is asked for, and whether it is the cut line, whose allowance is still to come off."""
    layer, is_cut = _layer(asked, block)
    lines = block.on(layer)
    if not lines:
        there = ", ".join(block.layers[:SHOWN])
        raise asked.fault(
            "no-line", f"{block.name} has no line on layer {layer}", f"Say layer: one of {there}."
        )
    if any(max(abs(v) for v in line.bbox) > LARGEST for line in lines):
        raise asked.fault(
            "too-large", f"{block.name} is over 100 m large", "Say its unit: units: mm, cm or in."
        )
    found = chains(lines, GAP)
    mirrors = block.on(layers.MIRROR)
    ring = ring_among(found, mirrors[0] if mirrors else None, GAP)
    if ring is None:
        gap = min(abs(c.end - c.start) for c in found)
        mend = "Close it there, and save the file again."
        if layer == layers.STITCH:
            mend = "Close it there, or take the cut line: line: cut, with allowance:."
        raise asked.fault(
            "open-outline", f"the outline of {block.name} does not close: {gap:.1f} mm are open", mend
        )
    return ring, is_cut


def _layer(asked: Asked, block: Block) -> tuple[str, bool]:
    if asked.has("layer"):
        return asked.words("layer"), asked.has("allowance")
    there = block.layers
    stitch = asked.words("line") == "stitch" or (layers.STITCH in there and asked.words("line") != "cut")
    if stitch:
        if asked.has("allowance"):
            raise asked.fault(
                "allowance",
                f"{block.name} has a stitching line, so no allowance is to come off",
                "Leave allowance: out, or say line: cut.",
            )
        return layers.STITCH, False
    layer = layers.CUT
    if (
        layer not in there and len(there) == 1 and not asked.has("line")
    ):  # a plain drawing on a layer of its own
        layer = there[0]
    if not asked.has("allowance"):
        raise asked.fault(
            "no-stitch-line",
            f"{block.name} has no stitching line on layer {layers.STITCH}",
            "Say how much lies outside it, such as allowance: 1 cm, or allowance: 0 where the outline is sewn itself.",
        )
    return layer, True


def _allowance(asked: Asked, edge: str, fold: str | None) -> float:
    given = asked.spec["allowance"]
    if not isinstance(given, dict):
        wide = 0.0 if edge == fold else asked.amount("allowance")
    elif edge not in given and edge == fold:
        wide = 0.0
    elif edge in given or "other" in given:
        wide = asked.amount("allowance", edge if edge in given else "other")
    else:
        raise asked.fault("no-allowance", f"allowance: says nothing of {edge}", "Add it, or other:.")
    if not 0 <= wide <= 200:
        raise asked.fault(
            "allowance", f"the allowance of {edge} is {wide:.1f} mm", "Write one from 0 to 200 mm."
        )
    return wide


def _named(asked: Asked, parts: list[Path], block: str) -> list[tuple[str, Path]]:
    """The stretches of an outline under the names of their edges, in order round it."""
    spec: Any = asked.spec["edges"]
    listed = ", ".join(f"{n} ({p.length:.0f} mm)" for n, p in enumerate(parts[:SHOWN], 1))
    mend = f"In order round it, clockwise, they are {listed}."
    if isinstance(spec, list):
        if len(spec) != len(parts):
            raise asked.fault(
                "corners",
                f"the outline of {block} has {len(parts)} stretches from corner to corner, {len(spec)} edges are named",
                mend + " Several may be one edge: edges: {NAME: [1, 2], OTHER: 3}.",
            )
        return [(str(name), part) for name, part in zip(spec, parts, strict=True)]
    groups = {str(k): [int(n) for n in (v if isinstance(v, list) else [v])] for k, v in spec.items()}
    every = sorted(n for group in groups.values() for n in group)
    if every != list(range(1, len(parts) + 1)):
        raise asked.fault(
            "corners",
            f"the outline of {block} has the stretches 1 to {len(parts)}, the edges name "
            + ", ".join(str(n) for n in every[:SHOWN]),
            "Name each once. " + mend,
        )
    out = []
    for name, group in groups.items():
        chain = [parts[n - 1] for n in group]
        if any(abs(a.end - b.start) > GAP for a, b in zip(chain, chain[1:], strict=False)):
            raise asked.fault("corners", f"the stretches of {name} do not follow each other", mend)
        out.append((group[0], name, chain[0].joined(*chain[1:])))
    return [(name, path) for _, name, path in sorted(out, key=lambda row: row[0])]


def _fold(asked: Asked, block: Block, lines: list[tuple[str, Path]]) -> str | None:
    """The edge that lies on the mirror line, if there is one."""
    mirrors = block.on(layers.MIRROR)
    if not mirrors or mirrors[0].length < 1.0:
        return None
    on = [name for name, p in lines if all(off_line(z, mirrors[0]) < ON_MIRROR for z in p.flatten(0.1))]
    if len(on) != 1:
        return None
    if asked.maker.side(asked.key) == "whole":
        raise asked.fault(
            "side",
            f"{block.name} is a half: its edge {on[0]} lies on a mirror line",
            f"Say which half is drawn, as seen on the right side: half: left or half: right beside {asked.key}'s dxf:.",
        )
    return on[0]


def _check(asked: Asked, lines: list[tuple[str, Path]], block: str) -> None:
    points = np.concatenate([path.flatten(0.02)[:-1] for _, path in lines])
    ring = shapely.LinearRing(np.column_stack([points.real, points.imag]))
    if ring.is_simple and area(points) > 0:
        return
    if ring.is_simple:
        raise asked.fault(
            "allowance",
            f"the allowances of {block} leave nothing of it",
            "Take less off, or check the file's unit.",
        )
    why = shapely.is_valid_reason(shapely.Polygon(ring))
    at = why[why.find("[") + 1 : why.find("]")].split() if "[" in why else []
    near = f" near {float(at[0]):.0f} across, {float(at[1]):.0f} down" if len(at) == 2 else ""
    raise asked.fault(
        "crossing",
        f"the outline of {block} crosses itself{near} (mm)",
        "Mend it in the program that drew it, or take less allowance off.",
    )
