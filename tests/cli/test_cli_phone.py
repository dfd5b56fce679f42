"""The command that builds the app for phones, where no network is needed; tests/phone builds it whole."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from field_app.cli import main


def call(*args):
    return CliRunner().invoke(main, ["phone", *map(str, args)], catch_exceptions=False)


def test_a_foreign_folder_is_left_alone(tmp_path):
    """A folder with anything in it that the command did not make is refused with code 2, and keeps what it holds."""
    (tmp_path / "letters.txt").write_text("dear", encoding="utf-8")
    result = call(tmp_path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "holds things that this command did not make" in result.stderr
    assert "Name a folder that is empty" in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["letters.txt"]


@pytest.mark.parametrize("mark", ["", "[]", "{}", '{"made_by": "another"}'])
def test_a_mark_of_another_is_no_mark(tmp_path, mark):
    """A folder with a build.json that is not ours is foreign too."""
    (tmp_path / "build.json").write_text(mark, encoding="utf-8")
    result = call(tmp_path)
    assert result.exit_code == 2
    assert (tmp_path / "build.json").read_text(encoding="utf-8") == mark


def test_a_file_is_no_folder(tmp_path):
    """A file in the place of the folder is refused, and stays."""
    (tmp_path / "it").write_text("dear", encoding="utf-8")
    result = call(tmp_path / "it")
    assert result.exit_code == 2
    assert (tmp_path / "it").read_text(encoding="utf-8") == "dear"


@pytest.mark.parametrize("base", ["field-book", "/field-book", "field-book/", "https://example.org/", "//", "/a b/",
                                  '/"><script>/', "/a//b/", ""])
def test_a_base_that_is_no_path_is_refused(tmp_path, base):
    """Only the path of a folder on a host is one; nothing is made otherwise."""
    result = call(tmp_path / "new", "--base-url", base)
    assert result.exit_code == 2
    assert "is not the path of a folder on a host" in result.stderr
    assert not Path(tmp_path / "new").exists()


def test_no_network_is_told(tmp_path, monkeypatch):
    """Where the packages can't be had, that is said with code 1, and there is no half of a folder."""
    for name in ("PIP_INDEX_URL", "PIP_EXTRA_INDEX_URL"):
        monkeypatch.setenv(name, "http://127.0.0.1:9/")
    monkeypatch.setenv("PIP_NO_CACHE_DIR", "1")
    monkeypatch.setenv("PIP_RETRIES", "0")
    result = call(tmp_path / "new")
    assert result.exit_code == 1, result.stderr
    assert "could not be fetched" in result.stderr
    assert "Connect this machine to the network" in result.stderr
    assert list(tmp_path.iterdir()) == []
