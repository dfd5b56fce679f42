"""In a language that is a third longer than English, as German is, nothing on paper leaves its place."""

import datetime as dt

import pypdfium2
import pytest

from field_app.ids import new_id
from field_app.paper import PAPERS, Grid, day_sheet, labels_pdf, lot_label, season_report
from field_app.store import fill_demo, open_book, season_review
from tests.handover.test_days import MADE, day
from tests.paper.longer import longer, spoken_longer
from tests.paper.test_labels import texts, words_on

WINTER = dt.datetime.fromisoformat("2026-12-15T15:00:00-02:00")


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "data"
    fill_demo(folder, new_id=new_id).close()
    found = open_book(folder, clock=lambda: WINTER, new_id=new_id)
    yield found
    found.close()


def check_pages(data, width, height):
    """Every line of every page lies within the margins, and none on another."""
    for number in range(len(pypdfium2.PdfDocument(data))):
        boxes = [box for _, box in texts(data, number)]
        assert boxes
        for at, one in enumerate(boxes):
            assert 13.5 <= one[0] <= one[2] <= width - 13.5, one
            assert 11 <= one[1] <= one[3] <= height - 10, one
            for other in boxes[at + 1:]:
                across = min(one[2], other[2]) - max(one[0], other[0])
                down = min(one[3], other[3]) - max(one[1], other[1])
                assert across < 0.3 or down < 0.6, (one, other)


def test_the_words_are_a_third_longer():
    """The language of this test is what it says, and leaves what is filled in as it is."""
    text = "What was thought before the weighing of {mass}"
    assert 1.25 < len(longer(text)) / len(text) < 1.5
    assert longer(text).endswith(" {mass}")


@pytest.mark.parametrize("paper", PAPERS)
def test_past_seasons_and_the_dye_day_stay_inside(book, paper):
    """Both are broken into more lines, on as many pages as it takes."""
    review, made = season_review(book), day()
    with spoken_longer():
        check_pages(season_report(review, made=WINTER, paper=paper), *PAPERS[paper])
        check_pages(day_sheet(made.plan, made.work, made=MADE, paper=paper), *PAPERS[paper])


@pytest.mark.parametrize("grid", [Grid(), Grid("Letter")])
def test_labels_say_all_but_the_last_cautions(book, grid):
    """What, how much, in which state, when and until when are there in full, and the first caution with them."""
    with spoken_longer():
        for lot in book.lots():
            label = lot_label(lot)
            data = labels_pdf([label], made=MADE, grid=grid)
            words = words_on(data)
            for text in (label.code, label.what, f"{label.mass}, {label.state}", label.gathered, label.use_by,
                         *label.cautions[:1]):
                assert " ".join(text.split()) in words
            width, height = grid.size
            for _, box in texts(data):
                assert grid.side <= box[0] <= box[2] <= grid.side + width
                assert grid.top <= box[1] <= box[3] <= grid.top + height
