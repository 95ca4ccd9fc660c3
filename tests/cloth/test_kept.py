"""Kept lays: what is written comes back as the same lay, fits these very outlines alone, and is judged before use."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from helpers.drafts import Drafted, middling
from helpers.lay_garments import blouse, check_lay

from booklet.cloth.cloths import KINDS, ClothToLay, cloths_to_lay
from booklet.cloth.engine import lay, lay_on, relaid
from booklet.cloth.kept import KeptLay, KeptLays, genes_of, hash_of, lay_of, places_of, read_kept, text_of
from booklet.cloth.lay import Lay, Recipe
from booklet.cloth.pieces import ClothGround, LayKind, LayPiece
from booklet.cloth.stage import Laying, cloth_needs
from booklet.model import ClothNeed
from booklet.problems import Collector, Where
from booklet.reading.shop import Shop, read_shop
from booklet.reading.yaml_source import parse_yaml

GROUND = ClothGround(1110.0)
EVALUATIONS = 60


@cache
def quick(kind: LayKind) -> Lay:
    """The first lay of the blouse's pieces, made once."""
    return lay(blouse(), kind, GROUND.width)


def kept_of(
    found: Lay, ground: ClothGround = GROUND, pieces: tuple[LayPiece, ...] = (), **more: object
) -> KeptLay:
    pieces = pieces or blouse()
    kept = KeptLay(
        cloth="main",
        width=ground.width,
        kind=found.kind,
        body="M",
        options=(("neck", 'wide: "slit"'),),
        laid=hash_of(pieces, ground, found.kind),
        how="own search, 1 s",
        length=found.length,
        bound=found.bound,
        proved=found.proved,
        recipe=found.recipe or Recipe(found.kind),
        sections=found.sections,
        places=places_of(found, pieces),
    )
    return replace(kept, **more)  # type: ignore[arg-type]


def read(text: str) -> tuple[KeptLays, Collector]:
    collector = Collector()
    return read_kept(parse_yaml(text, "lays.yaml"), collector), collector


# ---------------------------------------------------------------- written and read


@pytest.mark.parametrize("kind", ["fold", "open", "two_folds", "part_fold", "side_fold"])
def test_a_kept_lay_comes_back(kind: LayKind) -> None:
    found = quick(kind)
    text = text_of(KeptLays((kept_of(found),)))
    kept, collector = read(text)
    assert not collector.problems
    again = lay_of(kept.lays[0], blouse(), GROUND)
    assert again is not None
    assert again.length == pytest.approx(found.length, abs=1e-3)
    assert again.sections == tuple(
        replace(s, end=round(s.end, 3), start=round(s.start, 3)) for s in found.sections
    )
    assert [(p.key, p.copies, p.section, p.on_fold, p.spare, p.far) for p in again.placements] == [
        (p.key, p.copies, p.section, p.on_fold, p.spare, p.far) for p in found.placements
    ]
    for one, other in zip(again.placements, found.placements, strict=True):
        assert one.mirrored == other.mirrored
        assert abs(one.placement.turn - other.placement.turn) < 1e-9
        assert abs(one.placement.shift - other.placement.shift) < 2e-3
    if kind in ("fold", "open"):
        check_lay(again, blouse(), GROUND.gap)
    assert text_of(kept) == text


def test_a_fold_piece_comes_back_exactly_on_the_fold() -> None:
    found = quick("fold")
    kept, _ = read(text_of(KeptLays((kept_of(found),))))
    again = lay_of(kept.lays[0], blouse(), GROUND)
    assert again is not None
    edges = {p.key: p.fold_edge for p in blouse()}
    on = [p for p in again.placements if p.on_fold]
    assert on
    for put in on:
        for end in edges[put.key] or ():
            assert abs(put.placement.apply(end).imag) < 1e-9


@pytest.mark.parametrize("kind", ["fold", "open"])
def test_a_kept_order_is_laid_again_in_one_evaluation(kind: LayKind) -> None:
    found = quick(kind)
    kept, _ = read(text_of(KeptLays((kept_of(found),))))
    genes = genes_of(kept.lays[0])
    assert genes == found.genes
    again = relaid(blouse(), GROUND, kept.lays[0].recipe, genes or ())
    assert again is not None and again.evaluations == 1
    assert again.length == pytest.approx(found.length, abs=0.5)


def test_the_hash_is_of_all_that_decides() -> None:
    pieces = blouse()
    base = hash_of(pieces, GROUND, "fold")
    moved = replace(pieces[0], outline=(pieces[0].outline[0] + 0.02, *pieces[0].outline[1:]))
    hair = replace(pieces[0], outline=(pieces[0].outline[0] + 1e-4, *pieces[0].outline[1:]))
    others = {
        hash_of(pieces, GROUND, "open"),
        hash_of(pieces, replace(GROUND, gap=4.0), "fold"),
        hash_of(pieces, replace(GROUND, width=1111.0), "fold"),
        hash_of(pieces, replace(GROUND, one_way=True), "fold"),
        hash_of((moved, *pieces[1:]), GROUND, "fold"),
        hash_of((replace(pieces[0], nap=True), *pieces[1:]), GROUND, "fold"),
        hash_of((replace(pieces[0], count=4), *pieces[1:]), GROUND, "fold"),
        hash_of(pieces[1:], GROUND, "fold"),
    }
    assert len(others) == 8 and base not in others
    assert hash_of((hair, *pieces[1:]), GROUND, "fold") == base


def test_a_longer_lay_never_takes_a_shorter_ones_place() -> None:
    found = quick("fold")
    short, long = kept_of(found), kept_of(found, length=found.length + 5, how="longer")
    assert KeptLays((short,)).with_lays([long]).lays == (short,)
    assert KeptLays((long,)).with_lays([short]).lays == (short,)
    other = replace(long, laid="0" * 16)  # other outlines: the old lay is of no use any more
    assert KeptLays((short,)).with_lays([other]).lays == (other,)
    assert (
        len(KeptLays((short,)).with_lays([replace(short, body="N"), replace(short, kind="open")]).lays) == 3
    )


@pytest.mark.parametrize(
    "spoil",
    [
        ("as drawn", "upside down"),
        ("plies 0", "plies zero"),
        ("at ", "at x "),
        ("length_mm: ", "length_mm: long "),
        ("kind: fold", "kind: rolled"),
        ("layers", "sheets"),
        ("places:", "pieces:"),
    ],
)
def test_a_lay_that_cannot_be_read_is_told_and_left_out(spoil: tuple[str, str]) -> None:
    found = quick("fold")
    text = text_of(KeptLays((kept_of(found), kept_of(found, body="N"))))
    kept, collector = read(text.replace(*spoil, 1))
    assert [k.body for k in kept.lays] == ["N"]
    (problem,) = collector.problems
    assert problem.severity == "warning" and "made fresh" in problem.what
    assert problem.where is not None and problem.where.file == "lays.yaml"


@pytest.mark.parametrize("text", ["[]", "lays: 3", "format: 99\nlays: []", "lays: []"])
def test_another_file_is_told_and_not_used(text: str) -> None:
    kept, collector = read(text)
    assert kept.lays == () and [p.severity for p in collector.problems] == ["warning"]


# ---------------------------------------------------------------- used by the booklet


@cache
def made() -> tuple[Drafted, ClothToLay, Shop]:
    drafted = middling("top")
    cloth = next(c for c in cloths_to_lay(drafted.style, drafted.copies, drafted.cut) if c.most)
    return drafted, cloth, read_shop(None)


@cache
def keep() -> KeptLays:
    """The quick lays of the chosen width."""
    _, cloth, shop = made()
    width = cloth.widths[0]
    ground = cloth.ground(width, shop)
    out = []
    for kind in KINDS:
        found = lay_on(cloth.pieces, kind, ground)
        out.append(kept_of(found, ground, cloth.pieces, width=width))
    return KeptLays(tuple(out))


def need_with(kept: KeptLays, evaluations: int = 0, width: str | None = None) -> tuple[ClothNeed, Collector]:
    drafted, cloth, shop = made()
    collector = Collector()
    needs = cloth_needs(
        drafted.style, drafted.copies, drafted.cut, shop, "cm", collector, evaluations, width, kept
    )
    return next(n for n in needs if n.key == cloth.key), collector


@cache
def need_without() -> ClothNeed:
    """Laid anew, nothing kept."""
    return need_with(KeptLays())[0]


def test_a_kept_lay_is_used_as_it_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    _, cloth, shop = made()
    keep()
    tried: list[object] = []
    monkeypatch.setattr("booklet.cloth.search.Search.quick", lambda search: tried.append(search))
    laying = Laying(cloth, made()[0].cut, shop, "cm", keep(), Collector())
    on = laying._on_width(cloth.widths[0], 1500, (), True)
    assert not tried and on.held == KINDS
    assert [lay.length for lay in on.lays] == [k.length for k in keep().lays]


def test_a_kept_lay_is_told_of_in_the_plan() -> None:
    need, collector = need_with(keep())
    plans = [p for p in need.lays if p.width_mm == need.lays[0].width_mm]
    assert [p.kept for p in plans] == [True] * len(KINDS)
    assert not [p for p in collector.problems if p.code == "kept-lay"]


def test_a_kept_lay_costs_little() -> None:
    """Reading aside: hash, placing and judging of one lay, the best of five."""
    drafted, cloth, shop = made()
    laying = Laying(cloth, drafted.cut, shop, "cm", keep(), Collector())
    ground = cloth.ground(cloth.widths[0], shop)
    times = []
    for _ in range(5):
        begun = time.process_time()
        assert laying._held(cloth.widths[0], ground, "open") is not None
        times.append(time.process_time() - begun)
    assert min(times) < 0.05  # on this project's machines it is under 0.01; others may be slower


def test_a_kept_lay_that_cannot_be_cut_is_refused_and_made_fresh() -> None:
    kept = keep()
    lays = []
    for n, k in enumerate(kept.lays):
        first, *rest = k.places
        where = Where("lays.yaml", n + 1)
        lays.append(replace(k, places=(replace(first, at=first.at - 4000), *rest), where=where))
    need, collector = need_with(KeptLays(tuple(lays)))
    told = [p for p in collector.problems if p.code == "kept-lay"]
    assert len(told) == len(lays) and all(p.severity == "warning" for p in told)
    assert all("made fresh" in p.what for p in told)
    assert need.lays and not any(p.kept for p in need.lays)
    assert not collector.errors


def test_a_kept_lay_of_other_outlines_gives_its_order() -> None:
    other = tuple(replace(k, laid="0" * 16) for k in keep().lays)
    fresh = need_without()
    again, collector = need_with(KeptLays(other), 1500)
    assert not collector.problems
    for one, plan in zip(fresh.lays, again.lays, strict=True):
        assert not plan.kept
        assert plan.length_mm <= one.length_mm + 1e-6


def test_orders_kept_of_other_widths_do_not_keep_a_width_from_being_searched() -> None:
    kept = KeptLays(tuple(replace(k, laid="0" * 16) for k in keep().lays))
    quick = need_with(kept, 0, "90 cm")[0].lays[0]
    fresh = need_with(KeptLays(), 500, "90 cm")[0].lays[0]
    both = need_with(kept, 500, "90 cm")[0].lays[0]
    assert fresh.length_mm < quick.length_mm - 10
    assert both.length_mm <= fresh.length_mm + 1e-6


def test_a_wider_cloth_never_takes_more() -> None:
    drafted, cloth, shop = made()
    wide = replace(cloth, widths=(1150.0, 1160.0, 1400.0, 1500.0))
    on = Laying(wide, drafted.cut, shop, "cm", KeptLays(), Collector()).on_widths(0)
    for kind in KINDS:
        lengths = [lay.length for o in on for lay in o.lays if lay.kind == kind]
        assert lengths == sorted(lengths, reverse=True)


def test_the_width_under_which_nothing_fits_is_true() -> None:
    drafted, cloth, shop = made()
    need = need_without()
    assert need.least_mm is not None
    for off, fits in ((0.5, True), (-0.5, False)):
        at = replace(cloth, widths=(need.least_mm + off,))
        on = Laying(at, drafted.cut, shop, "cm", KeptLays(), Collector()).on_widths(0)
        assert bool(on[0].lays) == fits
        assert fits or on[0].told


def test_savings_are_differences_of_what_is_bought() -> None:
    need = need_without()
    best = need.lays[0]
    once = next(p for p in need.lays if p.kind == "fold" and p.width_mm == best.width_mm)
    (other,) = [s for s in need.savings if s.way == "kind"]
    assert best.kind != "fold" and other.less_mm == pytest.approx(once.buy_mm - best.buy_mm)
    narrow = min(p.width_mm for p in need.lays)
    drafted, cloth, shop = made()
    at = replace(cloth, widths=(narrow, best.width_mm))
    wider = [
        s
        for s in Laying(at, drafted.cut, shop, "cm", KeptLays(), Collector()).need(0).savings
        if s.way == "wider"
    ]
    assert [s.width_mm for s in wider] == [best.width_mm] and wider[0].less_mm > 0


def test_the_same_input_gives_the_same_placements_in_every_process(root: Path) -> None:
    code = (
        "from helpers.drafts import middling\n"
        "from booklet.cloth.stage import cloth_needs\n"
        "from booklet.reading.shop import read_shop\n"
        "m = middling('top')\n"
        f"needs = cloth_needs(m.style, m.copies, m.cut, read_shop(None), 'cm', m.collector, {EVALUATIONS})\n"
        "print([(p.piece, p.copies, p.placing) for n in needs for plan in n.lays for p in plan.placings])\n"
    )
    path = os.pathsep.join((str(root), str(root / "tests")))
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": path},
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed in ("0", "1", "4242")
    ]
    told = {run.communicate()[0] for run in runs}
    assert [run.returncode for run in runs] == [0, 0, 0]
    assert len(told) == 1 and len(told.pop()) > 500
