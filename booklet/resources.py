"""Where the files that come with the package lie: at a checkout's top, or inside an installed package."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def data_folder(name: str, package: Path = _PACKAGE) -> Path:
    """The folder 'styles' or 'templates'. Raises FileNotFoundError if the installation lacks it."""
    # An installed package looks inside itself first: what lies beside it belongs to others.
    for folder in (package / "_data" / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the installation lacks its folder '{name}'; install the package again")
