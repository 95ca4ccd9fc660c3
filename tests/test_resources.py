"""The folders that come with the package, in a checkout and in an installed package."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.resources import data_folder


def test_a_checkout_has_them_at_its_top(root: Path) -> None:
    assert data_folder("styles") == root / "styles"


def test_an_installed_package_looks_inside_itself_first(tmp_path: Path) -> None:
    inside = tmp_path / "booklet" / "_data" / "styles"
    inside.mkdir(parents=True)
    (tmp_path / "styles").mkdir()
    assert data_folder("styles", tmp_path / "booklet") == inside


def test_a_broken_installation_says_so(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match="install the package again"):
        data_folder("styles", tmp_path / "booklet")
