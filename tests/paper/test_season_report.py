"""The seasons on paper: the figures of the review are read back from the pages, and nothing leaves them."""

import datetime as dt
from dataclasses import replace

import pypdfium2
import pytest

from field_app.core.coverage import Coverage
from field_app.core.estimate import Range
from field_app.core.problems import Refused
from field_app.core.review_estimates import CHECKED, Check
from field_app.core.review_words import (
    bars_of,
    check_words,
    count_words,
    held_words,
    seen_words,
    stood_words,
    stuff_words,
    verdict_words,
)
from field_app.core.season_review import Lesson, Review
from field_app.ids import new_id
from field_app.paper import PAPERS, season_report
from field_app.paper.page import POINT, Page
from field_app.paper.pictures import chance, range_line, spots, spots_height
from field_app.store import fill_demo, open_book, season_review
from tests.paper.test_labels import drawn, texts

WINTER = dt.datetime.fromisoformat("2026-12-15T15:00:00-02:00")
LONG = "Sehr langer Name eines Baumes hinter dem Deich " * 4 + "Grenzlandstraßenbahnhaltestellenwärterhäuschen" * 2


@pytest.fixture(scope="module")
def review(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "data"
    fill_demo(folder, new_id=new_id).close()
    book = open_book(folder, clock=lambda: WINTER, new_id=new_id)
    told = season_review(book)
    book.close()
    thought, day = Range(7.0, 8.0, 9.5, "kg"), dt.date(2026, 10, 9)
    checks = tuple(Check(kind, "black-walnut", "904D", "Mill lane", day, thought, came)
                   for kind, came in zip(CHECKED, (6.0, 7.2, 9.0, 9.6, 8.0, 20.0), strict=False))
    lesson = Lesson("black-walnut", "dry-fresh", Range(0.1, 0.15, 0.2, "1"), Range(0.14, 0.17, 0.19, "1"), 2, 1, True)
    return replace(told, checks=checks, lessons=(lesson,))


def words_of(data):
    """All words of a document in the order in which they were written, with single spaces."""
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data)).split())


def said(data, words):
    """Whether the words stand in the document one after another, on as many lines as they take."""
    return " ".join(words.split()) in words_of(data)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_figures_of_the_review_are_read_back(review, paper):
    """Counts, verdicts, yields, dates, forecasts, checks and lessons stand on the paper as on the screen."""
    data = season_report(review, made=WINTER, paper=paper)
    width, height = PAPERS[paper]
    page = pypdfium2.PdfDocument(data)[0]
    assert (page.get_width() * POINT, page.get_height() * POINT) == pytest.approx((width, height), abs=0.01)
    for told in (review.forecasts(True), review.forecasts(False), review.estimates):
        assert said(data, count_words(told))
        assert said(data, verdict_words(told))
    assert len(review.trees) > 5
    for tree in review.trees:
        assert said(data, tree.site_name)
        for name, figure, _ in bars_of(tree, "."):
            assert said(data, name)
            assert said(data, figure)
        for year in tree.years:
            if year.stood:
                assert said(data, seen_words(year))
                assert said(data, f"{stood_words(year.stood[-1])}, {held_words(year, year.stood[-1])}")
    for check in review.checks:
        assert said(data, check_words(check))
    assert said(data, "15.0 % (10.0–20.0)")
    assert said(data, "17.0 % (14.0–19.0)")
    assert said(data, "Past seasons, page 2")


def test_a_comma_is_written_where_the_person_writes_one(review):
    """Every figure has the person's own decimal sign."""
    data = season_report(review, made=WINTER, decimal=",")
    assert said(data, "17,0 % (14,0–19,0)")
    assert not said(data, "17.0")


@pytest.mark.parametrize("paper", PAPERS)
def test_the_longest_names_stay_on_the_paper(review, paper):
    """Names of any length are broken into lines: no word leaves the margins, none lies on another."""
    long = replace(review, trees=tuple(replace(tree, site_name=LONG) for tree in review.trees),
                   checks=tuple(replace(check, site=LONG) for check in review.checks))
    data = season_report(long, made=WINTER, paper=paper)
    width, height = PAPERS[paper]
    for number in range(len(pypdfium2.PdfDocument(data))):
        boxes = [box for _, box in texts(data, number)]
        assert boxes
        for box in boxes:
            assert 13.5 <= box[0] <= box[2] <= width - 13.5, box
            assert 11 <= box[1] <= box[3] <= height - 11, box
        for at, one in enumerate(boxes):
            for other in boxes[at + 1:]:
                across = min(one[2], other[2]) - max(one[0], other[0])
                down = min(one[3], other[3]) - max(one[1], other[1])
                assert across < 0.3 or down < 0.6, (one, other)
    assert "".join(LONG.split()) in "".join(words_of(data).split())


def test_a_tree_stands_on_one_page(review):
    """The name of a tree and all its rows are not parted."""
    pages = [" ".join(page.get_textpage().get_text_range().split())
             for page in pypdfium2.PdfDocument(season_report(review, made=WINTER))]
    assert len(pages) > 1
    for tree in review.trees:
        (home,) = [page for page in pages if f"{tree.site_name}: {stuff_words(tree.material)}" in page]
        last = next((year for year in reversed(tree.years) if year.stood), None)
        if last is not None:
            assert f"{last.year}: {seen_words(last)} {stood_words(last.stood[-1])}" in home


def test_nothing_to_look_back_on_is_said():
    """No season gives no paper, but what to do."""
    with pytest.raises(Refused, match="nothing is noted of any yet"):
        season_report(Review(None, (), (), (), ()), made=WINTER)


def ink(draw, width=100.0, height=40.0):
    """How dark each place of a drawing is [0 white, 1 black], ten places a millimetre."""
    page = Page(width, height, "drawing", WINTER)
    page.new()
    draw(page)
    picture = drawn(page.data(), 254)
    return lambda x, y: 1 - picture.getpixel((round(x * 10), round(y * 10))) / 255


def test_a_range_is_a_band_a_bar_and_a_dot():
    """White above the line, grey in the band, black in the bar; the dot inside is full, outside a ring."""
    dark = ink(lambda page: range_line(page, 10, 10, 80, (0.25, 0.5, 0.75), 0.6))
    middle = 12.5
    assert dark(20, middle - 0.6) < 0.05
    assert 0.2 < dark(35, middle - 0.6) < 0.5
    assert dark(50.3, middle - 1.5) > 0.9
    assert dark(58, middle) > 0.9
    outside = ink(lambda page: range_line(page, 10, 10, 80, (0.25, 0.5, 0.75), 0.9))
    assert outside(82, middle) < 0.1
    assert outside(82, middle - 1.3) > 0.7


def test_dots_stand_where_they_lay():
    """One of three lay below its range: it is a ring left of it, the others are full dots within; chance is a band."""
    seen = (-0.3, 0.5, 0.52)
    dark = ink(lambda page: spots(page, 5, 5, 90, seen, ("earlier", "later")))
    foot = 5 + spots_height(seen, 90) - 4.5
    row = "".join("#" if dark(x / 10, foot - 1.8) > 0.7 else " " for x in range(50, 950)).split()
    # The two sides of a ring, an end of the range, the dot, and the other end.
    assert [len(run) > 15 for run in row] == [False, False, False, True, False]
    assert any(dark(x / 10, foot - 4.4) > 0.9 for x in range(50, 950))  # the third stands on the second
    told = Coverage(1, 16, 3)
    dark = ink(lambda page: chance(page, 5, 5, 90, (told.n, told.inside, told.by_chance)))
    assert dark(8 + 84 * 16 / 20, 7.5) > 0.9
    assert 0.2 < dark(8 + 84 * 14 / 20, 7.2) < 0.5
    assert dark(8 + 84 * 5 / 20, 7.0) < 0.05


def test_the_same_seasons_give_the_same_bytes(review):
    """Printed again at the same time, it is the same file."""
    assert season_report(review, made=WINTER) == season_report(review, made=WINTER)
