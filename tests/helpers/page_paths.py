"""Reads drawn paths back out of a finished PDF: operators interpreted by pikepdf, placing undone, in mm, y down."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pikepdf
import shapely

MM = 25.4 / 72
Matrix = tuple[float, float, float, float, float, float]


@dataclass
class Drawn:
    """One painted path: its subpaths as points (curves flattened) in page mm, and how it was painted."""

    operator: str
    subpaths: list[list[complex]]
    width_pt: float
    dash: tuple[float, ...]
    stroke: tuple[float, ...]
    fill: tuple[float, ...]
    clips: tuple[tuple[float, float, float, float], ...]  # boxes of the clips in force, page mm
    form: str = ""
    layer: str = ""  # what a viewer calls the layer that it is on


@dataclass
class _State:
    matrix: Matrix
    width: float = 1.0
    dash: tuple[float, ...] = ()
    stroke: tuple[float, ...] = (0.0,)
    fill: tuple[float, ...] = (0.0,)
    clips: tuple[tuple[float, float, float, float], ...] = field(default=())
    layer: str = ""


def _times(a: Matrix, b: Matrix) -> Matrix:
    return (
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    )


def paths_of(page: pikepdf.Page, steps: int = 200) -> list[Drawn]:
    """Every painted path of a page, forms entered, in painting order."""
    height = float(page.MediaBox[3])
    out: list[Drawn] = []
    _run(page, page.Resources, _State((1, 0, 0, 1, 0, 0)), height, out, "", steps)
    return out


def over_the_edge(page: pikepdf.Page, margin: float) -> float:
    """How far (mm) the middle of any painted line, as its clips show it, lies within so many mm of the paper's edge."""
    wide, tall = (float(page.MediaBox[n]) * MM for n in (2, 3))
    most = 0.0
    for path in paths_of(page, steps=20):
        x0, y0 = (max(v) for v in zip((0.0, 0.0), *(c[:2] for c in path.clips), strict=True))
        x1, y1 = (min(v) for v in zip((wide, tall), *(c[2:] for c in path.clips), strict=True))
        shown = shapely.box(x0, y0, x1, y1)
        for sub in path.subpaths:
            line = shapely.LineString([(z.real, z.imag) for z in sub]).intersection(shown)
            if not line.is_empty:
                a, b, c, d = line.bounds
                most = max(most, margin - min(a, b, wide - c, tall - d))
    return most if most > 0.01 else 0.0


def pages_of(file: Path) -> list[list[Drawn]]:
    with pikepdf.open(file) as pdf:
        return [paths_of(page) for page in pdf.pages]


def _run(stream, resources, state, height, out, form, steps) -> None:  # type: ignore[no-untyped-def]
    stack: list[_State] = []
    subpaths: list[list[complex]] = []
    pending_clip = False
    layers: list[str] = []

    def to_page(x: float, y: float) -> complex:
        a, b, c, d, e, f = state.matrix
        return complex((a * x + c * y + e) * MM, (height - (b * x + d * y + f)) * MM)

    for operands, operator in pikepdf.parse_content_stream(stream):
        name = str(operator)
        numbers = [float(v) for v in operands] if name in _NUMERIC else []
        if name == "q":
            stack.append(_State(**vars(state)))
        elif name == "Q":
            state = stack.pop()
        elif name == "BDC":
            layers.append(state.layer)
            if str(operands[0]) == "/OC":
                state.layer = str(resources.Properties[str(operands[1])].Name)
        elif name == "EMC":
            state.layer = layers.pop()
        elif name == "cm":
            state.matrix = _times(tuple(numbers), state.matrix)  # type: ignore[arg-type]
        elif name == "w":
            state.width = numbers[0]
        elif name == "d":
            state.dash = tuple(float(v) for v in operands[0])
        elif name == "RG":
            state.stroke = tuple(numbers)
        elif name == "rg":
            state.fill = tuple(numbers)
        elif name == "m":
            subpaths.append([to_page(*numbers)])
        elif name == "l":
            subpaths[-1].append(to_page(*numbers))
        elif name == "c":
            p0 = subpaths[-1][-1]
            p1, p2, p3 = (to_page(*numbers[k : k + 2]) for k in (0, 2, 4))
            for n in range(1, steps + 1):
                t = n / steps
                u = 1 - t
                subpaths[-1].append(u**3 * p0 + 3 * u * u * t * p1 + 3 * u * t * t * p2 + t**3 * p3)
        elif name == "h":
            subpaths[-1].append(subpaths[-1][0])
        elif name in ("W", "W*"):
            pending_clip = True
        elif name in _PAINT:
            if pending_clip:
                points = [z for sub in subpaths for z in sub]
                box = (
                    min(z.real for z in points),
                    min(z.imag for z in points),
                    max(z.real for z in points),
                    max(z.imag for z in points),
                )
                state.clips = (*state.clips, box)
            if name != "n":
                out.append(
                    Drawn(
                        name,
                        subpaths,
                        state.width,
                        state.dash,
                        state.stroke,
                        state.fill,
                        state.clips,
                        form,
                        state.layer,
                    )
                )
            subpaths, pending_clip = [], False
        elif name == "Do":
            entry = resources.XObject[str(operands[0])]
            inner = _State(**vars(state))
            own = tuple(float(v) for v in entry.get("/Matrix", [1, 0, 0, 1, 0, 0]))
            inner.matrix = _times(own, inner.matrix)  # type: ignore[arg-type]
            _run(entry, entry.get("/Resources", resources), inner, height, out, str(operands[0]), steps)


_NUMERIC = {"cm", "w", "RG", "rg", "m", "l", "c"}
_PAINT = {"S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "n"}
