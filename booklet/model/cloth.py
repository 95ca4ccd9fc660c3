"""Lays, amounts of cloth and notions, with the sums behind them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from booklet.paths import Path, Placement


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
    part: int = 0  # of a piece cut in two: the first or the second; 0 for a whole piece


@dataclass(frozen=True)
class LayPlan:
    """A lay on one cloth of one width. x runs along the cloth, y across it from the fold or the lower selvedge.

    Two folds: y = 0 and the far edge. Part folded: the part that lies open reaches as far below y = 0 as above it. Side
    fold: two sections beside each other, the selvedge that is folded in between them.
    """

    cloth: str
    width_mm: float  # as sold
    usable_mm: float
    kind: Literal["open", "fold", "two_folds", "cross_fold", "part_fold", "side_fold"]
    length_mm: float  # taken up
    need_mm: float  # with squaring and shrinkage
    buy_mm: float
    used: float  # share of the cloth's area
    recommended: bool
    placings: tuple[Placing, ...]
    why: str = ""  # why this kind of lay
    sections: tuple[LaySection, ...] = ()
    one_way: bool = False  # the cloth: all tops to one end
    repeat: tuple[float, float] = (0.0, 0.0)  # stripes or checks along and across, 0 where nothing is matched
    bound_mm: float = 0.0  # no lay of this kind is shorter
    proved: bool = False  # this one is as short as that
    kept: bool = False  # taken as it stands in lays.yaml
    # the piece that decides the length, where that is not what the trade's chart of widths expects
    binds: str = ""


@dataclass(frozen=True)
class Saving:
    """A lay that needs less cloth than the recommended one of the chosen width; `less_mm` of what is bought.

    'kind': laid another way than folded once, on the chosen width; 'wider': on another width; 'turn': if the pieces
    that are held to one way could be turned; 'split': with `pieces` cut in two, as the cloth's `split_lay` shows.
    `lay` and `width_mm` are those of the lay that needs less; for 'kind' the lay that it betters is the one folded once.
    """

    way: Literal["kind", "wider", "turn", "split"]
    lay: str
    width_mm: float
    buy_mm: float
    less_mm: float
    pieces: tuple[str, ...] = ()


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
    estimates: tuple[tuple[float, float], ...] = ()  # width as sold, length to buy by area: widths not laid
    workings: tuple[Working, ...] = ()
    least_mm: float | None = None  # the pieces do not fit under this width as sold; None: not known
    savings: tuple[Saving, ...] = ()
    split_lay: LayPlan | None = None  # with pieces cut in two, of the chosen width, where that saves
    one_way_mm: float | None = (
        None  # to buy of the chosen width if all tops lie to one end; None: not reckoned
    )
    one_way_lay: LayPlan | None = None  # laid so, where the recommended lay is not


@dataclass(frozen=True)
class Notion:
    """One line of the notions list: what is bought of it, a short note, and the sums behind the amount.

    `kind` is the style's word for it (thread, zip, needle), `english` its name where `name` is in another language.
    """

    name: str
    amount: float
    unit: str
    printed: str
    working: str
    workings: tuple[Working, ...] = ()
    kind: str = ""
    english: str = ""
