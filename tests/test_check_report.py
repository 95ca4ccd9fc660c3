"""`booklet check` on a style with an error, a warning and an answered rule: in groups, worst first, each with its line."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from booklet.cli import main

Capture = pytest.CaptureFixture[str]
HEMS = "  - hem: {run: 'ring(front.hem, back.hem)', kind: double}\n"
WARNED = "  - press: {all: true}\n    id: early-press\n"
ANSWERED = "  - mark: [front]\n    id: late-mark\n    although: the knees are marked on the body\n"
BODY = ("--body", "demo/bodies/tuva.yaml")
STIFF = ("stretch: 70 %", "stretch: 0 %")


def faulty(root: Path, into: Path, *changes: tuple[str, str]) -> tuple[str, list[str]]:
    """The trousers with those words of their recipe replaced: the folder, and the recipe's lines."""
    folder = into / "trousers"
    shutil.copytree(root / "styles" / "trousers", folder)
    path = folder / "sewing.yaml"
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    return str(folder), text.splitlines()


def line_of(lines: list[str], words: str) -> int:
    return next(n for n, line in enumerate(lines, 1) if words in line)


@pytest.fixture
def three(root: Path, tmp_path: Path) -> tuple[str, list[str]]:
    return faulty(root, tmp_path, STIFF, (HEMS, WARNED + ANSWERED + HEMS))


def test_findings_stand_in_groups_the_worst_first_with_place_and_mend(
    three: tuple[str, list[str]], capsys: Capture
) -> None:
    style, lines = three
    assert main(["check", style, *BODY]) == 1
    said = capsys.readouterr()
    told = said.err.splitlines()
    heads = [n for n, line in enumerate(told) if line and not line.startswith(" ")]
    assert [told[n] for n in heads] == ["2 errors:", "1 warning:", "1 note:"]
    error, warning, note = (told[n + 1] for n in heads)
    assert f"sewing.yaml:{line_of(lines, 'casing:')}: the elastic does not stretch. Write in" in error
    assert (
        f"sewing.yaml:{line_of(lines, 'press: {all: true}')}: the whole is pressed before step 'hems'"
        in warning
    )
    assert "Make the final press the last step." in warning
    assert f"sewing.yaml:{line_of(lines, 'mark: [front]')}: front is marked after" in note
    assert "although: the knees are marked on the body" in note
    assert said.out.startswith("Failed:")


def test_the_same_findings_as_data(three: tuple[str, list[str]], capsys: Capture) -> None:
    style, lines = three
    assert main(["check", style, *BODY, "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert not told["passed"]
    found = [(p["severity"], p["code"], p["line"]) for p in told["problems"]]
    assert found == [
        ("error", "elastic-stiff", line_of(lines, "casing:")),
        ("error", "opening", 42),  # of style.yaml: so the waist does not pass the hip
        ("warning", "press-last", line_of(lines, "press: {all: true}")),
        ("note", "mark-late", line_of(lines, "mark: [front]")),
    ]
    assert all(p["file"].endswith(".yaml") and p["what"] for p in told["problems"])
    assert [bool(p["mend"]) for p in told["problems"]] == [True, True, True, False]
    assert told["problems"][3]["although"] == "the knees are marked on the body"


@pytest.mark.parametrize(("more", "status"), [(WARNED, 1), (ANSWERED, 0)], ids=["warning", "answered"])
def test_strict_fails_by_a_warning_and_not_by_one_that_is_answered(
    root: Path, tmp_path: Path, more: str, status: int, capsys: Capture
) -> None:
    style, _ = faulty(root, tmp_path, (HEMS, more + HEMS))
    assert main(["check", style, *BODY]) == 0
    assert main(["check", style, *BODY, "--strict"]) == status
    assert "error" not in capsys.readouterr().err
