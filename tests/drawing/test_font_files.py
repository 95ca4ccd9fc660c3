"""The font files: made alike everywhere, kept safely, named as their licence asks."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from booklet.drawing import fonts
from booklet.problems import Fault


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Makes small stand-in bytes in place of a font, and counts how often."""
    made: list[int] = []

    def make(source: bytes, weight: int, name: str) -> bytes:
        made.append(weight)
        return b"font of " + name.encode()

    monkeypatch.setattr(fonts, "_make", make)
    fonts.text_face.cache_clear()
    yield made  # type: ignore[misc]
    fonts.text_face.cache_clear()


@pytest.mark.slow
def test_two_empty_caches_get_the_same_bytes(tmp_path: Path) -> None:
    fonts.text_face.cache_clear()
    one, two = (fonts.text_face(400, tmp_path / n) for n in ("one", "two"))
    fonts.text_face.cache_clear()
    assert one.data == two.data and one.path.name == two.path.name
    font = TTFont(io.BytesIO(one.data))
    assert "fvar" not in font and font["OS/2"].usWeightClass == 400
    # SIL Open Font License 1.1, condition 3: a changed file must not bear a reserved name.
    for name_id in (1, 4, 6, 16):
        assert "Source" not in font["name"].getDebugName(name_id)
    assert "Source" in font["name"].getDebugName(0), "the copyright stays with the font"


def test_a_kept_font_is_used_and_a_damaged_one_is_not(tmp_path: Path, quick: list[int]) -> None:
    face = fonts.text_face(400, tmp_path)
    fonts.text_face.cache_clear()
    assert fonts.text_face(400, tmp_path) == face and quick == [400]
    face.path.write_bytes(b"torn")
    fonts.text_face.cache_clear()
    assert fonts.text_face(400, tmp_path).data == face.data and quick == [400, 400]
    assert [p.name for p in tmp_path.iterdir()] == [face.path.name], "nothing is left beside it"


def test_without_a_writable_cache_a_temporary_folder_serves(tmp_path: Path, quick: list[int]) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    face = fonts.text_face(600, blocked / "cache")
    assert face.path.read_bytes() == face.data and tmp_path not in face.path.parents


def test_nowhere_to_write_is_a_sentence(
    tmp_path: Path, quick: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(fonts.tempfile, "mkstemp", full)
    with pytest.raises(Fault, match="could be written neither to"):
        fonts.text_face(400, tmp_path)


def test_the_cache_lies_where_each_platform_keeps_caches() -> None:
    assert fonts.cache_folder({"HOME": "/h"}, "linux") == Path("/h/.cache/booklet")
    assert fonts.cache_folder({"XDG_CACHE_HOME": "/x"}, "linux") == Path("/x/booklet")
    assert fonts.cache_folder({"HOME": "/h"}, "darwin") == Path("/h/Library/Caches/booklet")
    assert fonts.cache_folder({"LOCALAPPDATA": "L"}, "win32") == Path("L/booklet/cache")
    assert fonts.cache_folder({"BOOKLET_CACHE": "/own", "HOME": "/h"}, "linux") == Path("/own")
    assert os.environ.get("HOME") is None or fonts.cache_folder().is_absolute()
