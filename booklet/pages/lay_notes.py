"""What is said under a lay plan: how the cloth is folded, how much is used, how near to the shortest the lay is."""

from __future__ import annotations

from booklet.model import ClothNeed, Job, LayPlan
from booklet.pages import figures
from booklet.pages.copy_words import copy_line
from booklet.pages.lay_ground import across_mm, along_mm, sections_of, selvedge_mm
from booklet.pages.words import Words, sentence
from booklet.units import show_percent

WEAK = 0.15  # a bound that leaves more open than this says little of the lay


def lay_notes(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """The sentences under a plan, each whole in itself."""
    out = []
    if lay.why:
        out.append(sentence(lay.why.rstrip(".")) + ".")
    out += _folding(job, words, lay)
    out.append(words("lays.used", percent=show_percent(round(lay.used, 2), job.units)))
    out.append(bound_words(job, words, lay))
    if lay.binds:
        out.append(words("lays.binds", number=job.size.cut_piece(lay.binds).piece.number))
    if any(s.layers == 2 for s in sections_of(lay)):
        some = (
            "part" if lay.kind == "part_fold" else "save" if any(p.spare for p in lay.placings) else "layers"
        )
        out.append(words("lays.both_" + some))
    over = _turned_over(job, words, lay)
    if over:
        out.append(words("lays.turn_over", numbers=", ".join(over)))
    if any(p.mirrored for p in lay.placings):
        out.append(words("lays.face_down"))
    one_layer = [p for p in lay.placings if sections_of(lay)[p.section].layers == 1]
    if any(job.size.copy_by_id[p.copies[0]].rule.face == "up" for p in one_layer):
        out.append(words("lays.face_up_note"))
    if any(lay.repeat):
        out.append(words("lays.matched"))
    return [note for note in out if note]


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
    if lay.kind == "part_fold":
        return [words("lays.opened", length=figures.cloth_taken(first.end - first.start, units))]
    if lay.kind == "cross_fold":
        half = along_mm(lay, max(lay.buy_mm, lay.length_mm))
        return [words("lays.folded_across", length=figures.cloth_taken(half, units))]
    return []


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
        out.append(words("lays.saves_" + saving.way, **said))
    if need.least_mm is not None:
        out.append(words("lays.least", width=figures.width_up(need.least_mm, units)))
    return out


def _turned_over(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """Numbers of the pieces whose paper is a half and which this lay shows whole."""
    numbers = []
    for key in dict.fromkeys(p.piece for p in lay.placings if not p.on_fold):
        cut = job.size.cut_piece(key)
        rule = next(r for r in cut.piece.cuts if r.cloth == lay.cloth)
        if cut.extent == "half" and not copy_line(cut, rule, lay, words).fold:
            numbers.append(str(cut.piece.number))
    return numbers
