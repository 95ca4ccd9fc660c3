"""Display items as PDF content operators, formatted by hand: points with three decimals, y turned up in one place.

A form's or a page's own origin is its upper left corner: x goes right, y (negative) goes down. The page is moved up
by its height once, by whoever starts it.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from reportlab.pdfbase.ttfonts import TTFont

from booklet.drawing.bounds import box_of, clip_box
from booklet.drawing.display import Group, Item, PathItem, Stroke, Text
from booklet.drawing.fonts import Face
from booklet.drawing.look import DOT_RADIUS, HATCH_LINE, INK
from booklet.drawing.patterns import dots, hatch
from booklet.drawing.text import Run, shape
from booklet.paths import Box, Path, Placement
from booklet.units import MM_PER_POINT

PT = 1 / MM_PER_POINT
_DOT_PEN = Stroke(2 * DOT_RADIUS * PT, INK, (), "round")


def n3(value: float) -> str:
    """A number as PDF has it: no exponent, no more than three decimals, no minus zero."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def xy(z: complex) -> str:
    """A point in mm, y down, as PDF coordinates in points, y up. The only place where y is turned."""
    return f"{n3(z.real * PT)} {n3(-z.imag * PT)}"


def matrix(placement: Placement) -> str:
    """The six numbers of a placing, for cm. Turning y up on both sides mirrors the signs of b and c."""
    c, s = placement.turn.real, placement.turn.imag
    up = -1.0 if placement.mirrored else 1.0
    numbers = (c, -s, up * s, up * c)
    return " ".join(_n6(v) for v in numbers) + " " + xy(placement.shift)


def _n6(value: float) -> str:
    text = f"{value:.7f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@lru_cache(maxsize=64)
def _rgb(colour: str) -> str:
    return " ".join(n3(int(colour[k : k + 2], 16) / 255) for k in (1, 3, 5))


@dataclass
class FontBook:
    """The faces of one document. Each document has its own: a glyph's code depends on what came before it."""

    document: Any
    fonts: dict[str, TTFont] = field(default_factory=dict)
    codes: dict[tuple[str, int], int] = field(default_factory=dict)

    def font(self, face: Face) -> TTFont:
        if face.name not in self.fonts:
            self.fonts[face.name] = TTFont(face.name, str(face.path), asciiReadable=0)
        return self.fonts[face.name]

    def code(self, face: Face, glyph: int, letter: str) -> int:
        """The character that stands for a glyph: its own letter, or a private one where shaping made another."""
        table = self.font(face).face
        if table.charToGlyph.get(ord(letter)) == glyph:
            return ord(letter)
        key = (face.name, glyph)
        if key not in self.codes:
            known = table.glyphToChar.get(glyph)
            if known:
                self.codes[key] = known[0]
            else:
                private = 0xE000 + len(self.codes)
                table.charToGlyph[private] = glyph
                table.glyphToChar.setdefault(glyph, []).append(private)
                table.charWidths[private] = table.hmetrics[glyph][0]
                self.codes[key] = private
        return self.codes[key]


class Operators:
    """Writes items into a list of operator strings; knows the state of pen and colour, to set them only once."""

    def __init__(
        self,
        out: list[str],
        fonts: FontBook,
        form_operator: Callable[[Group], str | None],
        use_layer: Callable[[str], str],
        image_operator: Callable[[bytes], str],
        figure: Callable[[str], int] | None = None,
    ) -> None:
        self.out = out
        self.fonts = fonts
        self.form_operator = form_operator  # what draws a named group's form; None: draw it here
        self.use_layer = use_layer  # the property name of a layer
        self.image_operator = image_operator  # what draws a picture of dots, one point wide and high
        self.figure = figure  # the number of a picture told in words; None: pictures are not marked
        self.state: dict[str, str] = {}
        self.clips: tuple[Path, ...] = ()

    def items(self, items: tuple[Item, ...], at: Placement = Placement.IDENTITY) -> None:
        for item in items:
            if isinstance(item, Group):
                self._group(item, at)
            elif isinstance(item, PathItem):
                self._path(item, at)
            else:
                self._text(item, at)

    # ------------------------------------------------------------ groups

    def _group(self, group: Group, at: Placement) -> None:
        if group.told and self.figure is not None:
            self.out.append(f"/Figure <</MCID {self.figure(group.told)}>> BDC")
            self._group(replace(group, told=""), at)
            self.out.append("EMC")
            return
        inner = group.placement.then(at)
        if group.layer is not None:
            self.out.append(f"/OC /{self.use_layer(group.layer)} BDC")
        saved = dict(self.state)
        if group.name is not None:
            self.out.append("q")
            self.out.append(f"{matrix(inner)} cm")
            call = self.form_operator(group)
            if call is not None:
                self.out.append(call)
            else:
                self.form(group)
            self.out.append("Q")
            self.state = saved
        else:
            self._clipped(group, inner)
        if group.layer is not None:
            self.out.append("EMC")

    def _clipped(self, group: Group, at: Placement) -> None:
        if group.clip is None:
            self.items(group.items, at)
            return
        saved, outer = dict(self.state), self.clips
        clip = group.clip.placed(at)
        self.clips = (*outer, clip)
        self.out.append("q")
        self._trace((clip,))
        self.out.append("W* n")
        self.items(group.items, at)
        self.out.append("Q")
        self.state, self.clips = saved, outer

    def form(self, group: Group) -> None:
        """A form's whole content: what `_group` would draw, from a fresh state."""
        outer, self.clips, self.state = self.clips, (), {}
        self._clipped(group, Placement.IDENTITY)
        self.clips = outer

    # ------------------------------------------------------------ paths

    def _path(self, item: PathItem, at: Placement) -> None:
        paths = tuple(p.placed(at) for p in item.subpaths if p.segments)
        if not paths:
            return
        if item.fill is not None and item.fill.image is not None:
            self._image(item.fill.image, paths[0].bbox)
            return
        colour = item.fill.colour if item.fill else None
        pattern = item.fill.pattern if item.fill else None
        if colour is not None:
            self._set("fill", f"{_rgb(colour)} rg")
        if item.stroke is not None and pattern is None:
            self._pen(item.stroke)
            self._trace(paths)
            self.out.append("B*" if colour is not None else "S")
            return
        if colour is not None:
            self._trace(paths)
            self.out.append("f*")
        if pattern is not None:
            self._pattern(pattern, paths)
        if item.stroke is not None:
            self._pen(item.stroke)
            self._trace(paths)
            self.out.append("S")

    def _image(self, png: bytes, box: Box) -> None:
        """A picture of dots over a box; what draws it is a form one point wide and high."""
        wide, high = (box[2] - box[0]) * PT, (box[3] - box[1]) * PT
        corner = xy(complex(box[0], box[3]))
        self.out.append(f"q {n3(wide)} 0 0 {n3(high)} {corner} cm {self.image_operator(png)} Q")

    def _pattern(self, pattern: str, paths: tuple[Path, ...]) -> None:
        window = clip_box(self.clips)
        if pattern == "dots":
            # A line of no length with round ends is a dot (ISO 32000-1, 8.4.3.3).
            marks = [(z, z) for z in dots(paths, window)]
            self._pen(_DOT_PEN)
        else:
            marks = list(hatch(paths, window))
            self._pen(HATCH_LINE)
        self.out.extend(f"{xy(a)} m {xy(b)} l" for a, b in marks)
        if marks:
            self.out.append("S")

    def _trace(self, paths: tuple[Path, ...]) -> None:
        for path in paths:
            self.out.append(f"{xy(path.start)} m")
            for seg in path.segments:
                if len(seg) == 2:
                    self.out.append(f"{xy(seg[1])} l")
                else:
                    self.out.append(f"{xy(seg[1])} {xy(seg[2])} {xy(seg[3])} c")
            if path.closed:
                self.out.append("h")

    def _pen(self, pen: Stroke) -> None:
        self._set("stroke", f"{_rgb(pen.colour)} RG")
        self._set("width", f"{n3(pen.width_pt)} w")
        self._set("dash", "[" + " ".join(n3(d * PT) for d in pen.dash_mm) + f"] {n3(pen.phase_mm * PT)} d")
        self._set("cap", f"{1 if pen.cap == 'round' else 0} J")
        self._set("join", f"{1 if pen.join == 'round' else 0} j")

    def _set(self, key: str, operator: str) -> None:
        if self.state.get(key) != operator:
            self.state[key] = operator
            self.out.append(operator)

    # ------------------------------------------------------------ words

    def _text(self, text: Text, at: Placement) -> None:
        runs = shape(text.text, text.weight)
        wide = sum(r.advance for r in runs) / 1000 * text.size_pt * MM_PER_POINT
        shift = {"start": 0.0, "middle": -wide / 2, "end": -wide}[text.anchor]
        turn = cmath.rect(1, math.radians(text.angle_deg))
        own = Placement(turn, complex(text.x, text.y))
        self._set("fill", f"{_rgb(text.colour)} rg")
        self.out.append("BT")
        for run in runs:
            if run.text.strip():
                start = Placement(1 + 0j, complex(shift, 0)).then(own).then(at)
                self.out.append(f"{matrix(start)} Tm")
                self._run(run, text.size_pt)
            shift += run.advance / 1000 * text.size_pt * MM_PER_POINT
        self.out.append("ET")

    def _run(self, run: Run, size_pt: float) -> None:
        """Glyphs with what parts them from their plain advances, in thousandths; raised ones on their own."""
        font = self.fonts.font(run.face)
        document = self.fonts.document
        pen = 0.0  # where the reader of this stream believes to be
        rise = 0.0
        subset_now: int | None = None
        parts: list[str] = []

        def flush() -> None:
            if parts:
                self.out.append(f"[{' '.join(parts)}] TJ")
                parts.clear()

        for glyph in run.glyphs:
            code = self.fonts.code(run.face, glyph.index, run.text[glyph.cluster])
            ((subset, raw),) = font.splitString(chr(code), document)
            if subset != subset_now:
                flush()
                self.out.append(f"{font.getSubsetInternalName(subset, document)} {n3(size_pt)} Tf")
                subset_now = subset
            if abs(glyph.y - rise) > 0.01:
                flush()
                rise = glyph.y
                self.out.append(f"{n3(rise * size_pt / 1000)} Ts")
            if abs(glyph.x - pen) > 0.01:
                parts.append(n3(pen - glyph.x))
            parts.append(f"<{raw.hex()}>")
            pen = glyph.x + font.face.getCharWidth(code)
        flush()
        if rise:
            self.out.append("0 Ts")


def form_box(group: Group) -> tuple[float, float, float, float]:
    """A form's box in points, y up, with a little to spare; its own placing is not part of it."""
    box = box_of(Group(group.items, clip=group.clip)) or (0.0, 0.0, 1.0, 1.0)
    spare = 0.5
    return (
        (box[0] - spare) * PT,
        -(box[3] + spare) * PT,
        (box[2] + spare) * PT,
        -(box[1] - spare) * PT,
    )
