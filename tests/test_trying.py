"""`booklet try`: whom a style fits, counted; the real bodies of the survey."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from helpers.bodies import DATA, SAMPLE, SURVEY

from booklet.cli import main

STYLES = Path(__file__).parent.parent / "styles"
WOMEN = ("top", "skirt", "aline", "apron", "blouse")


def tried(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    assert main(["try", *words, "--json"]) == 0
    return dict(json.loads(capsys.readouterr().out))


def survey_words(style: str, table: Path) -> tuple[str, ...]:
    return (str(STYLES / style), str(table), "--columns", str(DATA / "ansur2_columns.yaml"), "--unit", "mm")


@pytest.mark.parametrize(
    "style", [pytest.param(s, marks=pytest.mark.more if s in ("aline", "top") else ()) for s in WOMEN]
)
def test_the_sample_comes_out_clean(style: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Source of the bodies: ANSUR II (2012), women, public domain."""
    told = tried(capsys, *survey_words(style, SAMPLE))
    assert told["bodies"] == 60
    assert (told["clean"], told["warned"], told["refused"]) == (60, 0, 0)


@pytest.mark.slow
@pytest.mark.skipif(not SURVEY.exists(), reason="the whole survey is not at hand; its sample of 60 is")
@pytest.mark.parametrize("style", WOMEN)
def test_nearly_all_women_of_the_survey_come_out_clean(
    style: str, capsys: pytest.CaptureFixture[str]
) -> None:
    told = tried(capsys, *survey_words(style, SURVEY))
    assert told["bodies"] == 1486
    assert int(str(told["clean"])) >= 0.995 * 1486


def table(folder: Path, *rows: str) -> str:
    path = folder / "bodies.csv"
    path.write_text(
        "name,waist_girth,hip_girth,waist_height,knee_height\n" + "\n".join(rows) + "\n", encoding="utf-8"
    )
    return str(path)


def test_clean_refused_and_unreadable_bodies_are_counted_with_their_reasons(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bodies = table(tmp_path, "A,750,990 mm,1040,470", "B,75 cm,,1040,470", "C,750,wide,1040,470")
    told = tried(capsys, str(STYLES / "skirt"), bodies, "--unit", "mm")
    assert (told["bodies"], told["clean"], told["refused"]) == (3, 1, 2)
    reasons = json.dumps(told["reasons"])
    assert "hip_girth" in reasons
    worst = json.dumps(told["worst"])
    assert "B" in worst
    assert "C" in worst


def test_too_little_ease_is_a_refusal_with_its_amount(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    style = tmp_path / "skirt"
    style.mkdir()
    for name in ("style.yaml", "draft.yaml", "sewing.yaml"):
        text = (STYLES / "skirt" / name).read_text(encoding="utf-8")
        (style / name).write_text(text.replace("+ 6) / 4", "+ 0) / 4"), encoding="utf-8")
    told = tried(capsys, str(style), table(tmp_path, "A,750,990,1040,470"), "--unit", "mm")
    assert told["refused"] == 1
    assert "ease" in json.dumps(told["reasons"])


def test_waist_over_hip_is_no_refusal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = tried(capsys, str(STYLES / "skirt"), table(tmp_path, "A,1100,1040,1040,470"), "--unit", "mm")
    assert told["refused"] == 0


def test_a_report_for_people_names_the_style_and_the_counts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["try", str(STYLES / "skirt"), table(tmp_path, "A,750,990,1040,470"), "--unit", "mm"]) == 0
    out = capsys.readouterr().out
    assert "Wrap skirt" in out
    assert "clean" in out


@pytest.mark.parametrize(
    "words", [("none.csv",), ("none.csv", "--limit", "0"), ("none.csv", "--unit", "ell")]
)
def test_wrong_calls_end_in_a_sentence(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["try", str(STYLES / "skirt"), *words]) == 1
    said = capsys.readouterr().err
    assert said.strip()
    assert "Traceback" not in said
