"""`booklet lay`: what it prints and keeps, what `make` makes of it, and what becomes of a search that is stopped."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import time
from pathlib import Path

import pytest
import yaml

from booklet.cli import main
from booklet.inputs import read_inputs
from booklet.job import make_job
from booklet.lay_style import FILE, lay_remnant, lay_style, parse_remnant
from booklet.problems import Fault

Capture = pytest.CaptureFixture[str]


def quiet(share: float, doing: str) -> None:
    """No bar."""


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BOOKLET_NO_CACHE", "1")


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("new") / "skirt"
    assert main(["new", str(folder)]) == 0
    return folder


@pytest.fixture
def style(fresh: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(fresh, tmp_path / "skirt"))


@pytest.fixture(scope="module")
def laid(fresh: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, object]]:
    """The style with its kept lays, and what `lay` told of them."""
    folder = Path(shutil.copytree(fresh, tmp_path_factory.mktemp("laid") / "skirt"))
    outcome = lay_style(read_inputs(folder), 1.0, quiet)
    return folder, {"new": outcome.new, "rows": outcome.rows}


# ---------------------------------------------------------------- what it keeps


def test_the_lays_are_kept_beside_the_style(style: Path, capsys: Capture) -> None:
    assert main(["lay", str(style), "--seconds", "1"]) == 0
    told = capsys.readouterr().out
    assert "kept in" in told and (style / FILE).exists()
    head = told.splitlines()[0]
    assert all(word in head for word in ("cloth", "width", "lay", "takes", "buy", "used"))
    assert "no shorter lay exists" in told or "above the least that is proved" in told
    assert "does not fit under" in told
    assert [p.name for p in style.iterdir() if p.name.startswith(".booklet")] == []


def test_a_booklet_takes_the_kept_lays(laid: tuple[Path, dict[str, object]]) -> None:
    given = read_inputs(laid[0])
    job = make_job(given.style, given.body, shop=given.shop)
    plans = [plan for need in job.size.cloths for plan in need.lays]
    assert plans and all(plan.kept for plan in plans)
    assert not [p for p in job.problems if p.code == "kept-lay"]


def test_a_second_run_never_loses(laid: tuple[Path, dict[str, object]], capsys: Capture) -> None:
    folder = laid[0]
    before = (folder / FILE).read_bytes()
    assert main(["lay", str(folder), "--seconds", "1", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert all(row["length_mm"] <= row["before_mm"] for row in told["lays"])
    assert (told["new"] > 0) == ((folder / FILE).read_bytes() != before)


def test_the_file_is_part_of_what_a_booklet_is_made_from(style: Path) -> None:
    given = read_inputs(style)
    assert given.files["lays"] == style / FILE


def test_into_another_file(style: Path, tmp_path: Path, capsys: Capture) -> None:
    target = tmp_path / "kept.yaml"
    assert main(["lay", str(style), "--seconds", "1", "--into", str(target)]) == 0
    assert target.exists() and not (style / FILE).exists()
    shutil.copy(target, style / FILE)
    given = read_inputs(style)
    assert all(p.kept for need in make_job(given.style, given.body).size.cloths for p in need.lays)


def test_a_folder_that_is_not_there_is_told_before_the_search(
    style: Path, tmp_path: Path, capsys: Capture
) -> None:
    begun = time.monotonic()
    assert main(["lay", str(style), "--seconds", "60", "--into", str(tmp_path / "no" / "kept.yaml")]) == 1
    assert "--into" in capsys.readouterr().err
    assert time.monotonic() - begun < 30


def test_a_spoilt_kept_lay_warns_and_the_booklet_is_made(
    laid: tuple[Path, dict[str, object]], tmp_path: Path
) -> None:
    folder = Path(shutil.copytree(laid[0], tmp_path / "spoilt"))
    lines = (folder / FILE).read_text().splitlines(keepends=True)
    spoilt = [line.replace(" at 0.000 ", " at 9.000 ") for line in lines]
    assert spoilt != lines
    (folder / FILE).write_text("".join(spoilt))
    given = read_inputs(folder)
    job = make_job(given.style, given.body, shop=given.shop)
    told = [p for p in job.problems if p.code == "kept-lay"]
    assert told and all(p.severity == "warning" and FILE in str(p.where) for p in told)
    assert all(need.lays for need in job.size.cloths)


# ---------------------------------------------------------------- stopping


def test_ctrl_c_keeps_what_was_found(root: Path, tmp_path: Path) -> None:
    struck: list[str] = []

    def strike(share: float, doing: str) -> None:
        if not struck:
            struck.append(doing)
            os.kill(os.getpid(), signal.SIGINT)

    before = signal.getsignal(signal.SIGINT)
    begun = time.monotonic()
    outcome = lay_style(read_inputs(root / "styles" / "top"), 300.0, strike, tmp_path / FILE)
    assert struck and outcome.stopped
    assert time.monotonic() - begun < 120
    assert outcome.rows and (tmp_path / FILE).exists()
    assert signal.getsignal(signal.SIGINT) is before


# ---------------------------------------------------------------- a remnant


def test_a_remnant_is_length_by_width() -> None:
    assert parse_remnant("140x60", "cm") == (1400.0, 600.0)
    assert parse_remnant(" 1.2 m × 60 cm ", "in") == (1200.0, 600.0)
    for wrong in ("140", "140x60x2", "longxwide"):
        with pytest.raises(Fault):
            parse_remnant(wrong, "cm")
    with pytest.raises(Fault, match="LENGTHxWIDTH"):
        parse_remnant("140x", "cm")


@pytest.mark.parametrize(
    ("remnant", "fits", "words"),
    [
        ("300x150", True, "fits on this remnant"),
        ("20x150", False, "no lay is that short"),
        ("300x20", False, "too narrow"),
    ],
)
def test_whether_a_remnant_holds_the_pieces(
    style: Path, remnant: str, fits: bool, words: str, capsys: Capture
) -> None:
    assert main(["lay", str(style), "--remnant", remnant, "--seconds", "1"]) == 0
    assert words in capsys.readouterr().out
    assert not (style / FILE).exists()
    assert main(["lay", str(style), "--remnant", remnant, "--seconds", "1", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["fits"] is fits


def test_a_remnant_that_just_fits(style: Path) -> None:
    given = read_inputs(style)
    need = lay_remnant(given, "300x140", 1.0, quiet).lay
    assert need is not None
    room = lay_remnant(given, "300x140", 1.0, quiet)
    less = (room.length_mm - room.room_mm) + need.length
    assert lay_remnant(given, f"{(less + 5) / 10:.2f}x140", 1.0, quiet).fits
    assert not lay_remnant(given, f"{(need.bound * 0.9) / 10:.2f}x140", 1.0, quiet).fits


def test_a_remnant_that_holds_a_kept_lay_is_told_to_fit(
    laid: tuple[Path, dict[str, object]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is searched then; what is kept for narrower cloth lies on a wider remnant too."""
    given = read_inputs(laid[0])
    job = make_job(given.style, given.body, shop=given.shop)
    kept = min((p for p in job.size.cloths[0].lays if p.kept), key=lambda p: p.length_mm)
    found = lay_remnant(given, f"300x{kept.usable_mm / 10:.1f}", 1.0, quiet)
    taken_up = found.length_mm - found.room_mm
    monkeypatch.setattr("booklet.lay_style.fits", None)
    for wider in (0.0, 20.0):
        remnant = f"{(kept.length_mm + taken_up + 5) / 10:.2f}x{(kept.usable_mm + wider) / 10:.1f}"
        assert lay_remnant(given, remnant, 1.0, quiet).fits


def test_a_remnant_of_stripes_is_a_repeat_shorter_and_laid_by_it(style: Path) -> None:
    plain = lay_remnant(read_inputs(style), "300x140", 1.0, quiet)
    file = style / "style.yaml"
    text, changed = re.subn(
        r"(?m)^( +)(widths: .*)$", r"\1\2\n\1repeat: {along: 20 cm}", file.read_text(), count=1
    )
    assert changed
    file.write_text(text)
    striped = lay_remnant(read_inputs(style), "300x140", 1.0, quiet)
    assert striped.room_mm == pytest.approx(plain.room_mm - 200)
    assert plain.lay is not None and striped.lay is not None
    assert striped.lay.length >= plain.lay.length - 1


def test_kinds_that_were_never_kept_are_tried_beside_those_that_were(
    laid: tuple[Path, dict[str, object]], tmp_path: Path
) -> None:
    folder = Path(shutil.copytree(laid[0], tmp_path / "skirt"))
    kept = yaml.safe_load((folder / FILE).read_text())
    some = [lay for lay in kept["lays"] if lay["kind"] == "fold"]
    assert 0 < len(some) < len(kept["lays"])
    (folder / FILE).write_text(yaml.safe_dump(kept | {"lays": some}))
    lay_style(read_inputs(folder), 1.0, quiet)
    again = yaml.safe_load((folder / FILE).read_text())["lays"]
    kinds = {lay["kind"] for lay in kept["lays"]}
    assert {lay["kind"] for lay in again} == kinds


# ---------------------------------------------------------------- what is kept and does not hold


def _squeezed(folder: Path) -> None:
    """All kept lays said to be shorter than they are, each with its first piece moved off the cloth."""
    lines = (folder / FILE).read_text().splitlines(keepends=True)
    out = [re.sub(r"(length_mm: )[\d.]+", r"\g<1>1.000", line) for line in lines]
    (folder / FILE).write_text("".join(out))


def test_a_kept_lay_that_cannot_be_cut_is_made_anew_and_its_place_taken(
    laid: tuple[Path, dict[str, object]], tmp_path: Path, capsys: Capture
) -> None:
    folder = Path(shutil.copytree(laid[0], tmp_path / "skirt"))
    _squeezed(folder)
    outcome = lay_style(read_inputs(folder), 1.0, quiet)
    told = [p for p in outcome.problems if p.code == "kept-lay"]
    assert told and all(p.mend == "It is made anew now." for p in told)
    assert outcome.new > 0
    assert main(["lay", str(folder), "--seconds", "1"]) == 0
    said = capsys.readouterr()
    assert "kept lay" not in said.err and "Run `booklet lay`" not in said.out + said.err
    given = read_inputs(folder)
    job = make_job(given.style, given.body, shop=given.shop)
    assert not [p for p in job.problems if p.code == "kept-lay"]
    assert all(plan.kept for need in job.size.cloths for plan in need.lays)


def test_the_table_names_the_lay_that_the_booklet_recommends(
    laid: tuple[Path, dict[str, object]], capsys: Capture
) -> None:
    folder = laid[0]
    assert main(["lay", str(folder), "--seconds", "1", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)["lays"]
    given = read_inputs(folder)
    job = make_job(given.style, given.body, shop=given.shop)
    best = [(p.cloth, round(p.width_mm, 1), p.kind) for n in job.size.cloths for p in n.lays if p.recommended]
    assert [(r["cloth"], r["width_mm"], r["lay"]) for r in told if r["recommended"]] == best
    by_slot: dict[tuple[str, float], list[bool]] = {}
    for row in told:
        by_slot.setdefault((row["cloth"], row["width_mm"]), []).append(row["recommended"])
    assert all(flags[0] and not any(flags[1:]) for flags in by_slot.values())
    assert main(["lay", str(folder), "--seconds", "1"]) == 0
    assert capsys.readouterr().out.count("recommended; ") == len(best)
