"""A step's picture in words, from its own labels: for those who can't see it, in the PDF as on a screen."""

from __future__ import annotations

from booklet.drawing.bounds import Flat, flat_items
from booklet.drawing.display import Drawing, Text
from booklet.model import Step, StepPicture
from booklet.units import MM_PER_POINT

_LINES = 1.6  # of the size of the letters: lines of one label lie no further apart


def told(step: Step, picture: StepPicture) -> str:
    """A step picture in words: the step's title and what its labels say, each once."""
    assert isinstance(picture.drawing, Drawing)
    said = "; ".join(dict.fromkeys(labels_of(picture.drawing)))
    return f"{step.title}: {said}" if said else step.title


def labels_of(drawing: Drawing) -> list[str]:
    """The labels of a drawing, in its order; the lines of one label read on."""
    out: list[str] = []
    last: Flat | None = None
    for flat in flat_items(drawing.items):
        if not isinstance(flat.item, Text) or not flat.item.text.strip():
            continue
        text = flat.item.text.strip()
        if last is not None and _reads_on(last, flat):
            out[-1] = f"{out[-1]} {text}"
        else:
            out.append(text)
        last = flat
    return out


def _reads_on(one: Flat, two: Flat) -> bool:
    """Whether a line stands under another as the next of the same label."""
    a, b = one.item, two.item
    assert isinstance(a, Text) and isinstance(b, Text)
    alike = (a.anchor, a.size_pt, a.weight, a.angle_deg, a.role, one.placement) == (
        b.anchor, b.size_pt, b.weight, b.angle_deg, b.role, two.placement,
    )  # fmt: skip
    return alike and abs(a.x - b.x) < 0.01 and 0 < b.y - a.y < _LINES * a.size_pt * MM_PER_POINT
