"""Picture code sees only seams, runs, copies and what is sewn: names of pieces and edges do not change a drawing."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from helpers.steps import demo_body, pictures, prepared, style

from booklet.drawing.recorder import record
from booklet.reading.read import StyleFiles
from booklet.reading.yaml_source import Source


def names_of(files: StyleFiles) -> dict[str, str]:
    """Every piece, construction, line and edge name -> nonsense."""
    data = files.sources["draft"].data
    names: dict[str, None] = dict.fromkeys(data["pieces"])
    for key, group in data["construction"].items():
        names[key] = None
        names.update(dict.fromkeys(group["lines"]))
    for piece in data["pieces"].values():
        names.update(dict.fromkeys(piece.get("edges", [])))
        for entry in piece.get("outline", []):
            if isinstance(entry, dict):
                names.update(dict.fromkeys(entry))
    return {name: f"zq{n:02d}x" for n, name in enumerate(names)}


def renamed(value: Any, names: dict[str, str], inside: str = "") -> Any:
    def word(text: str) -> str:
        return re.sub(r"\b[A-Za-z_]\w*\b", lambda m: names.get(m.group(0), m.group(0)), text)

    if isinstance(value, dict):
        out = {}
        for key, item in value.items():
            rename_key = inside in (
                "pieces",
                "construction",
                "lines",
                "points",
                "allow",
                "open",
                "hem folds",
                "levels",
                "lines across",
            ) or (inside == "outline entry")
            new = names.get(key, key) if rename_key else key
            if key in ("when", "id", "part", "seam", "look at"):
                out[key] = item
            elif key in (
                "title",
                "summary",
                "notch",
                "kind",
                "as",
                "closes",
                "called",
                "press",
            ) and not isinstance(item, dict):
                out[new] = (
                    word(item)
                    if key == "press" and isinstance(item, str) and item.startswith("to ")
                    else item
                )
            else:
                out[new] = renamed(item, names, key)
        return out
    if isinstance(value, list):
        return [renamed(v, names, "outline entry" if inside == "outline" else inside) for v in value]
    return word(value) if isinstance(value, str) else value


def nonsense(files: StyleFiles) -> StyleFiles:
    names = names_of(files)
    sources = {
        part: Source(s.file, renamed(s.data, names), s.lines) if part in ("draft", "sewing") else s
        for part, s in files.sources.items()
    }
    data = {
        k: renamed(v, names, k) if k in ("finished", "openings", "views", "notions") else v
        for k, v in files.sources["style"].data.items()
    }
    sources["style"] = Source(files.sources["style"].file, data, files.sources["style"].lines)
    return replace(files, sources=sources)


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("top", {"neck": "slit", "sleeve_end": "cuff"}),
        pytest.param("top", {"neck": "wide", "sleeve_end": "elastic"}, marks=pytest.mark.more),
        ("skirt", {}),
        ("aline", {"zip": "lapped"}),
    ],
)
def test_names_do_not_change_the_drawings(name: str, options: dict[str, str]) -> None:
    files = style(name)
    plain = {s: d for s, _, d, _ in pictures(prepared(files, demo_body(), options))}
    odd = {s: d for s, _, d, _ in pictures(prepared(nonsense(files), demo_body(), options))}
    assert plain.keys() == odd.keys()
    for step in plain:
        assert [record(d) for d in plain[step]] == [record(d) for d in odd[step]], step
