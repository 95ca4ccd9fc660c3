"""Lays against spyrrow called directly, and folded lays of the shipped styles against one bottom-left pass.

Published instances name no unit of length, so each is scaled to a strip of STRIP mm, on which the tolerance of our
outlines (half a millimetre) does not count. On cloth a piece lies along its grain: both sides may turn a piece by half
a turn and no other way, though the best published lays of fu and marques have quarter turns too.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from statistics import mean, median
from time import perf_counter
from typing import Any

import shapely

from booklet.cloth.cloths import ClothToLay, cloths_to_lay
from booklet.cloth.decode import LOWEST, Decoder
from booklet.cloth.engine import Lay, lay, lay_on, refusals_of
from booklet.cloth.improve import improved
from booklet.cloth.orient import UNIT, Strip, prepare_strip
from booklet.cloth.pieces import ClothGround, LayPiece
from booklet.job import check_style
from booklet.reading.read import read_style
from booklet.reading.shop import read_shop
from booklet.resources import data_folder

TITLE = "lays of published instances against spyrrow, and folded lays of the styles against one pass"

_ROOT = Path(__file__).resolve().parent.parent.parent
SHARED = _ROOT.parent / "shared" / "data" / "nesting"
SAMPLE = _ROOT / "tests" / "data" / "nesting"
STRIP = 5000.0  # mm
SEEDS = (1, 2, 3)
ENDLESS = 10**9  # evaluations: the clock alone ends the search
OVER = 0.1  # mm that pieces may lie in one another

# Gardeyn et al., arXiv 2509.13329, from the record layouts that go with it: area / (strip height x length), per cent.
BEST = {"shirts": 90.92, "trousers": 92.61, "marques": 92.01, "albano": 89.82, "fu": 92.39}
BEST_SOURCE = "best published: record layouts of Gardeyn et al., arXiv 2509.13329"

# Widths as sold: 90, 110, 115, 140 and 150 cm, 45 and 60 in.
WIDTHS = (900.0, 1100.0, 1150.0, 1143.0, 1400.0, 1500.0, 1524.0)
EVALUATIONS = 1500  # of a folded lay


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--instances", type=Path, metavar="FOLDER", help="of *.json in the common form")
    parser.add_argument(
        "--only", action="append", metavar="NAME", help="this instance or style; may be repeated"
    )
    parser.add_argument("--seconds", type=int, default=10, metavar="S", help="for each lay (10)")
    parser.add_argument("--cores", type=int, default=1, metavar="N", help="for each lay (1)")
    parser.add_argument("--core", action="store_true", help="our own engine alone, on one core")
    parser.add_argument("--styles", action="store_true", help="folded lays of the shipped styles instead")


def run(asked: argparse.Namespace) -> dict[str, Any]:
    """{instances: [{name, pieces, ours, direct, best}], ...}, per cent of the strip's area covered; or, for the styles,

    {styles: [{style, cloth, width, ours, one_pass, saved}], saved, least}: mm, and the share of the length saved.
    """
    if asked.styles:
        return _styles(asked.only)
    folder = asked.instances or (SHARED if SHARED.is_dir() else SAMPLE)
    files = [f for f in sorted(folder.glob("*.json")) if not asked.only or f.stem in asked.only]
    cores = 1 if asked.core else max(1, asked.cores)
    return {
        "what": "own engine" if asked.core else "improver",
        "seconds": asked.seconds,
        "cores": cores,
        "seeds": len(SEEDS),
        "best_source": BEST_SOURCE,
        "instances": [_instance(json.loads(f.read_text()), asked.core, asked.seconds, cores) for f in files],
    }


def lines(told: dict[str, Any]) -> Iterator[str]:
    if "styles" in told:
        yield f"{'style':<14}{'cloth':<12}{'width':>7}{'folded':>9}{'one pass':>10}{'saved':>8}"
        for row in told["styles"]:
            yield (
                f"{row['style']:<14}{row['cloth']:<12}{row['width']:>7.0f}{row['ours']:>9.1f}{row['one_pass']:>10.1f}"
                f"{row['saved']:>8.1%}"
            )
        yield f"saved on average {told['saved']:.1%}, at least {told['least']:.1%}"
        return
    yield (
        f"{told['what']} against spyrrow: {told['seconds']} s on {told['cores']} core(s) for each lay, "
        f"medians of {told['seeds']} seeds, half turns only"
    )
    yield told["best_source"]
    yield f"{'instance':<12}{'pieces':>7}{'ours':>8}{'direct':>8}{'best':>8}{'ours - direct':>15}"
    for row in told["instances"]:
        best = "" if row["best"] is None else f"{row['best']:.2f}"
        yield (
            f"{row['name']:<12}{row['pieces']:>7}{row['ours']:>8.2f}{row['direct']:>8.2f}{best:>8}"
            f"{row['ours'] - row['direct']:>15.2f}"
        )


# ------------------------------------------------------------------ published instances


def pieces_of(data: Mapping[str, Any]) -> tuple[LayPiece, ...]:
    """The pieces of an instance on a strip of STRIP mm; none may be mirrored."""
    scale = STRIP / data["strip_height"]
    return tuple(
        LayPiece(
            f"p{item['id']}",
            tuple(complex(x, y) * scale for x, y in _ring(item)),
            "same",
            item["demand"],
            nap=not _turns(item),
        )
        for item in data["items"]
    )


def _ring(item: Mapping[str, Any]) -> list[tuple[float, float]]:
    points = [(float(x), float(y)) for x, y in item["shape"]["data"]]
    return points[:-1] if points[0] == points[-1] else points


def _turns(item: Mapping[str, Any]) -> bool:
    """May be turned by half a turn."""
    return {0.0, 180.0} <= set(item.get("allowed_orientations") or (0.0, 180.0))


def _instance(data: Mapping[str, Any], core: bool, seconds: int, cores: int) -> dict[str, Any]:
    pieces = pieces_of(data)
    polygons = {p.key: shapely.Polygon([(z.real, z.imag) for z in p.outline]) for p in pieces}
    full = 100 * sum(polygons[p.key].area * p.count for p in pieces) / STRIP
    own: list[float] = []
    direct: list[float] = []
    for seed in SEEDS:
        found = _by_core(pieces, seconds, seed) if core else _by_improver(pieces, seconds, cores, seed)
        _look_over(found, polygons)
        own.append(full / found.length)
        direct.append(100 * _by_spyrrow(data, seconds, cores, seed))
    name = data["name"]
    return {
        "name": name,
        "pieces": sum(p.count for p in pieces),
        "ours": round(median(own), 2),
        "direct": round(median(direct), 2),
        "best": BEST.get(name),
    }


def clock(seconds: float) -> Callable[[], bool]:
    """Says whether so many seconds have passed since it was made."""
    ends = perf_counter() + seconds
    return lambda: perf_counter() >= ends


def _by_core(pieces: Sequence[LayPiece], seconds: float, seed: int) -> Lay:
    """Our engine's own random numbers come from how many seeds it is given."""
    return lay(pieces, "open", STRIP, ENDLESS, gap=0.0, seeds=seed, stop=clock(seconds))


def _by_improver(pieces: Sequence[LayPiece], seconds: int, cores: int, seed: int) -> Lay:
    """The improver for the whole time, as it needs no lay to start from; a quick lay of our own where it finds none."""
    found = improved(pieces, STRIP, seconds=seconds, gap=0.0, seeds=(seed,), workers=cores).lay
    return lay(pieces, "open", STRIP, 0, gap=0.0) if found is None else found


def _by_spyrrow(data: Mapping[str, Any], seconds: int, cores: int, seed: int) -> float:
    """The share that the solver covers, in the file's own measures; the strip a hair wider, as exact fits make it panic."""
    import spyrrow

    items = [
        spyrrow.Item(
            str(item["id"]),
            _ring(item),
            demand=item["demand"],
            allowed_orientations=[0.0, 180.0] if _turns(item) else [0.0],
        )
        for item in data["items"]
    ]
    height = data["strip_height"]
    strip = spyrrow.StripPackingInstance("lay", strip_height=height * (1 + 1e-5), items=items)
    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=seconds, num_workers=cores, seed=seed
    )
    area = sum(shapely.Polygon(_ring(item)).area * item["demand"] for item in data["items"])
    return float(area / (height * strip.solve(config).width))


def _look_over(found: Lay, polygons: Mapping[str, shapely.Polygon]) -> None:
    """Raises ValueError where pieces overlap or leave the strip by more than OVER."""
    laid = []
    for p in found.placements:
        ring = [p.placement.apply(complex(*xy)) for xy in polygons[p.key].exterior.coords]
        laid.append(shapely.Polygon([(z.real, z.imag) for z in ring]).buffer(-OVER / 2, join_style="mitre"))
    strip = shapely.box(0, 0, found.length, STRIP)
    if not all(strip.covers(shape) for shape in laid):
        raise ValueError("a piece leaves the strip")
    for n, other in shapely.STRtree(laid).query(laid).T:
        if n < other and laid[n].intersection(laid[other]).area > 0:
            raise ValueError("two pieces overlap")


# ------------------------------------------------------------------ shipped styles


def _styles(only: Sequence[str] | None) -> dict[str, Any]:
    rows: list[dict[str, Any]] = []
    for folder in sorted(p for p in data_folder("styles").iterdir() if (p / "style.yaml").exists()):
        if only and folder.name not in only:
            continue
        shop = read_shop(folder)
        cloth = main_cloth(folder)
        for width in WIDTHS:
            ground = cloth.ground(width, shop)
            if refusals_of(cloth.pieces, "fold", ground.width, ground.gap):
                continue
            ours = lay_on(cloth.pieces, "fold", ground, EVALUATIONS).length
            passed = one_pass(cloth.pieces, ground)
            sizes = {"width": width, "ours": round(ours, 1), "one_pass": round(passed, 1)}
            rows.append({"style": folder.name, "cloth": cloth.key, **sizes, "saved": 1 - ours / passed})
    saved = [row["saved"] for row in rows]
    return {"styles": rows, "saved": mean(saved), "least": min(saved)}


def main_cloth(folder: Path) -> ClothToLay:
    """The cloth of a style, in its base size, with most plies."""
    style = read_style(folder)
    prepared = check_style(style).prepared
    cloths = cloths_to_lay(style.sources["style"], prepared.copies, prepared.cuts)
    return next(c for c in cloths if c.most)


def one_pass(pieces: Sequence[LayPiece], ground: ClothGround) -> float:
    """The length, mm, of a folded lay by one bottom-left pass, the largest piece first and each as drawn."""
    task, _ = prepare_strip(tuple(pieces), Strip("fold", ground))
    order = sorted(range(len(task.items)), key=lambda n: -task.shapes[task.items[n].shape].area)
    laid = Decoder(task).lay([(n, task.items[n].ways[0], LOWEST) for n in order], ENDLESS)
    assert laid is not None
    return laid[-1].right / UNIT
