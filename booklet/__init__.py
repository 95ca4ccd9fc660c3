"""From drafted pattern pieces and a sewing recipe to a printed booklet.

    from booklet import read_style, read_body, make_job, write_pdf

    job = make_job(read_style("styles/top"), read_body("marit.yaml"), options={"neck": "slit"})
    write_pdf(job, "top.pdf")

Whatever is wrong in a user's files is one `Fault` with every problem found; `str(fault)` is its sentences.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from booklet.facts import job_facts
    from booklet.job import check_style, make_job
    from booklet.problems import Fault, Problem
    from booklet.reading.packs import read_pack
    from booklet.reading.read import read_body, read_style
    from booklet.reading.shop import read_shop
    from booklet.write import write_pdf

__version__ = "0.1.0"
__all__ = [
    "Fault",
    "Problem",
    "check_style",
    "job_facts",
    "make_job",
    "read_body",
    "read_pack",
    "read_shop",
    "read_style",
    "write_pdf",
]

_HOME = {
    "Fault": "booklet.problems",
    "Problem": "booklet.problems",
    "check_style": "booklet.job",
    "job_facts": "booklet.facts",
    "make_job": "booklet.job",
    "read_body": "booklet.reading.read",
    "read_pack": "booklet.reading.packs",
    "read_shop": "booklet.reading.shop",
    "read_style": "booklet.reading.read",
    "write_pdf": "booklet.write",
}


def __getattr__(name: str) -> Any:
    """A name is brought in when it is first asked for: `import booklet` alone is quick."""
    if name not in _HOME:
        raise AttributeError(f"module 'booklet' has no attribute '{name}'")
    value = getattr(importlib.import_module(_HOME[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
