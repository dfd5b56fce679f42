"""A bare copy of a photograph, looked at by a reader and writer of pictures that is not ours.

Source of the photographs and of what is read back: Pillow (its own readers of JPEG, PNG, WebP and EXIF).
The order of bytes in each kind: JPEG, ITU-T T.81 annex B; PNG (W3C, third edition), 5; WebP, RFC 9649, 2;
EXIF, JEITA CP-3451, 4.6.
"""

import io

import pytest
from PIL import Image, ImageOps

from field_app.core.pictures import bare_copy, read_picture
from tests.photographs import MAKER, PLACE, TAKEN, photograph

KINDS = {
    "JPEG": {}, "progressive": {"progressive": True}, "restarts": {"restart_marker_rows": 1}, "grey": {"mode": "L"},
    "four inks": {"mode": "CMYK"}, "colours told": {"icc_profile": b"profile of the shed" * 20},
    "comment": {"comment": b"at the mill lane gate"}, "PNG": {}, "see-through": {"mode": "RGBA"},
    "few colours": {"mode": "P"}, "WEBP": {}, "lossless": {"lossless": True}, "see-through WEBP": {"mode": "RGBA"},
}
OF = {"see-through": "PNG", "few colours": "PNG", "lossless": "WEBP", "see-through WEBP": "WEBP"}


def opened(data):
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


def made(name, **more):
    kind = OF.get(name, name if name in ("PNG", "WEBP") else "JPEG")
    return photograph(kind, **KINDS[name], **more)


@pytest.mark.parametrize("way_up", [1, 6, 8, 3])
@pytest.mark.parametrize("name", KINDS)
def test_a_bare_copy_is_the_same_picture_without_its_place(name, way_up):
    """Another reader finds the same pixels, the same way up and the same colours in it, and nothing else noted."""
    data = made(name, way_up=way_up)
    before, after = opened(data), opened(bare_copy(data, "photograph"))
    assert before.getexif().get_ifd(0x8825)[2] == PLACE[0], "the photograph of the test has no place"
    assert (after.size, after.mode, after.tobytes()) == (before.size, before.mode, before.tobytes())
    assert after.info.get("icc_profile") == before.info.get("icc_profile")
    assert dict(after.getexif()) == ({0x0112: way_up} if way_up != 1 else {})
    assert not after.getexif().get_ifd(0x8825)
    assert not after.getexif().get_ifd(0x8769)
    assert not {"xmp", "comment", "photoshop", "XML:com.adobe.xmp"} & set(after.info)
    assert ImageOps.exif_transpose(after).tobytes() == ImageOps.exif_transpose(before).tobytes()


@pytest.mark.parametrize("name", KINDS)
def test_what_is_noted_is_read_as_another_reader_reads_it(name):
    """Kind, size, which way up, when, and that a place is noted are what the other library says."""
    data = made(name, way_up=6)
    theirs, ours = opened(data), read_picture(data, "photograph")
    assert (ours.width, ours.height, ours.kind) == (*theirs.size, theirs.format.lower())
    assert ours.noted.way_up == theirs.getexif()[0x0112]
    assert ours.noted.taken == TAKEN.replace(":", "-", 2).replace(" ", "T")
    assert ours.noted.placed
    assert not read_picture(photograph(OF.get(name, "JPEG"), noted=False), "photograph").noted.placed


@pytest.mark.parametrize("name", KINDS)
def test_nothing_of_what_was_noted_is_among_the_bytes(name):
    """Neither the maker, nor the time, nor a position in words is anywhere in a copy, nor what follows the picture."""
    data = made(name) + b"and a film taken at 44.0123 N"
    if name in OF or name in ("PNG", "WEBP"):
        data = made(name)
    assert MAKER.encode() in data
    copy = bare_copy(data, "photograph")
    for text in (MAKER.encode(), TAKEN.encode(), b"GPS", b"44.0123", b"mill lane gate", b"xmpmeta"):
        assert text not in copy


def test_texts_of_a_png_go():
    """Texts beside the picture, packed or not, are left out; what says how the colours are meant stays."""
    from PIL.PngImagePlugin import PngInfo

    notes = PngInfo()
    notes.add_text("Comment", "at the mill lane gate")
    notes.add_text("Place", "44.0123 N", zip=True)
    notes.add_itxt("XML:com.adobe.xmp", "exif:GPSLatitude", zip=False)
    data = photograph("PNG", pnginfo=notes, dpi=(300, 300))
    assert opened(data).text
    after = opened(bare_copy(data, "photograph"))
    assert not after.text
    assert after.info["dpi"] == opened(data).info["dpi"]
    assert read_picture(data, "photograph").noted.placed


def test_a_second_picture_behind_the_first_goes():
    """What some cameras put behind the picture, with a place of its own, is not in a copy (CIPA DC-007)."""
    out = io.BytesIO()
    one, two = (opened(photograph(shade=shade)) for shade in (0, 60))
    one.save(out, "MPO", save_all=True, append_images=[two], exif=one.getexif())
    data = out.getvalue()
    assert Image.open(io.BytesIO(data)).n_frames == 2
    copy = opened(bare_copy(data, "photograph"))
    assert (copy.format, getattr(copy, "n_frames", 1)) == ("JPEG", 1)
    assert copy.tobytes() == opened(data).tobytes()


def test_a_bare_copy_of_a_bare_copy_is_the_same():
    """Once nothing is noted, there is nothing more to leave out."""
    for kind in ("JPEG", "PNG", "WEBP"):
        once = bare_copy(photograph(kind, way_up=6), "photograph")
        assert bare_copy(once, "photograph") == once
