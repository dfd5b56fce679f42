"""How things are shown, by command: once by option or environment, or kept."""

import json
import os
import subprocess
import sys

import pytest

AS_OF = "2026-10-08T15:00:00-02:00"


@pytest.fixture
def call(tmp_path):
    """Run the real command on a folder of its own."""
    def run(*words, env=None):
        command = [sys.executable, "-m", "field_app.cli", "--data", str(tmp_path / "data"), "--as-of", AS_OF, *words]
        return subprocess.run(command, capture_output=True, text=True, check=False, env={**os.environ, **(env or {})})
    return run


def test_the_first_start_surprises_nobody(call):
    """Without a choice it is metric, with a point, the day first, in English."""
    assert call("shown").stdout == "Shown so: 8.1 kg (7.0–9.6), 30 L, 60 °C, 8 Oct 2026 15:00, in English.\n"


def test_an_option_holds_once_and_a_choice_is_kept(call):
    """An option before the command holds for that call; what the command keeps holds for every later one."""
    once = call("--measures", "us", "--clock", "12", "shown").stdout
    assert once == "Shown so: 17.9 lb (15.4–21.2), 7.93 gal, 140 °F, 8 Oct 2026 3:00 pm, in English.\n"
    assert "8.1 kg" in call("shown").stdout
    kept = call("shown", "--measures", "imperial", "--decimal", "comma", "--dates", "iso")
    assert kept.stdout == "Shown so: 17,9 lb (15,4–21,2), 6,6 gal, 140 °F, 2026-10-08 15:00, in English.\n"
    assert call("shown").stdout == kept.stdout
    assert "8,1 kg" in call("--measures", "metric", "shown").stdout


def test_the_environment_holds_over_what_was_kept(call):
    """A variable says it for one shell; an option says it for one call and goes before the variable."""
    call("shown", "--decimal", "comma")
    env = {"FIELD_APP_MEASURES": "us", "FIELD_APP_DATES": "month-day", "FIELD_APP_DECIMAL": "point"}
    shown = call("shown", env=env).stdout
    assert shown.startswith("Shown so: 17.9 lb (15.4–21.2), 7.93 gal, 140 °F, Oct 8, 2026 15:00")
    assert "8.1 kg" in call("--measures", "metric", "shown", env=env).stdout


@pytest.mark.parametrize(("words", "env", "where"), [
    (("--measures", "cubits", "shown"), {}, "measures"),
    (("shown", "--hand", "third"), {}, "hand"),
    (("lots",), {"FIELD_APP_DATES": "by the moon"}, "dates"),
])
def test_a_value_that_is_not_offered_is_refused(call, words, env, where):
    """The message says which, and what there is to choose; nothing is kept."""
    result = call(*words, env=env)
    assert (result.returncode, result.stdout) == (2, "")
    assert result.stderr.startswith(f"{where}: ")
    assert "Choose one of: " in result.stderr
    assert "8.1 kg" in call("shown").stdout


def test_what_programs_read_is_not_moved(call):
    """JSON is the same to the byte whatever the person is used to."""
    call("site", "add", "Weir", "--at", "44.0151, -28.0042")
    logged = ("log", "--site", "Weir", "--material", "black-walnut", "--gross", "14,2 kg", "--tare", "1,1 kg")
    call(*logged)
    plain = [call(*words, "--json").stdout for words in (("lots",), ("shown",))]
    used = ("--measures", "us", "--decimal", "comma", "--dates", "iso", "--clock", "12")
    assert call(*used, "lots", "--json").stdout == plain[0]
    assert json.loads(plain[0])[0]["net_mass"]["unit"] == "kg"
    assert json.loads(plain[1])["measures"] == "metric"
