"""Everything that can be wrong with the sizes of one range before anything is drawn: each checked, and held together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from booklet.job import Checked, Units, check_style, printed_in, worded_steps
from booklet.language import tongue_of
from booklet.model import CutPiece
from booklet.problems import Collector, Fault, Problem
from booklet.reading.read import Body, StyleFiles
from booklet.reading.shop import Shop
from booklet.sewing.size_words import merge_steps, size_phrases
from booklet.sizes import told_once, unlike_sizes
from booklet.stacking import stacks_of


@dataclass(frozen=True)
class _Cuts:
    """The cut pieces of a size, as the stacking asks for them."""

    cut_pieces: tuple[CutPiece, ...]

    def cut_piece(self, key: str) -> CutPiece:
        return next(c for c in self.cut_pieces if c.piece.key == key)


def check_sizes(
    style: StyleFiles,
    bodies: Sequence[Body],
    options: Mapping[str, str],
    units: Units | None,
    shop: Shop,
    base: int,
) -> tuple[Problem, ...]:
    """What `make` would tell of these sizes: the problems of each, told once; and where they are fine one by one, pieces,
    steps or words that must not differ, and places at which they cannot lie on each other. Raises nothing of it.
    """
    names = [b.code or b.name for b in bodies]
    checked: list[Checked] = []
    found: list[Sequence[Problem]] = []
    for body in bodies:
        try:
            checked.append(check_style(style, body, options, units, shop))
            found.append(checked[-1].problems)
        except Fault as fault:
            found.append(fault.problems)
    together = _together(style, names, checked, units, shop, base) if len(checked) == len(bodies) > 1 else ()
    return (*told_once(names, found), *together)


def _together(
    style: StyleFiles,
    names: Sequence[str],
    checked: Sequence[Checked],
    units: Units | None,
    shop: Shop,
    base: int,
) -> tuple[Problem, ...]:
    unlike = unlike_sizes(names, [c.prepared for c in checked], base)
    if unlike:
        return unlike
    chosen = printed_in(style, units, shop)
    steps = [worded_steps(c.prepared, c.words, chosen, Collector()) for c in checked]
    phrases = size_phrases(tongue_of(chosen))
    _, problems = merge_steps(names, base, steps, phrases)
    collector = Collector()
    cuts = [_Cuts(c.prepared.cuts) for c in checked]
    stacks_of(style.sources["style"], style.sources["draft"].data["pieces"], cuts, base, collector)
    return (*problems, *collector.problems)
