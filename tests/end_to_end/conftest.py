"""Whole booklets of the two styles, made once from their files and shared by the tests of this folder."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pikepdf
import pytest
from helpers import all_styles

from booklet import write
from booklet.facts import Pages
from booklet.job import make_job
from booklet.model import Job
from booklet.printing.sheet import Sheet
from booklet.reading.read import read_body


@dataclass(frozen=True)
class Booklet:
    """A finished PDF with the job and the sheet that it was printed from."""

    job: Job
    sheet: Sheet
    file: Path
    pdf: pikepdf.Pdf
    pages: Pages

    @property
    def guide(self) -> int:
        """Index of the page with the test squares: the one before the tiles."""
        return self.pages.first_tile - 2

    @property
    def tiles(self) -> list[pikepdf.Page]:
        return list(self.pdf.pages)[self.pages.first_tile - 1 :]


@pytest.fixture(scope="session")
def jobs(root: Path) -> dict[str, Job]:
    """Two styles on their own bodies, and on one whose left and right differ, with the quickest lays."""
    unlike = read_body(root / "demo/bodies/ragna.yaml")
    made = {}
    for name in ("top", "skirt"):
        made[name] = all_styles.job(name, all_styles.options_of(name)[0], all_styles.own_unit(name))
        made[f"{name}-sides"] = make_job(all_styles.files(name), unlike, evaluations=0)
    return made


@pytest.fixture(scope="session")
def booklets(jobs: dict[str, Job], tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Booklet]]:
    folder = tmp_path_factory.mktemp("booklets")
    made = {
        "top-a4": printed(jobs["top"], folder / "top-a4.pdf"),
        "top-letter": printed(replace(jobs["top"], paper="letter"), folder / "top-letter.pdf"),
        "skirt-a4": printed(jobs["skirt"], folder / "skirt-a4.pdf"),
        "top-sides": printed(jobs["top-sides"], folder / "top-sides.pdf"),
        "skirt-sides": printed(jobs["skirt-sides"], folder / "skirt-sides.pdf"),
    }
    yield made
    for booklet in made.values():
        booklet.pdf.close()


def printed(job: Job, file: Path) -> Booklet:
    sheets: list[Sheet] = []

    def arrange(*given: object) -> Sheet:
        sheets.append(real(*given))  # type: ignore[arg-type]
        return sheets[-1]

    real = write.arrange
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(write, "arrange", arrange)
        done = write.print_booklet(job)
    file.write_bytes(done.pdf)
    (sheet,) = sheets
    return Booklet(job, sheet, file, pikepdf.open(file), done.pages)


@pytest.fixture(params=["top-a4", "top-letter", "skirt-a4", "top-sides", "skirt-sides"])
def booklet(request: pytest.FixtureRequest, booklets: dict[str, Booklet]) -> Booklet:
    found: Booklet = booklets[request.param]
    return found
