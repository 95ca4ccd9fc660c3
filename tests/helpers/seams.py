"""Other recipes for pieces that are drafted already."""

from __future__ import annotations

from dataclasses import replace

from booklet.reading.yaml_source import parse_yaml
from helpers.drafts import Drafted


def sewn(made: Drafted, steps: str) -> Drafted:
    """The same draft with these steps (YAML list entries, indented by two) as its recipe."""
    return replace(made, sewing=parse_yaml("steps:\n" + steps, "sewing.yaml"))
