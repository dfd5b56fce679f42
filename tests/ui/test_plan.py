"""Planning a dye day on the screens: the form, what comes of it, and telling that it is done."""

import pytest

from field_app.core.cloth_lists import ClothForm
from field_app.core.plan_work import work_out
from field_app.core.vessels import VesselForm
from field_app.handover import check
from field_app.store import add_cloth, add_vessel, lots_of_plan, plans, pots_of_plan
from field_app.ui.plan import plan_title
from tests.ui.fieldwork import FieldBag, made, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.fixture
def lot(bag):
    return bag.lot(bag.tree("Mill lane"))


async def tick(d, key):
    """Turn a box on, as the client does."""
    box = d.one(key)
    d.session.apply_patch(box._i, {"value": True})
    await d.fire(box, "change", True)


async def planned(bag, lot):
    """A plan as a person types it."""
    d = await bag.open("/dye-day", replies={"save_file": "/home/lots.zip"})
    await d.tap("plan-new")
    await d.type("plan-name", "Harvest dyeing")
    await d.type("plan-day", "2026-10-10")
    await tick(d, f"plan-lot-{lot.code}")
    await d.type("plan-cloth-0", "wool 1 kg")
    await d.tap("plan-mordant-0-alum")
    await d.tap("plan-more")
    await d.type("plan-cloth-1", "silk 300 g; 2 shirts linen")
    await d.tap("plan-shade-1-light")
    return d


def test_a_plan_is_typed_kept_and_shown(bag, lot):
    """What was typed is in the book; the screen says the same as what is worked out from it."""
    add_vessel(bag.book, VesselForm("big enamel", volume="60 L", diameter="45 cm"))

    async def walk():
        d = await planned(bag, lot)
        await d.tap(next(key for key in on_screen(d) if key.startswith("plan-pot-")))
        await d.tap("plan-save")
        plan, = plans(bag.book)
        assert d.routes()[-1] == f"/dye-day/plan/{plan.id[-36:]}"
        assert [(bath.cloth, bath.shade, bath.mordant) for bath in plan.facts.baths] == [
            (("wool 1 kg",), "medium", "alum"), (("silk 300 g", "2 shirts linen"), "light", "none")]
        work = work_out(plan.facts, lots_of_plan(bag.book, plan), pots_of_plan(bag.book, plan))
        assert work.liquors[0].made.kettles is not None
        assert d.title() == plan_title(plan.facts, work)
        assert work.baths[0].verdict in d.texts()
        assert "Alum for wool 1 kg, in a pot of its own; let it cool in it." in d.texts()
        await d.tap("undo")
        assert plans(bag.book) == ()
        d.check_alive()
    play(walk)


def test_what_is_refused_stays_typed_and_is_told_beside_its_field(bag, lot):
    """Nothing is kept, the field says what to do, and the rest is still there."""
    async def walk():
        d = await planned(bag, lot)
        await d.type(f"plan-amount-{lot.code}", "99")
        await d.type("plan-cloth-0", "wool")
        await d.tap("plan-save")
        assert plans(bag.book) == ()
        assert "Not kept yet. To mend:" in d.text()
        assert "more than is left" in d.text()
        assert d.one("plan-cloth-1").value == "silk 300 g; 2 shirts linen"
        await d.type(f"plan-amount-{lot.code}", "3,5")
        await d.type("plan-cloth-0", "wool 1 kg")
        await d.tap("plan-save")
        assert len(plans(bag.book)) == 1
        d.check_alive()
    play(walk)


def test_a_day_told_as_done_takes_from_its_lots(bag, lot):
    """The lot is drawn, the plan says it is done, and it can't be told twice."""
    async def walk():
        d = await planned(bag, lot)
        await d.type(f"plan-amount-{lot.code}", "3,5")
        await d.tap("plan-save")
        await d.tap("plan-done")
        plan, = plans(bag.book)
        assert plan.done
        assert d.title() == "Harvest dyeing is done"
        assert "plan-done" not in on_screen(d)
        draw, = bag.book.lot(lot.id).life.draws
        assert (draw.facts.purpose, draw.facts.amount.si) == ("Harvest dyeing", 3.5)
        await d.go("/dye-day")
        assert "Done" in d.texts()
        d.check_alive()
    play(walk)


def test_a_plan_is_changed(bag, lot):
    """The form comes up as it was kept; what is changed holds."""
    async def walk():
        d = await planned(bag, lot)
        await d.tap("plan-save")
        await d.tap("plan-change")
        assert d.one("plan-name").value == "Harvest dyeing"
        assert d.one("plan-cloth-1").value == "silk 300 g; 2 shirts linen"
        await d.tap("plan-drop-1")
        await d.tap("making")
        await d.type("plan-boil", "3")
        await d.tap("plan-save")
        plan, = plans(bag.book)
        assert ([bath.cloth for bath in plan.facts.baths], plan.facts.boil) == ([("wool 1 kg",)], "3")
        d.check_alive()
    play(walk)


def test_a_plan_is_handed_over_with_its_lots(bag, lot):
    """Its lots are chosen, the day goes along, and the file passes the check."""
    bag.lot(lot.facts.site)

    async def walk():
        d = await planned(bag, lot)
        await d.tap("plan-save")
        await d.tap("plan-hand-over")
        assert d.title().startswith("1 lot,")
        assert d.one("hand-day").value is True
        report = check(await made(d))
        assert report.problems == ()
        assert (report.counts["lots"], report.counts["dye-days"], report.counts["dye-baths"]) == (1, 1, 2)
        assert "with the dye day" in d.text()
        d.check_alive()
    play(walk)


def test_a_kept_list_of_cloth_fills_a_load(bag, lot):
    """One tap on its name, and all of its items are in the field."""
    kept = add_cloth(bag.book, ClothForm("Autumn shawls", ["wool 3 kg", "silk 200 g"]))

    async def walk():
        d = await bag.open("/dye-day/plan/new")
        await d.tap(f"plan-list-0-{kept.id}")
        assert d.one("plan-cloth-0").value == "wool 3 kg; silk 200 g"
        d.check_alive()
    play(walk)


def test_dye_day_without_plans_says_what_a_plan_gives(bag):
    """The empty place has its advice, its main action, and the ways on."""
    async def walk():
        d = await bag.open("/dye-day")
        assert d.title() == "No dye day is planned"
        assert {"plan-new", "to-colour", "to-hand-over", "to-share"} <= set(on_screen(d))
        await d.tap("to-hand-over")
        assert d.routes()[-1] == "/dye-day/hand-over"
        d.check_alive()
    play(walk)
