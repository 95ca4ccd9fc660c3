"""The library for DXF, which not every installation has."""

from __future__ import annotations

from contextlib import redirect_stdout
from io import StringIO
from typing import Any

from booklet.problems import Fault


def dxf_library() -> Any:
    """ezdxf. Raises Fault with the way to get it."""
    try:
        with redirect_stdout(StringIO()):  # it talks of its own cache folder where it can have none
            import ezdxf
    except ImportError:
        raise Fault.of(
            "extra",
            "DXF needs a library that is not there",
            None,
            "Install it: pip install 'booklet[dxf]'.",
        ) from None
    return ezdxf
