"""The device is asked only for what a person tapped for, and each of its refusals has plain words."""

import pytest

from field_app.core.problems import Refused
from field_app.ui.device import Device
from tests.ui.driver import Driver, Silent
from tests.ui.fieldwork import denied, fix_at, play


async def device_of(replies, *, web=False, platform="android", patience=20.0):
    """A device of a page that answers so."""
    made = []
    d = await Driver.open(lambda page: made.append(Device(page, patience=patience)), replies=replies, web=web,
                          platform=platform)
    return d, made[0]


def failing(message):
    def reply(_):
        raise RuntimeError(message)
    return reply


ON = {"is_location_service_enabled": True, "request_permission": "whileInUse"}


@pytest.mark.parametrize(("replies", "what"), [
    ({"is_location_service_enabled": False}, "the device's position is switched off"),
    ({**ON, "request_permission": "denied"}, "the position was not allowed"),
    ({**ON, "request_permission": "deniedForever"}, "this app may not ask for the position"),
    ({**ON, "get_current_position": denied}, "the position was not allowed"),
    ({**ON, "get_current_position": failing("TimeoutException after 0:00:20.000000")}, "no fix within the time"),
    ({**ON, "get_current_position": failing("Only secure origins are allowed")},
     "the browser gives the position only over a secure address"),
    ({**ON, "get_current_position": failing("kCLErrorDomain error 0")}, "the device could not tell where it is"),
    ({**ON, "get_current_position": {"latitude": None, "longitude": None}}, "the device gave no position"),
])
def test_each_refusal_has_its_words_and_a_way_on(replies, what):
    """It says what happened, and that the position can be typed, pasted or left out."""
    async def walk():
        _, device = await device_of(replies)
        with pytest.raises(Refused) as refused:
            await device.locate()
        (problem,) = refused.value.problems
        assert (problem.where, problem.what) == ("position", what)
        assert problem.fix.endswith("Type or paste the position, or leave it out.")
    play(walk)


def test_a_device_that_never_answers_is_given_up():
    """After the time that a person waits, it is told as a fix that took too long."""
    async def walk():
        _, device = await device_of({**ON, "get_current_position": Silent()}, patience=0.05)
        with pytest.raises(Refused, match="no fix within the time"):
            await device.locate()
    play(walk)


def test_nothing_is_asked_before_a_person_taps():
    """Building the device asks for no permission and no position."""
    async def walk():
        d, _ = await device_of(fix_at(44.0, -28.0))
        assert not d.calls("request_permission")
        assert not d.calls("get_current_position")
    play(walk)


@pytest.mark.parametrize(("web", "platform", "meaning"), [
    (True, "android", "95 %"), (False, "android", "68 %"), (False, "ios", "unknown")])
def test_the_radius_means_what_the_platform_says(web, platform, meaning):
    """W3C Geolocation gives 95 %, Android 68 %, and others don't say."""
    async def walk():
        _, device = await device_of(fix_at(44.0123456789, -28.0, 5.0), web=web, platform=platform)
        fix = await device.locate()
        assert (fix.position.lat, fix.accuracy_m, fix.meaning, fix.source) == (44.012346, 5.0, meaning, "device")
    play(walk)


def test_a_radius_of_nothing_means_that_it_is_not_known():
    """The client gives 0.0 for an accuracy that the device did not tell."""
    async def walk():
        _, device = await device_of(fix_at(44.0, -28.0, 0.0))
        assert (await device.locate()).accuracy_m is None
    play(walk)


def test_a_setting_that_cannot_be_kept_does_no_harm(caplog):
    """A small setting that the device refuses is as if it had never been kept."""
    async def walk():
        _, device = await device_of({"set": failing("no storage"), "get": failing("no storage")})
        await device.remember("light", "sun")
        assert await device.remembered("light") == ""
    play(walk)
    assert len(caplog.records) == 2


def test_a_setting_comes_back_under_our_own_name():
    """Settings have a prefix of ours, so that no other app's are met."""
    async def walk():
        d, device = await device_of({"set": True, "get": "sun"})
        await device.remember("light", "sun")
        assert await device.remembered("light") == "sun"
        assert [args["key"] for args in (*d.calls("set"), *d.calls("get"))] == ["field-app.light"] * 2
    play(walk)


@pytest.mark.parametrize(("web", "answer", "kept"), [
    (True, None, True), (False, "/a/b.zip", True), (False, None, False)])
def test_a_file_that_was_not_saved_is_told(web, answer, kept):
    """A person who changes their mind gets no "saved"; a browser does not tell, and counts as saved."""
    async def walk():
        d, device = await device_of({"save_file": answer}, web=web)
        assert await device.save_file("lots.zip", b"PK") is kept
        assert d.calls("save_file")[0]["file_name"] == "lots.zip"
    play(walk)


def test_a_browser_may_not_answer_with_an_old_position():
    """In a browser the position is asked for anew, since one that walks would be led by where one was."""
    async def walk():
        d, device = await device_of({**ON, **fix_at(44.01, -28.0)}, web=True)
        await device.locate()
        (call,) = d.calls("get_current_position")
        assert call["configuration"].maximum_age.in_milliseconds == 0
    play(walk)
