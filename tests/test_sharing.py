"""How several workers share the test files: what belongs together goes to one of them, the long files first."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest


class Worker:
    """Stands in for a process that runs tests: keeps the numbers of those it is given."""

    def __init__(self, name: str) -> None:
        self.gateway = SimpleNamespace(id=name)
        self.given: list[int] = []
        self.shutting_down = False

    def send_runtest_some(self, numbers: list[int]) -> None:
        self.given += numbers

    def shutdown(self) -> None:
        self.shutting_down = True


@pytest.fixture
def shared(pytestconfig: pytest.Config, root: Path) -> Any:
    """The conftest of all tests."""
    return pytestconfig.pluginmanager.get_plugin(str(root / "tests" / "conftest.py"))


def config(dist: str) -> Any:
    options = {"dist": dist, "tx": ["2*popen"], "loadscopereorder": True, "maxprocesses": None}
    return SimpleNamespace(getoption=options.get, getvalue=options.get, option=SimpleNamespace(**options))


def test_all_files_named_are_there(shared: Any, root: Path) -> None:
    named = [*shared.FIRST, *(file for group in shared.TOGETHER for file in group)]
    assert [file for file in named if not (root / "tests" / file).is_file()] == []


def test_files_that_belong_together_go_to_one_worker(shared: Any, root: Path) -> None:
    (group,) = shared.TOGETHER
    files = [f"tests/{name}" for name in (group[0], "cloth/test_kept.py", *group[1:], "test_run.py")]
    tests = [f"{file}::test_{n}" for file in files for n in range(4)]
    plan = shared.pytest_xdist_make_scheduler(config("loadfile"), None)
    workers = [Worker("a"), Worker("b")]
    for worker in workers:
        plan.add_node(worker)
        plan.add_node_collection(worker, tests)
    plan.schedule()
    while any(worker.given for worker in workers):
        for worker in workers:
            mine = {tests[n].split("::")[0] for n in worker.given}
            assert len(mine & {f"tests/{name}" for name in group}) in (0, len(group))
            done, worker.given = worker.given, []
            for n in done:
                plan.mark_test_complete(worker, n)
    assert plan.tests_finished and not plan.has_pending


def test_long_files_come_first_for_workers_alone(shared: Any, root: Path) -> None:
    names = ("test_units.py", "cloth/test_kept.py", "pages/test_flow.py", shared.FIRST[0])
    items = [SimpleNamespace(path=root / "tests" / name) for name in names]
    alone = list(items)
    shared.pytest_collection_modifyitems(SimpleNamespace(), alone)
    assert alone == items
    shared.pytest_collection_modifyitems(SimpleNamespace(workerinput={}), items)
    found = [item.path.relative_to(root / "tests").as_posix() for item in items]
    assert found == [names[3], names[1], names[0], names[2]]


def test_other_ways_of_sharing_are_left_alone(shared: Any) -> None:
    assert shared.pytest_xdist_make_scheduler(config("load"), None) is None
