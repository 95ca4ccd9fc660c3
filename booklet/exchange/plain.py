"""A pattern piece as a file holds it: lines, points and words. Millimetres, y down."""

from __future__ import annotations

from dataclasses import dataclass, replace

from booklet.paths import Path


@dataclass(frozen=True)
class NotchPoint:
    """A notch on the outermost line: where, the unit direction into the piece, and how deep."""

    at: complex
    inward: complex
    deep: float


@dataclass(frozen=True)
class BlockPiece:
    """What one block is written from. Both rings are closed: tuples of stretches between their turn points."""

    name: str
    cut: tuple[Path, ...]
    stitch: tuple[Path, ...]
    mirror: tuple[complex, complex] | None
    grain: tuple[complex, complex]
    notches: tuple[NotchPoint, ...]
    inner: tuple[Path, ...]
    holes: tuple[complex, ...]
    head: tuple[str, ...]  # the standard's words: name, size, quantity, material
    words: tuple[str, ...]  # ours


@dataclass(frozen=True)
class Block:
    """What was found in a block, lines and points by their layers. `faults` say why it cannot be taken in."""

    name: str
    lines: tuple[tuple[str, Path], ...] = ()
    points: tuple[tuple[str, complex], ...] = ()
    words: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()

    def on(self, layer: str) -> tuple[Path, ...]:
        return tuple(path for name, path in self.lines if name == layer)

    def points_on(self, *layers: str) -> tuple[complex, ...]:
        return tuple(z for name, z in self.points if name in layers)

    @property
    def layers(self) -> tuple[str, ...]:
        """Layers with lines, in order of appearance."""
        return tuple(dict.fromkeys(name for name, _ in self.lines))

    def scaled(self, by: float) -> Block:
        return replace(
            self,
            lines=tuple((name, path.stretched(by, by)) for name, path in self.lines),
            points=tuple((name, z * by) for name, z in self.points),
        )


@dataclass(frozen=True)
class DxfFile:
    """A file in its own unit. `unit` is that of its header in mm, `worded` that of its words; None where it has none."""

    unit: float | None
    worded: float | None
    blocks: tuple[Block, ...]  # those with lines, in the file's order
    loose: Block  # what lies in model space outside blocks
