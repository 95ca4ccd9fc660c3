"""Every step that touches cloth has a picture, and every picture and page of steps is clean by the judge.

All styles, all their options, both unit systems, both papers, their own bodies and six far from them. The pictures know
no paper: they are judged alone by units, and on their pages by paper. What takes long (the second unit system of the
further options, the far bodies) is marked slow.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from helpers.all_styles import (
    BASE,
    CASES,
    STYLES,
    UNITS,
    case_name,
    drawn,
    far_bodies,
    on_body,
    options_of,
    other_unit,
    own_unit,
    pages,
)

from booklet.drawing import look
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, Text
from booklet.drawing.judge import judge, struck_words
from booklet.model import Step

WIDEST = 106.0  # mm beside the words of a step
NO_CLOTH = ("try on", "press", "mark", "free")  # nothing is laid, folded or sewn in them


def faults(steps: Sequence[Step], no_room: Sequence[str]) -> list[str]:
    """What is wrong with the pictures of a recipe, each told with its step."""
    out = list(no_room)
    for step in steps:
        if bool(step.pictures) == (step.operation in NO_CLOTH):
            out.append(f"{step.id}: {'a' if step.pictures else 'no'} picture")
        for picture in step.pictures:
            drawing = picture.drawing
            assert isinstance(drawing, Drawing)
            if drawing.width > WIDEST:
                out.append(f"{step.id}: {drawing.width:.1f} mm wide")
            out += [f"{step.id}: {f.what}" for f in (*judge(drawing), *struck_words(drawing))]
    return out


@pytest.mark.parametrize(("style", "options"), CASES, ids=case_name)
def test_every_step_that_touches_cloth_has_a_clean_picture(style: str, options: tuple) -> None:
    assert faults(*drawn(style, options, own_unit(style))) == []


@pytest.mark.parametrize(("style", "options"), BASE, ids=case_name)
def test_pictures_in_the_other_units_are_clean(style: str, options: tuple) -> None:
    assert faults(*drawn(style, options, other_unit(style))) == []


@pytest.mark.slow
@pytest.mark.parametrize(("style", "options"), [c for c in CASES if c not in BASE], ids=case_name)
def test_pictures_of_all_options_in_the_other_units_are_clean(style: str, options: tuple) -> None:
    assert faults(*drawn(style, options, other_unit(style))) == []


@pytest.mark.slow
@pytest.mark.parametrize("number", range(6))
@pytest.mark.parametrize("style", STYLES)
def test_pictures_for_far_bodies_are_clean(style: str, number: int) -> None:
    body = far_bodies(style)[number]
    for n, options in enumerate(options_of(style)):
        units = UNITS[(n + number) % 2]
        assert faults(*on_body(style, options, units, body)) == [], (options, units)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(("style", "options"), BASE, ids=case_name)
def test_every_page_is_clean(style: str, options: tuple, paper: str) -> None:
    """A4 in the style's own units, Letter in the other; words keep within the margins, none under 6 pt."""
    units = own_unit(style) if paper == "a4" else other_unit(style)
    page = look.PAPERS[paper]
    frame = (page.left - 0.6, 0.0, page.right + 0.6, page.foot_rule + 6)
    for number, spec in enumerate(pages(style, options, units, paper), 1):
        found = [*judge(spec.drawing, frame)]
        steps = [b.title for b in spec.bookmarks if b.level == 1]
        found += struck_words(spec.drawing) if steps else []
        assert [f.what for f in found] == [], (number, steps)
        words = [f.item for f in flat_items(spec.drawing.items) if isinstance(f.item, Text)]
        assert min(w.size_pt for w in words) >= look.SMALLEST_PT


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(("style", "options"), BASE, ids=case_name)
def test_pages_hold_the_pictures_as_they_were_judged(style: str, options: tuple, paper: str) -> None:
    """Each picture stands whole on one page of steps, unscaled: what holds of it alone holds of it there."""
    units = own_unit(style) if paper == "a4" else other_unit(style)
    judged = [p.drawing.items for s in drawn(style, options, units)[0] for p in s.pictures]  # type: ignore[attr-defined]
    placed = [
        inner
        for spec in pages(style, options, units, paper)
        for outer in spec.drawing.items
        for inner in pictures_in(outer)
    ]
    assert placed == judged


def pictures_in(item: object) -> list[object]:
    """The items of each picture within an item, in order."""
    if getattr(item, "role", "") == "picture" and hasattr(item, "items"):
        assert item.placement.turn == 1 and not item.placement.mirrored  # type: ignore[attr-defined]
        return [item.items]
    return [found for inner in getattr(item, "items", ()) for found in pictures_in(inner)]


class TestTheJudge:
    """The rule that this check adds to those tested in tests/drawing can fail."""

    def test_a_line_through_words_is_found_unless_it_is_covered(self) -> None:
        from booklet.drawing.display import Fill, PathItem, Stroke, box_path
        from booklet.paths import Path

        words = Text(10, 10, "front", 8, 400, "#000000", 0.0, "start", "label")
        line = PathItem((Path.line(5 + 9j, 40 + 9j),), Stroke(0.5, "#000000"), None, "cut")
        cover = PathItem((box_path(8, 5, 20, 8),), None, Fill("#FFFFFF"), "cut")
        assert [f.kind for f in struck_words(Drawing(60, 20, (line, words)))] == ["line through words"]
        assert struck_words(Drawing(60, 20, (words, line)))
        assert struck_words(Drawing(60, 20, (line, cover, words))) == []
        low = PathItem((Path.line(5 + 14j, 40 + 14j),), Stroke(0.5, "#000000"), None, "cut")
        assert struck_words(Drawing(60, 20, (low, words))) == []
