"""Hems and casings: the fold to make, and what comes of it."""

from __future__ import annotations

from booklet.pictures import sections as cut
from booklet.pictures.canvas import Picture
from booklet.pictures.hems import KINDS as HEM_KINDS
from booklet.pictures.hems import draw_hem_kind
from booklet.pictures.plies import (
    short_title,
)
from booklet.pictures.step_scene import StepScene, add_section, one_side
from booklet.pictures.turned import BESIDE, EDGE, TURNED, small_whole, turned_edge


def draw_hem(scene: StepScene) -> Picture | None:
    if not scene.seams:
        return None
    seam, bench = one_side(list(scene.seams)), scene.bench
    if seam.neaten in HEM_KINDS:
        return draw_hem_kind(scene, seam)
    depth = seam.allow_a
    picture = Picture()
    if seam.neaten == "double":
        picture.add(small_whole(bench, seam.a, depth))
        picture.add(turned_edge(bench, seam.a, EDGE, depth, scene.mm(depth), second=False))
        add_section(
            picture,
            cut.hem_double(scene.mm(depth / 2)),
            BESIDE,
            16,
            {"cloth": short_title(bench, seam.a.parts[0].copy)},
        )
        return picture
    picture.add(small_whole(bench, seam.a, depth))
    row = depth - min(3.0, depth * 0.2)
    picture.add(turned_edge(bench, seam.a, EDGE, depth, scene.mm(depth), second=False))
    picture.add(turned_edge(bench, seam.a, TURNED, depth, scene.mm(row), second=True))
    return picture


def draw_casing(scene: StepScene) -> Picture | None:
    if not scene.seams:
        return None
    seam, bench = one_side(list(scene.seams)), scene.bench
    depth = seam.allow_a
    picture = Picture()
    picture.add(small_whole(bench, seam.a, depth))
    picture.add(turned_edge(bench, seam.a, EDGE, depth, scene.mm(depth), second=False))
    tuck = (scene.numbers or {}).get("casing", depth - 6.0)
    add_section(
        picture,
        cut.casing(scene.mm(tuck)),
        BESIDE,
        14,
        {"elastic": "elastic", "cloth": short_title(bench, seam.a.parts[0].copy)},
    )
    return picture
