"""Every step's picture of a style, for any body and options, without words, lays or pages."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from booklet.drawing.display import Drawing
from booklet.pictures.recipe import draw_recipe
from booklet.prepare import Prepared, prepare
from booklet.problems import Collector, Where
from booklet.reading.read import Body, StyleFiles, read_body, read_style
from booklet.reading.shop import read_shop

ROOT = Path(__file__).resolve().parent.parent.parent
NO_PICTURE = ("try on", "press", "mark", "free")


def style(name: str) -> StyleFiles:
    return read_style(ROOT / "styles" / name)


def demo_body() -> Body:
    return read_body(ROOT / "demo" / "bodies" / "marit.yaml")


def body_with(measures: Mapping[str, float]) -> Body:
    base = demo_body()
    lines = {n: Where("survey", 1) for n in measures}
    return replace(base, measures=dict(measures), lines=lines, problems=())


def prepared(files: StyleFiles, body: Body, options: Mapping[str, str], units: str = "cm") -> Prepared:
    collector = Collector()
    made = prepare(files, body, options, units, read_shop(None), collector)  # type: ignore[arg-type]
    collector.raise_if_errors()
    return made


def pictures(
    made: Prepared, units: str = "cm", only: Collection[str] | None = None
) -> Iterator[tuple[str, str, tuple[Drawing, ...], tuple[str, ...]]]:
    """(step, verb, drawings, labels that found no place) for every step in order, or for those in `only`."""
    for drawn in draw_recipe(made, units, only=None if only is None else frozenset(only)):  # type: ignore[arg-type]
        yield drawn.step.id, drawn.step.verb, tuple(p.drawing for p in drawn.pictures), drawn.left_over  # type: ignore[misc]
