"""A step's picture in words, from its own labels: for those who can't see it, in the PDF as on a screen."""

from __future__ import annotations

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, Text
from booklet.model import Step, StepPicture


def told(step: Step, picture: StepPicture) -> str:
    """A step picture in words: the step's title and what its labels say."""
    assert isinstance(picture.drawing, Drawing)
    labels = [f.item.text for f in flat_items(picture.drawing.items) if isinstance(f.item, Text)]
    said = "; ".join(dict.fromkeys(t.strip() for t in labels if t.strip()))
    return f"{step.title}: {said}" if said else step.title
