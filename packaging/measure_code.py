"""Print the measures this code is kept to: `.venv/bin/python packaging/measure_code.py`. It judges nothing."""

import ast
import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import grimp

ROOT = Path(__file__).resolve().parents[1]
LONG_FUNCTION_LINES = 40
COMPLEX = 10
# Tables of columns and migrations are as long as what they describe.
NOT_COUNTED = ("migrations", "tables.py")

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure: what it is, what was found, what we keep to, and where it is worst."""

    what: str
    found: str
    kept_to: str
    worst: str


def main() -> None:
    """Print each measure in a line."""
    for one in (_long_functions(), _complex_functions(), _methods(), _longest_file(), _circles()):
        print(f"{one.what}: {one.found} ({one.kept_to}). {one.worst}".rstrip())


def _files() -> Iterator[Path]:
    yield from sorted((ROOT / "app").rglob("*.py"))


def _name(path: Path) -> str:
    return str(path.relative_to(ROOT))


def _nodes(kind: type[ast.AST] | tuple[type[ast.AST], ...]) -> Iterator[tuple[Path, ast.AST]]:
    for path in _files():
        yield from ((path, node) for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, kind))


def _long_functions() -> Measure:
    lengths = [
        ((node.end_lineno or node.lineno) - node.lineno + 1, f"{_name(path)}:{node.name}")
        for path, node in _nodes((ast.FunctionDef, ast.AsyncFunctionDef))
        if isinstance(node, Function)
    ]
    long = sorted((one for one in lengths if one[0] > LONG_FUNCTION_LINES), reverse=True)
    share = len(long) / len(lengths)
    worst = ", ".join(f"{where} {lines}" for lines, where in long[:5])
    return Measure(
        f"functions over {LONG_FUNCTION_LINES} lines",
        f"{len(long)} of {len(lengths)}, {share:.1%}",
        "under 0.5 %",
        worst,
    )


def _complex_functions() -> Measure:
    rule = ["--select", "C901", "--config", f"lint.mccabe.max-complexity={COMPLEX}", "--output-format", "json"]
    command = [sys.executable, "-m", "ruff", "check", "--isolated", *rule, "app"]
    found = json.loads(subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False).stdout)
    worst = sorted(found, key=lambda one: -int(one["message"].split("(")[1].split()[0]))
    where = ", ".join(f"{Path(one['filename']).name} {one['message'].split('`')[1]}" for one in worst[:5])
    return Measure(f"functions of a complexity over {COMPLEX}", str(len(found)), "under 60", where)


def _methods() -> Measure:
    counts = [
        (sum(isinstance(one, Function) for one in node.body), f"{_name(path)}:{node.name}")
        for path, node in _nodes(ast.ClassDef)
        if isinstance(node, ast.ClassDef)
    ]
    (most, where), *others = sorted(counts, reverse=True)
    return Measure("most methods in a class", str(most), "under 45", f"{where}, then {others[0][1]} {others[0][0]}")


def _longest_file() -> Measure:
    lengths = [
        (len(path.read_text("utf-8").splitlines()), _name(path))
        for path in _files()
        if not any(name in path.parts for name in NOT_COUNTED)
    ]
    (most, where), *others = sorted(lengths, reverse=True)
    return Measure("longest file", f"{most} lines", "under 700", f"{where}, then {others[0][1]} {others[0][0]}")


def _circles() -> Measure:
    graph = grimp.build_graph("app")
    imports = {name: graph.find_modules_directly_imported_by(name) for name in graph.modules}
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as error:
        return Measure("circles of imports", "at least 1", "0", " > ".join(error.args[1][::-1]))
    return Measure("circles of imports", "0", "0", "")


if __name__ == "__main__":
    main()
