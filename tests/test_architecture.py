"""The house as DEVELOPERS.md draws it: who may import whom, and what each room must not do."""

import ast
from functools import cache
from pathlib import Path

import pytest
from conftest import ROOT

PACKAGE = Path(__file__).resolve().parent.parent / "compiler"

# in import order: a room may import itself and the rooms before it
ROOMS = (
    "compiled",
    "diagnostics",
    "units",
    "geometry",
    "drawing",
    "solid",
    "job",
    "knowledge",
    "spec",
    "part",
    "plan",
    "motion",
    "paths",
    "write",
    "read",
    "simulate",
    "judge",
    "prove_out",
    "selection",
    "pictures",
    "sheet",
    "view",
    "survey",
    "compare",
    "road",
    "commands",
)
# what proves must share no code with what plans and writes; values are common vocabulary
PROVING = ("read", "simulate", "judge")
PLANNING = ("knowledge.cutting", "spec", "plan", "paths", "write")
VALUES_FOR_ALL = ("compiler.plan.model",)

FILES = sorted(PACKAGE.rglob("*.py"))


@cache
def parsed(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def room_of(module: str) -> str | None:
    parts = module.split(".")
    return parts[1] if len(parts) > 1 and parts[0] == "compiler" else None


def module_name(file: Path) -> str:
    parts = list(file.relative_to(PACKAGE.parent).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


BY_ROOM: dict[str, list[Path]] = {}
for each in FILES:
    BY_ROOM.setdefault(room_of(module_name(each)) or "", []).append(each)
by_room = pytest.mark.parametrize("files", BY_ROOM.values(), ids=BY_ROOM)


def imports(tree: ast.AST) -> list[tuple[str, int]]:
    """Every module of ours that is imported anywhere in a file, functions included."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found += [(alias.name, node.lineno) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"relative import in line {node.lineno}"
            found.append((node.module or "", node.lineno))
    return [(name, line) for name, line in found if name.split(".")[0] == "compiler"]


def top_level_imports(tree: ast.Module) -> set[str]:
    names: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").split(".")[0])
    return names


@by_room
def test_imports_go_one_way(files: list[Path]) -> None:
    for file in files:
        own = room_of(module_name(file))
        if own is None or own == "__main__":
            continue
        for name, line in imports(parsed(file)):
            room = room_of(name)
            if room is None:  # the package's root holds the version and nothing else
                continue
            assert ROOMS.index(room) <= ROOMS.index(own), f"{file}:{line} imports {name}"


@pytest.mark.parametrize("room", PROVING)
def test_what_proves_shares_no_code_with_what_plans(room: str) -> None:
    for file in BY_ROOM[room]:
        for name, line in imports(parsed(file)):
            if name in VALUES_FOR_ALL:
                continue
            below = name.removeprefix("compiler.")
            assert not any(below == p or below.startswith(p + ".") for p in PLANNING), (
                f"{file}:{line} imports {name}"
            )


def test_every_room_is_on_the_list() -> None:
    rooms = {path.stem for path in PACKAGE.iterdir() if not path.name.startswith("_")} - {"py"}
    assert rooms - {"py.typed"} <= set(ROOMS)


@by_room
def test_only_commands_touch_the_world(files: list[Path]) -> None:
    forbidden = {"time", "datetime", "random", "subprocess", "argparse", "locale"}
    for file in files:
        if room_of(module_name(file)) in ("commands", "__main__"):
            continue
        assert not top_level_imports(parsed(file)) & forbidden, file
        for node in ast.walk(parsed(file)):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                called = node.func.id
                assert called not in ("print", "input", "exec", "eval"), f"{file}:{node.lineno}"
            if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                used = (node.value.id, node.attr)
                assert used not in (("os", "environ"), ("sys", "exit")), f"{file}:{node.lineno}"


@by_room
def test_files_hold_one_idea(files: list[Path]) -> None:
    for file in files:
        assert ast.get_docstring(parsed(file)), f"{file}: a module says what it is for"
        # machine code is of one file with all that it calls
        most = 560 if compiled_functions(parsed(file)) else 400
        assert file.read_text(encoding="utf-8").count("\n") <= most, f"{file}: split it"


def compiled_functions(tree: ast.Module) -> list[ast.FunctionDef]:
    return [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef)
        and any(isinstance(d, ast.Name) and d.id == "compiled" for d in node.decorator_list)
    ]


@by_room
def test_compiled_functions_use_only_their_own_file(files: list[Path]) -> None:
    """Machine code is kept as long as its file is the same: what it uses must be in that file."""
    for file in files:
        elsewhere = {
            alias.asname or alias.name
            for node in ast.walk(parsed(file))
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("compiler")
            for alias in node.names
        }
        for function in compiled_functions(parsed(file)):
            names = (n for stmt in function.body for n in ast.walk(stmt))
            used = {n.id for n in names if isinstance(n, ast.Name)}
            assert not used & elsewhere, f"{file}: {function.name} uses {used & elsewhere}"


@pytest.mark.parametrize(
    ("words", "heavy"),
    [
        (["explain"], "shapely numpy numba pydantic reportlab yaml ezdxf"),
        (["lines", "specs/finder-bracket.yaml"], "shapely numba reportlab ezdxf"),
        (["check", "specs/finder-bracket.yaml"], "numba reportlab ezdxf"),
    ],
    ids=["help and explain", "lines", "check"],
)
def test_quick_commands_import_nothing_heavy(words: list[str], heavy: str) -> None:
    """They must not wait for libraries that they do not need."""
    import subprocess
    import sys

    code = (
        "import sys; from compiler.commands.main import main, parser; parser().format_help(); "
        f"main({words}); found = set({heavy.split()}) & set(sys.modules); "
        "sys.exit(f'imported {found}' if found else 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0, done.stderr
