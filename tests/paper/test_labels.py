"""Labels: what stands on them, that it stays inside, and that an independent reader reads the code back."""

import datetime as dt
import io
import itertools
from dataclasses import replace

import pypdfium2
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageDraw

from field_app.core.problems import Refused
from field_app.paper import Grid, LotLabel, labels_pdf, lot_label
from field_app.paper.label_layout import SMALLEST, rows_of
from field_app.paper.labels import SINGLE
from field_app.paper.page import POINT, Page, printable
from tests.handover.scene import lots

MADE = dt.datetime.fromisoformat("2026-10-09T18:00:00-02:00")
LONG = LotLabel(
    "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb0009", "4K7QZ9AB", "Eastern hemlock tree bark, thrown by the wind, " * 3,
    "Gathered 30 September 2026", "weighed again 30 Sep 2026", "1234.5 kg (1034.5–1434.5)",
    "Use by 30 September 2026, 30 November 2026 at the latest, or as long as it stays dry",
    ("Gloves: the juice stains for a week, and longer on nails.",) * 6)


def drawn(data, dpi, number=0):
    """A page as a picture."""
    page = pypdfium2.PdfDocument(io.BytesIO(data))[number]
    return page.render(scale=dpi / 72).to_pil().convert("L")


def read(picture):
    """The texts of all codes on a picture, as another program reads them."""
    return sorted(code.text for code in zxingcpp.read_barcodes(picture))


def texts(data, number=0):
    """Every line of text on a page with its box [mm], from the upper left corner."""
    page = pypdfium2.PdfDocument(io.BytesIO(data))[number]
    height = page.get_height()
    found = page.get_textpage()
    rows = []
    for at in range(found.count_rects()):
        left, bottom, right, top = found.get_rect(at)
        rows.append((found.get_text_bounded(left, bottom, right, top),
                     (left * POINT, (height - top) * POINT, right * POINT, (height - bottom) * POINT)))
    return rows


@pytest.mark.parametrize("dpi", [100, 150, 200, 300])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_code_of_a_sheet_is_read_back(paper, dpi):
    """Each lot's urn:uuid: comes back from a full sheet, from a coarse scan to a fine one."""
    labels = [lot_label(one) for one in lots()] * 3
    data = labels_pdf(labels, made=MADE, grid=Grid(paper))
    assert read(drawn(data, dpi)) == sorted(label.urn for label in labels[:10])
    assert read(drawn(data, dpi, 1)) == sorted(label.urn for label in labels[10:])


@pytest.mark.parametrize("turn", [7, 45, 90, 180, 263])
def test_a_turned_label_is_read_back(turn):
    """Held askew or upside down it is read all the same."""
    label = lot_label(lots()[0])
    picture = drawn(labels_pdf([label], made=MADE), 200).rotate(turn, expand=True, fillcolor=255)
    assert read(picture) == [label.urn]


@pytest.mark.parametrize(("x", "y"), [(0.5, 0.5), (0.62, 0.4), (0.45, 0.7)])
def test_a_blot_is_forgiven(x, y):
    """A blot over about a twentieth of the code, beside its three corners, is made good by level Q."""
    label = lot_label(lots()[0])
    picture = drawn(labels_pdf([label], made=MADE), 200)
    side = 34.0 / 25.4 * 200  # the code with its quiet zone, at the left edge of the label
    radius = side * (0.05 / 3.1416) ** 0.5
    centre = (x * side, y * side)
    ImageDraw.Draw(picture).ellipse([centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius],
                                    fill=0)
    assert read(picture) == [label.urn]


def test_what_a_person_needs_stands_there_in_clear():
    """Short code, what, when, how much, in which state, until when, and cautions."""
    label = lot_label(lots()[0])
    words = " ".join(text for text, _ in texts(labels_pdf([label], made=MADE)))
    assert label.code in words
    assert "Black walnut, whole fruit, fallen, firm" in " ".join(words.split())
    assert "Gathered 1 Oct 2026" in words
    assert "kg (" in words
    assert "Use by" in words
    assert any(caution in words for caution in label.cautions)


@pytest.mark.parametrize("grid", [Grid(), Grid("Letter"), Grid(columns=3, rows=8, side=2, top=4), None])
def test_the_longest_words_stay_inside_their_label(grid):
    """Nothing is printed over the edge of a label, whatever stands on it."""
    data = labels_pdf([LONG] * 2, made=MADE, grid=grid)
    width, height = grid.size if grid else SINGLE
    left, top = (grid.side, grid.top) if grid else (0.0, 0.0)
    first = [box for _, box in texts(data) if grid is None or box[0] < left + width]
    assert len(first) >= 4
    for box in first:
        assert left <= box[0] <= box[2] <= left + width, box
        assert top <= box[1] <= box[3] <= top + height, box


def words_on(data):
    """All words of the first page, in the order in which they were written."""
    return " ".join(pypdfium2.PdfDocument(io.BytesIO(data))[0].get_textpage().get_text_range().split())


@pytest.mark.parametrize("grid", [Grid(), Grid("Letter"), None])
def test_nothing_is_left_out_of_a_usual_label(grid):
    """On the sheets and on a label of its own each lot has its state in full, its day, and all of its cautions."""
    for lot in lots():
        label = lot_label(lot)
        words = words_on(labels_pdf([label], made=MADE, grid=grid))
        for text in (label.code, label.what, f"{label.mass}, {label.state}", label.gathered, label.use_by,
                     *label.cautions):
            assert " ".join(text.split()) in words
        assert "…" not in words


@pytest.mark.parametrize("grid", [Grid(), Grid("Letter"), Grid(columns=3, rows=8, side=2, top=4), None])
def test_of_the_longest_words_until_when_stays_to_the_last(grid):
    """Where not all has room, the short code and until when are there; no letter is too small to be read."""
    label = replace(LONG, state="wieder gewogen am 30. September 2026", gathered="Gesammelt am 30. September 2026",
                    use_by="Verbrauchen bis 30. September 2026, spätestens 30. November 2026")
    data = labels_pdf([label], made=MADE, grid=grid)
    assert label.code in words_on(data)
    assert label.use_by in words_on(data)
    size = grid.size if grid else SINGLE
    page = Page(*size, "label", MADE)
    rows = rows_of(page, label, *size)
    assert min(row.size for row in rows) >= SMALLEST
    assert all(page.width_of(row.text, row.size, bold=row.bold) <= row.width + 1e-6 or row.text.endswith("…")
               for row in rows)
    for above, below in itertools.pairwise(rows):
        assert below.y >= above.bottom - 1e-9


def test_places_used_up_are_skipped():
    """The first label goes where the sheet is still whole; a sheet has so many places and no more."""
    label = lot_label(lots()[0])
    data = labels_pdf([label] * 2, made=MADE, grid=Grid(), skip=9)
    pages = pypdfium2.PdfDocument(io.BytesIO(data))
    assert len(pages) == 2
    corner = next(box for text, box in texts(data) if label.code in text)
    assert corner[0] > 105
    assert corner[1] > 200
    with pytest.raises(Refused, match="10 places"):
        labels_pdf([label], made=MADE, grid=Grid(), skip=10)
    with pytest.raises(Refused, match="none is named"):
        labels_pdf([], made=MADE)


@given(columns=st.integers(-1, 8), rows=st.integers(-1, 14), side=st.floats(-5, 80), top=st.floats(-5, 80),
       gap=st.floats(-5, 40))
@settings(max_examples=60)
def test_a_grid_is_on_its_sheet_or_refused(columns, rows, side, top, gap):
    """Labels are as large as can be read and all on the paper, or the grid says what to change."""
    try:
        grid = Grid("A4", columns, rows, side, top, gap)
    except Refused:
        return
    width, height = grid.size
    assert side + columns * width + (columns - 1) * gap <= 210.001 - side
    assert top + rows * height + (rows - 1) * gap <= 297.001 - top
    assert width >= 62
    assert height >= 32


@given(st.text(max_size=60))
def test_any_text_can_be_printed(text):
    """Letters that the fonts lack are told by others; nothing stops a label."""
    printable(text).encode("cp1252")


def test_the_same_labels_give_the_same_bytes():
    """Printed again at the same time, it is the same file."""
    label = lot_label(lots()[0])
    assert labels_pdf([label], made=MADE) == labels_pdf([label], made=MADE)
