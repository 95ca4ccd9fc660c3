"""The cloths of a style with what is to be laid on each, before anything is laid."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from booklet.cloth.engine import refusals_of
from booklet.cloth.pieces import ClothGround, LayKind, LayPiece, Refusal
from booklet.cloth.plies import Drawn, lay_pieces, whole_area
from booklet.cloth.splitting import splittings
from booklet.cloth.working import sold_wide, wide_enough
from booklet.language import OWN, say, tongue_of
from booklet.model import Copy, CutPiece
from booklet.problems import Problem, Where
from booklet.reading.shop import Shop
from booklet.reading.yaml_source import Source
from booklet.units import parse_length, parse_ratio, show

Units = Literal["cm", "in"]

# The kinds of lay that booklets show.
KINDS: tuple[LayKind, ...] = ("fold", "two_folds", "part_fold", "side_fold", "cross_fold", "open")
SAME_WIDTH = 0.5  # mm


@dataclass(frozen=True)
class ClothToLay:
    """One cloth of the style, its plies and their outlines. `widths` are mm as sold, the chosen one first.

    `most`: of all cloths the one with most plies. `area` is what is cut, mm².
    """

    key: str
    title: str
    kind: str
    fusible: bool
    shrinkage: float
    nap: bool
    widths: tuple[float, ...]
    plies: tuple[Copy, ...]
    pieces: tuple[LayPiece, ...]
    drawn: Mapping[str, Drawn]
    area: float
    most: bool
    where: Where
    repeat: tuple[float, float] = (0.0, 0.0)  # mm along and across, 0 where nothing is matched

    def ground(self, width: float, shop: Shop) -> ClothGround:
        """What there is to lay on between the selvedges of a cloth sold so wide."""
        return ClothGround(width - 2 * shop.selvedge, shop.gap, self.nap, *self.repeat)


def cloths_to_lay(
    style: Source,
    copies: Sequence[Copy],
    cuts: Sequence[CutPiece],
    wanted: str | None = None,
) -> tuple[ClothToLay, ...]:
    """The cloths that are cut at all, as style.yaml lists them; `wanted` is the width of the one with most plies.

    Raises Fault for a width or a shrinkage that cannot be read.
    """
    by_piece = {c.piece.key: c for c in cuts}
    specs = style.data.get("cloths") or {}
    plies = {key: tuple(c for c in copies if c.cloth == key) for key in specs}
    most = max(plies, key=lambda k: len(plies[k]), default=None)
    unit = str(style.data.get("units", "cm"))
    out = []
    for key, spec in specs.items():
        if not plies[key]:
            continue
        where = style.where("cloths", key)
        widths = [parse_length(w, unit, where=where, name="a width", zero=False).mm for w in spec["widths"]]
        if wanted is not None and key == most:
            chosen = parse_length(wanted, unit, name="the width", zero=False).mm
            widths = [chosen, *(w for w in widths if abs(w - chosen) > SAME_WIDTH)]
        pieces, drawn = lay_pieces(plies[key], by_piece)
        out.append(
            ClothToLay(
                key=key,
                title=str(spec.get("title", key)),
                kind=str(spec.get("kind", "")),
                fusible=bool(spec.get("fusible", False)),
                shrinkage=parse_ratio(spec.get("shrinkage", 0), where=where),
                nap=bool(spec.get("nap", False) or spec.get("one way", False)),
                widths=tuple(widths),
                plies=plies[key],
                pieces=pieces,
                drawn=drawn,
                area=sum(whole_area(c, by_piece) for c in plies[key]),
                most=key == most,
                where=where,
                repeat=_repeat(spec.get("repeat") or {}, unit, where),
            )
        )
    return tuple(out)


def _repeat(told: Mapping[str, str], unit: str, where: Where) -> tuple[float, float]:
    """Along and across, mm; 0 where the cloth has none."""
    along, across = (
        parse_length(told[k], unit, where=where, name="a repeat", zero=False).mm if k in told else 0.0
        for k in ("along", "across")
    )
    return along, across


# ------------------------------------------------------------------ what does not fit


def width_problems(
    style: Source,
    copies: Sequence[Copy],
    cuts: Sequence[CutPiece],
    shop: Shop,
    units: Units,
    wanted: str | None = None,
) -> tuple[Problem, ...]:
    """Pieces that fit the chosen width of their cloth in no kind of lay; nothing is laid. `wanted`: as above."""
    out = []
    for cloth in cloths_to_lay(style, copies, cuts, wanted):
        told = _all_refusals(cloth, cloth.ground(cloth.widths[0], shop))
        if told:
            out.append(too_narrow(cloth, refusal_words(told[-1], cloth, units), shop, units))
    return tuple(out)


def _all_refusals(cloth: ClothToLay, ground: ClothGround) -> list[tuple[Refusal, ...]]:
    """Those of every kind of lay; none where there is a kind that holds the pieces."""
    out = []
    for kind in KINDS:
        out.append(refusals_of(cloth.pieces, kind, ground.width, ground.gap))
        if not out[-1]:
            return []
    return out


def too_narrow(cloth: ClothToLay, told: str, shop: Shop, units: Units) -> Problem:
    """The chosen width holds no lay."""
    least = least_width(cloth, shop)
    mend = "Choose a wider cloth, or put a wider one first in `widths:`."
    if least is not None:
        mend = f"It does not fit under {wide_enough(least, units)}. {mend}"
    for keys, parted in splittings(cloth):
        enough = least_width(parted, shop)
        if enough is not None and enough <= cloth.widths[0]:
            listed = " and ".join(cloth.drawn[k].copies[0].piece.heading for k in keys)
            mend += (
                f" With {listed} cut in two, as `may split:` allows, it would fit from {wide_enough(enough, units)} on: draw"
                " the parts as pieces, with a step that joins them."
            )
            break
    what = f"{cloth.title} {sold_wide(cloth.widths[0], units)} wide: {told}"
    return Problem("cloth-width", "error", cloth.where, what, mend)


def least_width(cloth: ClothToLay, shop: Shop) -> float | None:
    """The narrowest cloth, as sold, on which every piece finds room: laid open, so that nothing is doubled; mm.

    None where it is not the width that keeps a piece off.
    """
    narrow = 1.0
    found = refusals_of(cloth.pieces, "open", narrow, shop.gap)
    if not found or any(r.over_mm <= 0 for r in found):
        return None
    return narrow + max(r.over_mm for r in found) + 2 * shop.selvedge


def refusal_words(refusals: Sequence[Refusal], cloth: ClothToLay, units: Units) -> str:
    """Each reason once, the pieces called as the booklet calls them."""
    return "; ".join(dict.fromkeys(_refusal_word(r, cloth, units) for r in refusals))


def _refusal_word(refusal: Refusal, cloth: ClothToLay, units: Units) -> str:
    drawn = cloth.drawn.get(refusal.key)
    if drawn is not None and refusal.over_mm > 0:
        piece = drawn.copies[0].piece.heading
        return say(units, "refused.too_wide", piece=piece, over=show(refusal.over_mm, units))
    if tongue_of(units).language == OWN:
        return refusal.what
    key = f"refused.{refusal.reason.replace(' ', '_')}"
    return say(units, key if tongue_of(units).words.has(key) else "refused.other")


def open_words(cloth: ClothToLay, units: Units) -> str:
    """Why the cloth is not folded: which pieces are cut one face up only, by number; '' if none is."""
    numbers = sorted({c.piece.number for c in cloth.plies if c.rule.how == "single"})
    if not numbers:
        return ""
    listed = tongue_of(units).grammar.listed(numbers)
    return say(units, "refused.lies_open", count=len(numbers), list=listed)
