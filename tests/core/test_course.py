"""How far work is, and its end."""

import pytest

from field_app.core.course import Stopped, heard, part, step


def work():
    """Two halves of four steps each."""
    done = 0
    for half in range(2):
        with part(half / 2, (half + 1) / 2):
            for number in range(4):
                step(number / 4)
                done += 1
    return done


def test_steps_of_parts_are_steps_of_the_whole():
    """What a part tells of itself is heard as its place in the whole, and it never goes back."""
    told = []
    with heard(told.append):
        assert work() == 8
    assert told == [0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875]


def test_nobody_has_to_listen():
    """Without a listener the same work is done."""
    assert work() == 8


def test_a_listener_ends_the_work_and_is_gone_afterwards():
    """Stopped comes out at the step where it was raised, and nothing is heard of later work."""
    told = []

    def no_more(share):
        told.append(share)
        if share >= 0.25:
            raise Stopped

    with pytest.raises(Stopped), heard(no_more):
        work()
    assert told[-1] == 0.25
    assert work() == 8
    assert told[-1] == 0.25
