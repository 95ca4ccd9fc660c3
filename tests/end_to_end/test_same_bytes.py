"""The same command gives the same bytes: in other processes, with other hash seeds, with nothing kept and with all."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest


def made(root: Path, cache: Path, out: Path, seed: int, *more: str) -> bytes:
    env = {k: v for k, v in os.environ.items() if not k.startswith("BOOKLET_")}
    env |= {
        "PYTHONHASHSEED": str(seed),
        "PYTHONPATH": str(root),
        "XDG_CACHE_HOME": str(cache),
        "BOOKLET_CACHE": str(cache),  # on every platform
    }
    command = [
        sys.executable,
        "-m",
        "booklet",
        "make",
        "styles/skirt",
        "--option",
        "length=knee",
        "-o",
        str(out),
    ]
    done = subprocess.run([*command, *more], cwd=root, env=env, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    return out.read_bytes()


@pytest.mark.slow
def test_the_same_command_gives_the_same_bytes(root: Path, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    first = made(root, cache, tmp_path / "first.pdf", 1)
    kept = [p for p in cache.rglob("*") if p.is_file()]
    assert any(p.parent.name == "booklets" for p in kept) and any(p.suffix == ".ttf" for p in kept)
    assert made(root, cache, tmp_path / "anew.pdf", 2, "--fresh") == first, "fonts kept, the rest made anew"
    assert made(root, cache, tmp_path / "kept.pdf", 2) == first, "the whole booklet kept"
    assert first.startswith(b"%PDF-")
