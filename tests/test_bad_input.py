"""Bad input of many kinds: a sentence with file and line, exit status 1, no PDF left behind, an earlier one untouched.

Each case damages a copy of a shipped style (or the body's file) with one small edit.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from booklet.cli import main

ROOT = Path(__file__).resolve().parent.parent


@dataclass(frozen=True)
class Case:
    """An edit of one file: what is replaced by what, and the words and file that must be told."""

    name: str
    style: str
    file: str
    old: str
    new: str
    words: tuple[str, ...]
    told_in: str = ""  # the file that must be named, where it is not the edited one
    options: tuple[str, ...] = ()


CASES = [
    Case(
        "misspelt edge",
        "top",
        "sewing.yaml",
        "join: [front.shoulder, back.shoulder]",
        "join: [front.sholder, back.shoulder]",
        ("sholder", "shoulder"),
    ),
    Case(
        "unknown measure",
        "top",
        "draft.yaml",
        "quarter: (bust_girth + 4) / 4",
        "quarter: (bust_grith + 4) / 4",
        ("bust_grith", "bust_girth"),
    ),
    Case(
        "cycle of values",
        "top",
        "draft.yaml",
        "scye_line: 0.8 + scye_depth",
        "scye_line: 0.8 + scye_depth + again\n  again: scye_line / 20",
        ("needs", "again"),
    ),
    Case("tab", "skirt", "draft.yaml", "  flare: 4", "\tflare: 4", ("tab",)),
    Case(
        "negative length",
        "skirt",
        "draft.yaml",
        "wide: band_wide}\n    edges: [inner_edge",
        "wide: -8}\n    edges: [inner_edge",
        ("-8", "wide"),
    ),
    Case(
        "hyphen fraction in a formula",
        "top",
        "draft.yaml",
        "shoulder_drop: 1.5",
        "shoulder_drop: bust_girth / 24 + 1-1/2",
        ("1-1/2", "1 1/2"),
    ),
    Case("nan", "top", "draft.yaml", "shoulder_drop: 1.5", "shoulder_drop: .nan", ("nan",)),
    Case(
        "self-crossing outline",
        "skirt",
        "draft.yaml",
        "hem_centre: {down: long}\n    lines:\n      waist: {curve: [waist_centre, waist_side]",
        "hem_centre: {down: long, across: 80}\n    lines:\n      waist: {curve: [waist_centre, waist_side]",
        ("crosses itself",),
    ),
    Case(
        "piece wider than the cloth",
        "skirt",
        "style.yaml",
        "widths: [150 cm, 140 cm]",
        "widths: [45 cm]",
        ("too wide", "wider cloth"),
    ),
    Case("duplicate key", "top", "draft.yaml", "  casing: 3/4", "  casing: 3/4\n  casing: 1", ("casing",)),
    Case(
        "unknown option in when",
        "top",
        "sewing.yaml",
        "when: {neck: slit}",
        "when: {nekc: slit}",
        ("nekc", "neck"),
    ),
    Case(
        "unknown choice in when",
        "top",
        "sewing.yaml",
        "when: {neck: slit}",
        "when: {neck: slitt}",
        ("slitt", "slit"),
    ),
    Case(
        "two operations in a step",
        "top",
        "sewing.yaml",
        "    id: shoulders\n",
        "    id: shoulders\n    finish: [front.hem]\n",
        ("finish", "join"),
    ),
    Case(
        "open outline",
        "skirt",
        "draft.yaml",
        "front.hem, front.wrap_edge]",
        "front.hem]",
        ("does not close", "mm"),
    ),
    Case(
        "unknown cloth",
        "top",
        "draft.yaml",
        "    cut: {main: 1}\n",
        "    cut: {mian: 1}\n",
        ("mian", "main"),
    ),
    Case("missing measure", "top", "body.yaml", "  head_girth: 56\n", "", ("head_girth",), "style.yaml"),
    Case("absurd measure", "top", "body.yaml", "bust_girth: 92", "bust_girth: 9200000", ("bust_girth",)),
    Case(
        "a measure that is no length",
        "top",
        "body.yaml",
        "bust_girth: 92",
        "bust_girth: wide",
        ("bust_girth", "wide"),
    ),
    Case(
        "hem before its side seam",
        "top",
        "sewing.yaml",
        "  - join: [front_neck_facing.shoulder",
        "  - hem: {run: 'ring(front.hem, back.hem)', kind: single}\n    id: early\n  - join: [front_neck_facing.shoulder",
        ("do not meet", "earlier"),
    ),
    Case(
        "facing ring open",
        "top",
        "sewing.yaml",
        "  - join: [front_neck_facing.shoulder, back_neck_facing.shoulder]\n"
        "    id: facing-shoulders\n    press: open\n    neaten: raw\n",
        "",
        ("front_neck_facing",),
    ),
    Case(
        "an edge sewn twice",
        "top",
        "sewing.yaml",
        "  - press: {all: true}",
        "  - hem: {run: 'ring(front.hem, back.hem)', kind: single}\n    id: again\n  - press: {all: true}",
        ("again", "hem"),
    ),
    Case(
        "an edge never sewn",
        "top",
        "sewing.yaml",
        "  - hem: {run: 'ring(front.hem, back.hem)', kind: single}\n    id: hem\n",
        "",
        ("hem", "never"),
        "draft.yaml",
    ),
    Case(
        "interfacing never fused",
        "skirt",
        "sewing.yaml",
        "fuse: [right_front_facing, band]",
        "fuse: [band]",
        ("right_front_facing", "fused"),
    ),
    Case(
        "opening too small",
        "top",
        "draft.yaml",
        "head_girth + 2.2 cm",
        "head_girth - 4 cm",
        ("neck", "pass"),
        "style.yaml",
    ),
    Case(
        "ease under the least",
        "top",
        "draft.yaml",
        "quarter: (bust_girth + 4) / 4",
        "quarter: (bust_girth + 1) / 4",
        ("ease", "bust"),
        "style.yaml",
    ),
    Case(
        "unequal allowances",
        "skirt",
        "draft.yaml",
        "allow: {hem: 3, waist: 1, other: 1.5}",
        "allow: {hem: 3, waist: 1, side: 1, other: 1.5}",
        ("allowance", "10.0", "15.0"),
        "sewing.yaml",
    ),
    Case(
        "a formula that calls for a function",
        "top",
        "draft.yaml",
        "shoulder_drop: 1.5",
        "shoulder_drop: open(1)",
        ("open",),
    ),
    Case(
        "a tower of powers",
        "top",
        "draft.yaml",
        "shoulder_drop: 1.5",
        "shoulder_drop: 9 ** 9 ** 9 ** 9",
        ("'**' cannot stand",),
    ),
    Case("division by zero", "top", "draft.yaml", "shoulder_drop: 1.5", "shoulder_drop: 3 / 0", ("zero",)),
    Case("an unknown unit", "top", "body.yaml", "units: cm", "units: ells", ("ells", "cm")),
    Case(
        "sides that cannot meet",
        "top",
        "body.yaml",
        "back_neck_to_waist: 40.5",
        "back_neck_to_waist: {left: 38, right: 43}",
        ("do not meet on its centre", "50.0 mm apart"),
        told_in="draft.yaml",
    ),
    Case(
        "a piece never used",
        "skirt",
        "draft.yaml",
        "  short_tie:\n",
        "  patch:\n    number: 8\n    title: Patch\n    rectangle: {long: 9, wide: 9}\n    edges: [a, b, c, d]\n"
        "    cut: {main: 1}\n    allow: {other: 1}\n  short_tie:\n",
        ("patch is cut from main but no step uses it",),
    ),
    Case(
        "one number for two pieces",
        "skirt",
        "draft.yaml",
        "number: 7",
        "number: 6",
        ("long_tie", "short_tie", "number 6"),
    ),
    Case(
        "an unknown point",
        "top",
        "draft.yaml",
        "curve: [nape, neck]",
        "curve: [nope, neck]",
        ("nope", "nape"),
    ),
    Case(
        "a facing of nothing",
        "top",
        "draft.yaml",
        "facing: {of: front,",
        "facing: {of: frunt,",
        ("frunt", "front"),
    ),
    Case(
        "a mark beyond its edge",
        "top",
        "draft.yaml",
        "from: under, at: 7,",
        "from: under, at: 700,",
        ("side_notch", "mm long"),
    ),
    Case(
        "no operation", "top", "sewing.yaml", "- press: {all: true}", "- pres: {all: true}", ("pres", "press")
    ),
    Case(
        "two steps of one name",
        "top",
        "sewing.yaml",
        "id: facing-edge",
        "id: facing-shoulders",
        ("facing-shoulders",),
    ),
    Case("text that is never closed", "skirt", "style.yaml", 'version: "1.0"', 'version: "1.0', ("quote",)),
]


def style_copy(case: Case, folder: Path) -> tuple[Path, Path]:
    """A copy of the style with its edit, and the body's file."""
    style = folder / case.style
    shutil.copytree(ROOT / "styles" / case.style, style)
    body = folder / "body.yaml"
    shutil.copy(ROOT / "demo" / "bodies" / "marit.yaml", body)
    target = body if case.file == "body.yaml" else style / case.file
    text = target.read_text(encoding="utf-8")
    assert text.count(case.old) >= 1, f"{case.name}: the style no longer holds what is to be damaged"
    target.write_text(text.replace(case.old, case.new, 1), encoding="utf-8")
    return style, body


def run(*arguments: str) -> int:
    try:
        return int(main(list(arguments)) or 0)
    except SystemExit as stop:
        return int(stop.code or 0)


def test_there_are_many_kinds() -> None:
    assert len({case.name for case in CASES}) == len(CASES) > 20


@pytest.mark.parametrize("case", CASES, ids=lambda c: c.name)
def test_damage_is_told_in_a_sentence(
    case: Case, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BOOKLET_NO_CACHE", "1")
    style, body = style_copy(case, tmp_path)
    earlier = tmp_path / "out.pdf"
    earlier.write_bytes(b"an earlier booklet")
    status = run("make", str(style), "--body", str(body), "-o", str(earlier), *case.options)
    said = capsys.readouterr()
    told = " ".join((said.out + said.err).split())
    assert status == 1, told
    assert "Traceback" not in told
    file = case.told_in or case.file
    assert re.search(rf"{re.escape(file)}:[1-9][0-9]*: ", told), told
    for word in case.words:
        assert word in told, told
    assert earlier.read_bytes() == b"an earlier booklet"
    assert (
        sorted(p.name for p in tmp_path.iterdir() if p.name.startswith(".booklet") or p.suffix == ".part")
        == []
    )


def _bomb(lines: int) -> str:
    """Each alias stands for ten of the one before: a few hundred characters that unfold to thousands of millions."""
    names = [f"a{n}" for n in range(lines)]
    rows = [f"{names[0]}: &{names[0]} [x, x, x, x, x, x, x, x, x, x]"]
    rows += [f"{b}: &{b} [{', '.join([f'*{a}'] * 10)}]" for a, b in zip(names, names[1:], strict=False)]
    return "\n".join(rows) + "\n"


FOLDERS: list[tuple[str, str, bytes | None, str]] = [
    ("a file that is not there", "sewing.yaml", None, "there is no such file"),
    ("a binary file", "draft.yaml", b"\x89PNG\r\n\x00\xff\xfe", "not UTF-8 text"),
    ("a file of zeros", "draft.yaml", bytes(1000), "a character that text cannot hold"),
    ("an empty file", "style.yaml", b"", "the file is empty"),
    ("a list where keys are wanted", "style.yaml", b"- 1\n- 2\n", "style.yaml:1"),
    ("a bomb of aliases", "style.yaml", _bomb(12).encode(), "unfolds to over"),
    ("brackets without end", "sewing.yaml", b"steps: " + b"[" * 4000, "nested"),
    ("a file too large", "draft.yaml", b"# long\n" * 400_000, "over 2 MB"),
    ("a bad shop.yaml beside the style", "shop.yaml", b"units: ells\n", "ells"),
]


@pytest.mark.parametrize(("name", "file", "content", "words"), FOLDERS, ids=[f[0] for f in FOLDERS])
def test_files_that_cannot_be_read_are_told(
    name: str,
    file: str,
    content: bytes | None,
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    style = tmp_path / "top"
    shutil.copytree(ROOT / "styles" / "top", style)
    if content is None:
        (style / file).unlink()
    else:
        (style / file).write_bytes(content)
    out = tmp_path / "out.pdf"
    assert (
        run("make", str(style), "--body", str(ROOT / "demo" / "bodies" / "marit.yaml"), "-o", str(out)) == 1
    )
    told = capsys.readouterr().err
    assert re.search(rf"{re.escape(file)}:[1-9][0-9]*: ", told) and words in told, told
    assert "Traceback" not in told
    assert not out.exists()


def test_a_folder_that_is_not_there_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", str(tmp_path / "nothing")) == 1
    assert "no such folder" in "".join(capsys.readouterr())


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "missing" / "deep" / "out.pdf"
    assert run("make", str(ROOT / "styles" / "skirt"), "-o", str(out)) == 1
    assert "Traceback" not in "".join(capsys.readouterr())
    assert not out.exists()


def test_a_wider_cloth_asked_for_rescues_a_style_that_lists_a_narrow_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BOOKLET_NO_CACHE", "1")
    monkeypatch.chdir(tmp_path)
    style = tmp_path / "skirt"
    shutil.copytree(ROOT / "styles" / "skirt", style)
    file = style / "style.yaml"
    file.write_text(
        file.read_text(encoding="utf-8").replace("widths: [150 cm, 140 cm]", "widths: [45 cm]"),
        encoding="utf-8",
    )
    body = str(ROOT / "demo" / "bodies" / "marit.yaml")
    assert run("make", str(style), "--body", body, "-o", "out.pdf") == 1
    assert run("make", str(style), "--body", body, "--width", "150 cm", "-o", "out.pdf") == 0
