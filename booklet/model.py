"""What the stages hand to each other: frozen, in millimetres, drawn as seen on the right side of the cloth.

Two states of one thing have two words. A Piece is what was drafted (half or whole, net). A Copy is one cut ply of it,
opened out and on its wearer's side. A run is a directed chain of copies' edges. "Left" and "right" are the wearer's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from booklet.paths import Path, Placement
from booklet.problems import Where
from booklet.wording import NONE, Wording

Side = Literal["left", "right", "whole"]
Notch = Literal["single", "double", "triple", "dot", "snip"]


# ---------------------------------------------------------------- drafted


@dataclass(frozen=True)
class Mark:
    """A match point on an edge, `at` mm from the edge's start. `side` limits it to one half of an opened piece."""

    name: str
    kind: Notch
    at: float
    side: Side | None = None
    match: bool = True  # must meet a partner across the seam; a snip for folding need not


@dataclass(frozen=True)
class TakeUp:
    """A stretch of an edge that is folded away before it is sewn (a dart's or pleat's mouth)."""

    name: str
    start: float
    end: float


@dataclass(frozen=True)
class Edge:
    """A named run of an outline. Positions are mm from its start along the drawn stitch line."""

    name: str
    path: Path
    allow: float = 0.0
    called: str = ""
    marks: tuple[Mark, ...] = ()
    take_ups: tuple[TakeUp, ...] = ()
    hem_fold: bool = False  # its allowance is turned up on the stitch line

    @property
    def length(self) -> float:
        return self.path.length

    @property
    def sewn_length(self) -> float:
        return self.sewn(0.0, self.length)

    def sewn(self, s0: float, s1: float) -> float:
        """Length from s0 to s1 with what is folded away left out."""
        lost = sum(max(0.0, min(s1, t.end) - max(s0, t.start)) for t in self.take_ups)
        return s1 - s0 - lost

    def mark(self, name: str) -> Mark | None:
        return next((m for m in self.marks if m.name == name), None)


@dataclass(frozen=True)
class FoldLine:
    """A line across a piece on which the cloth is folded; its ends lie on two edges."""

    name: str
    path: Path


@dataclass(frozen=True)
class Dart:
    """Legs first-end, point, second-end along the edge's way; `press_first`: the fold lies towards the first leg."""

    name: str
    edge: str
    first: complex
    point: complex
    second: complex
    intake: float
    press_first: bool
    press_words: str  # "to centre"
    side: Side = "whole"


@dataclass(frozen=True)
class Pleat:
    """Cloth folded away, `deep` mm deep at its edge. Each move brings a fold line onto its placement line.

    A knife pleat and a tuck have one move, a box or an inverted pleat two (one on a half piece's fold). Lines run from
    `edge` to `foot`. `sewn` names the edges whose sewn length the pleat is folded out of; even pleats share a `group`.
    `press_first`: the fold points towards the start of `edge`.
    """

    name: str
    group: str
    kind: Literal["knife", "box", "inverted", "tuck"]
    edge: str
    foot: str
    sewn: tuple[str, ...]
    deep: float
    moves: tuple[tuple[Path, Path], ...]
    press_first: bool
    press_words: str  # "to centre"
    side: Side = "whole"


@dataclass(frozen=True)
class Opening:
    """A slit from an edge into a piece; its stitching runs round it, `mouth` wide at the edge."""

    name: str
    edge: str
    at: complex
    foot: complex
    mouth: float
    closes: str
    faced_by: str

    @property
    def depth(self) -> float:
        return abs(self.foot - self.at)


@dataclass(frozen=True)
class FacingOf:
    """What a facing copies. `laid` lays it face down on its parent: facing's drawing -> parent's drawing."""

    parent: str
    edges: tuple[str, ...]
    laid: Placement


@dataclass(frozen=True)
class BindingOf:
    """What one bias binding is for. It is cut in `strips` equal strips, joined by seams `join` mm deep.

    `covers` is the sewn length of what it binds, `before` and `after` run on beyond its two ends as ties.
    """

    run: str
    kind: Literal["single", "double"]
    finished: float
    covers: float
    before: float
    after: float
    turned_in: float  # at each end
    strips: int
    join: float

    @property
    def long(self) -> float:
        """The joined binding with its ends cut square, mm."""
        return self.covers + self.before + self.after + 2 * self.turned_in


@dataclass(frozen=True)
class Place:
    """Where another piece is laid on this one. `laid` carries that piece's drawing to this one's; `corners` are drilled."""

    name: str
    piece: str
    laid: Placement
    outline: Path
    corners: tuple[complex, ...]
    side: Side = "whole"


@dataclass(frozen=True)
class ButtonMark:
    """One place of a row of buttons: where a button sits, or where its buttonhole is cut, from end to end.

    `at` is the button's middle either way. `side` is the wearer's side that it is for; whole: every ply has it.
    """

    row: str
    kind: Literal["button", "buttonhole"]
    at: complex
    ends: tuple[complex, complex]  # of the cut, the end that the button pulls against first
    side: Side
    along: bool  # the cut lies along the row's line, else across it
    size: float  # of the button across
    thick: float
    line: str  # what the row lies on: 'centre', or an edge, `inside` mm inside it
    inside: float | None
    start: str  # the edge that `far`, the distance along the line, counts from
    far: float


@dataclass(frozen=True)
class CutRule:
    """One line of `cut:`: so many copies of a piece from one cloth."""

    cloth: str
    count: int
    how: Literal["pair", "same", "whole on fold", "single"]
    face: Literal["up", "down", "either"]
    side: Side
    trim: float | None = None  # None: with the piece's allowances; 0: on the stitch line; n: n mm beyond it
    fused: bool = False

    @property
    def own_outline(self) -> bool:
        return self.trim is not None


@dataclass(frozen=True)
class Trueing:
    """How much a shaping changed an edge's length, for the shop's copy."""

    edge: str
    what: str
    before: float
    after: float


@dataclass(frozen=True)
class Piece:
    """A closed net outline of edges, clockwise as seen (y down), each edge ending where the next begins.

    `drawn_for`: the wearer's side this drawing is for; `fold` names the edge that lies on the fold (then the drawing is
    a half). `grain` is a line on the piece, tail to head.
    """

    key: str
    number: int
    title: str
    drawn_for: Side
    edges: tuple[Edge, ...]
    where: Where
    fold: str | None = None
    grain: tuple[complex, complex] = (0j, 100j)
    cuts: tuple[CutRule, ...] = ()
    darts: tuple[Dart, ...] = ()
    fold_lines: tuple[FoldLine, ...] = ()
    openings: tuple[Opening, ...] = ()
    lines_across: tuple[FoldLine, ...] = ()  # centre lines and other drawn lines
    levels: tuple[tuple[str, float], ...] = ()  # name -> y on the drawing
    level_lines: tuple[
        tuple[str, tuple[Path, ...]], ...
    ] = ()  # levels that a moved dart has bent, as they now lie
    level_edges: tuple[tuple[str, str], ...] = ()  # name -> the edge that is that level
    facing: FacingOf | None = None
    binding: BindingOf | None = None
    places: tuple[Place, ...] = ()  # other pieces laid on this one
    nap: bool = False
    may_cross: bool = False  # its grain may lie across the cloth
    match: complex | None = (
        None  # the point of the drawing that lies on the repeat of a striped or checked cloth
    )
    trueings: tuple[Trueing, ...] = ()
    derived_edges: tuple[str, ...] = ()  # edges our own code drew to fit a partner
    pleats: tuple[Pleat, ...] = ()
    buttons: tuple[ButtonMark, ...] = ()
    side_word: str = ""  # the wearer's side in another language than English
    base: str = ""  # where one drawing became a left and a right piece: its name in the draft
    ring: tuple[Half, ...] = ()  # a whole piece whose halves differ: its edges with their sides

    @property
    def name(self) -> str:
        """What the draft and the recipe call it."""
        return self.base or self.key

    @property
    def heading(self) -> str:
        """Its title, with the side where left and right are two pieces."""
        return f"{self.title}, {self.side_word or self.drawn_for}" if self.base else self.title

    def edge(self, name: str) -> Edge | None:
        return next((e for e in self.edges if e.name == name), None)

    @cached_property
    def outline(self) -> Path:
        return self.edges[0].path.joined(*(e.path for e in self.edges[1:]))

    @property
    def half(self) -> bool:
        return self.fold is not None


@dataclass(frozen=True)
class Draft:
    """One size of a style, drafted: every value and every piece of it (construction-only pieces too)."""

    values: dict[str, float]  # by name, mm for lengths
    pieces: dict[str, Piece]

    def named(self, name: str) -> Piece | None:
        """A piece by the name the draft gives it; the first of the two where it became a left and a right one."""
        return next((p for p in self.pieces.values() if p.name == name), None)

    def to_cut(self) -> tuple[Piece, ...]:
        return tuple(sorted((p for p in self.pieces.values() if p.cuts), key=lambda p: p.number))


# ---------------------------------------------------------------- copies


@dataclass(frozen=True)
class Half:
    """An edge of a whole ply: the drafted edge it comes from and the side of the wearer it lies on."""

    edge: Edge  # path in the copy's frame; marks and take-ups along it
    base: str  # the drafted edge's name
    side: Side

    @property
    def name(self) -> str:
        return self.edge.name


@dataclass(frozen=True)
class Copy:
    """One cut ply, opened out. `sign` is +1 where its ring runs clockwise as seen on its right side, else -1."""

    id: str
    piece: Piece
    cloth: str
    side: Side
    face: Literal["up", "down", "either"]
    edges: tuple[Half, ...]
    sign: int
    placing: Placement  # piece's drawing -> this copy's frame
    rule: CutRule
    host: str | None = None  # a fused ply is part of this copy
    darts: tuple[Dart, ...] = ()
    fold_lines: tuple[FoldLine, ...] = ()
    lines_across: tuple[FoldLine, ...] = ()
    openings: tuple[Opening, ...] = ()
    places: tuple[Place, ...] = ()
    pleats: tuple[Pleat, ...] = ()
    buttons: tuple[ButtonMark, ...] = ()

    @cached_property
    def by_name(self) -> dict[str, Half]:
        return {h.name: h for h in self.edges}

    @cached_property
    def outline(self) -> Path:
        return self.edges[0].edge.path.joined(*(h.edge.path for h in self.edges[1:]))

    @property
    def called(self) -> str:
        """For a reader: '5 Sleeve, left'."""
        side = "" if self.side == "whole" else f", {self.side}"
        return f"{self.piece.number} {self.piece.title}{side}"


# ---------------------------------------------------------------- seams


@dataclass(frozen=True)
class Part:
    """A stretch of one copy's edge, from `start` to `end` (mm along the edge; start > end when sewn backwards)."""

    copy: str
    edge: str
    start: float
    end: float

    @property
    def backwards(self) -> bool:
        return self.start > self.end


@dataclass(frozen=True)
class Run:
    """A directed chain of parts, `closed` when it comes back to its beginning. `text` is how the recipe names it."""

    text: str
    parts: tuple[Part, ...]
    closed: bool = False


@dataclass(frozen=True)
class Stretch:
    """One section of a seam, from match point to match point: sewn lengths of both sides, mm."""

    start: str
    end: str
    a_mm: float
    b_mm: float | None
    wanted: float | None = None  # declared a - b, where not zero
    open: bool = False


@dataclass(frozen=True)
class Seam:
    """Run a joined to run b, or run a treated alone (b is None)."""

    id: str
    step: str
    kind: str  # join, face, hem, finish, gather, casing, band, dart, staystitch ...
    a: Run
    b: Run | None
    side: Side
    press: str  # open | to a | to b | up | none; of topstitching seam | edge, of a tack at
    neaten: str  # apart | together | enclosed | raw
    allow_a: float
    allow_b: float | None
    a_mm: float  # sewn length
    b_mm: float | None
    sections: tuple[Stretch, ...]
    treatment: str  # equal | ease | gathers | alone
    where: Where
    derived: bool = False

    @property
    def difference(self) -> float:
        return 0.0 if self.b_mm is None else self.a_mm - self.b_mm


# ---------------------------------------------------------------- cutting


@dataclass(frozen=True)
class NotchStroke:
    """A mark as it is cut or drawn: strokes from the cut edge inwards (or from the stitch line where uncut)."""

    mark: Mark
    edge: str
    strokes: tuple[tuple[complex, complex], ...]
    cut: bool  # False: "mark, don't cut"


@dataclass(frozen=True)
class CutPiece:
    """A piece with its allowances, opened out (whole) in the piece's own drawing frame, and as printed on paper.

    `cut_runs` holds each whole edge's own offset run before its corners were made, for checks.
    """

    piece: Piece
    net: tuple[Half, ...]  # the whole ring
    cut: Path  # closed, whole
    cut_runs: tuple[tuple[str, Path], ...]
    notches: tuple[NotchStroke, ...]
    extent: Literal["half", "whole"]  # how it is printed
    paper_net: tuple[Edge, ...]  # what the paper shows; with extent half its fold edge lies on the fold
    paper_cut: Path
    paper_notches: tuple[NotchStroke, ...]
    stitch: Path  # the whole net outline as one closed line


# ---------------------------------------------------------------- measures, steps, cloth, notions


@dataclass(frozen=True)
class Finished:
    """A garment measure: what it covers on the body, and the ease between."""

    name: str
    title: str
    garment_mm: float
    body_name: str | None
    body_mm: float | None
    least_mm: float | None
    intended_mm: float | None
    note: str = ""
    note_mm: float | None = None  # the length that ends the note

    @property
    def ease_mm(self) -> float | None:
        return None if self.body_mm is None else self.garment_mm - self.body_mm


@dataclass(frozen=True)
class BodyMeasure:
    """A measure used: `given` by the body file, or worked out by the style's rule."""

    name: str
    mm: float
    given: bool
    rule: str = ""
    side: Side = "whole"  # of a body whose left and right differ


@dataclass(frozen=True)
class StepPicture:
    """One frame of a step: a drawing (booklet.drawing.Drawing) in page millimetres, with its kind."""

    kind: str  # together, opened, round, side by side, edge, section, close-up, fusing, flat
    drawing: object


@dataclass(frozen=True)
class Answer:
    """A soft rule of the sewing order that a step goes against, and the shop's reason (`although:`)."""

    rule: str  # its id
    reason: str


@dataclass(frozen=True)
class SizeRow:
    """What a bold letter in a step stands for: a value a size, '' where a size has none."""

    letter: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class Step:
    """One numbered step as it will be printed. `text` holds paragraphs with **bold** figures.

    `by_size`: what its letters stand for where it is told for several sizes at once.
    """

    number: int
    id: str
    operation: str
    title: str
    part: str  # heading of its page group; '' continues the last
    text: tuple[str, ...]
    check: str
    minutes: int
    seams: tuple[str, ...]  # ids
    touches_cloth: bool
    where: Where
    pictures: tuple[StepPicture, ...] = ()
    note: str = ""
    answers: tuple[Answer, ...] = ()
    by_size: tuple[SizeRow, ...] = ()


@dataclass(frozen=True)
class LaySection:
    """A stretch of a lay, `start` to `end` along it and `low` to `high` across: so many layers, folded at these y's.

    `meeting` is the y where both selvedges lie on top; `cross_fold`: folded across at `start`, so that it takes twice
    its length of cloth.
    """

    start: float
    end: float
    low: float
    high: float
    layers: Literal[1, 2]
    folds: tuple[float, ...] = ()
    meeting: float | None = None
    cross_fold: bool = False


@dataclass(frozen=True)
class Placing:
    """One copy (or the two plies of a pair) on a lay: outline where it lies, mm along and across the cloth.

    `spare`: it lies in two layers and one of the two plies cut is not used; of a pattern lying face up that is the ply
    of the layer that lies wrong side up, else the other's.
    """

    piece: str
    copies: tuple[str, ...]
    outline: Path
    placing: Placement
    mirrored: bool
    on_fold: bool
    grain: tuple[complex, complex]
    section: int = 0
    spare: bool = False


@dataclass(frozen=True)
class LayPlan:
    """A lay on one cloth of one width. x runs along the cloth, y across it from the fold or the lower selvedge.

    Two folds: y = 0 and the far edge. Part folded: the part that lies open reaches as far below y = 0 as above it.
    """

    cloth: str
    width_mm: float  # as sold
    usable_mm: float
    kind: Literal["open", "fold", "two_folds", "cross_fold", "part_fold"]
    length_mm: float  # taken up
    need_mm: float  # with squaring and shrinkage
    buy_mm: float
    used: float  # share of the cloth's area
    recommended: bool
    placings: tuple[Placing, ...]
    why: str = ""  # why this kind of lay
    sections: tuple[LaySection, ...] = ()
    one_way: bool = False  # the cloth: all tops to one end
    repeat: tuple[float, float] = (
        0.0,
        0.0,
    )  # of its stripes or checks along and across, 0 where nothing is matched
    bound_mm: float = 0.0  # no lay of this kind is shorter
    proved: bool = False  # this one is as short as that
    kept: bool = False  # taken as it stands in lays.yaml
    binds: str = (
        ""  # the piece that decides the length, where that is not what the trade's chart of widths expects
    )


@dataclass(frozen=True)
class Saving:
    """A lay that needs less cloth than the recommended one of the chosen width; `less_mm` of what is bought.

    'kind': laid another way than folded once, on the chosen width; 'wider': on another width; 'turn': if the pieces
    that are held to one way could be turned. `lay` and `width_mm` are those of the lay that needs less; for 'kind'
    the lay that it betters is the one folded once.
    """

    way: Literal["kind", "wider", "turn"]
    lay: str
    width_mm: float
    buy_mm: float
    less_mm: float


@dataclass(frozen=True)
class Working:
    """The sum behind an amount, for the shop's copy: "7.9 m × 2.5 × 1.15 + 26 × 0.3 m = 30.5 m → 1 spool of 100 m".

    `line` is the sum with its real numbers in the booklet's unit; `terms` are its numbers by name, lengths in mm, areas
    in mm², thread in metres; `result` is in `unit` ('mm', 'm' for thread, '' for a count); `rule` says where the rule
    comes from.
    """

    what: str
    line: str
    terms: tuple[tuple[str, float], ...]
    result: float
    unit: str
    rule: str


@dataclass(frozen=True)
class ClothNeed:
    """A cloth of the style: its words, and a lay or a refusal for each width."""

    key: str
    title: str
    kind: str
    plies: int
    lays: tuple[LayPlan, ...]  # the chosen width first
    refusals: tuple[tuple[float, str], ...] = ()
    fusible: bool = False
    shrinkage: float = 0.0
    estimates: tuple[
        tuple[float, float], ...
    ] = ()  # width as sold and length to buy, by area: widths not laid
    workings: tuple[Working, ...] = ()
    least_mm: float | None = (
        None  # the pieces do not fit under this width as sold; None where that is not known
    )
    savings: tuple[Saving, ...] = ()


@dataclass(frozen=True)
class Notion:
    """One line of the notions list: what is bought of it, a short note, and the sums behind the amount."""

    name: str
    amount: float
    unit: str
    printed: str
    working: str
    workings: tuple[Working, ...] = ()


@dataclass(frozen=True)
class SizedResult:
    """Everything of one size."""

    size: str
    body_name: str
    body_code: str
    measures: tuple[BodyMeasure, ...]
    finished: tuple[Finished, ...]
    draft: Draft
    copies: tuple[Copy, ...]
    seams: tuple[Seam, ...]
    cut_pieces: tuple[CutPiece, ...]
    cloths: tuple[ClothNeed, ...] = ()
    notions: tuple[Notion, ...] = ()
    openings: tuple[Finished, ...] = ()
    workings: tuple[Working, ...] = ()  # of what is made and not bought: bias strips

    @cached_property
    def copy_by_id(self) -> dict[str, Copy]:
        return {c.id: c for c in self.copies}

    def cut_piece(self, key: str) -> CutPiece:
        return next(c for c in self.cut_pieces if c.piece.key == key)


@dataclass(frozen=True)
class StyleInfo:
    """The words of a style for the cover and the running heads."""

    code: str
    title: str
    summary: str
    version: str
    dated: str
    level: str
    options: tuple[tuple[str, str, str], ...]  # option, chosen, words
    cautions: tuple[str, ...]
    changes: tuple[tuple[str, str, str], ...] = ()  # version, date, what is new in it; the newest first


@dataclass(frozen=True)
class Rates:
    """What a shop reckons with: for an hour of work, a metre of each cloth by its key, and of notions by their words."""

    currency: str
    hour: float | None
    cloth: Mapping[str, float]
    notions: Mapping[str, float]


@dataclass(frozen=True)
class ShopInfo:
    """What a booklet says of its maker. Lengths in mm."""

    name: str
    contact: str
    stitch: float = 2.5  # mm: the stitch length of plain seams
    stitches: Mapping[str, float] = field(default_factory=dict)
    tolerances: Mapping[str, float] = field(default_factory=dict)
    terms: tuple[str, ...] = ()
    mark: object | None = None  # a Drawing, its longer side 100 mm
    rates: Rates | None = None
    palette: Mapping[str, str] = field(default_factory=dict)  # the booklet's own colours -> the shop's


@dataclass(frozen=True)
class Stack:
    """How the sizes of a printed piece lie on each other: the place where they meet, and a placement a size.

    A placement brings that size's drawing onto the base size's.
    """

    piece: str
    at: str  # as the style names it: 'neckline at centre'
    placements: tuple[Placement, ...]


@dataclass(frozen=True)
class Job:
    """Everything the booklet will say, nothing drawn on pages yet.

    `sizes` in size order, alike but for lengths and counts; pictures and lays are those of the `base` one, `steps` are
    told for all sizes at once. `sized_steps` holds each size's own steps, the base's with their pictures.
    """

    style: StyleInfo
    shop: ShopInfo
    units: Literal["cm", "in"]
    paper: Literal["a4", "letter"]
    sizes: tuple[SizedResult, ...]
    steps: tuple[Step, ...]
    problems: tuple[object, ...] = ()
    language: str = "en"
    wording: Wording = NONE  # the shop's own texts
    views: tuple[tuple[str, object], ...] = ()  # (title, Drawing) of the garment, for the cover
    base: int = 0
    sized_steps: tuple[tuple[Step, ...], ...] = ()
    stacks: tuple[Stack, ...] = ()  # of a nest, by piece

    @property
    def size(self) -> SizedResult:
        """The size that pictures and words are drawn from."""
        return self.sizes[self.base]

    @property
    def nested(self) -> bool:
        return len(self.sizes) > 1
