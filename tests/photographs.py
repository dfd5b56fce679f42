"""Photographs for tests, written by an independent library as cameras write them: with a position, a time, a maker."""

from __future__ import annotations

import io
from typing import Any

from PIL import Image, ImageDraw

__all__ = ["PLACE", "TAKEN", "photograph"]

#: On the invented island; what must not be in a copy, as EXIF writes it: degrees, minutes, seconds.
PLACE = ((44.0, 0.0, 44.28), (28.0, 0.0, 20.52))
TAKEN = "2026:10:08 14:02:11"
#: A text that is looked for in copies, byte by byte.
MAKER = "Pinhole of Mill lane"
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:Description exif:GPSLatitude="44,0.738N"/></x:xmpmeta>'


def photograph(kind: str = "JPEG", *, size: tuple[int, int] = (320, 240), shade: int = 0, way_up: int = 1,
               noted: bool = True, mode: str = "RGB", grain: bool = False, **more: Any) -> bytes:
    """The bytes of a photograph of a heap of hulls, that is, of an ellipse on grass.

    way_up: as EXIF counts it, 1 for upright; noted: whether the camera noted place, time and maker beside it;
    grain: whether it is so fine that it takes much room, as a real one does.
    """
    picture = Image.new("RGB", size, (84, 120, 40))
    draw = ImageDraw.Draw(picture)
    draw.ellipse((size[0] // 4, size[1] // 4, size[0] * 7 // 8, size[1] * 3 // 4), fill=(60 + shade, 40, 20))
    draw.rectangle((0, 0, size[0] // 8, size[1] // 8), fill=(200, 190, 180 - shade))
    if grain:
        picture = Image.blend(picture, Image.effect_noise(size, 100).convert("RGB"), 0.5)
    exif = Image.Exif()
    if way_up != 1:
        exif[0x0112] = way_up
    if noted:
        exif[0x010F] = MAKER
        place = exif.get_ifd(0x8825)
        place[1], place[2], place[3], place[4] = "N", PLACE[0], "W", PLACE[1]
        exif.get_ifd(0x8769)[0x9003] = TAKEN
        if kind != "PNG":
            more = {"xmp": XMP, **more}
    out = io.BytesIO()
    picture.convert(mode).save(out, kind, exif=exif.tobytes() if noted or way_up != 1 else b"", **more)
    return out.getvalue()
