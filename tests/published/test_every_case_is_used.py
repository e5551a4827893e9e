"""No published case lies in its file unread: a test asks for every identifier."""

import ast
from collections import Counter
from itertools import chain
from pathlib import Path

import pytest

from tests.published import cases

HERE = Path(__file__).parent
FILES = sorted(cases.DATA.glob("*.json"))
# A topic is a letter, its cases are numbered: a1 to a4 and so on.
CASES_PER_TOPIC = {
    "a": 4,
    "b": 2,
    "c": 3,
    "d": 4,
    "e": 3,
    "f": 1,
    "g": 3,
    "h": 5,
    "i": 4,
}


def identifiers(file):
    return [one.values[0]["id"] for one in cases.published_cases(file.stem)]


def words_of_the_tests():
    """Every plain text in the test modules of this folder but this one."""
    for module in HERE.glob("test_*.py"):
        if module != Path(__file__):
            yield from texts(ast.parse(module.read_text(encoding="utf-8")))


def texts(tree):
    return (
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def whole_files_asked_for():
    """Files of which some test takes every case."""
    for module in HERE.glob("test_*.py"):
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id == "published_cases"
            ):
                yield from texts(node)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_case_of_a_file_is_used(file):
    names = identifiers(file)
    assert len(names) == len(set(names)) > 0
    if file.stem not in set(whole_files_asked_for()):
        assert set(names) - set(words_of_the_tests()) == set()


def test_no_case_of_a_topic_is_lost():
    names = chain.from_iterable(map(identifiers, FILES))
    topics = Counter(name[0] for name in names if name[1].isdigit())
    assert topics == CASES_PER_TOPIC


def test_no_identifier_stands_in_two_files():
    names = list(chain.from_iterable(map(identifiers, FILES)))
    assert len(names) == len(set(names))
