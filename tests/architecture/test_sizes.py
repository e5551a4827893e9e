"""Small files and short functions: what grows past the limit is split."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.architecture.places import (
    python_files,
    shown,
    static_files,
    templates,
)

FUNCTION_LIMIT = 40
VIEW_LIMIT = 20
FILE_LIMITS = {".py": 300, ".html": 120, ".js": 120, ".css": 150}


def lines(file: Path) -> int:
    return len(file.read_text(encoding="utf-8").splitlines())


@pytest.mark.parametrize("ending", FILE_LIMITS)
def test_no_file_is_longer_than_its_limit(ending):
    files = {
        ".py": list(python_files()),
        ".html": templates(),
    }.get(ending) or static_files(ending)
    assert files != []
    limit = FILE_LIMITS[ending]
    assert {shown(f): lines(f) for f in files if lines(f) > limit} == {}


def functions(file: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def length(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines without decorators and docstring."""
    total = (function.end_lineno or function.lineno) - function.lineno + 1
    first = function.body[0]
    if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant):
        total -= (first.end_lineno or first.lineno) - first.lineno + 1
    return total


def is_view(file: Path) -> bool:
    return "views" in file.parts or file.name == "views.py"


def test_no_function_is_longer_than_its_limit():
    too_long = {
        f"{shown(file)}: {function.name}": length(function)
        for file in python_files()
        for function in functions(file)
        if length(function) > FUNCTION_LIMIT
    }
    assert too_long == {}


def test_no_view_is_longer_than_its_limit():
    too_long = {
        f"{shown(file)}: {function.name}": length(function)
        for file in python_files()
        if is_view(file)
        for function in functions(file)
        if length(function) > VIEW_LIMIT
    }
    assert too_long == {}
