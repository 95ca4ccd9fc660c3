"""The three files of a style as text, edited in place so that lines stay lines that a user would see."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import yaml

from booklet.reading.yaml_source import parse_yaml

FILES = ("style", "draft", "sewing")


@dataclass(frozen=True)
class Texts:
    """style.yaml, draft.yaml and sewing.yaml of one style."""

    files: dict[str, str]

    @classmethod
    def read(cls, folder: Path) -> Texts:
        return cls({name: (folder / f"{name}.yaml").read_text(encoding="utf-8") for name in FILES})

    def write(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in self.files.items():
            (folder / f"{name}.yaml").write_text(text, encoding="utf-8")

    def with_text(self, name: str, text: str) -> Texts:
        return Texts({**self.files, name: text})

    def replaced(self, name: str, old: str, new: str) -> Texts:
        text = self.files[name]
        if text.count(old) != 1:
            raise ValueError(f"{name}.yaml holds {text.count(old)} times what is to be damaged: {old!r}")
        return self.with_text(name, text.replace(old, new))

    # ------------------------------------------------ steps

    def steps(self) -> dict[str, tuple[int, int]]:
        """Each step's id and its lines in sewing.yaml, from the first up to the one after its last."""
        text = self.files["sewing"]
        root = yaml.compose(text)
        nodes = next(value for key, value in root.value if key.value == "steps").value
        lines = text.splitlines()
        starts = [node.start_mark.line for node in nodes] + [len(lines)]
        out = {}
        for n, node in enumerate(nodes):
            stop = starts[n + 1]
            while not lines[stop - 1].strip():
                stop -= 1
            keys = {key.value: value for key, value in node.value}
            out[keys["id"].value if "id" in keys else f"step-{n + 1}"] = (starts[n], stop)
        return out

    def step_text(self, step: str) -> str:
        low, high = self._span(step)
        return "\n".join(self.files["sewing"].splitlines()[low:high])

    def step_edited(self, step: str, change: Callable[[str], str]) -> Texts:
        """The step's own lines changed; an empty text blanks them."""
        low, high = self._span(step)
        lines = self.files["sewing"].splitlines()
        new = change("\n".join(lines[low:high])).split("\n")
        blank = [""] * max(0, high - low - len(new))
        return self.with_text("sewing", "\n".join([*lines[:low], *new, *blank, *lines[high:]]) + "\n")

    def _span(self, step: str) -> tuple[int, int]:
        steps = self.steps()
        if step not in steps:
            raise ValueError(f"sewing.yaml has no step '{step}'; it has {', '.join(steps)}")
        return steps[step]

    # ------------------------------------------------ places

    def line_of(self, place: str | list[str]) -> tuple[str, int]:
        """File and line of a step's id, or of [file, key, key ...]."""
        if isinstance(place, str):
            return "sewing", self._span(place)[0] + 1
        name, *path = place
        source = parse_yaml(self.files[name], name)
        keys = tuple(int(p) if re.fullmatch(r"\d+", str(p)) else str(p) for p in path)
        if keys not in source.lines:
            raise ValueError(f"{name}.yaml has no {'.'.join(map(str, path))}")
        return name, source.lines[keys]

    def piece_edited(self, piece: str, change: Callable[[str], str]) -> Texts:
        """The lines of one piece of draft.yaml changed."""
        text = self.files["draft"]
        found = re.search(rf"(?m)^  {piece}:.*\n(?:    .*\n|\s*\n)*", text[text.index("\npieces:\n") :])
        if not found:
            raise ValueError(f"draft.yaml has no piece '{piece}'")
        return self.replaced("draft", found.group(), change(found.group()))
