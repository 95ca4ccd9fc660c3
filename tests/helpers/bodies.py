"""Real bodies for the tests: a sample of a public survey in tests/data, and more where the whole survey lies near.

Source: 2012 Anthropometric Survey of U.S. Army Personnel (ANSUR II), women; public release, a work of the United States
government in the public domain. Millimetres. tests/data/ansur2_columns.yaml says which column stands for which measure.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

DATA = Path(__file__).resolve().parent.parent / "data"
SAMPLE = DATA / "ansur2_women_60.csv"
SURVEY = DATA.parent.parent.parent / "shared" / "data" / "bodies" / "ansur2_women.csv"

SAMPLE_SIZE = 60
ROW = "row"  # the column of the sample that holds a body's place in the survey, counted from 1


@dataclass(frozen=True)
class SurveyBody:
    """One woman of the survey: her row, counted from 1, and her measures in mm by their names here."""

    row: int
    measures: dict[str, float]


@cache
def columns() -> dict[str, str]:
    """Measure -> column of the survey."""
    data = yaml.safe_load((DATA / "ansur2_columns.yaml").read_text(encoding="utf-8"))
    return {str(measure): str(column) for measure, column in data["measures"].items()}


def body_of(row: int, values: dict[str, str]) -> SurveyBody:
    return SurveyBody(row, {measure: float(values[column]) for measure, column in columns().items()})


@cache
def sample() -> tuple[SurveyBody, ...]:
    """The 60 bodies that live with the tests."""
    with SAMPLE.open(encoding="utf-8", newline="") as stream:
        return tuple(body_of(int(line[ROW]), line) for line in csv.DictReader(stream))


@cache
def survey_lines() -> tuple[dict[str, str], ...]:
    """The whole survey as text, or nothing where it is not at hand."""
    if not SURVEY.exists():
        return ()
    with SURVEY.open(encoding="utf-8", newline="") as stream:
        return tuple(csv.DictReader(stream))


def survey() -> tuple[SurveyBody, ...]:
    return tuple(body_of(n + 1, line) for n, line in enumerate(survey_lines()))


def more_bodies(count: int) -> tuple[SurveyBody, ...]:
    """`count` bodies evenly spread over the survey that are not in the sample."""
    known = {b.row for b in sample()}
    others = [b for b in survey() if b.row not in known]
    return tuple(others[k * len(others) // count] for k in range(count)) if others else ()


EXTREMES = (  # what is looked at for extreme bodies: a measure, or a difference of two
    ("bust_girth",),
    ("waist_girth",),
    ("hip_girth",),
    ("hip_girth", "waist_girth"),
    ("bust_girth", "hip_girth"),
    ("upper_arm_girth",),
    ("upper_arm_girth", "bust_girth"),
    ("head_girth",),
    ("head_girth", "bust_girth"),
    ("across_back", "bust_girth"),
    ("back_neck_to_waist",),
    ("height",),
    ("arm_length",),
)


def feature(body: SurveyBody, names: tuple[str, ...]) -> float:
    """One measure, or the first of two less the second, mm."""
    first = body.measures[names[0]]
    return first if len(names) == 1 else first - body.measures[names[1]]


def choose_sample(bodies: tuple[SurveyBody, ...]) -> tuple[int, ...]:
    """The rows of the sample: least and greatest of every feature first, then evenly spread ones by bust girth."""
    chosen: dict[int, None] = {}
    for names in EXTREMES:
        ranked = sorted(bodies, key=lambda b: (feature(b, names), b.row))
        chosen[ranked[0].row] = None
        chosen[ranked[-1].row] = None
    ranked = sorted(bodies, key=lambda b: (b.measures["bust_girth"], b.row))
    rest = [b.row for b in ranked if b.row not in chosen]
    need = SAMPLE_SIZE - len(chosen)
    chosen.update(dict.fromkeys(rest[(2 * k + 1) * len(rest) // (2 * need)] for k in range(need)))
    return tuple(sorted(chosen))


def extreme_bodies() -> tuple[SurveyBody, ...]:
    """Twelve of the sample, least and greatest of one feature after the other."""
    out: dict[int, SurveyBody] = {}
    for names in (EXTREMES[0], *EXTREMES[3:]):
        ranked = sorted(sample(), key=lambda b: (feature(b, names), b.row))
        for body in (ranked[0], ranked[-1]):
            if len(out) < 12:
                out[body.row] = body
    return tuple(out.values())
