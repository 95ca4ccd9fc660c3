"""One direction: no stage imports a later one, and an import inside a function only ever brings in a slow library."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent / "booklet"
# Small modules that all may use come first; the thin doors come last.
STAGES = (
    (
        "units",
        "problems",
        "paths",
        "splines",
        "arcs",
        "bias",
        "amounts",
        "formula",
        "formula_words",
        "resources",
        "wording",
        "grammar",
        "language",
        "model",
        "drawing",
        "exchange",
    ),
    ("reading",),
    ("drafting",),
    ("seams",),
    ("cutting",),
    ("sewing",),
    ("naming", "signs"),
    ("prepare",),
    ("pictures",),
    ("cloth",),
    ("sizes", "stacking"),
    ("job",),
    ("pages",),
    ("drawn",),
    ("printing",),
    (
        "write",
        "facts",
        "cache",
        "size_check",
        "combinations",
        "inputs",
        "packing",
        "new_style",
        "show_pictures",
        "show_draft",
        "telling",
        "dxf_out",
    ),
    ("trying", "trying_report", "lay_style", "lay_report", "binder", "making"),
    ("commands",),
    ("cli", "__main__", "__init__"),
)
RANK = {name: n for n, names in enumerate(STAGES) for name in names}


def stage_of(file: Path) -> str:
    part = file.relative_to(ROOT).parts[0]
    return part.removesuffix(".py")


def imported(file: Path) -> list[tuple[str, bool]]:
    """(stage, whether at the top of the file) of every import from the package itself."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    top = set(tree.body)
    out = []
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module] if node.module != "booklet" else [f"booklet.{a.name}" for a in node.names]
        elif isinstance(node, ast.Import):
            names = [a.name for a in node.names]
        out += [(n.split(".")[1], node in top) for n in names if n.startswith("booklet.")]
    return out


FILES = sorted(ROOT.rglob("*.py"))


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.relative_to(ROOT).as_posix())
def test_no_stage_imports_a_later_one(file: Path) -> None:
    here = stage_of(file)
    assert here in RANK, f"{here} has no place in the flow"
    for stage, _ in imported(file):
        if stage in RANK:  # names such as booklet.__version__ are no stage
            assert RANK[stage] <= RANK[here], f"{here} imports the later {stage}"
