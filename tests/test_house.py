"""The house keeps its floors: who imports whom, what is imported late, what every command and its papers must
have.
"""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import click
import pytest

from wizard import errors
from wizard.cli.main import steadfoot
from wizard.errors import EXIT_CODES, SteadfootError

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
HEAVY = (
    "numpy",
    "scipy",
    "soundfile",
    "av",
    "pydantic",
    "tree_sitter",
    "tree_sitter_toml",
    "jinja2",
    "sqlalchemy",
    "typst",
    "cryptography",
)
"""Textual's TextArea brings tree_sitter in where it is installed, so what uses one comes late too."""
FLOORS = (
    "cli",
    "lines",
    "screens",
    "platform",
    "practice",
    "learning",
    "archive",
    "review",
    "flowcheck",
    "sessions",
    "documents",
    "engine",
    "trust",
    "journal",
    "diagnosis",
    "flow",
    "safety",
    "calculators",
    "recordings",
    "measure",
    "foreign",
    "domain",
)


def modules_after(statement: str) -> set[str]:
    """The top names of all modules that are there after a statement in a fresh Python."""
    code = f"{statement}\nimport sys\nprint(' '.join({{name.partition('.')[0] for name in sys.modules}}))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, encoding="utf-8", cwd=ROOT, timeout=120
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


def files_of(floor: str) -> list[Path]:
    """The modules of a floor."""
    return sorted((ROOT / "wizard" / floor).rglob("*.py"))


def commands(group: click.Group = steadfoot, path: str = "steadfoot") -> Iterator[tuple[str, click.Command]]:
    """Every command with the words that call it."""
    context = click.Context(group, info_name=path)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None
        yield f"{path} {name}", command
        if isinstance(command, click.Group):
            yield from commands(command, f"{path} {name}")


@pytest.mark.parametrize("floor", [f for f in FLOORS if f not in ("cli", "screens")])
def test_nothing_below_the_screens_imports_textual(floor: str) -> None:
    """Each floor, imported whole and alone, brings in no Textual and no click."""
    names = [path.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".") for path in files_of(floor)]
    assert names
    there = modules_after("\n".join(f"import {name}" for name in names))
    assert not there & {"textual", "click"}


def test_the_first_screen_imports_nothing_heavy() -> None:
    """What the home screen needs is there without numpy, pydantic and whatever else takes its time."""
    there = modules_after(
        "import wizard.cli.main, wizard.screens.launch.app, wizard.screens.launch.home_screen\n"
        "import wizard.sessions.session_store"
    )
    assert not there & {*HEAVY, "transitions", "tomli_w"}


def test_the_command_line_imports_neither_screens_nor_engine() -> None:
    """Help comes from one module."""
    assert not modules_after("import wizard.cli.main") & {"textual", "transitions", "tomli_w", *HEAVY}


def test_one_module_knows_the_machine_library() -> None:
    """Only wizard.engine.safety.state_machines imports transitions."""
    knowing = [p for p in (ROOT / "wizard").rglob("*.py") if "transitions" in imported(p)]
    assert [p.relative_to(ROOT).as_posix() for p in knowing] == ["wizard/engine/safety/state_machines.py"]


@pytest.mark.parametrize("floor", [f for f in FLOORS if f not in ("cli", "lines", "screens", "platform")])
def test_nothing_below_the_screens_reads_a_clock(floor: str) -> None:
    """Time is handed in: no module down there calls now(), today() or monotonic()."""
    for path in files_of(floor):
        assert not called(path) & {".now", ".utcnow", ".today", ".monotonic", ".perf_counter"}, path


PAIRED = {
    "wizard/engine/state/job_view.py: of": "It makes the view of the two.",
    "wizard/review/rejudging.py: rejudge": "It judges a job by another flow than its own.",
}
"""The functions that may take a flow, or its rules, and a state beside it, each with the reason."""


def test_who_looks_at_a_job_takes_one_view_of_it() -> None:
    """No function takes a flow (or its rules) beside a state, or beside a view that holds both: JobView is the one."""
    paired = []
    for path in (ROOT / "wizard").rglob("*.py"):
        for one in ast.walk(tree(path)):
            if isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef):
                taken = kinds_taken(one)
                if taken & {"Flow", "Rules"} and taken & {"State", "JobView"}:
                    paired.append(f"{path.relative_to(ROOT).as_posix()}: {one.name}")
    assert sorted(paired) == sorted(PAIRED)


def test_nothing_is_evaluated() -> None:
    """No eval, exec, compile or import of a name from text, wherever it might come from."""
    for path in (ROOT / "wizard").rglob("*.py"):
        assert not called(path) & {"eval", "exec", "compile", "__import__"}, path


GATE = {
    "tomllib": set(),
    "tomli": {"toml_reader.py"},
    "csv": {"recording_text.py", "archive_text.py"},
    "soundfile": {"sound_file.py"},
    "av": {"video_sound.py"},
}
"""What parses text from elsewhere, and the modules that may import it: all of them hold it to its limits."""


def test_foreign_data_has_one_gate() -> None:
    """TOML, CSV, and the inside of a zip are parsed in one place each; JSON is read in one; no file whole but there."""
    for path in (ROOT / "wizard").rglob("*.py"):
        for module, allowed in GATE.items():
            assert module not in imported(path) or path.name in allowed, path
        calls = called(path)
        assert ".loads" not in calls or path.name in {"toml_reader.py", "json_reader.py"}, path
        assert ".infolist" not in calls or path.name == "zip_reader.py", path


def test_every_public_thing_has_a_docstring() -> None:
    """Modules, classes and functions say what they are for."""
    bare = []
    for path in (ROOT / "wizard").rglob("*.py"):
        module = tree(path)
        things = [module, *public(module.body)]
        bare += [f"{path.name}:{getattr(n, 'name', '')}" for n in things if not ast.get_docstring(n)]
    assert bare == []


@pytest.mark.parametrize(("call", "command"), list(commands()), ids=[call for call, _command in commands()])
def test_every_command_has_help_an_example_and_a_line_in_the_readme(
    call: str, command: click.Command
) -> None:
    """The example calls the command itself; every option says what it is for."""
    context = click.Context(command, info_name=call)
    text = command.get_help(context)
    assert re.search(rf"Examples?:\n(.*\n)*? +{re.escape(call)}", text), text
    assert command.help and command.help.strip()
    assert all(p.help for p in command.params if isinstance(p, click.Option))
    if not isinstance(command, click.Group):
        assert call in README


def test_the_exit_codes_are_those_of_the_errors() -> None:
    """Every error's code is in the table, and the README repeats the table word by word."""
    kinds = [k for k in vars(errors).values() if isinstance(k, type) and issubclass(k, SteadfootError)]
    codes = {kind.exit_code for kind in kinds}
    assert codes <= set(EXIT_CODES)
    rows = dict(re.findall(r"^\| (\d+) \| (.+?) \|$", README, re.MULTILINE))
    assert {int(code): says for code, says in rows.items()} == dict(EXIT_CODES)


def test_the_readme_tells_what_is_there() -> None:
    """Every picture and file that the papers link to exists."""
    for text in (README, DEVELOPERS):
        for target in re.findall(r"\]\(([^)#]+)\)", text):
            assert "://" in target or (ROOT / target).exists(), target


def test_the_test_command_of_the_readme_is_what_ci_runs() -> None:
    """.ci/run runs the line that the README gives for the tests."""
    line = next(li for li in README.splitlines() if li.startswith("python3 -m venv") and "pytest" in li)
    assert line in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_package_is_a_floor() -> None:
    """No package stands outside the house."""
    packages = {path.parent.name for path in (ROOT / "wizard").glob("*/__init__.py")}
    assert packages == set(FLOORS)


@pytest.mark.parametrize("floor", FLOORS)
def test_every_floor_is_described(floor: str) -> None:
    """DEVELOPERS.md says what each floor of the house is for."""
    assert re.search(rf"^ *(wizard/)?{floor}/ ", DEVELOPERS, re.MULTILINE)


@cache
def tree(path: Path) -> ast.Module:
    """A module, parsed once."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imported(path: Path) -> set[str]:
    """The top names that a module imports, late imports too."""
    found = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.partition(".")[0])
    return found


def called(path: Path) -> set[str]:
    """The names that a module calls; those of methods and of things in modules begin with a dot."""
    calls = [n.func for n in ast.walk(tree(path)) if isinstance(n, ast.Call)]
    plain = {f.id for f in calls if isinstance(f, ast.Name)}
    return plain | {f".{f.attr}" for f in calls if isinstance(f, ast.Attribute)}


def kinds_taken(function: ast.FunctionDef | ast.AsyncFunctionDef) -> set[str]:
    """What a function's parameters are annotated with; what stands in brackets, as a mapping's values, isn't taken."""
    args = function.args
    every = [*args.posonlyargs, *args.args, *args.kwonlyargs, args.vararg, args.kwarg]
    plain = [a.annotation for a in every if a is not None and isinstance(a.annotation, ast.Name | ast.BinOp)]
    return {n.id for kind in plain for n in ast.walk(kind) if isinstance(n, ast.Name)}


def public(body: list[ast.stmt]) -> Iterator[ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef]:
    """The public classes and functions of a module, and what is public in those classes."""
    for node in body:
        if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef) and node.name[0] != "_":
            yield node
            if isinstance(node, ast.ClassDef):
                yield from public(node.body)
