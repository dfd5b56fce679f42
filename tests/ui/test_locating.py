"""A browser that is asked where it is always leads to a fix or to plain words, whatever was answered before."""

import time

import pytest

from field_app.core.problems import Refused
from field_app.ui.locating import Locator
from tests.ui.driver import Driver, Silent
from tests.ui.fieldwork import play

HERE = {"latitude": 44.0123, "longitude": -28.0057, "accuracy": 7.0}


async def locator_of(replies, *, patience=20.0, ask_time=20.0):
    """What asks a browser that answers so."""
    made = []
    d = await Driver.open(lambda _: made.append(Locator(web=True, patience=patience, ask_time=ask_time)),
                          replies=replies, web=True)
    return d, made[0]


def failing(message):
    def reply(_):
        raise RuntimeError(message)
    return reply


async def words_of(locator):
    with pytest.raises(Refused) as refused:
        await locator.position()
    (problem,) = refused.value.problems
    assert problem.where == "position"
    assert problem.fix.endswith("Type or paste the position, or leave it out.")
    return f"{problem.what}. {problem.fix}"


@pytest.mark.parametrize(("message", "status", "words"), [
    ("Location permission denied: User denied Geolocation.", "deniedForever",
     "the position was not allowed. Allow it in the settings"),
    ("Location permission denied: User denied Geolocation.", "denied",  # the question was waved away
     "the position was not allowed. Tap again to allow it."),
    ("Location permission denied: Only secure origins are allowed", "deniedForever", "only over a secure address"),
    ("Failed to obtain position: ", "whileInUse", "the device could not tell where it is. Step into the open"),
    ("Location request timed out.", "whileInUse", "no fix within the time. Step into the open"),
    ("TimeoutException: Browser did not return a position within 20s.", "whileInUse", "no fix within the time"),
])
def test_each_answer_of_a_browser_has_its_words(message, status, words):
    """Refused, waved away, not secure, not to be had, too long: each says what it was and what to do."""
    async def walk():
        _, locator = await locator_of({"get_permission_status": status, "get_current_position": failing(message)})
        assert words in await words_of(locator)
    play(walk)


def test_what_is_allowed_later_is_noticed():
    """After a refusal the next tap asks anew, and gives the fix."""
    async def walk():
        allowed = []

        def answer(_):
            return HERE if allowed else failing("Location permission denied: no.")(_)

        d, locator = await locator_of({"get_permission_status": lambda _: "whileInUse" if allowed else "deniedForever",
                                       "get_current_position": answer})
        assert "Allow it in the settings" in await words_of(locator)
        allowed.append(True)
        assert (await locator.position()).latitude == 44.0123
        assert not d.calls("request_permission")  # it would take a fix of its own, and call any failure a refusal
    play(walk)


@pytest.mark.parametrize(("status", "words"), [
    ("denied", "the position was not allowed. Tap again"),  # the question stands and nobody answers it
    ("whileInUse", "no fix within the time"),
    (failing("no such thing"), "no fix within the time"),  # a browser that can't tell what is allowed
    (Silent(), "no fix within the time"),
])
def test_a_browser_that_never_answers_is_given_up(status, words):
    """Whatever the browser leaves open, there are words and a way on within the time."""
    async def walk():
        _, locator = await locator_of({"get_permission_status": status, "get_current_position": Silent()},
                                      patience=0.2, ask_time=0.5)
        begun = time.monotonic()
        assert words in await words_of(locator)
        assert time.monotonic() - begun < 5
    play(walk)


def test_reading_the_question_does_not_use_up_the_time_for_a_fix():
    """The time for a fix begins when it is allowed, not when it is asked for."""
    async def walk():
        turns = []

        def status(_):
            turns.append(1)
            return "denied" if len(turns) < 4 else "whileInUse"

        _, locator = await locator_of({"get_permission_status": status, "get_current_position": Silent()},
                                      patience=0.2, ask_time=20)
        assert "no fix within the time" in await words_of(locator)
        assert len(turns) >= 4
    play(walk)
