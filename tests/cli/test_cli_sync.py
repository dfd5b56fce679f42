"""The commands of a group and of a lot's later life: results, messages, JSON, exit codes."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main
from field_app.cli_sync import COMMANDS
from tests.handover.scene import opened
from tests.sync.make_golden import GROUP, PLANNER

AS_OF = "2026-10-08T15:00:00-02:00"


@pytest.fixture
def call(tmp_path):
    """Runs a command on one of several data folders."""
    def run(*args, data="mill", as_of=AS_OF, code=0):
        result = CliRunner().invoke(main, ["--data", str(tmp_path / data), "--as-of", as_of, *map(str, args)],
                                    env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
        assert result.exit_code == code, (result.stdout, result.stderr)
        return result
    return run


def parsed(result):
    return json.loads(result.stdout)


def a_lot(call, data="mill", gross="14,2 kg"):
    if data == "mill" and not parsed(call("site", "list", "--json")):
        call("site", "add", "Mill lane", "--at", "44.01234, -28.00567", "--material", "black-walnut")
    return parsed(call("log", "--site", "Mill lane", "--material", "black-walnut", "--ripe", "fallen", "--gross", gross,
                       "--json", data=data))


@pytest.fixture
def shared(tmp_path):
    (tmp_path / "shared").mkdir()
    return tmp_path / "shared"


def test_a_lot_is_weighed_drawn_from_undone_and_withdrawn(call):
    """Each deed says what is left; undoing takes back the last one, and once more brings it back."""
    code = a_lot(call)["code"]
    told = call("step", code, "dried", "--mass", "2,1 kg", "--nuts", "3 kg", "--note", "in the loft")
    assert told.stdout == f"Noted. Lot {code} is dried; 2.1 kg (2.0–2.2) left. 3 kg of nuts are kept.\n"
    drawn = parsed(call("draw", code, "1,5 kg", "--for", "shawl", "--by", "the dye house", "--json"))
    assert drawn["left"]["central"] == pytest.approx(0.6)
    assert (drawn["state"], drawn["overdraft"], drawn["nuts_kg"]) == ("dried", 0, 3)
    assert call("undo").stdout == "Undone: draw withdrawn.\n"
    assert parsed(call("undo", "--json"))["deed"] == "brought back"
    assert "0.5 kg is drawn. Lot" in call("draw", code, "0.5 kg").stdout
    assert "is withdrawn" in call("withdraw", code).stdout
    assert parsed(call("lots", "--json")) == []
    assert parsed(call("undo", "--json"))["kind"] == "lot"
    assert [lot["code"] for lot in parsed(call("lots", "--json"))] == [code]
    assert parsed(call("withdraw", code, "--json"))["withdrawn"] is True


def test_a_lot_withdrawn_elsewhere_is_listed_and_brought_back(call, shared):
    """The other device lists what was withdrawn, with what it was and where, and brings it back for both."""
    code = a_lot(call)["code"]
    assert "No lot is withdrawn." in call("bring-back").stderr
    call("withdraw", code)
    call("sync", str(shared))
    call("sync", str(shared), data="ford")
    line = call("bring-back", data="ford").stdout
    assert line.startswith(f"{code} · 14.2 kg (13.8–14.6) of black walnut, whole fruit, fallen")
    assert "Mill lane, 8 Oct 2026 · withdrawn 8 Oct 2026" in line
    (found,) = parsed(call("bring-back", "--json", data="ford"))
    assert (found["code"], found["lot"]["code"]) == (code, code)
    assert call("bring-back", code, data="ford").stdout.startswith(f"Brought back. Lot {code} is gathered; 14.2 kg")
    assert "is not taken back" in call("bring-back", code, data="ford", code=2).stderr
    call("sync", str(shared), data="ford")
    call("sync", str(shared))
    assert [lot["code"] for lot in parsed(call("lots", "--json"))] == [code]


def test_a_wrong_call_is_refused_with_words_and_code_2(call):
    """Too much drawn, an unknown lot or step, a time to come, nothing to undo: nothing changes."""
    assert "nothing was done on this device yet" in call("undo", code=2).stderr
    code = a_lot(call)["code"]
    before = parsed(call("history", code, "--json"))
    assert "more than is left" in call("draw", code, "99 kg", code=2).stderr
    assert "no lot has the code" in call("draw", "ZZZZ", "1 kg", code=2).stderr
    assert "still to come" in call("step", code, "soaked", "--when", "2026-10-09", code=2).stderr
    assert "blessed" in call("step", code, "blessed", code=2).stderr
    assert "nobody disagrees" in call("settle", code, "--choose", "1", code=2).stderr
    assert "is no folder" in call("sync", "nowhere", code=2).stderr
    assert "can't be read" in call("merge", "nowhere.zip", code=2).stderr
    assert parsed(call("history", code, "--json")) == before


def test_two_folders_agree_through_a_shared_one(call, shared):
    """The first sync says that exact places are inside; the other has the lot, draws from it, and both know it."""
    code = a_lot(call)["code"]
    first = call("sync", shared)
    assert "exact places" in first.stderr
    assert "is written." in first.stdout
    met = parsed(call("sync", shared, "--json", data="ford"))
    assert met["new"] == 2
    assert parsed(call("lots", "--json", data="ford"))[0]["code"] == code
    again = call("sync", shared)
    assert again.stderr == ""
    assert again.stdout.splitlines()[0] == "Nothing new in 2 files."
    assert again.stdout.splitlines()[1].endswith("was up to date.")
    later = "2026-10-08T16:00:00-02:00"
    call("step", code, "weighed", "--mass", "12 kg", as_of=later)
    call("withdraw", code, as_of=later)
    call("undo", as_of=later)
    call("draw", code, "2 kg", data="ford", as_of=later)
    call("sync", shared, as_of=later)
    call("sync", shared, data="ford", as_of=later)
    told = call("history", code, data="ford", as_of=later).stdout
    for words in (" · Logged: how much: on the scale 14,2 kg; what: whole black walnuts", "Weighed again",
                  " · Taken from it: how much: 2 kg", "Brought back"):
        assert words in told


def test_where_people_disagree_comes_first_and_is_settled_by_number(call):
    """The history numbers what may be chosen; choosing one leaves nothing to choose."""
    call("merge", GROUP)
    (code,) = [lot["code"] for lot in parsed(call("lots", "--json")) if lot["basis"] == "weighed"]
    told = call("history", code)
    assert told.stdout.startswith("People disagree:\n  1  lot, ")
    assert f"field-app settle \"{code}\" --choose 1" in told.stderr
    data = parsed(call("history", code, "--json"))
    other = next(choice for choice in data["choices"] if not choice["holds"])
    assert "none of 1 to 2" in call("settle", code, "--choose", "9", code=2).stderr
    assert "31 lb 4 oz" in other["says"]
    assert call("settle", code, "--choose", other["number"]).stdout.startswith(f"Settled for {code}: lot, how much")
    assert parsed(call("history", code, "--json"))["choices"] == []
    (lot,) = [lot for lot in parsed(call("lots", "--json")) if lot["code"] == code]
    assert lot["net_mass"]["central"] == pytest.approx(28.75 * 0.45359237)


def test_merging_tells_what_came_and_ends_with_the_right_code(call, tmp_path):
    """Whole: 0. Harmed: 1, with the place. A planner's file: 2, with words. Others of the same call are taken."""
    result = call("merge", GROUP, "--json")
    assert parsed(result)[0] | {"problems": [], "devices": {}} == {
        "file": "group-1.zip", "new": 13, "known": 0, "set_aside": 0, "cloned": False, "cut": False, "notes": [],
        "devices": {}, "problems": []}
    assert call("merge", GROUP).stdout == "group-1.zip: 0 new, 13 known already.\n"
    harmed = tmp_path / "harmed.zip"
    harmed.write_bytes(GROUP.read_bytes().replace(b"under the big limb", b"under the pig limb", 1))
    told = call("merge", harmed, data="ford", code=1)
    assert "harmed.zip, versions.geojsons record " in told.stderr
    assert "1 set aside" in told.stdout
    told = call("merge", PLANNER, GROUP, data="oak", code=2)
    assert "is a planner's file" in told.stderr
    assert "group-1.zip: 13 new" in told.stdout


def test_a_list_of_draws_is_merged_with_its_rows(call, tmp_path):
    """draws.csv is taken once, and a wrong row is named while the others count."""
    code = a_lot(call)["code"]
    path = tmp_path / "draws.csv"
    path.write_text(f"draw_id,lot,amount,unit,purpose\r\nday-1,{code},3,kg,shawl\r\nday-2,{code},\"3,5\",kg,x\r\n")
    told = call("merge", path, code=1)
    assert told.stdout == "draws.csv: 1 new, 0 known already.\n"
    assert "draws.csv row 3, amount" in told.stderr
    path.write_text(f"draw_id,lot,amount,unit,purpose\r\nday-1,{code},3,kg,shawl\r\n")
    assert call("merge", path).stdout == "draws.csv: 0 new, 1 known already.\n"


def test_problems_in_a_shared_folder_end_with_1_overdrafts_do_not(call, shared):
    """A harmed file is a fault of the data; that two people drew too much is for them to settle."""
    code = a_lot(call, gross="11,1 kg")["code"]
    call("sync", shared)
    call("sync", shared, data="ford")
    call("draw", code, "9 kg")
    call("draw", code, "8 kg", data="ford")
    call("sync", shared)
    told = call("sync", shared, data="ford")
    assert f"Overdraft of lot {code}: " in told.stdout
    (shared / "harvest-lots.x (1).zip").write_bytes(GROUP.read_bytes()[:9000])
    told = call("sync", shared, code=1)
    assert "harvest-lots.x (1).zip" in told.stderr


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.name)
def test_every_command_helps_with_an_example_and_json(command):
    """The help of each command shows how it is called, and that programs may have JSON."""
    assert main.commands[command.name] is command
    result = CliRunner().invoke(main, [command.name, "--help"])
    assert f"Example:\n    field-app {command.name}" in result.output
    assert "--json" in result.output


def test_words_for_people_name_this_device_and_plain_times(call, shared):
    """The history says which entries are one's own, and times as people write them; programs get them exact."""
    code = a_lot(call)["code"]
    assert call("sync", shared).stdout.startswith("No file of others is there yet.\n")
    call("sync", shared, data="ford")
    call("draw", code, "2 kg", data="ford")
    own, drawn = call("history", code, data="ford").stdout.splitlines()
    assert " · device " in own
    assert "when: today, 15:00" in own
    assert " · this device · Taken from it: how much: 2 kg; " in drawn
    assert parsed(call("history", code, "--json"))["history"][0]["says"]["when"] == AS_OF


def test_the_history_of_a_withdrawn_lot_is_found_by_its_code(call, shared):
    """On every device, though no other command finds it any more."""
    code = a_lot(call)["code"]
    call("withdraw", code)
    call("sync", shared)
    call("sync", shared, data="ford")
    assert "Taken back · holds" in call("history", code.lower(), data="ford").stdout
    assert f"{code} was taken back" in call("draw", code, "1 kg", data="ford", code=2).stderr


def test_notes_of_a_merged_file_are_told(call, tmp_path):
    """A bare list has no checksums: it is taken, and that is said; a cut file says so and keeps what is whole."""
    bare = tmp_path / "versions.geojsons"
    bare.write_bytes(opened(GROUP.read_bytes())["versions.geojsons"])
    told = call("merge", bare)
    assert told.stdout == "versions.geojsons: 13 new, 0 known already.\n"
    assert "without checksums" in told.stderr
    cut = tmp_path / "cut.zip"
    cut.write_bytes(GROUP.read_bytes()[:-100])
    told = call("merge", cut, "--json", data="ford", code=1)
    assert (parsed(told)[0]["new"], parsed(told)[0]["cut"]) == (13, True)
    assert "what was good in it is kept" in told.stderr


def test_the_faults_of_a_list_are_told_in_the_order_of_its_rows(call, tmp_path):
    """A row that can't be read and a lot that is not there: the list can be mended from top to bottom."""
    path = tmp_path / "draws.csv"
    path.write_text("draw_id,lot,amount,unit\r\na,ZZZZ,1,kg\r\nb,ZZZZ,\"3,5\",kg\r\nc,ZZZZ,1,kg\r\n")
    lines = call("merge", path, code=1).stderr.splitlines()
    assert [line.split(",")[0] for line in lines] == ["draws.csv row 2", "draws.csv row 3", "draws.csv row 4"]


def test_check_tells_a_group_file_by_its_name(call, tmp_path):
    """Both profiles are told apart, and one row is one row."""
    told = call("check", GROUP).stdout
    assert told.splitlines()[0].endswith("group-1.zip: a group file of 8 Oct 2026 15:24")
    assert "a planner's file" in call("check", PLANNER).stdout
    cut = tmp_path / "cut.zip"
    cut.write_bytes(GROUP.read_bytes()[:-100])
    assert call("check", cut, code=1).stderr.endswith("\n1 fault.\n")
