"""``steadfoot session report``: one file, where it lies, and each thing that can be wrong in one plain line."""

from __future__ import annotations

import json
import shutil
import sys

import pytest

from tests.helpers import report_jobs as jobs
from tests.helpers.papers.page_parser import Page
from wizard.cli.main import main
from wizard.documents.report import photo_parts


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    root = tmp_path_factory.mktemp("demo")
    return root, jobs.demo_home(root)


@pytest.fixture
def home(made, tmp_path):
    """A copy of the home, and the id of its proved session."""
    root, ids = made
    shutil.copytree(root, tmp_path / "home")
    return tmp_path / "home", ids[jobs.PROVED]


def run(home, *arguments):
    return main(["--home", str(home), "session", "report", *arguments])


def test_it_is_written_into_the_home_and_said_where(home, capsys):
    """By the day and the letter; private like all of a home, and nothing of the session is changed."""
    root, name = home
    folder = root / "sessions" / name
    before = {p.name: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    assert run(root, "2026-01-05-a") == 0
    path = root / "reports" / f"{name}.html"
    assert capsys.readouterr().out.startswith(f"{path}: session {name}, ")
    assert Page.of(path.read_bytes()).named("html") == [{"lang": "en"}]
    assert sys.platform == "win32" or path.stat().st_mode & 0o077 == 0
    assert {p.name: p.read_bytes() for p in folder.rglob("*") if p.is_file()} == before


def test_out_names_a_file_or_a_folder(home, tmp_path, capsys):
    """For programs as JSON; a name of another kind is refused."""
    root, name = home
    assert run(root, name, "--out", str(tmp_path), "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told == {
        "session": name,
        "file": str(tmp_path / f"{name}.html"),
        "bytes": (tmp_path / f"{name}.html").stat().st_size,
        "notes": [],
    }
    assert run(root, name, "--out", str(tmp_path / "x.html")) == 0 and (tmp_path / "x.html").is_file()
    assert run(root, name, "--out", str(tmp_path / "x.txt")) == 2
    assert "a report's file ends in .html" in capsys.readouterr().err
    assert run(root, name, "--out", str(tmp_path / "none" / "x.html")) == 5
    assert "Could not write the report" in capsys.readouterr().err


def test_a_pdf_is_tagged_by_its_standard_and_the_same_twice(home, capsys):
    """PDF/UA-1 says of itself what it is (ISO 14289-1, 5); its tags, title and language are there (7.1, 7.2)."""
    root, name = home
    path = root / "reports" / f"{name}.pdf"
    assert run(root, name, "--pdf") == 0
    data = path.read_bytes()
    assert data.startswith(b"%PDF-1.7") and b"<pdfuaid:part>1</pdfuaid:part>" in data
    assert (
        b"/MarkInfo" in data and b"/Marked true" in data and b"/StructTreeRoot" in data and b"/Lang" in data
    )
    assert run(root, name, "--pdf") == 0
    assert path.read_bytes() == data


def test_a_pdf_without_its_extra_says_what_to_install(home, monkeypatch, capsys):
    """And that the HTML has the same."""
    monkeypatch.setitem(sys.modules, "typst", None)
    root, name = home
    assert run(root, name, "--pdf") == 2
    assert "pip install 'steadfoot[pdf]'. The HTML has the same" in capsys.readouterr().err
    assert not (root / "reports").exists()


def test_a_photo_that_no_viewer_can_decode_is_left_out_of_the_pdf(home, monkeypatch, capsys):
    """What looks like a JPEG by its parts may be none; the rest of the report is made, and its place says so."""
    root, name = home
    assert run(root, name, "--pdf") == 0
    path = root / "reports" / f"{name}.pdf"
    assert path.read_bytes().count(b"/DCTDecode") == 2
    whole = photo_parts.parse_image

    def broken(data, source):
        found = whole(data, source)
        at = found.data.index(b"\xff\xc4") + 4
        return type(found)(
            found.kind, found.width, found.height, found.data[:at] + b"\xff" * 200 + found.data[at + 200 :]
        )

    monkeypatch.setattr(photo_parts, "parse_image", broken)
    assert run(root, name, "--pdf") == 0
    assert path.read_bytes().count(b"/DCTDecode") == 0


def test_a_photo_that_was_altered_or_is_gone_is_not_shown(home):
    """In its place stands why; the other one is shown."""
    root, name = home
    first, second = sorted((root / "sessions" / name / "attachments").iterdir())
    first.write_bytes((jobs.DATA / "damper-new.jpg").read_bytes()[:-2] + b"x\xff\xd9")
    assert run(root, name) == 0
    page = Page.of((root / "reports" / f"{name}.html").read_bytes())
    assert "Not shown: its file is missing, or not the one that was kept; verify the session." in page.text
    assert len(page.named("img")) == 2  # The logo and the other photo.
    second.unlink()
    assert run(root, name) == 0
    assert len(Page.of((root / "reports" / f"{name}.html").read_bytes()).named("img")) == 1


def test_the_photos_of_a_report_are_bounded(home, monkeypatch):
    """Beyond so many bytes in all the next ones are named, and so are those beyond three of a side."""
    root, name = home
    monkeypatch.setattr(photo_parts, "MOST_BYTES", 20_000)
    assert run(root, name) == 0
    page = Page.of((root / "reports" / f"{name}.html").read_bytes())
    assert "Not shown: the photos before it fill the report." in page.text and len(page.named("img")) == 2
    monkeypatch.setattr(photo_parts, "SHOWN", 0)
    assert run(root, name) == 0
    assert (
        "More photos lie with the record: 1."
        in Page.of((root / "reports" / f"{name}.html").read_bytes()).text
    )


def test_another_file_may_name_the_customer(home, tmp_path, capsys):
    """In place of the session's own; one that isn't there is said."""
    root, name = home
    (tmp_path / "c.toml").write_text('name = "B. Ashe"\n', encoding="utf-8")
    assert run(root, name, "--customer", str(tmp_path / "c.toml")) == 0
    text = Page.of((root / "reports" / f"{name}.html").read_bytes()).text
    assert "B. Ashe" in text and "M. Thorne" not in text
    assert run(root, name, "--customer", str(tmp_path / "d.toml")) == 3
    assert "there is no such file" in capsys.readouterr().err


def test_a_mistake_of_the_shop_ends_in_one_line(home, capsys):
    """Exit code 3; no report is written."""
    root, name = home
    (root / "shop.toml").write_text("logo = 'logo.gif'\n", encoding="utf-8")
    assert run(root, name) == 3
    (line,) = capsys.readouterr().err.splitlines()
    assert (
        line.startswith("steadfoot: ") and "there is no such file" in line and not (root / "reports").exists()
    )
