"""A lay that was found: what lies where, on which stretch of cloth, and the rule by which it was laid. All mm."""

from __future__ import annotations

from dataclasses import dataclass, replace

from booklet.cloth.decode import Gene
from booklet.cloth.pieces import LayKind
from booklet.model import LaySection
from booklet.paths import Placement

PROVED = 0.5  # mm: a lay this near its bound is called the shortest; the outlines are no finer


@dataclass(frozen=True)
class Placed:
    """A ply (or the two cut through at once) on the cloth; `placement` carries the piece's outline to it.

    `section` numbers the stretch of the lay. `spare`: two plies are cut and one of them is left over. `crossed`: its
    grain lies across the cloth. `far`: between the meeting line and the far of two folds.
    """

    key: str
    copies: tuple[int, ...]
    placement: Placement
    section: int = 0
    spare: bool = False
    on_fold: bool = False
    crossed: bool = False
    far: bool = False

    @property
    def copy(self) -> int:
        return self.copies[0]

    @property
    def mirrored(self) -> bool:
        """Lies turned over: its printed side down."""
        return self.placement.mirrored


@dataclass(frozen=True)
class Recipe:
    """How the cloth lies and what lies in which part of it, in words that hold for another body or width too.

    `depth_of` names the piece as deep as one of two folds ('' for folds of equal depth), `single` the pieces in the
    open part of a cloth folded in part, `crossed` those with their grain across.
    """

    kind: LayKind
    depth_of: str = ""
    single: tuple[str, ...] = ()
    crossed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lay:
    """A lay found. `width` is the usable width of the cloth, unfolded; `length` the cloth that it takes.

    `bound`: no lay of this kind, with this cutting gap, is shorter.
    `proved`: this one is as short as that, to half a millimetre. `genes` are the order laid, section by section, their
    items numbered as `prepare_strip` lists them.
    """

    kind: LayKind
    width: float
    length: float
    placements: tuple[Placed, ...]
    evaluations: int
    bound: float
    proved: bool
    genes: tuple[Gene, ...] = ()
    recipe: Recipe | None = None
    sections: tuple[LaySection, ...] = ()

    @property
    def strip(self) -> float:
        """How far across the cloth lies."""
        if self.kind == "side_fold":
            return self.sections[-1].high
        return self.width / 2 if self.kind in ("fold", "two_folds", "part_fold") else self.width

    @property
    def spare(self) -> tuple[str, ...]:
        """Pieces of which more plies are cut than used."""
        return tuple(dict.fromkeys(p.key for p in self.placements if p.spare))


def widened(lay: Lay, width: float, bound: float = 0.0) -> Lay:
    """The same lay on a wider cloth; the far of two folds moves out, and the pieces that hang from it go along.

    `bound` is what is known of the wider cloth.
    """
    by = (width - lay.width) / 2
    if lay.kind == "side_fold":  # what is folded in stays so deep
        folded, flat = lay.sections
        sections: tuple[LaySection, ...] = (folded, replace(flat, high=flat.high + 2 * by))
    else:
        sections = tuple(_wider(s, by) for s in lay.sections)
    out = Placement.move(complex(0, by))
    placements = tuple(replace(p, placement=p.placement.then(out)) if p.far else p for p in lay.placements)
    return replace(
        lay,
        width=width,
        placements=placements,
        sections=sections,
        bound=min(bound, lay.length),
        proved=lay.length <= bound + PROVED,
    )


def _wider(section: LaySection, by: float) -> LaySection:
    """Half of what is wider shows on a folded stretch, all of it on a flat one."""
    if section.folds:
        far = section.high + by
        return replace(section, high=far, folds=(0.0, far) if len(section.folds) == 2 else section.folds)
    if section.low < 0:
        return replace(section, low=section.low - by, high=section.high + by)
    return replace(section, high=section.high + 2 * by)
