"""The commands for the data folder as a whole: kept safe in one file, put back, looked over."""

import json
import sqlite3
import zipfile

import pytest
from click.testing import CliRunner

from field_app.cli import main
from field_app.store import DATABASE
from tests.store.files import contents

AS_OF = "2026-10-08T15:00:00-02:00"


@pytest.fixture
def call(tmp_path):
    def run(*args, data="data"):
        return CliRunner().invoke(main, ["--data", str(tmp_path / data), "--as-of", AS_OF, *map(str, args)],
                                  env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
    return run


def parsed(result):
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def add(call, name, data="data"):
    return parsed(call("site", "add", name, "--at", "44.01234, -28.00567", "--json", data=data))


def names(call, data="data"):
    return [site["name"] for site in parsed(call("site", "list", "--json", data=data))]


def damage(folder, *deeds):
    """Change the folder as a bad disk might, which asks no trigger."""
    connection = sqlite3.connect(folder / DATABASE, isolation_level=None)
    guards = connection.execute("select name, sql from sqlite_schema where type = 'trigger'").fetchall()
    for name, _ in guards:
        connection.execute(f"drop trigger {name}")
    for deed in deeds:
        assert connection.execute(deed).rowcount > 0
    for _, guard in guards:
        connection.execute(guard)
    connection.close()


def test_a_backup_brings_everything_back(call, tmp_path):
    """What was backed up is there again after restoring, and what was there meanwhile is kept beside."""
    add(call, "Mill lane")
    made = parsed(call("backup", tmp_path / "backup.zip", "--json"))
    assert (made["file"], made["versions"]) == (str(tmp_path / "backup.zip"), 1)
    assert made["bytes"] == (tmp_path / "backup.zip").stat().st_size
    add(call, "Ford bend")
    back = parsed(call("restore", tmp_path / "backup.zip", "--json"))
    assert back == {"folder": str(tmp_path / "data"), "versions": 1, "photographs": 0,
                    "kept": str(tmp_path / "data-before-restore-1"), "notes": []}
    assert names(call) == ["Mill lane"]
    assert names(call, data="data-before-restore-1") == ["Ford bend", "Mill lane"]
    assert parsed(call("inspect", "--json"))["problems"] == []


def test_words_say_where_everything_is(call, tmp_path):
    """In words: what was written, what to do with it, and where the former data are."""
    add(call, "Mill lane")
    made = call("backup", tmp_path / "backup.zip")
    assert made.stdout.startswith(f"{tmp_path / 'backup.zip'}: 1 record, ")
    assert "written and read back" in made.stdout
    assert "another disk" in made.stderr
    back = call("restore", tmp_path / "backup.zip")
    assert back.stdout == f"{tmp_path / 'data'} holds 1 record of backup.zip now.\n"
    assert back.stderr == f"What was there before is kept in {tmp_path / 'data-before-restore-1'}\n"
    fresh = call("restore", tmp_path / "backup.zip", data="new")
    assert (fresh.exit_code, fresh.stderr) == (0, "")


def test_an_earlier_backup_is_replaced_and_nothing_else(call, tmp_path):
    """A backup takes the place of a backup; any other file of that name is refused and stays."""
    add(call, "Mill lane")
    for versions in (1, 2):
        assert parsed(call("backup", tmp_path / "backup.zip", "--json"))["versions"] == versions
        add(call, f"Place {versions}")
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear miller")
    for path in (letter, tmp_path / "data" / DATABASE):
        before = path.read_bytes()
        result = call("backup", path)
        assert (result.exit_code, result.stdout) == (2, "")
        assert "no whole backup" in result.stderr
        assert path.read_bytes() == before


def test_a_faulty_backup_changes_nothing(call, tmp_path):
    """A file that is no backup, is cut, or is not there is refused with exit code 2; the data stay to the byte."""
    add(call, "Mill lane")
    parsed(call("backup", tmp_path / "backup.zip", "--json"))
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as other:
        other.writestr("letter.txt", "Dear miller")
    whole = (tmp_path / "backup.zip").read_bytes()
    (tmp_path / "cut.zip").write_bytes(whole[:len(whole) // 2])
    before = contents(tmp_path / "data")
    for name in ("other.zip", "cut.zip", "missing.zip"):
        result = call("restore", tmp_path / name)
        assert (result.exit_code, result.stdout) == (2, "")
        assert name in result.stderr
        assert "Nothing was changed" in result.stderr
        kept = contents(tmp_path / "data")
        assert {one: kept[one] for one in kept if one != "."} == {one: before[one] for one in before if one != "."}
    assert not [path for path in tmp_path.iterdir() if "before-restore" in path.name]


@pytest.mark.parametrize("command", [["backup", "backup.zip"], ["inspect"]], ids=" ".join)
def test_an_empty_folder_is_no_data(call, tmp_path, monkeypatch, command):
    """A folder with nothing in it, as after a slip in its name, is refused, and neither it nor a file is made."""
    monkeypatch.chdir(tmp_path)
    result = call(*command)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "holds nothing" in result.stderr
    assert "--data" in result.stderr
    assert [*tmp_path.iterdir()] == []


def test_a_sound_folder_is_told_to_be_sound(call, tmp_path):
    """Without damage the exit code is 0, and what the folder holds is told; the file stays to the byte."""
    add(call, "Mill lane")
    before = (tmp_path / "data" / DATABASE).read_bytes()
    result = call("inspect")
    assert result.exit_code == 0
    assert result.stdout == f"{tmp_path / 'data'}: 1 place, 0 lots. Nothing is wrong with it.\n"
    found = parsed(call("inspect", "--json"))
    assert found == {"folder": str(tmp_path / "data"), "sites": 1, "lots": 0, "problems": [], "notes": []}
    assert (tmp_path / "data" / DATABASE).read_bytes() == before


def test_damage_is_found_and_exits_1(call, tmp_path):
    """A record that the disk changed is named with what to do, in words and as JSON, and the exit code is 1."""
    add(call, "Mill lane")
    damage(tmp_path / "data", "update version set text = '{}'")
    result = call("inspect")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "version 1: its bytes are not those it is named by" in result.stderr
    assert "put a backup in its place" in result.stderr
    found = call("inspect", "--json")
    assert found.exit_code == 1
    assert [problem["where"] for problem in json.loads(found.stdout)["problems"]] == ["version 1"]


def test_a_folder_that_does_not_open_is_a_finding(call, tmp_path):
    """Where the file is too damaged to be opened that is told like other damage, and restoring mends it."""
    add(call, "Mill lane")
    parsed(call("backup", tmp_path / "backup.zip", "--json"))
    path = tmp_path / "data" / DATABASE
    path.write_bytes(path.read_bytes()[:5000])
    found = call("inspect", "--json")
    assert found.exit_code == 1
    (problem,) = json.loads(found.stdout)["problems"]
    assert "backup" in problem["fix"]
    assert parsed(call("restore", tmp_path / "backup.zip", "--json"))["versions"] == 1
    assert call("inspect").exit_code == 0
    assert names(call) == ["Mill lane"]


def test_what_holds_is_mended(call, tmp_path):
    """Damage in what holds alone is found with the way to mend it, and that way mends it."""
    add(call, "Mill lane")
    damage(tmp_path / "data", "delete from thing")
    result = call("inspect")
    assert result.exit_code == 1
    assert "field-app inspect --mend" in result.stderr
    assert call("inspect", "--mend").exit_code == 0
    assert call("inspect").exit_code == 0
    assert names(call) == ["Mill lane"]


def test_a_copied_folder_is_noted_and_no_fault(call, tmp_path):
    """A folder that was copied is told of as a note, with exit code 0."""
    add(call, "Mill lane")
    data = (tmp_path / "data" / DATABASE).read_bytes()
    (tmp_path / "copy").mkdir()
    (tmp_path / "copy" / DATABASE).write_bytes(data)
    result = call("inspect", data="copy")
    assert result.exit_code == 0
    assert result.stderr.startswith("Note: this device: ")


@pytest.mark.parametrize("command", ["backup", "restore", "inspect"])
def test_every_command_has_help_with_an_example(command):
    """Each command explains itself with an example."""
    result = CliRunner().invoke(main, [command, "--help"])
    assert result.exit_code == 0
    assert f"field-app {command}" in result.stdout.split("Example:")[1]
