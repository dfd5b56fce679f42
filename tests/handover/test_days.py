"""Dye days that are handed over with their lots."""

import json

import pytest

from field_app.core.plan_work import work_out
from field_app.core.plans import PlanFacts, PlanNow
from field_app.core.pots import Pot
from field_app.handover import DayOut, PlannerOptions, check, columns_text, planner_file
from field_app.handover.columns_days import BATHS, DAY_TABLES, DAYS, INTO_POTS, LIQUORS
from tests.handover.scene import MADE, SECRETS, closed, lots, opened, rows_of, sites

DAY = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77cc0001"


def day(**changed):
    """A day with two of the lots of the scene and two loads of cloth."""
    first, second = lots()[0], lots()[3]
    facts = PlanFacts.model_validate({
        "name": "At Mill lane", "day": "2026-10-20", "fire": "07:30", "note": "behind the gate",
        "lots": [{"lot": first.id, "amount": {"value": "5", "unit": "kg"}}, {"lot": second.id}],
        "baths": [{"cloth": ["wool 1 kg"], "mordant": "alum", "hours": "1.5"},
                  {"cloth": ["silk 300 g", "2 shirts linen"], "shade": "light"}], **changed})
    return DayOut(PlanNow(DAY, facts, ("n",)), work_out(facts, lots(), [Pot(60, 0.45, "enamel")]))


def file(options=None, **changed):
    return planner_file(lots(), sites(), made=MADE, options=options, days=[day(**changed)])


def table(data, path):
    header, *rows = rows_of(opened(data)[path])
    return [dict(zip(header, row, strict=True)) for row in rows]


def test_the_checker_knows_the_tables_of_dye_days():
    """The file has four more tables, nothing is wrong with it, and nothing is told as added by somebody else."""
    report = check(file())
    assert (report.problems, report.notes) == ((), ())
    assert dict(report.counts) == {"lots": 4, "sites": 3, "dye-days": 1, "dye-lots": 2, "dye-liquors": 1,
                                   "dye-baths": 2}


def test_a_file_without_a_dye_day_has_no_such_tables():
    """Whoever plans elsewhere gets the lots alone, as before."""
    assert not {one.path for one in DAY_TABLES} & set(opened(planner_file(lots(), sites(), made=MADE)))


def test_the_rows_say_what_the_plan_says():
    """Amounts, liquor, baths and shades are those that the screen and the command show."""
    work, data = day().work, file()
    told, = table(data, DAYS.path)
    assert (told["day"], told["fire"], told["state"], told["strainings"]) == ("2026-10-20", "07:30", "planned", "1")
    amounts = [(row["amount_kg"], row["amount_L"]) for row in table(data, INTO_POTS.path)]
    assert amounts == [("5", ""), ("1.25", "")]
    liquor, = table(data, LIQUORS.path)
    assert float(liquor["liquor_L"]) == pytest.approx(work.liquors[0].volume.central, rel=1e-3)
    assert float(liquor["kept_L"]) == pytest.approx(work.liquors[0].kept, rel=1e-3)
    baths = table(data, BATHS.path)
    assert [(row["cloth"], row["shade_wanted"], row["mordant"], row["time_h"]) for row in baths] == [
        ("wool 1 kg", "medium", "alum", "1.5"), ("silk 300 g; 2 shirts linen", "light", "none", "2")]
    assert [row["shade"] for row in baths] == [bath.dyed.band.central for bath in work.baths]
    assert "alum for wool: 120 g (100–150)" in baths[0]["helpers"]


def test_what_was_typed_freely_stays_at_home():
    """The name of the day and its note are in the file only with the notes, for either may name a place."""
    data = file()
    for path, content in opened(data).items():
        for secret in SECRETS:
            assert secret.encode() not in content, (path, secret)
    told, = table(file(PlannerOptions(notes=True)), DAYS.path)
    assert (told["name"], told["note"]) == ("At Mill lane", "behind the gate")


def test_a_bath_of_a_day_that_is_not_there_is_a_fault():
    """Each row must name a lot and a dye day of the same file."""
    files = opened(file())
    files[BATHS.path] = files[BATHS.path].replace(DAY.encode(), DAY.replace("0001", "0002").encode(), 1)
    report = check(closed(files))
    assert any(f"{BATHS.path} row 2, dyeDayID" == problem.where and "is not a dye day" in problem.what
               for problem in report.problems), report.problems


def test_a_day_with_nothing_in_it_can_be_handed_over():
    """No lots, no cloth: the day alone, with what has to be settled."""
    data = file(lots=[], baths=[])
    assert check(data).problems == ()
    told, = table(data, DAYS.path)
    assert told["ends"] == ""
    assert "lots none is chosen" in told["problems"]


def test_every_column_is_described_for_planners():
    """The docs have a row for each, with its unit."""
    text = columns_text(DAY_TABLES)
    for one in DAY_TABLES:
        for column in one.columns:
            assert f"| `{column.name}` |" in text
    assert json.loads(opened(file())["datapackage.json"])["resources"][-1]["name"] == "dye-baths"
