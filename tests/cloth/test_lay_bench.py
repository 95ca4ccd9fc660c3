"""The bench of lays: what it reads, what it prints, and that it looks over what it measures."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import Any

import pytest
import shapely

from booklet.cloth.engine import lay
from booklet.cloth.pieces import ClothGround, LayPiece
from booklet.paths import Placement
from tests.bench import lays

BAR: tuple[complex, ...] = (0j, 300 + 0j, 300 + 100j, 100j)


def asked(**other: Any) -> argparse.Namespace:
    plain = {"instances": lays.SAMPLE, "only": None, "seconds": 1, "cores": 1, "core": True, "styles": False}
    return argparse.Namespace(**(plain | other))


def test_own_engine_is_measured_beside_the_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lays, "SEEDS", (1,))
    told = lays.run(asked(only=["fu"]))
    (row,) = told["instances"]
    assert (row["name"], row["pieces"], row["best"]) == ("fu", 12, 92.39)
    assert 70 < row["ours"] < 93 and 70 < row["direct"] < 93
    assert any("fu" in line and "92.39" in line for line in lays.lines(told))


def test_folded_lay_of_a_style_is_never_longer_than_one_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lays, "WIDTHS", (900.0, 1400.0))
    monkeypatch.setattr(lays, "EVALUATIONS", 60)
    told = lays.run(asked(styles=True, only=["aline"]))
    assert [row["width"] for row in told["styles"]] == [900.0, 1400.0]
    assert told["least"] >= 0
    assert told["saved"] >= 0.04


def test_one_pass_by_arithmetic() -> None:
    pieces = [LayPiece("long", BAR, "pair", 2), LayPiece("short", (0j, 200 + 0j, 200 + 90j, 90j), "pair", 2)]
    # Half of 300 mm less the gap at the fold holds one bar across; 1 mm is what the outlines grow by.
    assert lays.one_pass(pieces, ClothGround(300.0)) == pytest.approx(503, abs=1.1)
    assert lays.one_pass(pieces, ClothGround(420.0)) == pytest.approx(300, abs=0.01)


def test_overlaps_and_overhangs_are_not_measured() -> None:
    pieces = (LayPiece("a", BAR, "same", 2),)
    polygons = {"a": shapely.Polygon([(z.real, z.imag) for z in BAR])}
    plan = lay(pieces, "open", lays.STRIP, 0, gap=0.0)
    lays._look_over(plan, polygons)
    first, second = plan.placements
    with pytest.raises(ValueError, match="overlap"):
        lays._look_over(
            replace(plan, placements=(first, replace(second, placement=first.placement))), polygons
        )
    away = replace(second, placement=Placement.move(complex(0, -1)))
    with pytest.raises(ValueError, match="leaves"):
        lays._look_over(replace(plan, placements=(first, away)), polygons)
