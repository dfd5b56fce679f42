"""Plans of dye days in the book, and between two books."""

import pytest

from field_app.core.forms import SiteForm, WindfallForm
from field_app.core.plan_deeds import BathForm, LotForm, PlanForm, form_of_plan
from field_app.core.problems import Refused
from field_app.core.trust import examine
from field_app.store import add_plan, change_plan, finish_plan, lots_of_plan, plan_of, plans
from tests.sync.island import START, Device

DAY = START.date().isoformat()


@pytest.fixture
def two(tmp_path):
    made = [Device(tmp_path / f"data-{number}", number, now=START) for number in (1, 2)]
    yield made
    for device in made:
        device.close()


def with_lot(book, gross="10 kg"):
    if not book.sites():
        book.add_site(SiteForm("Weir", materials=("black-walnut",)))
    return book.log(WindfallForm("black-walnut", "hull", site="Weir", ripeness="fallen", gross=gross))


def form(*lots, **changed):
    told = {"name": "Harvest dyeing", "day": DAY, "lots": [LotForm(lot) for lot in lots],
            "baths": [BathForm("wool 2 kg; 2 shirts linen", mordant="alum", hours="1,5")], **changed}
    return PlanForm(**told)


def meet(one, other):
    told = one.texts(), other.texts()
    other.book.log_book.take_in_texts(told[0], now_ms=0)
    one.book.log_book.take_in_texts(told[1], now_ms=0)


def test_a_plan_is_kept_as_it_was_told_and_can_be_told_anew(two):
    """Numbers are kept as decimal text; the form of the kept plan tells the same; what changed replaces it."""
    book = two[0].book
    lot = with_lot(book)
    plan = add_plan(book, form(lot, water="200 L", soak="36", ratio="25,5"))
    facts = plan.facts
    assert (facts.fire, facts.soak, facts.ratio, str(facts.water)) == ("08:00", "36", "25.5", "200 L")
    assert plan.facts.baths[0].cloth == ("wool 2 kg", "2 shirts linen")
    assert plan.facts.baths[0].hours == "1.5"
    again = change_plan(book, plan.id, form_of_plan(plan, lots_of_plan(book, plan)))
    assert again.facts == plan.facts
    changed = change_plan(book, "harvest dyeing", form(lot, fire="7.30"))
    assert (changed.id, changed.facts.fire, changed.facts.water) == (plan.id, "07:30", None)
    assert len(book.history(plan.id)) == 3
    assert [one.name for one in plans(book)] == ["Harvest dyeing"]


def test_what_is_wrong_with_a_plan_is_told_all_at_once(two):
    """Every field that can't be read is named, and nothing is kept."""
    book = two[0].book
    lot = with_lot(book)
    with pytest.raises(Refused) as refused:
        add_plan(book, PlanForm("", "tomorrow", "noon", [LotForm(lot, "12 kg"), LotForm(lot)],
                                [BathForm("", shade="black", mordant="tin"), BathForm("wool")], water="0 L", soak="x",
                                strainings="1.5", ratio="2"))
    where = {problem.where for problem in refused.value.problems}
    assert where >= {"name", "day", "fire", f"lot {lot.code}", "bath 1", "bath 2", "water", "soak", "strainings",
                     "ratio"}
    assert plans(book) == ()


def test_a_day_that_is_done_draws_its_lots_once(two):
    """What was planned, or all that was left, is drawn; told twice, it is refused; the purpose names the day."""
    book = two[0].book
    some, whole = with_lot(book), with_lot(book, "4 kg")
    plan = add_plan(book, form(some, lots=[LotForm(some, "2,5 kg"), LotForm(whole)]))
    done, (first, second) = finish_plan(book, plan.id)
    assert done.done
    assert (first.life.left.central, second.life.left.central) == (7.5, 0.0)
    assert [draw.facts.purpose for draw in (*first.life.draws, *second.life.draws)] == ["Harvest dyeing"] * 2
    with pytest.raises(Refused, match="done"):
        finish_plan(book, plan.id)
    with pytest.raises(Refused, match="done"):
        change_plan(book, plan.id, form(some))


def test_a_day_with_more_planned_than_is_left_is_not_done(two):
    """What was drawn meanwhile is told with both figures, and nothing is drawn."""
    from field_app.core.deeds import DrawForm

    book = two[0].book
    lot = with_lot(book)
    plan = add_plan(book, form(lot, lots=[LotForm(lot, "8 kg")]))
    book.draw(lot.id, DrawForm("5 kg"))
    with pytest.raises(Refused, match="8 kg was planned, 5 kg is left"):
        finish_plan(book, plan.id)
    assert not plan_of(book, plan.id).done
    assert len(book.lot(lot.id).life.draws) == 1


def test_two_people_who_tell_one_day_as_done_draw_once(two):
    """After they met, both know one draw of each lot, not two."""
    one, other = two
    lot = with_lot(one.book)
    plan = add_plan(one.book, form(lot, lots=[LotForm(lot, "4 kg")]))
    meet(one, other)
    finish_plan(one.book, plan.id)
    finish_plan(other.book, plan.id)
    meet(one, other)
    left = [device.book.lot(lot.id).life.left.central for device in two]
    assert left == [6.0, 6.0]
    assert one.texts() == other.texts()


def test_what_is_kept_of_a_plan_passes_on_another_device(two):
    """Every version of a plan is taken in elsewhere, none is set aside."""
    book = two[0].book
    lot = with_lot(book)
    plan = add_plan(book, form(lot, pots=["urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0009"], note="by the\nstream"))
    finish_plan(book, plan.id)
    assert [examine(version) for version in book.history(plan.id)] == [None, None]
