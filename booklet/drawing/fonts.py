"""The booklet's face: two static weights made once out of a variable font, kept in the user's cache.

The variable font is subset first and then instanced, in a fixed recipe, so that every machine with the same
libraries makes the same bytes. The licence (SIL Open Font License 1.1) reserves the name "Source" for unchanged
files, so ours have a family name of their own. A sign that the face lacks comes from DejaVu Sans.

A file's name holds a hash of its recipe and one of its bytes: a damaged or outdated file is never used.
"""

from __future__ import annotations

import atexit
import hashlib
import importlib.util
import io
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from booklet.problems import Fault

FAMILY = "Booklet Text"
WEIGHTS = {400: "Regular", 600: "SemiBold"}
FALLBACK_FILES = {400: "DejaVuSans.ttf", 600: "DejaVuSans-Bold.ttf"}

# Latin, Greek, Cyrillic with their marks, Vietnamese and Yoruba letters, punctuation, arrows, signs.
_RANGES = (
    (0x20, 0x7E), (0xA0, 0x24F), (0x2B0, 0x36F), (0x370, 0x3FF), (0x400, 0x52F), (0x1E00, 0x1EFF),
    (0x2000, 0x206F), (0x2070, 0x209F), (0x20A0, 0x20BF), (0x2100, 0x215F), (0x2190, 0x21FF),
    (0x2200, 0x22FF), (0x25A0, 0x25FF), (0x2600, 0x2610), (0x2713, 0x2713),
)  # fmt: skip
_FEATURES = ["kern", "mark", "mkmk", "ccmp"]
_RECIPE = "1"  # raise it when the recipe below changes


@dataclass(frozen=True)
class Face:
    """One font file: its name in the PDF, its bytes, and where it lies."""

    name: str
    path: Path
    data: bytes


def cache_folder(env: Mapping[str, str] = os.environ, platform: str = sys.platform) -> Path:
    """Where a user's caches lie by the platform's custom; BOOKLET_CACHE goes before all."""
    if own := env.get("BOOKLET_CACHE"):
        return Path(own)
    home = Path(env.get("HOME") or env.get("USERPROFILE") or os.path.expanduser("~"))
    if platform == "win32":
        return Path(env.get("LOCALAPPDATA") or home / "AppData" / "Local") / "booklet" / "cache"
    if platform == "darwin":
        return home / "Library" / "Caches" / "booklet"
    return Path(env.get("XDG_CACHE_HOME") or home / ".cache") / "booklet"


@lru_cache(maxsize=8)
def text_face(weight: int, folder: Path | None = None) -> Face:
    """The text face of a weight (400 or 600), made if the cache lacks it."""
    folder = folder or cache_folder()
    name = f"BookletText-{WEIGHTS[weight]}"
    source = _variable_font()
    stem = f"{name}-{_recipe_hash(source, weight)}"
    try:
        for found in sorted(folder.glob(f"{stem}-*.ttf")):
            data = found.read_bytes()
            if _hash(data) == found.stem.rsplit("-", 1)[1]:
                return Face(name, found, data)
    except OSError:
        pass  # an unreadable cache is as good as none
    data = _make(source, weight, name)
    return Face(name, _keep(folder, f"{stem}-{_hash(data)}.ttf", data), data)


@lru_cache(maxsize=2)
def fallback_face(weight: int) -> Face:
    """The face for signs that the text face lacks."""
    spec = importlib.util.find_spec("matplotlib")
    roots = list(spec.submodule_search_locations or ()) if spec else []
    if not roots:
        raise Fault.of("font-missing", "the fallback font is not there", None, "Install the package again.")
    path = Path(roots[0]) / "mpl-data" / "fonts" / "ttf" / FALLBACK_FILES[weight]
    return Face(f"BookletFallback-{WEIGHTS[weight]}", path, path.read_bytes())


def _variable_font() -> bytes:
    import fontpkg_source_sans_3 as package

    return (Path(package.ROOT) / "files" / "SourceSans3[wght].ttf").read_bytes()


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]


def _recipe_hash(source: bytes, weight: int) -> str:
    from fontTools import version

    words = repr((_RECIPE, weight, _RANGES, _FEATURES, FAMILY, version))
    return hashlib.sha256(source + words.encode()).hexdigest()[:12]


def _make(source: bytes, weight: int, name: str) -> bytes:
    """Subset, instance, rename. No clock: the head table keeps the source's own date."""
    from fontTools import subset
    from fontTools.ttLib import TTFont
    from fontTools.varLib import instancer

    options = subset.Options()
    options.layout_features = list(_FEATURES)
    options.glyph_names = True
    options.notdef_outline = True
    options.hinting = False
    options.recalc_timestamp = False
    options.drop_tables += ["STAT", "DSIG"]
    font = TTFont(io.BytesIO(source), recalcTimestamp=False, lazy=False)
    sub = subset.Subsetter(options)
    sub.populate(unicodes=[u for a, b in _RANGES for u in range(a, b + 1)])
    sub.subset(font)
    # A reload settles the glyph order and the tables before the instancer walks them.
    between = io.BytesIO()
    font.save(between, reorderTables=True)
    font = TTFont(io.BytesIO(between.getvalue()), recalcTimestamp=False, lazy=False)
    font = instancer.instantiateVariableFont(font, {"wght": weight}, inplace=False, updateFontNames=False)
    font.recalcTimestamp = False
    _rename(font, weight, name)
    out = io.BytesIO()
    font.save(out, reorderTables=True)
    return out.getvalue()


def _rename(font: Any, weight: int, name: str) -> None:
    """Own family and PostScript names; copyright and licence stay as they came."""
    table = font["name"]
    style = WEIGHTS[weight]
    keep = (0, 13, 14)
    table.names = [n for n in table.names if n.nameID in keep and n.platformID == 3]
    for name_id, words in (
        (1, f"{FAMILY} {style}" if weight != 400 else FAMILY),
        (2, "Regular"),
        (3, f"{name};recipe {_RECIPE}"),
        (4, f"{FAMILY} {style}"),
        (5, "Version 1.000"),
        (6, name),
        (16, FAMILY),
        (17, style),
    ):
        table.setName(words, name_id, 3, 1, 0x409)
    font["OS/2"].usWeightClass = weight


def _keep(folder: Path, file_name: str, data: bytes) -> Path:
    """Writes beside and renames; a folder of this process's own where the cache cannot be written."""
    for place in (folder, None):
        try:
            if place is None:
                place = _temporary_folder()
            place.mkdir(parents=True, exist_ok=True)
            handle, beside = tempfile.mkstemp(dir=place, suffix=".part")
            try:
                with os.fdopen(handle, "wb") as out:
                    out.write(data)
                _replace(beside, place / file_name)
            except BaseException:
                Path(beside).unlink(missing_ok=True)
                raise
            return place / file_name
        except OSError:
            continue
    raise Fault.of(
        "font-cache",
        f"the fonts could be written neither to {folder} nor to the temporary folder",
        None,
        "Free some space, or set BOOKLET_CACHE to a folder that can be written.",
    )


def _replace(beside: str, final: Path) -> None:
    for attempt in range(5):
        try:
            os.replace(beside, final)
            return
        except PermissionError:  # on Windows another process may just be reading the file
            if attempt == 4:
                raise
            time.sleep(0.1)


@lru_cache(maxsize=1)
def _temporary_folder() -> Path:
    """One folder a process, taken away at its end."""
    folder = tempfile.mkdtemp(prefix="booklet-fonts-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return Path(folder)
