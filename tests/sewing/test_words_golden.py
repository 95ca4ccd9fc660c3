"""The steps of both styles, word for word, as files that a person can read.

After a wanted change of wording or of a style: BOOKLET_WRITE=1 python -m pytest tests/sewing/test_words_golden.py
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from helpers.step_words import printed, style_words

GOLDEN = Path(__file__).parent / "golden"
CASES = (
    ("top-wide-elastic", "top", (("neck", "wide"), ("sleeve_end", "elastic")), "cm"),
    ("top-slit-cuff", "top", (("neck", "slit"), ("sleeve_end", "cuff")), "cm"),
    ("top-slit-elastic-inches", "top", (("neck", "slit"), ("sleeve_end", "elastic")), "in"),
    ("skirt-knee", "skirt", (("length", "knee"),), "cm"),
    ("aline-centred", "aline", (("zip", "centred"),), "cm"),
    ("aline-lapped-inches", "aline", (("zip", "lapped"),), "in"),
    ("aline-concealed", "aline", (("zip", "concealed"),), "cm"),
)


@pytest.mark.parametrize(("name", "style", "options", "units"), CASES, ids=[c[0] for c in CASES])
def test_steps_read_as_they_did(name: str, style: str, options: tuple, units: str) -> None:
    text = printed(style_words(style, *options, units=units))
    file = GOLDEN / f"{name}.txt"
    if os.environ.get("BOOKLET_WRITE"):
        file.parent.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
