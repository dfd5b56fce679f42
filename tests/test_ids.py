"""Names for new records."""

import itertools
import threading
import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.ids import IdMaker, new_id, uuid7

TOP = (1 << 74) - 1


def time_of(name: str) -> int:
    return uuid.UUID(name).int >> 80


def free_of(name: str) -> int:
    number = uuid.UUID(name).int
    return (number >> 64 & 0xFFF) << 62 | number & ((1 << 62) - 1)


@given(st.integers(0, (1 << 48) - 1), st.integers(0, TOP))
def test_time_and_free_bits_can_be_read_back(millisecond: int, free: int) -> None:
    """Nothing that goes into a name is lost in it."""
    name = uuid7(millisecond, free).urn
    assert (time_of(name), free_of(name)) == (millisecond, free)


@pytest.mark.parametrize(("millisecond", "free"), [(-1, 0), (1 << 48, 0), (0, -1), (0, TOP + 1)])
def test_what_does_not_fit_is_not_cut(millisecond: int, free: int) -> None:
    """A number that is too large is an error, not another name."""
    with pytest.raises(ValueError, match="out of range"):
        uuid7(millisecond, free)


@given(st.lists(st.integers(1_700_000_000_000, 1_700_000_000_003), min_size=2, max_size=30), st.randoms())
def test_names_rise_whatever_the_clock_does(clock: list[int], chance) -> None:
    """Names rise within a millisecond, and when the clock stands still or goes back."""
    ticks = iter(clock)
    make = IdMaker(lambda: next(ticks), chance.getrandbits)
    names = [make() for _ in clock]
    assert all(earlier < later for earlier, later in itertools.pairwise(names))


def test_names_rise_when_the_free_bits_are_used_up() -> None:
    """With all free bits set the next name borrows the next millisecond."""
    make = IdMaker(lambda: 1000, lambda bits: (1 << bits) - 1)
    names = [make()]
    while time_of(names[-1]) == 1000:
        make._free = TOP
        names.append(make())
    assert [time_of(name) for name in names] == [1000, 1001]
    assert names == sorted(names)


def test_steps_can_not_be_guessed() -> None:
    """Two makers at the same millisecond share no name, and neighbours are not one apart."""
    makers = [IdMaker(lambda: 1000, new_id._random_bits) for _ in range(2)]
    ours, theirs = ([free_of(make()) for _ in range(50)] for make in makers)
    assert not set(ours) & set(theirs)
    assert sum(later - earlier == 1 for earlier, later in itertools.pairwise(ours)) < 2


def test_threads_never_get_the_same_name() -> None:
    """Four threads at once get names that are all different."""
    start = threading.Barrier(4)

    def some(_: int) -> list[str]:
        start.wait()
        return [new_id() for _ in range(500)]

    with ThreadPoolExecutor(4) as pool:
        names = list(itertools.chain.from_iterable(pool.map(some, range(4))))
    assert len(set(names)) == 2000
    assert all(name.startswith("urn:uuid:") for name in names)
