"""The built wheel, installed apart from the checkout, makes a booklet from another folder."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest


def run(command: list[str], folder: Path, **env: str) -> str:
    around = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME")} | env
    done = subprocess.run(command, cwd=folder, env=around, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.mark.slow
def test_the_wheel_makes_a_booklet_elsewhere(root: Path, tmp_path: Path) -> None:
    python = sys.executable
    built, target, elsewhere = tmp_path / "built", tmp_path / "installed", tmp_path / "elsewhere"
    elsewhere.mkdir()
    run([python, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(built), str(root)], elsewhere)
    (wheel,) = built.glob("*.whl")
    install = [python, "-m", "pip", "install", "--no-deps", "--no-index", "--target", str(target), str(wheel)]
    run([*install, "--disable-pip-version-check", "--no-compile"], elsewhere)
    env = {"PYTHONPATH": str(target), "BOOKLET_NO_CACHE": "1"}
    at = run([python, "-c", "import booklet; print(booklet.__file__)"], elsewhere, **env)
    assert Path(at.strip()).is_relative_to(target), "the installed package is meant, not the checkout"
    styles = target / "booklet" / "_data" / "styles"
    assert {p.name for p in styles.iterdir() if p.is_dir()} >= {"top", "skirt"}
    make = [python, "-m", "booklet", "make", str(styles / "top"), "-o", "top.pdf"]
    said = run(make, elsewhere, **env)
    assert "Wrote top.pdf" in said
    assert (elsewhere / "top.pdf").read_bytes().startswith(b"%PDF-")
