"""What all tests share: the checkout's folder, property tests that draw the same examples in every run, and who runs what.

Where several workers share the files (`-n 2 --dist loadfile`), those of few but long tests begin, so that no worker is
left alone with one at the end; files that read the same whole booklets are given to one worker, which makes them once.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "project",
    derandomize=True,
    deadline=None,
    database=None,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("project")

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def root() -> Path:
    """The top of the checkout."""
    return ROOT


# All from the folder of the tests.
TOGETHER = (
    # the booklets of end_to_end/conftest.py
    ("end_to_end/test_paper.py", "end_to_end/test_tiles_join.py", "end_to_end/test_agreement.py"),
)
FIRST = (
    *TOGETHER[0],
    "end_to_end/test_nest.py",
    "test_packing.py",
    "cloth/test_kept.py",
    "damage/test_damage.py",
    "end_to_end/test_three_readers.py",
    "cloth/test_promise_lays.py",
    "end_to_end/test_promise_by_machine.py",
    "end_to_end/test_promise_paper.py",
    "end_to_end/test_binder.py",
    "end_to_end/test_labels.py",
    "end_to_end/test_tile_counts.py",
    "pages/test_costs.py",
)


def within(file: str) -> str:
    """A test file's place, from the folder of the tests."""
    path = (ROOT / file).resolve()
    return path.relative_to(ROOT / "tests").as_posix() if path.is_relative_to(ROOT / "tests") else file


def work_unit(file: str) -> str:
    """What is given to one worker as a whole: the file, or the first of those that belong together."""
    return next((group[0] for group in TOGETHER if within(file) in group), file)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if hasattr(config, "workerinput"):
        turn = {file: n for n, file in enumerate(FIRST)}
        items.sort(key=lambda item: turn.get(within(str(item.path)), len(turn)))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    if config.getoption("dist") != "loadfile":
        return None
    from xdist.scheduler.loadfile import LoadFileScheduling

    class TogetherScheduling(LoadFileScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return work_unit(super()._split_scope(nodeid))

    config.option.loadscopereorder = False  # in the order of `FIRST`, not by the number of tests
    return TogetherScheduling(config, log)
