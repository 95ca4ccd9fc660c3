"""What a DXF file holds, as plain lines and points by block and layer, in the file's own unit, y down.

A block is taken as it is inserted in model space: scaled and turned, but not moved. Arcs, bulges and ellipses become
cubics good to a few micrometres; cubic splines come in exactly.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path as FilePath
from typing import Any

from booklet.exchange import layers
from booklet.exchange.library import dxf_library
from booklet.exchange.plain import Block, DxfFile
from booklet.paths import Path, Segment
from booklet.problems import Fault

DEEPEST = 4  # blocks within blocks
MOST = 200_000  # things drawn in one file
LINES = ("LINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE")
LEAST = {
    "LWPOLYLINE": 24,
    "POLYLINE": 24,
}  # cubics to an arc, three times as many as are wanted; 16 to any other
SPLINE_LEVEL = 6
FRAME = 16  # flag of a vertex that only steers a fitted curve
FITTED = 4  # flag of a polyline that is one


def read_dxf(path: FilePath) -> DxfFile:
    """Raises Fault for a file that cannot be read, or where the library for it is not there."""
    dxf_library()
    data = path.read_bytes()
    if not data.strip():
        raise Fault.of("dxf", f"{path.name} is empty", None, "Save it again as DXF.")
    if data[:2] == b"AC" and data[2:6].isdigit():
        raise Fault.of("dxf", f"{path.name} is a DWG drawing", None, "Save it as DXF.")
    return _read(str(path), hashlib.sha256(data).hexdigest())


@lru_cache(maxsize=8)
def _read(path: str, digest: str) -> DxfFile:
    """One reading of one content: a style that is tried on many bodies reads it once."""
    ezdxf = dxf_library()
    name = FilePath(path).name
    try:
        doc = ezdxf.readfile(path)
        return _taken(doc, [MOST])
    except Fault:
        raise
    except (Exception, RecursionError) as bad:  # a parser may fail in any way on a damaged file
        words = " ".join(str(bad).split())[:80] or type(bad).__name__
        raise Fault.of("dxf", f"{name} cannot be read: {words}", None, "Save it again as DXF.") from None


def _taken(doc: Any, left: list[int]) -> DxfFile:
    space = doc.modelspace()
    inserted: dict[str, list[Any]] = {}
    loose = []
    for entity in space:
        if entity.dxftype() == "INSERT":
            inserted.setdefault(str(entity.dxf.get("name", "")).upper(), []).append(entity)
        else:
            loose.append(entity)
    blocks = []
    for block in doc.blocks:
        if block.name.startswith("*"):
            continue
        made = _block(block, inserted.get(block.name.upper(), []), left)
        if made.lines or made.faults:
            blocks.append(made)
    rest = _gathered("", _flat(loose, 0, left, "0"))
    words = [w for b in (rest, *blocks) for w in b.words]
    return DxfFile(
        layers.UNITS.get(int(doc.header.get("$INSUNITS", 0) or 0)), _worded(words), tuple(blocks), rest
    )


def _worded(words: Iterable[str]) -> float | None:
    """The unit that the style's text names."""
    for text in words:
        key, sign, value = text.partition(":")
        if sign and key.strip().upper() == "UNITS":
            return layers.WORDED.get(value.strip().upper())
    return None


def _block(block: Any, inserts: list[Any], left: list[int]) -> Block:
    if not inserts:
        return _gathered(block.name, _flat(block, 0, left, "0"))
    first = inserts[0]
    scales = [tuple(round(abs(float(i.dxf.get(k, 1.0))), 6) for k in ("xscale", "yscale")) for i in inserts]
    faults = ["it is inserted several times at unlike scales"] if len(set(scales)) > 1 else []
    if any(not 1e-6 < s < 1e6 for s in scales[0]):
        return Block(block.name, faults=("it is inserted at a scale of nothing",))
    made = _gathered(block.name, _flat([first], 0, left, "0"))
    by = _z(first.dxf.insert)
    return Block(
        made.name,
        tuple((n, Path(tuple(tuple(z - by for z in s) for s in p.segments))) for n, p in made.lines),
        tuple((n, z - by) for n, z in made.points),
        made.words,
        (*made.faults, *faults),
    )


def _flat(entities: Iterable[Any], depth: int, left: list[int], layer: str) -> Iterator[tuple[str, Any]]:
    """Everything drawn, with its layer; what lies on layer 0 of a block takes the layer of its insertion."""
    for entity in entities:
        left[0] -= 1
        if left[0] < 0:
            raise Fault.of(
                "too-large", f"the drawing holds over {MOST} things", None, "Save only the pieces."
            )
        own = str(entity.dxf.get("layer", "0"))
        own = layer if own == "0" else own
        if entity.dxftype() != "INSERT":
            yield own, entity
        elif depth < DEEPEST:
            yield from _flat(entity.virtual_entities(), depth + 1, left, own)


def _gathered(name: str, drawn: Iterable[tuple[str, Any]]) -> Block:
    lines: list[tuple[str, Path]] = []
    points: list[tuple[str, complex]] = []
    words: list[str] = []
    faults: list[str] = []
    for layer, entity in drawn:
        kind = entity.dxftype()
        if kind in LINES:
            path = _path(entity, kind)
            if path is None:
                continue
            if all(
                math.isfinite(v) and abs(v) < 1e9 for s in path.segments for z in s for v in (z.real, z.imag)
            ):
                lines.append((layer, path))
            else:
                faults.append(f"a line on layer {layer} runs to nowhere")
        elif kind == "POINT":
            points.append((layer, _z(entity.dxf.location)))
        elif kind == "TEXT":
            words.append(str(entity.plain_text()))
        elif kind == "MTEXT":
            words += str(entity.plain_text()).splitlines()
    return Block(name, tuple(lines), tuple(points), tuple(words), tuple(faults))


def _path(entity: Any, kind: str) -> Path | None:
    """A drawn line; None for one of no length."""
    from ezdxf import path as ezdxf_path

    if kind == "POLYLINE" and (entity.is_polygon_mesh or entity.is_poly_face_mesh):
        return None
    if kind == "POLYLINE" and int(entity.dxf.get("flags", 0)) & FITTED:
        corners = [_z(v.dxf.location) for v in entity.vertices if not int(v.dxf.get("flags", 0)) & FRAME]
        return _plain([(a, b) for a, b in zip(corners, corners[1:], strict=False)])
    drawn = ezdxf_path.make_path(entity, segments=LEAST.get(kind, 16), level=SPLINE_LEVEL)
    segments: list[Segment] = []
    at = _z(drawn.start)
    command: Any
    for command in drawn.commands():
        end = _z(command.end)
        step = command.type.name
        if step == "CURVE4_TO":
            segments.append((at, _z(command.ctrl1), _z(command.ctrl2), end))
        elif step == "CURVE3_TO":  # raised to a cubic, which is exact
            mid = _z(command.ctrl)
            segments.append((at, at + (mid - at) * 2 / 3, end + (mid - end) * 2 / 3, end))
        elif step == "LINE_TO":
            segments.append((at, end))
        at = end
    return _plain(segments)


def _plain(segments: list[Segment]) -> Path | None:
    kept = [s for s in segments if not abs(s[-1] - s[0]) < 1e-7]
    return Path(tuple(kept)) if kept else None


def _z(point: Any) -> complex:
    """A point of the file, its y up, on our table."""
    return complex(point[0], -point[1])
