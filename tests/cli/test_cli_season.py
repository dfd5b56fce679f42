"""Looking back on the seasons, from the command line."""

import json

import pypdfium2
import pytest
from click.testing import CliRunner

from field_app.cli import main

WINTER = "2026-12-15T15:00:00-02:00"


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "data"
    assert CliRunner().invoke(main, ["demo", str(folder)]).exit_code == 0
    return folder


def run(folder, *args, code=0):
    done = CliRunner().invoke(main, ["--data", str(folder), "--as-of", WINTER, "season", *args],
                              env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
    assert done.exit_code == code, done.output
    return done


def test_the_seasons_are_told_in_words(demo):
    """Each tree with its yields, dates and forecasts, then what was learnt and how good it all was."""
    words = run(demo).stdout
    for part in ("Mill lane, black walnut", "2026  whole fruit", "2025  ready: seen about 20 Sep (± 1 day)",
                 "forecast as the season began, 1 Mar:", "What was learnt",
                 "Alder cones: dry matter, air-dry: ", "by 1 own test",
                 "How good the forecasts were", "inside (", "by chance", "share its weather",
                 "How good the estimates were", "mass by counting: 1 of 1 inside",
                 "thought 14.8 kg (9.5–21.2), came to"):
        assert part in words


def test_a_book_without_a_season_says_so(tmp_path):
    """Nothing learnt and nothing to judge by, and no paper of it."""
    words = run(tmp_path / "new").stdout
    assert "Nothing yet: note a test" in words
    assert "Nothing to judge by yet." in words
    assert "nothing is noted of any yet" in run(tmp_path / "new", str(tmp_path / "x.pdf"), code=2).stderr


def test_the_seasons_are_told_for_programs(demo):
    """The contract: years, trees with yields and seasons, what was learnt, and counts with what chance explains."""
    told = json.loads(run(demo, "--json").stdout)
    assert set(told) == {"year", "years", "trees", "learnt", "forecasts", "estimates"}
    count = told["forecasts"]["week_before"]
    assert count["n"] == count["inside"] + count["below"] + count["above"]
    assert count["expected"] == pytest.approx(0.8 * count["n"], abs=0.05)
    assert count["by_chance"]["low"] < count["expected"] < count["by_chance"]["high"]
    held = [one["held"] for tree in told["trees"] for season in tree["seasons"] for one in season["forecasts"]
            if not one["first_day_of_season"] and one["held"]]
    assert (len(held), held.count("inside")) == (count["n"], count["inside"])


def test_one_year_is_told_alone(demo):
    """Only that year stands there; few forecasts are said to be few, and a year without records is refused."""
    told = json.loads(run(demo, "--json", "--year", "2024").stdout)
    assert {season["year"] for tree in told["trees"] for season in tree["seasons"]} == {2024}
    assert told["forecasts"]["seasons"] == [2024]
    assert told["forecasts"]["week_before"]["verdict"] == "few"
    assert "Too few to tell" in run(demo, "--year", "2024").stdout
    refused = run(demo, "--year", "1999", code=2).stderr
    assert "nothing is noted of 1999" in refused
    assert "2023, 2024, 2025, 2026" in refused


def test_an_empty_book_tells_that_there_is_nothing_to_judge(tmp_path):
    """Without trees it says so in words, with no count of nothing."""
    words = run(tmp_path / "empty").stdout
    assert words.count("none yet") == 3
    assert "0 of 0" not in words


def test_the_seasons_are_printed(demo, tmp_path):
    """With a file they are drawn on paper, of one year or of all; a name that is none of a PDF is refused."""
    file = tmp_path / "seasons.pdf"
    assert run(demo, str(file)).stdout == f"{file}: 4 seasons.\n"
    pages = pypdfium2.PdfDocument(file)
    assert "dates lay inside the forecast" in pages[0].get_textpage().get_text_range()
    told = json.loads(run(demo, str(file), "--year", "2025", "--paper", "Letter", "--json").stdout)
    assert told == {"file": str(file), "bytes": file.stat().st_size}
    page = pypdfium2.PdfDocument(file)[0]
    assert "2025: " in page.get_textpage().get_text_range()
    assert page.get_width() == pytest.approx(612)
    assert "ends" not in run(demo, str(file), "--year", "1999", code=2).stderr
    assert "Let it end in .pdf" in run(demo, str(tmp_path / "seasons.txt"), code=2).stderr
    assert not (tmp_path / "seasons.txt").exists()
