"""Sharing with the others who gather: two real books that exchange real files through the screens."""


import flet as ft
import pytest

from field_app.core.records import Draft
from field_app.handover import PlannerOptions, planner_file
from field_app.store.sync import set_aside
from field_app.sync import group_name
from field_app.ui.history_words import names_of
from tests.sync.island import DECADE, START, Device, windfall
from tests.ui.fieldwork import play
from tests.ui.sharing_walk import SHARE, done, opened, take, words_of, written

DRAWS = "draw_id,lot,amount,unit,purpose\r\n{}"


def test_dye_day_leads_here_and_the_arrow_back(devices):
    """The way is there on Dye day, with lots and without."""
    async def walk():
        d = await opened(devices(), "/dye-day")
        await d.tap("to-share")
        assert d.calls("push_route")[-1]["route"] == SHARE
        assert d.title() == "Share what you gathered"
        await d.tap("back")
        assert d.routes() == ["/"]
        d.check_alive()
    play(walk)


def test_one_writes_and_the_other_takes_it_in(devices):
    """What one logged is on the other's screens, told as lots and trees, and from which device."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        lot = one.lot()
        name, data = await written(await opened(one))
        assert name == group_name(one.id)
        d = await opened(two)
        await take(d, (name, data))
        assert words_of(d, "share-said") == (
            f"1 new lot and 1 new tree\n3 records came in: 3 from device {names_of(two.book).of(one.id)}.")
        assert d.title() == "You and 1 other device, of one mind"
        await d.go("/lots")
        assert lot.code in d.text()
        await d.go(f"/lots/{lot.code}")
        assert "Mill lane" in d.text()
        assert two.texts() == one.texts()
        d.check_alive()
    play(walk)


def test_the_same_file_twice_changes_nothing(devices):
    """The second time all is known already, and the book is as it was."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        one.lot()
        file = await written(await opened(one))
        d = await opened(two)
        await take(d, file)
        before = two.texts()
        await take(d, file)
        assert words_of(d, "share-said") == "Nothing new\n3 records were known here already."
        assert two.texts() == before
    play(walk)


def test_a_yes_is_asked_for_the_first_time_only(devices):
    """Before exact places leave this device for the first time it is said so; not now writes nothing."""
    async def walk():
        d = await opened(devices(), told="")
        await d.tap("share-write")
        assert "exact places of your trees" in words_of(d, "share-asked")
        await d.tap("share-no")
        assert d.find("share-asked") == []
        assert d.calls("save_file") == []
        await d.tap("share-write")
        await d.tap("share-yes")
        await done(d)
        assert len(d.calls("save_file")) == 1
        assert [call for call in d.calls("set") if call["key"] == "field-app.told-exact-places"]
        d.client.replies["get"] = "yes"
        await written(d)
        assert len(d.calls("save_file")) == 2
        d.check_alive()
    play(walk)


PHONE = {"platform": "android", "web": False}


@pytest.mark.parametrize(("status", "heading"), [
    ("success", "harvest-lots"), ("unavailable", "harvest-lots"), ("dismissed", "Nothing was sent")])
def test_a_phone_hands_the_file_to_another_app(devices, status, heading):
    """The same file goes through the share sheet, with the words on exact places; who stops it is told so."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        d = await opened(one, replies={"share_files": {"status": status, "raw": status}}, **PHONE)
        await d.tap("share-send")
        await done(d)
        (call,) = d.calls("share_files")
        (file,) = call["files"]
        assert (file.name, file.mime_type) == (group_name(one.id), "application/zip")
        assert "exact places of your trees" in call["text"]
        assert words_of(d, "share-said").startswith(heading)
        assert d.calls("save_file") == []
        other = await opened(two)
        await take(other, (file.name, file.data))
        assert two.texts() == one.texts()
        d.check_alive()
    play(walk)


def test_a_phone_asks_the_first_time_and_can_save_too(devices):
    """Sending asks about exact places as saving does, and the way to save a file is there beside it."""
    async def walk():
        d = await opened(devices(), told="", replies={"share_files": {"status": "success", "raw": ""}}, **PHONE)
        await d.tap("share-send")
        assert "exact places of your trees" in words_of(d, "share-asked")
        assert d.calls("share_files") == []
        await d.tap("share-yes")
        await done(d)
        assert len(d.calls("share_files")) == 1
        d.client.replies["get"] = "yes"
        await written(d)
        assert len(d.calls("save_file")) == 1
    play(walk)


def test_without_a_share_sheet_the_file_is_saved(devices):
    """A phone whose sheet fails saves the file instead; a page in a browser and a computer offer only that."""
    async def walk():
        def none(_):
            raise RuntimeError("MissingPluginException")

        d = await opened(devices(), replies={"share_files": none}, **PHONE)
        await d.tap("share-send")
        await done(d)
        assert d.calls("save_file")[-1]["file_name"] in words_of(d, "share-said")
        for elsewhere in ({"platform": "android", "web": True}, {"platform": "linux", "web": False}):
            d = await opened(devices(), **elsewhere)
            assert d.find("share-send") == []
            await written(d)
        d.check_alive()
    play(walk)


def test_saving_that_was_stopped_or_failed_is_told(devices):
    """Who closes the dialog is told that nothing was written; what the device said is told too."""
    async def walk():
        def full(_):
            raise RuntimeError("No space left on device")

        d = await opened(devices(), replies={"save_file": None})
        await written(d)
        assert "Nothing was written" in words_of(d, "share-said")
        d.client.replies["save_file"] = full
        await written(d)
        assert "No space left on device" in words_of(d, "share-problems")
        d.client.replies["save_file"] = "/home/group.zip"
        await written(d)
        assert d.find("share-problems") == []
        d.check_alive()
    play(walk)


def test_of_a_cut_file_what_is_good_is_kept(devices):
    """It is said in plain words that the end is missing, once, and what came through is there."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        for _ in range(6):
            one.lot()
        name, data = await written(await opened(one))
        d = await opened(two)
        await take(d, (name, data[:4500]))
        assert 0 < two.book.count("lot") < 6
        told = words_of(d, "share-problems")
        assert told.startswith("Not all could be taken in")
        assert told.count("its end is missing") == 1
        assert "ask for the file once more" in told.lower()
        assert "geojson" not in d.text()
        await take(d, (name, data))
        assert two.texts() == one.texts()
        assert d.find("share-problems") == []
    play(walk)


def test_what_was_changed_on_its_way_is_set_aside_and_stays_listed(devices):
    """The reason is in the list, also when the screen is opened anew; it goes when the right file comes."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        one.lot()
        name, data = await written(await opened(one))
        d = await opened(two)
        assert d.find("share-aside") == []
        await take(d, (name, data.replace(b"14.2", b"94.2")))
        assert "1 record could not be read and is set aside" in words_of(d, "share-said")
        d = await opened(two)
        assert "1 record" in words_of(d, "share-aside")
        await d.tap("share-aside")
        assert "was changed or damaged on its way here" in d.text()
        assert f"{name}: " in d.text()
        assert len(set_aside(two.book.log_book)) == 1
        await take(d, (name, data))
        assert two.texts() == one.texts()
    play(walk)


def test_a_planners_file_is_refused_and_the_others_are_taken(devices):
    """One file that can't be taken in keeps none of the others back, and it is said what to ask for."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        lot = one.lot()
        planners = planner_file([lot], one.book.sites(), made=START, options=PlannerOptions())
        d = await opened(two)
        await take(d, ("lots.zip", planners))
        told = words_of(d, "share-problems")
        assert told.startswith("Nothing was taken in\nlots.zip is what goes to a dye day")
        assert "Ask for the group file" in told
        assert d.find("share-said") == []
        await take(d, ("lots.zip", planners), ("photo.jpg", b"\xff\xd8\xff"), ("nothing.zip", b""), ("lost.zip", None),
                   (group_name(one.id), one.file()))
        told = words_of(d, "share-problems")
        assert "1 new lot and 1 new tree" in words_of(d, "share-said")
        for words in ("lots.zip is what goes to a dye day", "photo.jpg is no file of a field book",
                      "nothing.zip is empty", "lost.zip was not given by the device"):
            assert words in told
        assert two.texts() == one.texts()
        d.check_alive()
    play(walk)


def test_a_planners_list_takes_from_the_lots_once(devices):
    """Its draws are taken, told by number, not taken again, and a wrong row is told by its place."""
    async def walk():
        one = devices()
        one.site()
        lot = one.lot()
        d = await opened(one)
        await take(d, ("draws.csv", DRAWS.format(f"plan-1,{lot.code},3.1,kg,shawl\r\nplan-2,{lot.code},2;1,kg,\r\n")
                       .encode()))
        assert words_of(d, "share-said").startswith("1 draw taken from your lots")
        assert "draws.csv row 3, amount" in words_of(d, "share-problems")
        assert one.book.lot(lot.code).life.left.central == pytest.approx(10.0)
        await take(d, ("draws.csv", DRAWS.format(f"plan-1,{lot.code},3.1,kg,shawl\r\n").encode()))
        assert "Nothing new" in words_of(d, "share-said")
        assert one.book.lot(lot.code).life.left.central == pytest.approx(10.0)
    play(walk)


def test_who_picks_nothing_sees_nothing_new(devices):
    """Closing the dialog of the device leaves the screen as it was."""
    async def walk():
        d = await opened(devices())
        before = d.texts()
        await take(d)
        assert d.texts() == before
        assert isinstance(d.one("share-take").action, ft.PickFiles)
        assert d.one("share-take").action.with_data
        assert d.one("share-take").action.allow_multiple
    play(walk)


def met(one, two):
    """Both know what the other knows."""
    for here, there in ((one, two), (two, one)):
        from field_app.sync import merge_bytes
        merge_bytes(here.book, there.file(), "group.zip")


def test_what_people_say_differently_leads_to_the_lot(devices):
    """A disagreement is told in the title and on a card, whose tap opens the lot's history."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        lot = one.lot()
        met(one, two)
        one.book.correct(lot.id, windfall(gross="15 kg"))
        two.book.correct(lot.id, windfall(gross="16 kg"))
        d = await opened(one)
        assert d.title() == "Share what you gathered"
        await take(d, (group_name(two.id), two.file()))
        assert d.title() == "1 thing is said differently"
        key = f"share-apart-{lot.code}"
        assert "Two people say different things about how much" in words_of(d, key)
        await d.tap(key)
        assert d.title() == "Something is to be settled"
        d.check_alive()
    play(walk)


def test_an_overdraft_is_told_with_the_way_to_its_lot(devices):
    """Two people took from one lot apart, more than there was: how much is said, and the lot is one tap away."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        lot = one.lot()
        met(one, two)
        one.draw(lot.id, "8 kg")
        two.draw(lot.id, "9 kg")
        d = await opened(one)
        await take(d, (group_name(two.id), two.file()))
        assert f"Lot {lot.code}: 3.9 kg more was taken than there was" in d.texts()
        await d.tap(f"share-lot-{lot.code}")
        assert d.calls("push_route")[-1]["route"] == f"/lots/{lot.code}"
    play(walk)


def test_a_wrong_clock_and_a_copied_device_are_told(devices, tmp_path):
    """A clock ten years ahead and a copied data folder are said in words, with short names of devices."""
    import shutil

    async def walk():
        one, late = devices(), devices(now=START + DECADE)
        one.site()
        one.lot()
        late.site("Ford bend")
        d = await opened(one)
        await take(d, (group_name(late.id), late.file()))
        told = d.text()
        assert f"The clock of device {late.id[:4]}" in told or "The clock of device" in told
        assert "3,653 days ahead" in told
        assert late.id not in told
        copy = Device(tmp_path / "copy", 9)
        copy.close()
        shutil.rmtree(copy.folder)
        one.close()
        shutil.copytree(one.folder, copy.folder)
        one.reopen()
        copy.reopen()
        copy.site("Oak ride")
        one.site("Chapel green")
        d = await opened(one)
        was = one.id
        await take(d, ("other.zip", copy.file()))
        assert one.book.site("Oak ride").name == "Oak ride"
        if one.id != was:
            assert "was copied from another device" in d.text()
        d.check_alive()
        copy.close()
    play(walk)


def test_lots_that_a_newer_field_book_wrote_are_told_of(devices):
    """On the list of lots and here it is said which can't be shown; there is nothing more to show for them."""
    async def walk():
        one = devices()
        one.site()
        known = one.lot()
        await_one = await opened(one, "/lots")
        assert await_one.find("unreadable") == []
        facts = {**known.facts.as_json(), "material": "moon-walnut", "basis": "counted", "count": 9}
        one.book.log_book.append([Draft("urn:uuid:01890000-0000-7000-8000-00000000ffff", "lot", facts)], now_ms=1)
        for route in (SHARE, "/lots"):
            d = await opened(one, route)
            assert words_of(d, "unreadable").startswith("A lot this field book can't show")
            assert "Update this field book" in words_of(d, "unreadable")
            assert d.find("lots-more") == []
            d.check_alive()
        one.book.withdraw(known.id)
        d = await opened(one, "/lots")
        assert d.find("unreadable")
        assert d.snack() == ""
        d.check_alive()
    play(walk)
