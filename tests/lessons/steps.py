"""Lessons of operations: a shipped style, or the one that `booklet new` writes, changed; and the pictures of its steps."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from booklet.drawing.display import Board, Drawing
from booklet.paths import Placement
from booklet.pictures.recipe import draw_recipe
from booklet.prepare import Prepared, prepare
from booklet.problems import Collector
from booklet.reading.read import read_body, read_style
from booklet.reading.shop import read_shop
from booklet.sewing.words import write_steps

from .draft import HERE, STYLES
from .sheet import EDGE, GAP, WIDE

STEPS = HERE / "steps"
NEW = STYLES.parent / "templates" / "new"
FILES = ("style", "draft", "sewing")


@dataclass(frozen=True)
class StepLesson:
    """`texts` are the changed files, `shown` the steps whose pictures are shown."""

    texts: dict[str, str]
    prepared: Prepared
    shown: tuple[str, ...]


@cache
def step_lesson(name: str) -> StepLesson:
    """Raises ValueError where words to be replaced are not found once, Fault where the changed style has errors."""
    raw: dict[str, Any] = yaml.safe_load((STEPS / f"{name}.yaml").read_text(encoding="utf-8"))
    folder = NEW if raw["style"] == "new" else STYLES / raw["style"]
    texts = {file: (folder / f"{file}.yaml").read_text(encoding="utf-8") for file in FILES}
    for file, changes in raw.get("replace", {}).items():
        for old, new in changes:
            if old not in texts[file]:
                raise ValueError(f"{name}: {file}.yaml holds no {old!r}")
            texts[file] = texts[file].replace(old, new)
    for file, more in raw.get("add", {}).items():
        texts[file] += more
    body = NEW / "body.yaml" if raw["style"] == "new" else read_style(folder).base
    with tempfile.TemporaryDirectory() as room:
        for file, text in texts.items():
            (Path(room) / f"{file}.yaml").write_text(text, encoding="utf-8")
        collector = Collector()
        chosen = raw.get("options", {})
        made = prepare(read_style(Path(room)), read_body(body), chosen, "cm", read_shop(None), collector)
        collector.raise_if_errors()
    return StepLesson(texts, made, tuple(raw["shown"]))


@dataclass(frozen=True)
class StepSheet:
    """The pictures of a lesson's steps, one below the other."""

    name: str

    @property
    def drawing(self) -> Drawing:
        lesson = step_lesson(self.name)
        made = lesson.prepared
        told = write_steps(made.seams.steps, made.seams, made.copies, made.table, read_shop(None), "cm")
        steps = draw_recipe(made, "cm", told, frozenset(lesson.shown))
        board, y = Board(), EDGE
        for picture in (p for step in steps for p in step.pictures):
            drawing = picture.drawing
            assert isinstance(drawing, Drawing)
            board.group(drawing.items, Placement.move(complex((WIDE - drawing.width) / 2, y)))
            y += drawing.height + GAP
        return board.drawing(WIDE, y - GAP + EDGE)


STEP_PICTURES = {f"step_{p.stem}": StepSheet(p.stem) for p in sorted(STEPS.glob("*.yaml"))}
