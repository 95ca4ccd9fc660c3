"""A user's file read as text, with a sentence for whatever is in the way."""

from __future__ import annotations

from pathlib import Path

from booklet.problems import Fault, Where


def read_text(path: Path, file: str, largest: int, too_large: str = "", mend: str = "") -> str:
    """The file's UTF-8 text. Raises `Fault` at `file`; over `largest` bytes it is too large, of which `too_large` says more."""
    start = Where(file, 1)
    try:
        # One byte more than allowed tells a file that is too large, without reading all of it.
        with path.open("rb") as stream:
            raw = stream.read(largest + 1)
    except FileNotFoundError:
        raise Fault.of("file-missing", "there is no such file", start) from None
    except IsADirectoryError:
        raise Fault.of("file-folder", "this is a folder, a file was expected", start) from None
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise Fault.of("file-unreadable", f"the file cannot be read ({reason})", start) from None
    if len(raw) > largest:
        raise Fault.of("file-large", f"the file has over {largest // 1_000_000} MB{too_large}", start)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise Fault.of("file-encoding", "the file is not UTF-8 text", Where(file, line), mend) from None
