"""A label that the phone printed is photographed and opens its lot, without any network."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pypdfium2
import pytest
import segno
from PIL import Image, ImageDraw, ImageFilter

from field_app.phone.decoder import ARCHIVE, decoder_files
from tests.phone.handset import Handset, Host

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

LOTS = """
from field_app.core.forms import LeaveForm, SiteForm, WindfallForm
book.add_site(SiteForm("Mill lane", "44.0123, -28.0057", ("black-walnut",), "", LeaveForm("given", "the miller")))
lots = [book.log(WindfallForm(site="Mill lane", material="black-walnut", part="whole-fruit", ripeness="fallen",
                              gross=gross, tare="1.1")) for gross in ("9.1", "14.2")]
json.dumps([[lot.id, lot.code] for lot in lots])
"""
FIND = "/lots/find"


def label_of(handset: Handset, code: str) -> Picture:
    """The label of a lot as the phone makes it, drawn at 200 dpi."""
    handset.visit(f"/lots/{code}")
    with handset.page.expect_download(timeout=60_000) as coming:
        handset.tap("Print its label")
    page = pypdfium2.PdfDocument(coming.value.path())[0]
    return page.render(scale=200 / 72).to_pil().convert("L")


def photograph(label: Picture, *, turned: float = 0, wide: int = 1200, size: tuple[int, int] = (3000, 4000)) -> Picture:
    """A large picture of a pail with the label on it, as wide as told [px], turned [deg], unsharp and grainy."""
    grain = Image.effect_noise((size[0] // 8, size[1] // 8), 70).resize(size, Image.Resampling.BICUBIC)
    label = label.resize((wide, wide * label.height // label.width), Image.Resampling.LANCZOS)
    shape = Image.new("L", label.size, 255).rotate(turned, expand=True)
    turned_label = label.rotate(turned, expand=True, resample=Image.Resampling.BICUBIC)
    grain.paste(turned_label, ((size[0] - shape.width) // 2, (size[1] - shape.height) // 3), shape)
    dim = grain.filter(ImageFilter.GaussianBlur(1.5)).point(lambda level: 30 + 0.7 * level)
    return Image.blend(dim, Image.effect_noise(size, 50), 0.2)


def blotted(label: Picture) -> Picture:
    """The label with a drop of juice on its code, over about a twentieth of it."""
    side = 34 / 25.4 * 200
    radius = side * (0.05 / 3.1416) ** 0.5
    ImageDraw.Draw(label).ellipse([0.55 * side - radius, 0.5 * side - radius, 0.55 * side + radius,
                                   0.5 * side + radius], fill=30)
    return label


def kept(picture: Picture, file: Path) -> Path:
    """The picture as a camera keeps it."""
    picture.save(file, quality=85)
    return file


def take(handset: Handset, file: Path) -> None:
    """Give a photograph to the screen that asks for one."""
    with handset.page.expect_file_chooser(timeout=60_000) as dialog:
        handset.tap("Photograph the label")
    dialog.value.set_files([str(file)])


def test_a_label_is_photographed_and_opens_its_lot(handset: Handset, host: Host, tmp_path: Path) -> None:
    """Askew, blotted, small in a picture of twelve megapixels: the lot opens, with no host and no network."""
    (one, first), (_, second) = handset.python(LOTS)
    plain, other = label_of(handset, first), label_of(handset, second)
    host.stop()
    handset.flight_mode()
    handset.reload()
    shots = [(photograph(plain, turned=8), first), (photograph(blotted(other), turned=-100, wide=1500), second),
             (photograph(plain, turned=190, wide=2400), first)]
    for number, (picture, code) in enumerate(shots):
        handset.visit(FIND)
        handset.see("Open a lot by its label", timeout=60_000)
        if number == 0:
            handset.shot("phone-find")
        take(handset, kept(picture, tmp_path / f"{number}.jpg"))
        handset.see(re.compile(f"Lot {code} "), timeout=60_000)
        assert handset.page.evaluate("location.hash") == f"#/lots/{code}"
    assert one.startswith("urn:uuid:")
    assert handset.requests.left() == []


def test_a_photograph_that_leads_nowhere_is_told(handset: Handset, tmp_path: Path) -> None:
    """No code, a code of something else, a lot of another device, no picture: each has words; typing still works."""
    (_, code), _ = handset.python(LOTS)
    codes = {"elsewhere": "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb0009", "other": "https://example.org/pail"}
    files = {"none": kept(Image.effect_noise((2000, 1500), 60), tmp_path / "none.jpg")}
    for name, text in codes.items():
        out = io.BytesIO()
        segno.make(text, error="q").save(out, kind="png", scale=8, border=6)
        label = Image.open(out).convert("L")
        files[name] = kept(photograph(label, size=(1500, 2000), wide=700), tmp_path / f"{name}.jpg")
    files["broken"] = tmp_path / "broken.jpg"
    files["broken"].write_bytes(files["none"].read_bytes()[:3000])
    handset.visit(FIND)
    for name, words in (("none", "No code is to be read on it"), ("other", "The code on it is of something else"),
                        ("elsewhere", "is not on this device"), ("broken", "can't be opened as a picture")):
        take(handset, files[name])
        handset.see(re.compile(words), timeout=60_000)
        handset.shot(f"phone-find-{name}")
    handset.write("Code on the label", code.lower())
    handset.tap("Open this lot")
    handset.see(re.compile(f"Lot {code} "), timeout=60_000)


def test_the_reader_is_the_one_that_was_published(tmp_path: Path) -> None:
    """The archive has the hash under which it was published; a changed or missing one stops the build."""
    from field_app.core.problems import FolderFault

    files = decoder_files()
    assert set(files) == {"qr/decode.js", "qr/index.js", "qr/LICENSE-MIT"}
    assert b"Permission is hereby granted" in files["qr/LICENSE-MIT"]
    changed = tmp_path / ARCHIVE.name
    for data in (ARCHIVE.read_bytes() + b"\0", b""):
        changed.write_bytes(data)
        with pytest.raises(FolderFault, match="was changed since it was published"):
            decoder_files(changed)
    with pytest.raises(FolderFault, match="is missing"):
        decoder_files(tmp_path / "none.tgz")
