"""How many copies, of what face and side, laid how: the one place that says it, for chart, label, lay and facts.

A pattern piece is named with its cut rule, the way it is printed (half or whole) and the way its cloth is laid. The
words follow from these four alone, so that no two pages can disagree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from booklet.cloth.faces import one_faced, side_up
from booklet.cloth.plies import mirrors, ring_of
from booklet.model import ClothNeed, Copy, CutPiece, CutRule, LayPlan, Placing, SizedResult
from booklet.pages.words import Words


@dataclass(frozen=True)
class CopyLine:
    """One cloth's copies of one piece. `count` counts plies; `words` is what is printed, `how_to` how it is laid."""

    cloth: str
    count: int
    how: str
    face: str
    side: str
    fold: bool  # laid with its edge on the cloth's fold
    trim: float | None
    fused: bool
    words: str
    how_to: str


def recommended_lay(size: SizedResult, cloth: str) -> LayPlan | None:
    """The lay that the chart speaks of: the recommended one of the chosen width, which stands first."""
    need = next((c for c in size.cloths if c.key == cloth), None)
    if need is None or not need.lays:
        return None
    same = [lay for lay in need.lays if lay.width_mm == need.lays[0].width_mm]
    return next((lay for lay in same if lay.recommended), same[0])


def copy_line(
    cut: CutPiece, rule: CutRule, lay: LayPlan | None, words: Words, by_id: Mapping[str, Copy] | None = None
) -> CopyLine:
    """What is said of a piece's copies by one rule; with all copies `by_id` also how their paper is turned on the lay."""
    fold = rule.how == "whole on fold" and cut.extent == "half" and _lies(cut, lay, "fold")
    how_to = words("copies.how_to." + _how_to(cut, rule, lay, fold, _laid(cut, rule, lay, by_id or {})))
    if cut.piece.base and rule.side != "whole":
        how_to = words("copies.how_to.mark_side", how_to=how_to, side=words(f"measures.{rule.side}"))
    return CopyLine(
        rule.cloth,
        rule.count,
        rule.how,
        rule.face,
        rule.side,
        fold,
        rule.trim,
        rule.fused,
        _words(rule, fold, words),
        how_to,
    )


def copy_lines(cut: CutPiece, size: SizedResult, words: Words) -> tuple[CopyLine, ...]:
    """A piece's copies, a line for each of its cut rules."""
    return tuple(
        copy_line(cut, rule, recommended_lay(size, rule.cloth), words, size.copy_by_id)
        for rule in cut.piece.cuts
    )


def _words(rule: CutRule, fold: bool, words: Words) -> str:
    if rule.how == "pair":
        return words("copies.pair", count=rule.count // 2)
    if rule.how == "same" and rule.count > 1:
        text = words("copies.same", count=rule.count)
    elif rule.how == "whole on fold":
        text = words("copies.whole_on_fold" if fold else "copies.whole", count=rule.count)
    else:
        text = words("copies.single", count=rule.count)
    parts = [text]
    if rule.face != "either":
        parts[0] += " " + face_words(rule, words)
    if rule.side != "whole" and rule.how in ("single", "same"):
        parts.append(side_words(rule.side, words))
    return ", ".join(parts)


def face_words(rule: CutRule, words: Words) -> str:
    """'right side up', or 'glue side up' for a fused ply cut the other way round."""
    return side_up_words(rule.face, rule.fused, words)


def side_up_words(side: str, fused: bool, words: Words) -> str:
    """'right side up'; of fused cloth 'glue side down'."""
    return words(f"copies.face.{'glue_' if fused else ''}{side}")


def side_words(side: str, words: Words) -> str:
    """\"wearer's left\"."""
    return words(f"copies.side.{side}")


def _laid(
    cut: CutPiece, rule: CutRule, lay: LayPlan | None, by_id: Mapping[str, Copy]
) -> list[tuple[Placing, bool]]:
    """A rule's placings on a lay, and whether its paper there is turned over against how the copy is drawn."""
    out = []
    for placing in lay.placings if lay is not None else ():
        copy = by_id.get(placing.copies[0])
        if placing.piece == cut.piece.key and (copy is None or copy.rule == rule):
            out.append((placing, placing.mirrored != (copy is not None and copy.placing.mirrored)))
    return out


def _how_to(
    cut: CutPiece, rule: CutRule, lay: LayPlan | None, fold: bool, laid: list[tuple[Placing, bool]]
) -> str:
    if cut.piece.half and cut.extent == "half":
        return "on_fold" if fold else "turn_over"
    if rule.how == "pair":
        return "pair_folded" if lay is not None and _lies(cut, lay, "double") else "pair_open"
    over = bool(laid) and all(p.mirrored for p, _ in laid)
    if any(p.spare for p, _ in laid) and (rule.count == 1 or rule.how == "single"):
        return "layer_named" if side_up(rule, mirrors(ring_of(cut.cut))) else "one_layer"
    if rule.how == "same" and rule.count > 1:
        if laid and all(p.spare for p, _ in laid):
            return "layer_named"
        return "same_over" if over else "same"
    if cut.piece.half:
        return "printed_whole_fused" if rule.fused else "printed_whole"
    if rule.face == "either":
        return "once"
    side = _side(rule, bool(laid) and laid[0][1])
    return f"{'over' if over else 'face'}_{side}{'_fused' if rule.fused else ''}"


def _side(rule: CutRule, turned: bool) -> str:
    """The side of the cloth that is up where the rule's paper lies, `turned` over against how the copy is drawn or not."""
    return "down" if (rule.face == "down") != turned else "up"


def _lies(cut: CutPiece, lay: LayPlan | None, how: Literal["fold", "double"]) -> bool:
    """Whether a lay has the piece on a fold, or two of it cut through at once; without a lay it is taken to."""
    if lay is None:
        return True
    mine = [p for p in lay.placings if p.piece == cut.piece.key]
    if not mine:
        return lay.kind == "fold"
    return all(p.on_fold for p in mine) if how == "fold" else all(len(p.copies) == 2 for p in mine)


@dataclass(frozen=True)
class PlacingLine:
    """What one outline on a lay stands for."""

    number: int
    plies: int
    fold: bool
    face_down: bool  # the paper lies with its print towards the cloth
    side: str
    words: str


def placing_line(placing: Placing, lay: LayPlan, size: SizedResult, words: Words) -> PlacingLine:
    """The words beside a piece on a lay: 'paper face down', \"right side up, wearer's left\", or nothing.

    Right or wrong side, of the paper and of the cloth under it, is the sign of the placing matrix and nothing else.
    """
    first = size.copy_by_id[placing.copies[0]]
    rule = first.rule
    plies = len(placing.copies)
    parts = []
    if placing.part:
        split = first.piece.split
        halved = split is not None and split.at == "fold"
        parts.append(words("copies.half_part") if halved else words("copies.part", part=placing.part))
    if placing.mirrored:
        parts.append(words("copies.paper_down"))
    if placing.spare:
        # Folded right sides together, the upper layer shows its wrong side.
        side = side_up(rule, mirrors(ring_of(size.cut_piece(first.piece.key).cut)))
        upper = (placing.mirrored != first.placing.mirrored) == (side == "up")
        layer = "one" if not side else "upper" if upper else "under"
        parts.append(words(f"copies.{layer}_layer"))
    elif one_faced(rule):
        turned = placing.mirrored != first.placing.mirrored
        parts.append(side_up_words(_side(rule, turned), rule.fused, words))
    if rule.face != "either" and first.side != "whole" and rule.how in ("single", "same"):
        parts.append(side_words(first.side, words))
    return PlacingLine(
        first.piece.number, plies, placing.on_fold, placing.mirrored, first.side, ", ".join(parts)
    )


def plies_in_all(need: ClothNeed, size: SizedResult) -> int:
    """Plies to cut from a cloth, counted over the pieces' rules."""
    return sum(r.count for c in size.cut_pieces for r in c.piece.cuts if r.cloth == need.key)
