"""Lays of published strip-packing instances. fu and albano are kept beside the tests.

Source: ESICUP collection of irregular strip packing instances, common JSON form (garment pieces, but for fu). Best
known densities after Gardeyn et al., arXiv 2509.13329: shirts 90.92 %, fu 92.39 %, albano 89.82 %.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from helpers.lay_garments import check_lay, polygon

from booklet.cloth.engine import lay
from booklet.cloth.pieces import LayPiece

DATA = Path(__file__).resolve().parents[1] / "data" / "nesting"

# name, mm per unit of the file, evaluations, least density: half a turn only, so far fewer ways than the record.
INSTANCES = (("fu", 20.0, 90, 0.72), ("albano", 0.2, 40, 0.76))


def instance(name: str, scale: float) -> tuple[tuple[LayPiece, ...], float]:
    data = json.loads((DATA / f"{name}.json").read_text())
    pieces = []
    for item in data["items"]:
        ring = [complex(x, y) * scale for x, y in item["shape"]["data"]]
        pieces.append(LayPiece(f"p{item['id']}", tuple(ring[:-1]), "same", item["demand"]))
    return tuple(pieces), data["strip_height"] * scale


@pytest.mark.parametrize(("name", "scale", "evaluations", "least"), INSTANCES)
def test_published_instances_are_laid_without_overlap(
    name: str, scale: float, evaluations: int, least: float
) -> None:
    pieces, width = instance(name, scale)
    plan = lay(pieces, "open", width, evaluations, gap=0.0)
    check_lay(plan, pieces, gap=0.0)
    area = sum(polygon(p.outline).area * p.count for p in pieces)
    assert least < area / (plan.length * width) < 0.93
