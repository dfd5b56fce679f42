"""What is no photograph that can be kept is refused in words, and no bytes of a stranger lead to anything else."""

import random

import pytest

from field_app.core import pictures
from field_app.core.pictures import LARGEST, bare_copy, read_picture
from field_app.core.problems import Refused
from field_app.core.tiff import Noted, read_noted
from tests.photographs import photograph

KINDS = ("JPEG", "PNG", "WEBP")


def refusal(data):
    with pytest.raises(Refused) as told:
        read_picture(data, "heap.jpg")
    (problem,) = told.value.problems
    assert problem.where == "heap.jpg"
    assert problem.fix
    return problem.what


@pytest.mark.parametrize(("data", "words"), [
    (b"", "is empty"), (b"Dear miller", "is not a photograph"), (b"GIF89a" + bytes(50), "is not a photograph"),
    (b"%PDF-1.7", "is not a photograph"), (bytes(4) + b"ftypheic" + bytes(50), "not every device can show"),
    (bytes(LARGEST + 1), "larger than 12 MB"), (b"\xff\xd8\xff", "damaged or cut off"),
    (b"\x89PNG\r\n\x1a\n", "damaged or cut off"), (b"RIFF\0\0\0\0WEBP", "damaged or cut off"),
])
def test_what_can_t_be_kept_is_refused_with_words(data, words):
    """An empty file, a letter, a film, one that is too large or has lost its end: each says what it is."""
    assert words in refusal(data)


@pytest.mark.parametrize("kind", KINDS)
def test_a_name_tells_nothing(kind):
    """The kind is known by the first bytes, whatever the file is called."""
    assert read_picture(photograph(kind), "letter.txt").kind == kind.lower()


def test_the_most_pixels(monkeypatch):
    """A picture with more pixels than a phone can draw is refused, whatever its size as a file."""
    monkeypatch.setattr(pictures, "MOST_PIXELS", 320 * 240)
    assert read_picture(photograph(size=(320, 240)), "heap.jpg").width == 320
    assert "has 321 × 240 pixels" in refusal(photograph(size=(321, 240)))


@pytest.mark.parametrize("kind", KINDS)
def test_every_cut_is_noticed(kind):
    """A photograph that lost its end is refused, wherever it was cut."""
    data = photograph(kind, way_up=6)
    for length in range(0, len(data) - 1, max(1, len(data) // 300)):
        with pytest.raises(Refused):
            read_picture(data[:length], "heap.jpg")


@pytest.mark.parametrize("kind", KINDS)
def test_no_damage_leads_to_anything_but_a_refusal(kind):
    """Bytes changed, taken out or put in anywhere: it is read or refused, and a copy of it never has the place."""
    rng, data = random.Random(5), photograph(kind, way_up=6)
    refused = 0
    for _ in range(1500):
        bad = bytearray(data)
        for _ in range(rng.randint(1, 4)):
            at = rng.randrange(min(len(bad), rng.choice((40, 400, len(bad)))))
            how = rng.randrange(3)
            if how == 0:
                bad[at] = rng.randrange(256)
            elif how == 1:
                del bad[at:at + rng.randint(1, 20)]
            else:
                bad[at:at] = rng.randbytes(rng.randint(1, 20))
        try:
            copy = bare_copy(bytes(bad), "heap.jpg")
        except Refused:
            refused += 1
        else:
            assert b"Pinhole" not in copy
            assert read_picture(copy, "heap.jpg").noted.placed is False
    # Every chunk of a PNG has a sum of its own, so there every damage is noticed.
    assert 50 < refused < 1500 or (kind == "PNG" and refused == 1500)


def test_what_can_t_be_read_of_the_notes_counts_as_not_noted():
    """Notes with offsets that point nowhere, circles or odd kinds are no reason to refuse a picture."""
    rng = random.Random(6)
    good = b"II*\0\x08\0\0\0\x02\0" + b"\x12\x01\x03\0\x01\0\0\0\x06\0\0\0" + b"\x25\x88\x04\0\x01\0\0\0\x08\0\0\0"
    assert read_noted(good).way_up == 6
    assert read_noted(b"") == read_noted(b"II*\0") == read_noted(b"junk" * 9) == Noted()
    for _ in range(2000):
        bad = bytearray(good)
        for _ in range(3):
            bad[rng.randrange(len(bad))] = rng.randrange(256)
        assert 1 <= read_noted(bytes(bad)).way_up <= 8


def test_an_orientation_out_of_range_is_upright():
    """EXIF counts the ways up from 1 to 8; anything else is as if nothing were noted."""
    for way in (0, 9, 65535):
        data = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0" + way.to_bytes(2, "little") + b"\0\0"
        assert read_noted(data).way_up == 1
