"""What the full-scale pattern is printed on: papers of many sizes, rolls, and one page for a projector.

    fmt = sheet_format('a3')            # or 'both', 'a0', 'roll 914 mm', 'projector', '700 x 1000 mm'
    sheet = arrange(pieces, fmt.grid(margin=10, overlap=10))

The booklet's own pages are A4 or Letter; these are the pages of the pattern alone. All figures mm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from booklet.drawing import look
from booklet.drawing.look import Paper
from booklet.printing.grid import Grid
from booklet.problems import Fault, nearest
from booklet.reading.shop import LEAST_MARGIN
from booklet.units import parse_length

LONGEST = 200 * 25.4  # a page's side in a PDF without larger units (ISO 32000, Annex C)
_LEAST_SIDE = 100.0

Kind = Literal["tiles", "roll", "projector"]
Joining = Literal["lap", "butt"]  # a trimmed edge laid over its neighbour, or edge to edge
JOININGS: tuple[Joining, ...] = ("lap", "butt")
Part = Literal["all", "booklet", "pattern"]
PARTS: tuple[Part, ...] = ("all", "booklet", "pattern")
OVERLAP = 10.0


@dataclass(frozen=True)
class SheetFormat:
    """A kind of page. A roll's and a projector's page is as long as what lies on it, and pieces stay whole on it."""

    key: str
    paper: Paper
    kind: Kind = "tiles"

    @property
    def whole(self) -> bool:
        """Whether pieces are never parted between pages."""
        return self.kind != "tiles"

    def grid(self, margin: float = 10.0, overlap: float = 10.0) -> Grid:
        """The pages' grid. Raises ValueError for a margin that printers can't keep."""
        if margin < LEAST_MARGIN:
            raise ValueError(f"a margin of {margin:g} mm is under {LEAST_MARGIN:g} mm")
        return Grid(self.paper, margin, 0.0 if self.whole else overlap, self.whole, self.kind == "roll")


@dataclass(frozen=True)
class SheetChoice:
    """How the pattern is printed. `pieces` are the keys of those wanted, none for all; `part` is what the file holds."""

    format: SheetFormat
    joining: Joining = "lap"
    pieces: tuple[str, ...] = ()
    inverted: bool = False  # for a projector: light lines on a dark ground
    part: Part = "all"
    margin: float = 10.0

    @property
    def grid(self) -> Grid:
        return self.format.grid(self.margin, OVERLAP if self.joining == "lap" else 0.0)


def _page(key: str, name: str, width: float, height: float, kind: Kind = "tiles") -> SheetFormat:
    return SheetFormat(key, Paper(name, width, height), kind)


# ISO 216; ANSI/ASME Y14.1 for Letter, Tabloid and E. 'both' is as wide as A4 and as high as Letter, so that its print
# area fits either paper at 100 %.
FORMATS: dict[str, SheetFormat] = {
    f.key: f
    for f in (
        SheetFormat("a4", look.A4),
        SheetFormat("letter", look.LETTER),
        _page("both", "A4 or Letter", look.A4.width, look.LETTER.height),
        _page("a3", "A3", 297.0, 420.0),
        _page("tabloid", "Tabloid", 279.4, 431.8),
        _page("a2", "A2", 420.0, 594.0),
        _page("a1", "A1", 594.0, 841.0),
        _page("a0", "A0", 841.0, 1189.0),
        _page("ansi e", "ANSI E", 863.6, 1117.6),
        _page("roll 36 in", "36 in roll", 914.4, LONGEST, "roll"),
        _page("roll 914 mm", "914 mm roll", 914.0, LONGEST, "roll"),
        _page("projector", "Projector", 1200.0, LONGEST, "projector"),
    )
}
NAMES = tuple(FORMATS)


def sheet_format(text: str) -> SheetFormat:
    """The format of that name, or a print shop's sheet given as 'WIDTH x HEIGHT' with a unit. Raises `Fault`."""
    key = " ".join(text.lower().replace("-", " ").replace("_", " ").split())
    if key in FORMATS:
        return FORMATS[key]
    sides = re.fullmatch(r"(.+?)\s*[x×]\s*(.+)", key)
    if sides is None or not any(c.isdigit() for c in key):
        raise Fault.of(
            "usage",
            f"--sheets is '{text}', which is no paper known here",
            None,
            f"{nearest(key, NAMES).strip()} A sheet of another size is written as '700 x 1000 mm'.".strip(),
        )
    unit = re.search(r"[a-z]+$", sides[2])
    first = sides[1] if re.search(r"[a-z]$", sides[1]) or unit is None else f"{sides[1]} {unit[0]}"
    wide, high = (parse_length(t, "mm", name="--sheets", zero=False).mm for t in (first, sides[2]))
    if min(wide, high) < _LEAST_SIDE or max(wide, high) > LONGEST:
        raise Fault.of(
            "usage",
            f"--sheets is '{text}', {wide:.0f} by {high:.0f} mm",
            None,
            f"Each side must be from {_LEAST_SIDE:.0f} to {LONGEST:.0f} mm.",
        )
    return _page(key, f"{wide:.0f} × {high:.0f} mm", wide, high)
