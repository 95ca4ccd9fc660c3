"""A label that tells a piece and its side ends on that piece, where that side shows: what is named lies on top there.

Read from the finished drawings alone: the foot of a label's leader, or the middle of words without one, and the
uppermost cloth painted there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
import shapely
from helpers.all_styles import CASES, case_name, drawn, own_unit

from booklet.drawing import look
from booklet.drawing.bounds import Flat, flat_items, text_corners
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.drawing.patterns import region
from booklet.drawing.scene import ABOUT, window_of

SIDES = {"right side up": (look.RIGHT_SIDE,), "wrong side up": (look.WRONG_SIDE, look.GLUE)}


def told(drawing: Drawing) -> Iterator[tuple[str, str, complex]]:
    """Of each label of a piece and its side: the piece's name, the side, the point that it speaks of."""
    flat = [f for f in flat_items(drawing.items) if getattr(f.item, "role", "") in ("label", "leader")]
    for n, entry in enumerate(flat):
        if not isinstance(entry.item, Text):
            continue
        words = entry.item.text
        before = flat[n - 1].item if n and isinstance(flat[n - 1].item, Text) else None
        if words in SIDES and isinstance(before, Text) and before.text.endswith(","):
            words = f"{before.text} {words}"
        found = re.fullmatch(r"(.+?)(?:, spread)?, (right side up|wrong side up)", words)
        if found is None:
            continue
        after = flat[n + 1].item if n + 1 < len(flat) else None
        leads = isinstance(after, PathItem) and after.role == "leader" and after.ends
        at = after.ends[-1] if leads else sum(text_corners(entry.item, entry.placement)) / 4  # type: ignore[union-attr]
        yield found[1], found[2], at


def cloth_at(drawing: Drawing, z: complex) -> PathItem | None:
    """The uppermost filled shape at a point of a drawing."""
    for entry in reversed(flat_items(drawing.items)):
        item = entry.item
        if (
            isinstance(item, PathItem)
            and item.fill is not None
            and item.role not in ABOUT
            and shows(entry, z)
        ):
            return item
    return None


def shows(entry: Flat, z: complex) -> bool:
    spot = shapely.Point(z.real, z.imag)
    assert isinstance(entry.item, PathItem)
    inside = not entry.clips or window_of(entry.clips).distance(spot) < 0.05
    return inside and bool(region(entry.item.subpaths).distance(spot) < 0.05)


def amiss(drawing: Drawing) -> list[str]:
    out = []
    for name, side, z in told(drawing):
        on = cloth_at(drawing, z)
        if on is None:
            out.append(f"'{name}, {side}' ends on no cloth")
            continue
        if on.of and name not in (on.of, f"left {on.of}", f"right {on.of}"):
            out.append(f"'{name}, {side}' ends on '{on.of}'")
        if on.fill not in SIDES[side]:
            out.append(f"'{name}, {side}' ends where its other side shows")
    return out


@pytest.mark.parametrize(("style", "options"), CASES, ids=case_name)
def test_every_label_ends_on_the_piece_and_side_it_names(style: str, options: tuple) -> None:
    steps, _ = drawn(style, options, own_unit(style))
    found = {s.id: amiss(p.drawing) for s in steps for p in s.pictures}  # type: ignore[arg-type]
    assert {k: v for k, v in found.items() if v} == {}
    ends = [cloth_at(p.drawing, z) for s in steps for p in s.pictures for _, _, z in told(p.drawing)]  # type: ignore[arg-type]
    named = [on for on in ends if on is not None and on.of]
    assert len(named) == len(ends) > len(steps) / 2


def test_a_covered_piece_is_found() -> None:
    from booklet.drawing.display import box_path
    from booklet.drawing.marks import leader

    lower = PathItem((box_path(0, 0, 40, 40),), None, look.RIGHT_SIDE, "cut", of="stand")
    upper = PathItem((box_path(10, 10, 30, 30),), None, look.WRONG_SIDE, "cut", of="collar")
    lines = [Text(50, y, words, 8, role="label") for y, words in ((5, "stand,"), (9, "right side up"))]
    wrong = Drawing(80, 50, (lower, upper, *lines, *leader(49 + 8j, 20 + 20j, True)))
    assert amiss(wrong) == [
        "'stand, right side up' ends on 'collar'",
        "'stand, right side up' ends where its other side shows",
    ]
    right = Drawing(80, 50, (lower, upper, *lines, *leader(49 + 8j, 5 + 5j, True)))
    assert amiss(right) == []
