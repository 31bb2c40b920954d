"""The house rules that a linter contract cannot say."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HEAVY = ("duckdb", "polars", "altair", "scipy", "numpy", "textual", "rich")
SQL_START = re.compile(
    r"^\s*(SELECT\s|INSERT\s+INTO|UPDATE\s+\w+\s+SET|DELETE\s+FROM|CREATE\s+(TEMP|TABLE|VIEW)|WITH\s+\w+\s+AS\s*\()"
)


def _modules(*folders: str) -> list[Path]:
    return [p for folder in folders for p in sorted((ROOT / folder).rglob("*.py"))]


def _loaded_after(code: str) -> set[str]:
    script = f"import sys\n{code}\nprint('\\n'.join(sys.modules), file=sys.stderr)"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, check=True
    )
    return {line.partition(".")[0] for line in done.stderr.splitlines()}


@pytest.mark.parametrize(
    "code",
    [
        "import ledger",
        "import ledger.cli",
        "import tui.launch",
        "from ledger.cli.run import run\nrun(['--help'])",
        "from ledger.cli.run import run\nrun(['--version'])",
    ],
)
def test_nothing_heavy_is_loaded_before_it_is_needed(code: str) -> None:
    loaded = _loaded_after(code)

    assert loaded.isdisjoint(HEAVY), sorted(loaded.intersection(HEAVY))
    assert "ledger" in loaded or "tui" in loaded


def test_the_library_never_loads_the_terminal_program() -> None:
    loaded = _loaded_after("import ledger.book, ledger.charts.registry, ledger.cli.asking")

    assert "tui" not in loaded
    assert "textual" not in loaded
    assert "rich" not in loaded


def test_sql_stands_only_in_sql_files() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{node.lineno}: {node.value[:60]}"
        for path in _modules("ledger", "tui")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and SQL_START.match(node.value)
    ]

    assert found == []


def test_the_file_is_connected_to_in_one_module_only() -> None:
    callers = [
        path.relative_to(ROOT).as_posix()
        for path in _modules("ledger", "tui")
        if re.search(r"duckdb\.connect\(", path.read_text(encoding="utf-8"))
    ]

    assert callers == ["ledger/store/connection.py"]


def _code_lines(node: ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a definition without its docstrings: what is explained well is not long."""
    lines = (node.end_lineno or node.lineno) - node.lineno + 1
    for inner in ast.walk(node):
        if (
            isinstance(inner, ast.Expr)
            and isinstance(inner.value, ast.Constant)
            and isinstance(inner.value.value, str)
        ):
            lines -= (inner.end_lineno or inner.lineno) - inner.lineno + 1
    return lines


def _too_long(path: Path) -> list[str]:
    # 400, 250 and 50 lines are the house's own signs: common practice, no source.
    text = path.read_text(encoding="utf-8")
    name = path.relative_to(ROOT).as_posix()
    found = [name] if text.count("\n") > 400 else []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            most = 250 if isinstance(node, ast.ClassDef) else 50
            lines = _code_lines(node)
            found += [f"{name}: {node.name} has {lines} lines of code"] if lines > most else []
    return found


def test_no_module_has_grown_into_two() -> None:
    assert [
        line for path in _modules("ledger", "tui", "demo_data") for line in _too_long(path)
    ] == []


def test_imports_go_one_way() -> None:
    pytest.importorskip("importlinter")

    done = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c()"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )

    assert done.returncode == 0, done.stdout[-2000:]
