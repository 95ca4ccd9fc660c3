"""A shop's own texts, laid over the package's: what its wording folder holds, as plain text by file name.

The folder has the form of templates/<language>: steps/*.j2, steps/words.yaml, pages/*.yaml and glossary.yaml. Whatever it
says stands in place of the package's words of that name and key; whatever it leaves out stays.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import yaml

from booklet.resources import data_folder


@dataclass(frozen=True)
class Wording:
    """The texts of one folder: (name under it, such as 'steps/join.j2', and what the file holds), by name.

    It is told apart by what it says, so that whatever was read from it may be kept under it.
    """

    folder: str = ""  # as problems name it; '' for no wording of its own
    files: tuple[tuple[str, str], ...] = ()

    def text(self, name: str) -> str | None:
        return next((text for n, text in self.files if n == name), None)

    def named(self, part: str, suffix: str) -> tuple[tuple[str, str], ...]:
        """The files in a sub-folder whose names end in `suffix`, with what they hold."""
        return tuple((n, text) for n, text in self.files if n.startswith(part + "/") and n.endswith(suffix))


NONE = Wording()


@lru_cache(maxsize=64)
def phrases(text: str) -> Mapping[str, Any]:
    """The keys of a file of phrases. Phrases are text and nothing else: "off", "no" and "1" stay as they are written."""
    return yaml.load(text, Loader=yaml.BaseLoader) or {}


def laid_over(below: Mapping[str, Any], above: Mapping[str, Any]) -> dict[str, Any]:
    """The lower mapping with the upper one's values where it has them; mappings key by key."""
    out = dict(below)
    for key, value in above.items():
        lower = out.get(key)
        both = isinstance(value, Mapping) and isinstance(lower, Mapping)
        out[key] = laid_over(lower, value) if both else value  # type: ignore[arg-type]
    return out


def package_phrases(language: str) -> dict[str, Any]:
    """All the package's page texts of a language."""
    data: dict[str, Any] = {}
    for file in sorted((data_folder("templates") / language / "pages").glob("*.yaml")):
        data.update(phrases(file.read_text(encoding="utf-8")))
    return data


def laid_phrases(language: str, wording: Wording) -> dict[str, Any]:
    """The page texts of a language with the shop's own laid over them; a phrase not yet translated is English's.

    Empty for a language without any.
    """
    data = package_phrases(language)
    data = laid_over(package_phrases("en"), data) if data else data
    for _, text in wording.named("pages", ".yaml"):
        data = laid_over(data, phrases(text))
    return data
