"""Kept booklets: the same bytes as a fresh run, under a hash of every input; a bad cache is as good as none."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import ezdxf
import pytest

from booklet import cache
from booklet.cache import KEPT, Kept, folder, keep, key_of, look_up
from booklet.cli import main

ENTRY = Kept(b"%PDF-1.5\nwith\nlines\n", {"pages": "2 pages.", "problems": [["warning", "a: b"]]})


def test_what_is_kept_comes_back(tmp_path: Path) -> None:
    place = tmp_path / "deep" / "cache"
    assert look_up("key", place) is None
    keep("key", ENTRY, place)
    assert look_up("key", place) == ENTRY
    assert [p.name for p in place.iterdir()] == ["key"]


def test_a_damaged_entry_is_not_used(tmp_path: Path) -> None:
    keep("key", ENTRY, tmp_path)
    whole = (tmp_path / "key").read_bytes()
    for damage in (
        whole[:-1],
        whole + b"x",
        b"",
        b"{}\n%PDF",
        b"\xff\xfe\n",
        whole.replace(b"lines", b"limes"),
    ):
        (tmp_path / "key").write_bytes(damage)
        assert look_up("key", tmp_path) is None


def test_a_cache_that_cannot_be_used_is_silent(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    place = tmp_path / "file" / "cache"
    keep("key", ENTRY, place)
    assert look_up("key", place) is None
    assert look_up("key", None) is None
    keep("key", ENTRY, None)


def test_a_write_that_fails_leaves_no_rest(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError("no space left on device")

    monkeypatch.setattr(cache.os, "replace", full)
    keep("key", ENTRY, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_only_the_newest_stay(tmp_path: Path) -> None:
    for n in range(KEPT):
        keep(f"k{n:03d}", ENTRY, tmp_path)
        os.utime(tmp_path / f"k{n:03d}", (1000 + n, 1000 + n))
    assert look_up("k000", tmp_path) == ENTRY  # used now, so it is the newest
    keep("new", ENTRY, tmp_path)
    names = {p.name for p in tmp_path.iterdir()}
    assert len(names) == KEPT
    assert {"new", "k000"} <= names and "k001" not in names


def test_it_can_be_put_off() -> None:
    assert folder({"BOOKLET_NO_CACHE": "1", "BOOKLET_CACHE": "/c"}) is None
    assert folder({"BOOKLET_NO_CACHE": "0", "BOOKLET_CACHE": "/c"}) == Path("/c/booklets")


def test_every_input_is_in_the_key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    a, b = tmp_path / "a.yaml", tmp_path / "b.yaml"
    a.write_text("x: 1")
    b.write_text("x: 1")
    choices = {"paper": "a4", "options": {"neck": "slit"}}
    keys = [
        key_of({"style": a}, choices),
        key_of({"style": b}, choices),  # problems name the file
        key_of({"body": a}, choices),
        key_of({"style": a, "shop": None}, choices),
        key_of({"style": a, "lays": tmp_path / "none.yaml"}, choices),
        key_of({"style": a}, {**choices, "paper": "letter"}),
        key_of({"style": a}, {**choices, "options": {"neck": "wide"}}),
    ]
    again = key_of({"style": a}, choices)
    assert again == keys[0]
    a.write_text("x: 2")
    keys.append(key_of({"style": a}, choices))
    monkeypatch.setattr(cache, "_own_files", lambda: [("cli.py", b"changed")])
    keys.append(key_of({"style": a}, choices))
    monkeypatch.setattr(cache, "_version", lambda name: "99")
    keys.append(key_of({"style": a}, choices))
    assert len(set(keys)) == len(keys)


def test_the_package_s_own_sources_and_texts_are_inputs(root: Path) -> None:
    names = [name for name, _ in cache._own_files()]
    assert names == sorted(names)
    assert {
        "cli.py",
        "drafting/verbs/slash_and_spread.py",
        "templates/shop.yaml",
        "templates/en/pages/pages.yaml",
    } <= set(names)


@pytest.fixture
def style(tmp_path: Path, root: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small new style, and a cache of this test's own."""
    monkeypatch.delenv("BOOKLET_NO_CACHE", raising=False)
    monkeypatch.setattr(cache, "folder", lambda: tmp_path / "cache")
    monkeypatch.chdir(tmp_path)
    shutil.copytree(root / "templates" / "new", tmp_path / "style")
    return tmp_path / "style"


def test_a_kept_booklet_is_what_a_fresh_run_writes(style: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def make(out: str, *more: str) -> bytes:
        assert main(["make", "style", "-o", out, *more]) == 0
        return Path(out).read_bytes()

    first = make("first.pdf")
    assert len(list((style.parent / "cache").iterdir())) == 1
    assert make("fresh.pdf", "--fresh") == first

    def not_again(*_: object) -> None:
        raise AssertionError("made again")

    monkeypatch.setattr("booklet.making.make_booklet", not_again)
    assert make("kept.pdf") == first
    text = (style / "draft.yaml").read_text("utf-8")
    (style / "draft.yaml").write_text(text.replace("flare: 3", "flare: 4"), "utf-8")
    assert main(["make", "style", "-o", "other.pdf"]) == 1  # it would have to be made again
    assert not Path("other.pdf").exists()


SQUARE = '<svg xmlns="http://www.w3.org/2000/svg" width="9cm" height="9cm" viewBox="0 0 90 90">{}</svg>'


def test_a_drawing_that_the_draft_names_is_an_input(style: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    edges = "edges: [top, right, foot, left]"
    pieces = (
        f"\n  tab:\n    svg: {{file: tab.svg, outline: all, {edges}}}"
        f"\n  flap:\n    dxf: {{file: flap.dxf, units: mm, allowance: 0, {edges}}}\n"
    )
    draft = style / "draft.yaml"
    draft.write_text(draft.read_text("utf-8").rstrip() + pieces, "utf-8")
    drawn = SQUARE.format('<path id="all" d="M10,10 h60 v40 h-60 z"/>')
    (style / "tab.svg").write_text(drawn, "utf-8")
    doc = ezdxf.new("R2000", units=4)
    doc.modelspace().add_lwpolyline([(0, 0), (60, 0), (60, 40), (0, 40)], close=True)
    doc.saveas(style / "flap.dxf")
    assert main(["make", "style", "-o", "first.pdf"]) == 0

    def not_again(*_: object) -> None:
        raise AssertionError("made again")

    monkeypatch.setattr("booklet.making.make_booklet", not_again)
    assert main(["make", "style", "-o", "kept.pdf"]) == 0
    (style / "tab.svg").write_text(drawn.replace("h60", "h61"), "utf-8")
    assert main(["make", "style", "-o", "other.pdf"]) == 1
    (style / "tab.svg").write_text(drawn, "utf-8")
    assert main(["make", "style", "-o", "kept.pdf"]) == 0
    (style / "flap.dxf").write_bytes((style / "flap.dxf").read_bytes() + b"\n")
    assert main(["make", "style", "-o", "other.pdf"]) == 1
    assert not Path("other.pdf").exists()
