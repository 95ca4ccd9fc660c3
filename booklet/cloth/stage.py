"""Cloth: each cloth of the style with its pieces laid out, and the length to buy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Literal

import numpy as np
import shapely

from booklet.cloth.amounts import length_needed, length_to_buy, share_used
from booklet.cloth.engine import Lay, lays, refusals_of
from booklet.cloth.judge import judge_plan
from booklet.cloth.pieces import LayKind, LayPiece, Refusal
from booklet.cutting.outline import half_of
from booklet.model import ClothNeed, Copy, CutPiece, CutRule, LayPlan, Placing
from booklet.paths import Path, Placement, area
from booklet.problems import Collector, Problem
from booklet.reading.shop import Shop
from booklet.reading.yaml_source import Source
from booklet.units import parse_length, parse_ratio, show

FLAT = 0.02  # mm: outlines are flattened for laying within this
EVALUATIONS = 1500  # for the cloth with most pieces, on its chosen width
KINDS: tuple[LayKind, ...] = ("fold", "open")
QUICK = 150  # for every other cloth and width


def cloth_needs(
    style: Source,
    copies: tuple[Copy, ...],
    cuts: tuple[CutPiece, ...],
    shop: Shop,
    units: Literal["cm", "in"],
    collector: Collector,
    evaluations: int = EVALUATIONS,
    width: str | None = None,
) -> tuple[ClothNeed, ...]:
    """One need a cloth that is cut at all. The first width listed (or `width`) is the chosen one."""
    by_piece = {c.piece.key: c for c in cuts}
    plies = {k: [c for c in copies if c.cloth == k] for k in style.data.get("cloths") or {}}
    most = max(plies, key=lambda k: len(plies[k]), default=None)
    out = []
    for key, spec in (style.data.get("cloths") or {}).items():
        mine = plies[key]
        if mine:
            effort = evaluations if key == most else QUICK
            out.append(
                _need(
                    key,
                    spec,
                    mine,
                    by_piece,
                    style,
                    shop,
                    units,
                    collector,
                    effort,
                    width if key == most else None,
                )
            )
    return tuple(out)


def _need(
    key: str,
    spec: Mapping[str, Any],
    plies: list[Copy],
    by_piece: Mapping[str, CutPiece],
    style: Source,
    shop: Shop,
    units: Literal["cm", "in"],
    collector: Collector,
    evaluations: int,
    wanted: str | None,
) -> ClothNeed:
    where = style.where("cloths", key)
    unit = str(style.data.get("units", "cm"))
    widths = [parse_length(w, unit, where=where, name="a width", zero=False).mm for w in spec["widths"]]
    if wanted is not None:
        chosen = parse_length(wanted, unit, name="the width", zero=False).mm
        widths = [chosen, *[w for w in widths if abs(w - chosen) > 0.5]]
    shrinkage = parse_ratio(spec.get("shrinkage", 0), where=where)
    pieces, outlines = lay_pieces(plies, by_piece)
    total = sum(_whole_area(c, by_piece) for c in plies)
    plans: list[LayPlan] = []
    refused: list[tuple[float, str]] = []
    for n, width in enumerate(widths):
        usable = width - 2 * shop.selvedge
        found, refusals = lays(pieces, usable, evaluations if n == 0 else min(QUICK, evaluations), shop.gap)
        if not found:
            told = "; ".join(dict.fromkeys(_refusal_words(r, by_piece, units) for r in refusals))
            refused.append((width, told))
            if n == 0:
                collector.error(
                    "cloth-width",
                    where,
                    f"{spec.get('title', key)} {show(width, units)} wide: {told}",
                    "Choose a wider cloth, or put a wider one first in `widths:`.",
                )
            continue
        why = _open_words([r for r in refusals if r.reason == "one face"], by_piece)
        made = [
            _plan(key, width, usable, lay, plies, outlines, shop, shrinkage, units, total, why)
            for lay in found
        ]
        for plan in made:
            problems = judge_plan(plan, plies, tuple(by_piece.values()), shop.gap)
            collector.add(*(Problem(p.code, p.severity, where, p.what, p.mend) for p in problems))
        best = min(made, key=lambda p: (p.buy_mm, p.length_mm, p.kind == "open"))
        made.sort(key=lambda p: p is not best)
        plans += [replace(p, recommended=p is best) for p in (made if n == 0 else [best])]
    return ClothNeed(
        key,
        str(spec.get("title", key)),
        str(spec.get("kind", "")),
        len(plies),
        tuple(plans),
        tuple(refused),
        bool(spec.get("fusible", False)),
        shrinkage,
    )


def width_problems(
    style: Source,
    copies: tuple[Copy, ...],
    cuts: tuple[CutPiece, ...],
    shop: Shop,
    units: Literal["cm", "in"],
    wanted: str | None = None,
) -> tuple[Problem, ...]:
    """Pieces that fit the chosen width of their cloth neither open nor folded; nothing is laid.

    The chosen width is `wanted` for the cloth with most plies, else the first listed.
    """
    by_piece = {c.piece.key: c for c in cuts}
    plies_of = {k: [c for c in copies if c.cloth == k] for k in style.data.get("cloths") or {}}
    most = max(plies_of, key=lambda k: len(plies_of[k]), default=None)
    out = []
    for key, spec in (style.data.get("cloths") or {}).items():
        plies = plies_of[key]
        if not plies:
            continue
        where = style.where("cloths", key)
        width = parse_length(
            wanted if wanted is not None and key == most else spec["widths"][0],
            str(style.data.get("units", "cm")),
            where=where,
            zero=False,
        ).mm
        pieces, _ = lay_pieces(plies, by_piece)
        usable = width - 2 * shop.selvedge
        told = [refusals_of(pieces, kind, usable, shop.gap) for kind in KINDS]
        if all(told):
            words = "; ".join(dict.fromkeys(_refusal_words(r, by_piece, units) for r in told[-1]))
            out.append(
                Problem(
                    "cloth-width",
                    "error",
                    where,
                    f"{spec.get('title', key)} {show(width, units)} wide: {words}",
                    "Choose a wider cloth, or put a wider one first in `widths:`.",
                )
            )
    return tuple(out)


def _refusal_words(refusal: Refusal, by_piece: Mapping[str, CutPiece], units: Literal["cm", "in"]) -> str:
    piece = by_piece[refusal.key.split("@")[0]].piece
    if refusal.reason == "one face":
        return f"{piece.heading} is cut one face up only, so the cloth lies open"
    if refusal.over_mm > 0:
        return f"{piece.heading} is {show(refusal.over_mm, units)} too wide for it"
    return refusal.what


def _open_words(refusals: list[Refusal], by_piece: Mapping[str, CutPiece]) -> str:
    """Why the cloth cannot be folded, naming the pieces by number."""
    numbers = sorted({by_piece[r.key.split("@")[0]].piece.number for r in refusals})
    if not numbers:
        return ""
    listed = " and ".join(
        [", ".join(str(n) for n in numbers[:-1]), str(numbers[-1])] if numbers[1:] else [str(numbers[0])]
    )
    many = len(numbers) > 1
    return f"the cloth lies open: piece{'s' if many else ''} {listed} {'are' if many else 'is'} cut one face up only"


def outline_for(rule: CutRule, cut: CutPiece) -> tuple[Path, Path]:
    """(what is laid on a fold, the whole ply): the cut line, or so far beyond the stitch line as the rule trims to."""
    if rule.trim is None:
        return (cut.paper_cut if cut.extent == "half" else cut.cut), cut.cut
    whole = cut.stitch if rule.trim < 0.01 else _beyond(cut.stitch, rule.trim)
    return (half_of(whole, cut.piece) if cut.extent == "half" else whole), whole


def _beyond(stitch: Path, by: float) -> Path:
    """The stitch line moved outwards all round, its corners mitred."""
    pts = stitch.flatten(FLAT)
    ring = shapely.Polygon(np.column_stack((pts.real, pts.imag))).buffer(
        by, join_style="mitre", mitre_limit=2.5
    )
    return Path.polyline([complex(x, y) for x, y in ring.exterior.coords[:-1]], closed=True)


def lay_pieces(
    plies: list[Copy], by_piece: Mapping[str, CutPiece]
) -> tuple[list[LayPiece], dict[str, tuple[Placement, Path, Path]]]:
    """What the engine lays, and for each key the turn of its grain on to +x, its half and its whole outline in the drawing."""
    out: list[LayPiece] = []
    outlines: dict[str, tuple[Placement, Path, Path]] = {}
    seen: dict[str, CutRule] = {}
    for copy in plies:
        rule = copy.rule
        key = copy.piece.key
        if key in outlines and seen[key] is rule:
            continue
        name = key if key not in outlines else f"{key}@{len(outlines)}"
        seen[key] = rule
        cut = by_piece[key]
        half, whole = outline_for(rule, cut)
        way = cut.piece.grain[1] - cut.piece.grain[0]
        if cut.piece.fold is not None:
            fold = cut.piece.edge(cut.piece.fold)
            assert fold is not None
            f = fold.path.end - fold.path.start
            way = f if (f * way.conjugate()).real >= 0 else -f
        turn = Placement(abs(way) / way)
        outlines[name] = (turn, half, whole)
        folded = rule.how == "whole on fold" and cut.extent == "half"
        pts = _ring((half if folded else whole).placed(turn))
        edge = _fold_ends(cut, half, turn) if folded else None
        mode: Literal["single", "pair", "same", "whole"]
        if rule.how == "pair":
            mode = "pair"
        elif rule.how == "same":
            mode = "same"
        else:
            mode = "whole" if folded else "single"
        out.append(
            LayPiece(name, pts, mode, rule.count, edge, cut.piece.nap, rule.how == "same" and _mirrors(pts))
        )
    return out, outlines


def _ring(path: Path) -> tuple[complex, ...]:
    pts = path.flatten(FLAT)
    keep = np.abs(np.diff(np.concatenate((pts, pts[:1])))) > 1e-4
    return tuple(complex(z) for z in pts[keep])


def _fold_ends(cut: CutPiece, half: Path, turn: Placement) -> tuple[complex, complex]:
    """The two ends of the fold on the half outline, allowances in."""
    fold = cut.piece.edge(cut.piece.fold or "")
    assert fold is not None
    way = fold.path.end - fold.path.start
    way /= abs(way)
    on = [z for z in half.flatten(FLAT) if abs(((z - fold.path.start) * np.conj(way)).imag) < 1e-3]
    far = sorted(on, key=lambda z: ((z - fold.path.start) * np.conj(way)).real)
    return turn.apply(complex(far[0])), turn.apply(complex(far[-1]))


def _mirrors(pts: tuple[complex, ...]) -> bool:
    """Whether a ring is its own mirror image, across or along."""
    z = np.array(pts)
    mid = complex((z.real.min() + z.real.max()) / 2, (z.imag.min() + z.imag.max()) / 2)
    d = z - mid
    return any(all(np.min(np.abs(d - f)) < 0.05 for f in flipped) for flipped in (np.conj(d), -np.conj(d)))


def _whole_area(copy: Copy, by_piece: Mapping[str, CutPiece]) -> float:
    return abs(area(outline_for(copy.rule, by_piece[copy.piece.key])[1].flatten(FLAT)))


def _plan(
    key: str,
    width: float,
    usable: float,
    lay: Lay,
    plies: list[Copy],
    outlines: dict[str, tuple[Placement, Path, Path]],
    shop: Shop,
    shrinkage: float,
    units: Literal["cm", "in"],
    total: float,
    why: str,
) -> LayPlan:
    placings = []
    for put in lay.placements:
        turn, half, whole = outlines[put.key]
        piece_key = put.key.split("@")[0]
        mine = [c for c in plies if c.piece.key == piece_key]
        here = turn.then(put.placement)
        piece = mine[0].piece
        folded = lay.kind == "fold" and mine[0].rule.how == "whole on fold"
        ids = _copies_of(put.copies, put.mirrored, mine, lay.kind)
        placings.append(
            Placing(
                piece_key,
                ids,
                (half if folded else whole).placed(here),
                here,
                put.mirrored,
                folded,
                (here.apply(piece.grain[0]), here.apply(piece.grain[1])),
            )
        )
    step = shop.buy_step[units]
    need = length_needed(lay.length, shrinkage, shop.squaring)
    buy = length_to_buy(lay.length, step, shrinkage, shop.squaring)
    return LayPlan(
        key,
        width,
        usable,
        lay.kind,
        lay.length,
        need,
        buy,
        share_used(total, width, lay.length),
        False,
        tuple(placings),
        why,
    )


def _copies_of(numbers: tuple[int, ...], mirrored: bool, mine: list[Copy], kind: str) -> tuple[str, ...]:
    """Which copies a placed ply is: in an open lay the mirrored ply of a pair is the other side's."""
    if kind == "open" and mine[0].rule.how == "pair":
        turned = [c for c in mine if c.placing.mirrored == mirrored]
        return (turned[numbers[0] // 2].id,) if turned else (mine[numbers[0]].id,)
    return tuple(mine[n].id for n in numbers if n < len(mine))
