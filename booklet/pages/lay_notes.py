"""What is said of a lay plan: which way the cloth lies, how it is folded, how much is used, how near to the shortest."""

from __future__ import annotations

from booklet.cloth.faces import one_faced
from booklet.cloth.one_way import tops_to_one_end
from booklet.model import ClothNeed, Copy, Job, LayPlan, Placing
from booklet.pages import figures
from booklet.pages.copy_words import copy_line, face_words, side_up_words
from booklet.pages.lay_ground import across_mm, along_mm, sections_of, selvedge_mm
from booklet.pages.words import Words, sentence
from booklet.units import show_percent

WEAK = 0.15  # a bound that leaves more open than this says little of the lay


def lay_notes(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """How the cloth and the pieces are laid, in sentences under a plan, each whole in itself."""
    out = []
    need = need_of(job, lay)
    if lay.why and all(other.kind == "open" for other in need.lays):
        out.append(sentence(lay.why.rstrip(".")) + ".")
    out += _folding(job, words, lay)
    out += _splitting(job, words, lay)
    if any(s.layers == 2 for s in sections_of(lay)):
        some = (
            "part"
            if lay.kind in ("part_fold", "side_fold")
            else "save"
            if any(p.spare for p in lay.placings)
            else "layers"
        )
        out.append(words("lays.both_" + some))
    over = _turned_over(job, words, lay)
    if over:
        out.append(words("lays.turn_over", count=len(over), numbers=", ".join(over)))
    if any(p.mirrored for p in lay.placings):
        out.append(words("lays.face_down"))
    if _one_faced(job, lay):
        out.append(words("lays.face_up_note", face=lying_words(job, words, lay)))
    out += _other_side(job, words, lay)
    if not lay.one_way and not need.fusible:
        out.append(words("lays.one_end" if tops_to_one_end(lay) else "lays.both_ends"))
    if any(lay.repeat):
        out.append(words("lays.matched"))
    if lay.repeat[0]:
        out.append(words("lays.repeat_more", length=figures.length(lay.repeat[0], job.units)))
    return out


def lay_figures(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """How much of the cloth is used, how near the lay is to the shortest, and the piece that makes it as long as it is."""
    out = [words("lays.used", percent=show_percent(round(lay.used, 2), job.units))]
    out.append(bound_words(job, words, lay))
    if lay.binds:
        out.append(words("lays.binds", number=_number(job, lay.binds)))
    return [note for note in out if note]


def need_of(job: Job, lay: LayPlan) -> ClothNeed:
    """The cloth that a lay is of."""
    return next(c for c in job.size.cloths if c.key == lay.cloth)


def cut_later(lay: LayPlan, placing: Placing) -> bool:
    """Whether it lies where the cloth is opened out once the folded part is cut."""
    return lay.kind == "part_fold" and sections_of(lay)[placing.section].layers == 1


def _number(job: Job, piece: str) -> int:
    return job.size.cut_piece(piece).piece.number


def lay_title(job: Job, words: Words, lay: LayPlan) -> str:
    """'laid open, right side up', 'folded once, glue side out': of a fusible cloth the glue tells its sides."""
    return words("lays." + lay.kind, face=lying_words(job, words, lay), inside=_inside(job, words, lay))


def lying_words(job: Job, words: Words, lay: LayPlan) -> str:
    """Which side of the cloth shows where it lies in one layer, its pieces with their print up.

    The pieces that are cut one face up tell it, by how their paper lies; where there are none, what is fused lies with
    its glue up.
    """
    fusible = need_of(job, lay).fusible
    down = [(copy.rule.face == "down") != _turned(put, copy) for put, copy in _one_faced(job, lay)]
    face = "down" if (all(down) if down else fusible) else "up"
    return side_up_words(face, fusible, words)


def _inside(job: Job, words: Words, lay: LayPlan) -> str:
    return words("lays.inside_glue" if need_of(job, lay).fusible else "lays.inside")


def _one_faced(job: Job, lay: LayPlan) -> list[tuple[Placing, Copy]]:
    """What lies in one layer and may not be turned over."""
    single = [p for p in lay.placings if sections_of(lay)[p.section].layers == 1]
    both = [(p, job.size.copy_by_id[p.copies[0]]) for p in single]
    return [(put, copy) for put, copy in both if one_faced(copy.rule)]


def _turned(put: Placing, copy: Copy) -> bool:
    """Whether the paper lies the other way up than the copy is drawn."""
    return put.mirrored != copy.placing.mirrored


def _other_side(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """What the pattern marks for the side of the cloth that is down here, so that its paper is turned over instead."""
    marked: dict[str, list[int]] = {}
    for put, copy in _one_faced(job, lay):
        numbers = marked.setdefault(face_words(copy.rule, words), [])
        if _turned(put, copy) and copy.piece.number not in numbers:
            numbers.append(copy.piece.number)
    return [
        words("lays.other_side", count=len(numbers), numbers=", ".join(map(str, sorted(numbers))), face=face)
        for face, numbers in marked.items()
        if numbers
    ]


def _folding(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """How the cloth is brought to lie so, where a drawing of it does not tell."""
    units = job.units
    first = sections_of(lay)[0]
    if lay.kind == "two_folds" and first.meeting is not None:
        lap = selvedge_mm(lay)
        near, far = first.meeting + lap, across_mm(lay) - first.meeting + lap
        return [
            words("lays.folds_at", near=figures.length(near, units), far=figures.length(far, units)),
            words("lays.meeting", far=figures.length(first.meeting, units)),
        ]
    if lay.kind == "side_fold":
        deep = figures.length(first.high + selvedge_mm(lay), units)
        return [words("lays.folded_in", depth=deep, face=lying_words(job, words, lay))]
    if lay.kind == "part_fold":
        long = figures.cloth_taken(first.end - first.start, units)
        later = dict.fromkeys(str(_number(job, p.piece)) for p in lay.placings if cut_later(lay, p))
        return [
            words("lays.opened", length=long, face=lying_words(job, words, lay)),
            words("lays.later", count=len(later), numbers=", ".join(sorted(later, key=int))),
        ]
    if lay.kind == "cross_fold":
        half = along_mm(lay, max(lay.buy_mm, lay.length_mm))
        return [words("lays.folded_across", length=figures.cloth_taken(half, units))]
    return []


def split_numbers(job: Job, lay: LayPlan) -> str:
    """The pieces that a lay has in two parts, by number; "" where there is none."""
    keys = dict.fromkeys(p.piece for p in lay.placings if p.part)
    return ", ".join(str(job.size.cut_piece(key).piece.number) for key in keys)


def _splitting(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """How each piece that lies in two parts is cut, and that it is joined before all else."""
    out = []
    for key in dict.fromkeys(p.piece for p in lay.placings if p.part):
        piece = job.size.cut_piece(key).piece
        if piece.split is None:
            continue
        how = piece.split.at if piece.split.at in ("fold", "middle") else "line"
        allow, line = figures.length(piece.split.allow, job.units), figures.called(piece.split.at, job.units)
        out.append(words(f"lays.split_{how}", number=piece.number, allow=allow, line=line))
        out.append(words("lays.split_join", allow=allow))
    return list(dict.fromkeys(out))


def bound_words(job: Job, words: Words, lay: LayPlan) -> str:
    """How far the lay may be above the shortest; "" where nothing is known of that."""
    if lay.proved:
        return words("lays.shortest")
    if lay.bound_mm <= 0:
        return ""
    more = lay.length_mm / lay.bound_mm - 1
    if more > WEAK:
        return words("lays.best_found")
    return words("lays.within", percent=show_percent(max(0.01, round(more + 0.004, 2)), job.units))


def saving_words(job: Job, words: Words, need: ClothNeed) -> list[str]:
    """Ways to buy less of a cloth, and how narrow it may be."""
    units = job.units
    out = []
    for saving in need.savings:
        said = {
            "width": figures.cloth_width(saving.width_mm, units),
            "laid": words("cloth." + saving.lay),
            "buy": figures.cloth_length(saving.buy_mm, units),
            "less": figures.cloth_length(saving.less_mm, units),
        }
        if saving.pieces:
            numbers = [job.size.cut_piece(key).piece.number for key in saving.pieces]
            said["numbers"] = ", ".join(map(str, numbers))
        out.append(words("lays.saves_" + saving.way, **said))
    if need.one_way_mm is not None and need.lays and not need.lays[0].one_way:
        width = figures.cloth_width(need.lays[0].width_mm, units)
        key = "lays.with_nap" if need.one_way_lay is None else "lays.with_nap_shown"
        out.append(words(key, width=width, buy=figures.cloth_length(need.one_way_mm, units)))
    if need.least_mm is not None:
        out.append(words("lays.least", width=figures.width_up(need.least_mm, units)))
    return out


def _turned_over(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """Numbers of the pieces whose paper is a half and which this lay shows whole."""
    numbers = []
    halved = {p.piece for p in lay.placings if p.part == 1 and job.size.cut_piece(p.piece).extent == "half"}
    for key in dict.fromkeys(p.piece for p in lay.placings if not p.on_fold):
        split = job.size.cut_piece(key).piece.split
        if key in halved and split is not None and split.at == "fold":
            continue  # the half paper is drawn once for each half
        cut = job.size.cut_piece(key)
        rule = next(r for r in cut.piece.cuts if r.cloth == lay.cloth)
        if cut.extent == "half" and not copy_line(cut, rule, lay, words).fold:
            numbers.append(str(cut.piece.number))
    return numbers
