"""Problems as sentences, collected and raised together."""

from __future__ import annotations

import pickle

import pytest

from booklet.problems import Collector, Fault, Problem, Where, nearest

HERE = Where("styles/top/draft.yaml", 31)


def test_sentence_begins_with_file_and_line_and_ends_with_what_would_mend_it() -> None:
    problem = Problem("seam-unequal", "error", HERE, "the seam is 13.5 mm out", "Add ease.")
    assert problem.sentence() == "styles/top/draft.yaml:31: the seam is 13.5 mm out. Add ease."


def test_sentence_without_place_or_mend_is_only_what_is_wrong() -> None:
    assert Problem("x", "note", None, "nothing is cut").sentence() == "nothing is cut."


def test_fault_is_a_value_error_and_tells_every_problem() -> None:
    fault = Fault([Problem("a", "error", HERE, "one"), Problem("b", "error", None, "two")])
    assert isinstance(fault, ValueError)
    assert str(fault) == "styles/top/draft.yaml:31: one.\ntwo."


def test_fault_survives_the_way_to_another_process() -> None:
    fault = Fault.of("a", "one", HERE, "Mend it.")
    assert pickle.loads(pickle.dumps(fault)).problems == fault.problems


def test_fault_takes_a_place_only_where_it_has_none() -> None:
    placed = Fault([Problem("a", "error", None, "one"), Problem("b", "error", HERE, "two")]).at(Where("x", 1))
    assert [p.where for p in placed.problems] == [Where("x", 1), HERE]


def test_collector_keeps_order_and_each_finding_once() -> None:
    collector = Collector()
    collector.warning("w", None, "careful")
    with collector.catching():
        raise Fault.of("e", "wrong", HERE)
    collector.error("e", HERE, "wrong")
    assert [p.code for p in collector.problems] == ["w", "e"]
    with pytest.raises(Fault) as caught:
        collector.raise_if_errors()
    assert [p.severity for p in caught.value.problems] == ["warning", "error"]


def test_collector_with_warnings_alone_raises_nothing() -> None:
    collector = Collector()
    collector.warning("w", None, "careful")
    collector.note("n", None, "by the way")
    collector.raise_if_errors()


@pytest.mark.parametrize(
    ("name", "known", "words"),
    [
        ("shoulde", ["shoulder", "side"], " Did you mean 'shoulder'? Known: shoulder, side."),
        ("zzz", ["shoulder", "side"], " Known: shoulder, side."),
        ("a", [], ""),
    ],
)
def test_nearest_names_the_closest_and_the_known(name: str, known: list[str], words: str) -> None:
    assert nearest(name, known) == words


def test_nearest_cuts_a_long_list_short() -> None:
    assert nearest("q", [f"edge_{n}" for n in range(20)]).endswith("edge_15 and 4 more.")
