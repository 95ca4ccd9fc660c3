"""The display list: paths, fills, text and groups, in millimetres, x to the right and y down.

Everything is frozen once it is drawn. A builder (`Board`) collects items and ends in a `Drawing`.
Widths of strokes and sizes of type are in points, everything else in millimetres.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from booklet.paths import Path, Placement, Segment

Cap = Literal["butt", "round"]
Join = Literal["round", "miter"]
Anchor = Literal["start", "middle", "end"]
Pattern = Literal["dots", "hatch"]


@dataclass(frozen=True)
class Stroke:
    """A pen: width in points, colour '#rrggbb', dash lengths in mm (empty = solid).

    `phase_mm`: how much of the dashes went before the path's start.
    """

    width_pt: float
    colour: str
    dash_mm: tuple[float, ...] = ()
    cap: Cap = "butt"
    join: Join = "round"
    phase_mm: float = 0.0


@dataclass(frozen=True)
class Fill:
    """A ground colour (None = see through) and a pattern on top of it, drawn on one page-wide grid.

    Or a PNG file's bytes, stretched over the path's box; such a path is an upright rectangle.
    """

    colour: str | None = None
    pattern: Pattern | None = None
    image: bytes | None = None


@dataclass(frozen=True)
class PathItem:
    """Paths stroked and filled together; a path inside another is a hole.

    `role` says what it stands for ('cut', 'stitch', 'action', 'leader', 'measure', ...). `ends` are the points
    that must lie on something drawn: the two ends of an arrow of action, the foot of a leader.
    `of` is the name of the piece that a ply of cloth is cut from.
    """

    subpaths: tuple[Path, ...]
    stroke: Stroke | None = None
    fill: Fill | None = None
    role: str = ""
    ends: tuple[complex, ...] = ()
    of: str = ""


@dataclass(frozen=True)
class Text:
    """One run of words on a baseline; the anchor's end of it stands at (x, y).

    `angle_deg` turns clockwise as seen: 90 reads from top to foot, -90 from foot to top.
    """

    x: float
    y: float
    text: str
    size_pt: float
    weight: int = 400
    colour: str = "#1C1B1A"
    angle_deg: float = 0.0
    anchor: Anchor = "start"
    role: str = ""


@dataclass(frozen=True)
class Group:
    """Items placed together: clipped first (in their own coordinates), then placed.

    A `name` makes it a form that the PDF holds once, however often it is placed; groups of one name must hold
    the same items and clip. A `layer` puts it on that optional layer of the PDF.
    """

    items: tuple[Item, ...]
    placement: Placement = Placement.IDENTITY
    clip: Path | None = None
    layer: str | None = None
    name: str | None = None
    role: str = ""
    told: str = ""  # the picture in words, for whoever can't see it


Item = PathItem | Text | Group


@dataclass(frozen=True)
class Drawing:
    """A page or a picture: its size in mm and what is on it, the first item undermost."""

    width: float
    height: float
    items: tuple[Item, ...]


@dataclass(frozen=True)
class View:
    """How a scene gets on paper: scaled, then placed. A mirrored view shows the other side of the cloth."""

    scale: float = 1.0
    placement: Placement = Placement.IDENTITY

    def point(self, z: complex) -> complex:
        return self.placement.apply(z * self.scale)

    def direction(self, v: complex) -> complex:
        """A direction carried along, length kept."""
        return self.placement.direction(v)

    def path(self, path: Path) -> Path:
        scale = self.scale
        return Path(tuple([tuple([p * scale for p in seg]) for seg in path.segments])).placed(self.placement)

    def then(self, after: Placement) -> View:
        return View(self.scale, self.placement.then(after))

    @property
    def mirrored(self) -> bool:
        return self.placement.mirrored


@dataclass
class Board:
    """Collects items; `drawing` or `group` ends it."""

    items: list[Item] = field(default_factory=list)

    def add(self, *items: Item) -> None:
        self.items.extend(items)

    def path(
        self,
        paths: Path | Sequence[Path],
        stroke: Stroke | None = None,
        fill: Fill | None = None,
        role: str = "",
        ends: tuple[complex, ...] = (),
    ) -> None:
        subpaths = (paths,) if isinstance(paths, Path) else tuple(paths)
        self.items.append(PathItem(subpaths, stroke, fill, role, ends))

    def line(self, a: complex, b: complex, stroke: Stroke, role: str = "") -> None:
        self.path(Path.line(a, b), stroke, role=role)

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        stroke: Stroke | None = None,
        fill: Fill | None = None,
        role: str = "",
    ) -> None:
        self.path(box_path(x, y, width, height), stroke, fill, role)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size_pt: float,
        weight: int = 400,
        colour: str = "#1C1B1A",
        anchor: Anchor = "start",
        angle_deg: float = 0.0,
        role: str = "",
    ) -> None:
        self.items.append(Text(x, y, text, size_pt, weight, colour, angle_deg, anchor, role))

    def group(
        self,
        items: Iterable[Item],
        placement: Placement = Placement.IDENTITY,
        clip: Path | None = None,
        layer: str | None = None,
        name: str | None = None,
        role: str = "",
    ) -> None:
        self.items.append(Group(tuple(items), placement, clip, layer, name, role))

    def drawing(self, width: float, height: float) -> Drawing:
        return Drawing(width, height, tuple(self.items))


def box_path(x: float, y: float, width: float, height: float) -> Path:
    """A rectangle, clockwise as seen from its top left corner."""
    return Path.polyline(
        [complex(x, y), complex(x + width, y), complex(x + width, y + height), complex(x, y + height)], True
    )


def circle_path(centre: complex, radius: float) -> Path:
    """Four cubics, 0.03 % of the radius off at most."""
    return Path.circle(centre, radius)


def arc_path(centre: complex, radius: float, from_deg: float, to_deg: float) -> Path:
    """An arc from one angle to another (0 = right, 90 = down, as seen on the page), a cubic a quarter turn."""
    span = math.radians(to_deg - from_deg)
    count = max(1, math.ceil(abs(span) / (math.pi / 2) - 1e-9))
    step = span / count
    k = 4 / 3 * math.tan(step / 4)
    segments: list[Segment] = []
    for n in range(count):
        u = cmath.rect(1, math.radians(from_deg) + n * step)
        v = cmath.rect(1, math.radians(from_deg) + (n + 1) * step)
        segments.append(
            (
                centre + radius * u,
                centre + radius * u * (1 + 1j * k),
                centre + radius * v * (1 - 1j * k),
                centre + radius * v,
            )
        )
    return Path(tuple(segments))
