"""The facts of a job: all that is promised is there, agrees with itself, and is the same in every process."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from helpers.changed import changed
from helpers.steps import demo_body
from shapely.geometry import Polygon

from booklet.facts import Pages, job_facts, overview
from booklet.job import make_job
from booklet.model import Job
from booklet.reading.read import read_style

Facts = dict[str, Any]
CASES = (
    ("styles/top", {}),
    ("styles/top", {"neck": "slit", "sleeve_end": "cuff"}),
    ("styles/skirt", {}),
    ("templates/new", {}),
)
PAGES = Pages(12, 8, ("A1", "A2", "B1", "B2", "B3"))


@pytest.fixture(scope="module", params=CASES, ids=lambda c: "-".join((Path(c[0]).name, *c[1].values())))
def made(request: pytest.FixtureRequest, root: Path) -> tuple[Job, Facts]:
    folder, options = request.param
    job = make_job(read_style(root / folder), options=options, evaluations=60)
    return job, job_facts(job, PAGES)


def test_everything_promised_is_there(made: tuple[Job, Facts]) -> None:
    told = made[1]
    assert told["format"] == 1
    assert {"format", "style", "body", "sizes", "steps", "print", "problems"} <= set(told)
    assert told["print"]["pages"] == 12 and told["print"]["tiles"] == 5 and told["print"]["paper"] == "a4"
    size = told["sizes"][0]
    assert {"size", "pieces", "seams", "finished", "cloths", "notions"} <= set(size)
    wanted = {
        "pieces": "number name title extent area_mm2 grain fold marks edges outline_mm cut_line_mm copies",
        "seams": "id step sides lengths_mm difference_mm sections treatment",
        "finished": "name body_mm garment_mm ease_mm",
        "cloths": "cloth width_mm lay length_mm buy used recommended placements",
        "notions": "name amount unit working",
    }
    for part, keys in wanted.items():
        assert size[part], part
        assert all(set(keys.split()) <= set(row) for row in size[part]), part
    for piece in size["pieces"]:
        assert all({"kind", "edge", "at_mm"} <= set(m) for m in piece["marks"])
        assert all({"name", "length_mm", "sewn_mm", "allowance_mm"} <= set(e) for e in piece["edges"])
        assert all({"cloth", "side", "face"} <= set(c) for c in piece["copies"])
    assert [s["number"] for s in told["steps"]] == list(range(1, len(told["steps"]) + 1))
    assert all({"number", "operation", "text"} <= set(s) for s in told["steps"])


def test_it_is_plain_data(made: tuple[Job, Facts]) -> None:
    told = made[1]
    assert json.loads(json.dumps(told, allow_nan=False)) == told


def test_outlines_areas_and_edges_agree(made: tuple[Job, Facts]) -> None:
    """shapely judges the outlines; marks lie on their edges."""
    for piece in made[1]["sizes"][0]["pieces"]:
        net, cut = Polygon(piece["outline_mm"]), Polygon(piece["cut_line_mm"])
        assert net.is_valid and cut.is_valid
        assert net.area == pytest.approx(piece["area_mm2"], rel=1e-4)
        assert cut.area == pytest.approx(piece["cut_area_mm2"], rel=1e-4)
        assert cut.buffer(0.05).contains(net)
        assert sum(e["length_mm"] for e in piece["edges"]) == pytest.approx(net.length, abs=1.0)
        lengths = {e["name"]: e["length_mm"] for e in piece["edges"]}
        assert all(0 <= m["at_mm"] <= lengths[m["edge"]] + 0.01 for m in piece["marks"])
        assert (piece["fold"] is not None) == (piece["extent"] == "half")
        assert all(e["sewn_mm"] <= e["length_mm"] for e in piece["edges"])


def test_chart_copies_and_lays_agree(made: tuple[Job, Facts]) -> None:
    """Count, face, side and fold: each said by the chart's lines, by the copies and by the recommended lay."""
    size = made[1]["sizes"][0]
    copies = {c["id"]: (piece, c) for piece in size["pieces"] for c in piece["copies"]}
    for piece in size["pieces"]:
        for line in piece["cut"]:
            mine = [c for c in piece["copies"] if c["cloth"] == line["cloth"]]
            assert len(mine) == line["count"]
            assert all(c["face"] == line["face"] and c["fused"] == line["fused"] for c in mine)
            if line["as"] == "single":
                assert [c["side"] for c in mine] == [line["side"]] * line["count"]
            elif line["as"] == "pair":
                sides = [c["side"] for c in mine]
                assert sides.count("left") == sides.count("right") == line["count"] / 2
            assert all(c["on_fold"] == line["on_fold"] for c in mine)
    for lay in size["cloths"]:
        laid = [c for p in lay["placements"] for c in p["copies"]]
        assert sorted(laid) == sorted(c for c, (_, row) in copies.items() if row["cloth"] == lay["cloth"])
        for put in lay["placements"]:
            piece, copy = copies[put["copies"][0]]
            assert (piece["name"], piece["number"]) == (put["piece"], put["number"])
            assert not (put["on_fold"] and lay["lay"] == "open")
            if copy["face"] == "up":
                # In a double layer the ply that isn't needed may be the one that lies right.
                assert not put["mirrored"] or copy["mirrored"] or put["spare"]
            xs = [x for x, _ in put["outline_mm"]]
            assert min(xs) > -0.01 and max(xs) < lay["length_mm"] + 0.01
    for cloth in {lay["cloth"] for lay in size["cloths"]}:
        widths: dict[float, list[bool]] = {}
        for lay in size["cloths"]:
            if lay["cloth"] == cloth:
                widths.setdefault(lay["width_mm"], []).append(lay["recommended"])
        assert all(row.count(True) == 1 for row in widths.values())


def test_seams_tell_their_differences(made: tuple[Job, Facts]) -> None:
    told = made[1]
    steps = {s["id"]: s for s in told["steps"]}
    for seam in told["sizes"][0]["seams"]:
        assert seam["id"] in steps[seam["step"]]["seams"]
        assert len(seam["sides"]) == len(seam["lengths_mm"]) == len(seam["allowances_mm"])
        if len(seam["sides"]) == 2:
            a, b = seam["lengths_mm"]
            assert seam["difference_mm"] == pytest.approx(a - b, abs=0.011)
        if seam["treatment"] == "equal":
            assert abs(seam["difference_mm"]) <= 3.0
        for n in range(len(seam["sides"])):
            whole = sum(s["lengths_mm"][n] for s in seam["sections"])
            assert not seam["sections"] or whole == pytest.approx(seam["lengths_mm"][n], abs=0.05)


def test_finished_measures_hold_their_ease(made: tuple[Job, Facts]) -> None:
    for row in made[1]["sizes"][0]["finished"]:
        if row["body_mm"] is not None:
            assert row["ease_mm"] == pytest.approx(row["garment_mm"] - row["body_mm"], abs=0.011)
            assert row["ease_mm"] >= (row["least_mm"] or 0) - 0.05


def test_the_overview_names_every_piece(made: tuple[Job, Facts]) -> None:
    lines = "\n".join(overview(made[1]))
    assert all(f"piece {c.piece.number} {c.piece.title}" in lines for c in made[0].size.cut_pieces)


def test_pages_are_counted_and_processes_agree(root: Path) -> None:
    """Two processes with different hash seeds say the same, the pages as they were printed among it."""
    told = []
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONPATH": str(root), "PYTHONHASHSEED": seed}
        command = [sys.executable, "-m", "booklet", "facts", str(root / "templates" / "new"), "--json"]
        told.append(subprocess.run(command, env=environment, capture_output=True, check=True).stdout)
    assert told[0] == told[1]
    pages = json.loads(told[0])["print"]
    assert pages["tiles"] == len(pages["tile_names"]) == pages["pages"] - pages["first_tile_page"] + 1
    assert pages["first_tile_page"] % 2 == 0  # the page with the squares begins a leaf, the tiles follow it


def test_facts_hold_the_sizes_asked_for(root: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from booklet.cli import main

    assert main(["facts", str(root / "styles" / "trousers"), "--sizes", "98,110,122", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [s["size"] for s in told["sizes"]] == ["98", "110", "122"] and told["base"] == "110"
    for size, mm in zip(told["sizes"], (588, 676, 765), strict=True):
        assert f"{mm}\u00a0mm" in size["steps"][0]["check"]


def test_a_lay_of_parts_and_one_for_a_nap_are_told_whole(tmp_path: Path) -> None:
    """The wrap skirt on narrow cloth, its long tie cut in two where that saves."""
    title = "    title: Long tie (inner)\n"
    told = [(title, title + "    may split: {at: middle, allow: 1 cm}\n")]
    style = changed(tmp_path, "skirt", {"draft": told})
    job = make_job(style, demo_body(), width="115 cm", evaluations=0)
    size = job_facts(job, PAGES)["sizes"][0]
    row = next(w for w in size["widths"] if w["cloth"] == "main")
    (saving,) = [s for s in row["savings"] if s["way"] == "split"]
    assert saving["pieces"] == ["long_tie"]
    assert all(s["pieces"] == [] for s in row["savings"] if s["way"] != "split")
    lay = row["split_lay"]
    assert lay["buy_mm"] == saving["buy_mm"] and lay["lay"] == saving["lay"]
    parts = [p["part"] for p in lay["placements"] if p["piece"] == "long_tie"]
    assert sorted(parts) == [1, 2]
    assert not any(p["part"] for c in size["cloths"] for p in c["placements"])
    assert lay["cloth"] == "main" and set(lay) == set(size["cloths"][0])


def test_a_plan_for_a_nap_is_told_where_the_recommended_one_turns_pieces(made: tuple[Job, Facts]) -> None:
    for row in made[1]["sizes"][0]["widths"]:
        need = next(n for n in made[0].size.cloths if n.key == row["cloth"])
        lay = row["one_way_lay"]
        assert (lay is None) == (need.one_way_lay is None)
        if lay is None:
            assert row["one_way_mm"] in (None, round(need.lays[0].buy_mm, 2))
            continue
        assert row["one_way_mm"] == lay["buy_mm"]
        ways = [p["grain"][1][0] - p["grain"][0][0] for p in lay["placements"]]
        assert all(way > 0 for way in ways) or all(way < 0 for way in ways)


def test_a_lay_says_why_it_is_open_only_where_the_cloth_cannot_be_folded(root: Path) -> None:
    job = make_job(read_style(root / "styles" / "skirt"))
    cloths = job_facts(job, PAGES)["sizes"][0]["cloths"]
    main = [c for c in cloths if c["cloth"] == "main"]
    assert len({c["width_mm"] for c in main}) > 1 and "fold" in {c["lay"] for c in main}
    assert [c["why"] for c in main] == [""] * len(main)
    fused = [c for c in cloths if c["cloth"] == "interfacing"]
    assert fused and all("4" in c["why"] and "5" in c["why"] for c in fused)
