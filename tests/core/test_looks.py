"""A look without gathering: what may be told, what is refused, and the observers' codes in the record."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.facts import SiteFacts
from field_app.core.forms import Situation
from field_app.core.look_words import look_words
from field_app.core.looks import GROUND, PLAIN_STAGES, LookFacts, LookForm, bin_of, decide_look, stages_of
from field_app.core.materials import MATERIALS, RIPENESS, material
from field_app.core.records import Version
from field_app.core.sites import SiteNow
from field_app.core.trust import examine

NOW = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
SITE_ID = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0001"
SITE = SiteNow(SITE_ID, SiteFacts(name="Mill lane", materials=("black-walnut", "alder-cones")), None, None, (), "")
LOOK = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0002"


def decide(site=SITE, **typed):
    return decide_look(LookForm(**typed), site, Situation((site,), NOW, lambda: LOOK))


def facts(**typed):
    (draft,) = decide(**typed).unless_refused().drafts
    assert (draft.kind, draft.thing) == ("look", LOOK)
    return LookFacts.model_validate(dict(draft.facts))


def test_what_was_seen_is_kept_with_the_observers_codes_beside_it():
    """Seven of ten took a dent and a handful lies there: BBCH 87, three phenophases, the bin 3-10."""
    told = facts(stage="dented", dents="7 of 10", ground="a handful", note="the third tree")
    assert (told.material, told.at) == ("black-walnut", "2026-10-08T15:00:00-02:00")
    assert (told.dented, told.pressed, told.ground_words, told.ground) == (7, 10, "a-handful", None)
    assert (told.bbch, told.dropped) == (87, "3-10")
    assert told.phenophases == ("Fruits", "Ripe fruits", "Recent fruit or seed drop")
    assert look_words(told) == "takes a dent, 7 of 10 took a dent, a handful on the ground"


@pytest.mark.parametrize(("typed", "bbch", "bin_"), [
    ({"stage": "green"}, 79, None), ({"stage": "yellowing"}, 81, None), ({"dents": "3/30"}, 85, None),
    ({"dents": "15 out of 30"}, 87, None), ({"stage": "fallen", "ground": "250"}, 89, "101-1000"),
    ({"stage": "black", "ground": "covered"}, None, ">1000"), ({"ground": "one or two"}, None, "<3"),
])
def test_the_codes_follow_from_the_words(typed, bbch, bin_):
    """Our own reading of the general BBCH codes, and the count bins of USA-NPN."""
    told = facts(**typed)
    assert (told.bbch, told.dropped) == (bbch, bin_)


def test_no_code_of_observers_is_told_on_a_screen():
    """The words for people hold no code and no term of a network."""
    told = look_words(facts(stage="dented", dents="20/30", ground="several-pails"))
    assert not {"BBCH", "87", "phenophase", "101-1000"} & set(told.replace(",", "").split())


def test_words_for_the_ground_leave_no_number_out():
    """Each number from none on lies in one row of words, and the rows follow each other."""
    rows = list(GROUND.values())
    assert [row.least for row in rows[1:]] == [row.most + 1 for row in rows[:-1]]
    assert (rows[0].least, rows[-1].most) == (0, None)
    assert [bin_of(row.least) for row in rows] == [row.bin for row in rows]


@pytest.mark.parametrize(("typed", "where"), [
    ({}, "stage"), ({"stage": "glowing"}, "stage"), ({"dents": "most"}, "dents"), ({"dents": "7 of 9"}, "dents"),
    ({"dents": "11 of 10"}, "dents"), ({"ground": "heaps"}, "ground"), ({"ground": "2.5"}, "ground"),
    ({"ground": "-1"}, "ground"), ({"material": "moon-dust", "stage": "green"}, "material"),
    ({"material": "alder-cones", "stage": "dented"}, "stage"), ({"material": "alder-cones", "dents": "7/10"}, "dents"),
    ({"stage": "green", "at": "2027-01-01"}, "at"), ({"stage": "green", "note": "\x1b"}, "note"),
])
def test_what_can_not_be_is_refused_by_name(typed, where):
    """Each fault names its field and says what to do; nothing is decided."""
    decided = decide(**typed)
    assert decided.drafts == ()
    assert {problem.where for problem in decided.problems} == {where}
    assert all(problem.fix for problem in decided.problems)


def test_a_site_of_nothing_asks_what_was_looked_at():
    """Where nothing is noted to stand, the material has to be told."""
    bare = SiteNow(SITE_ID, SiteFacts(name="Weir"), None, None, (), "")
    assert decide(bare, stage="green").problems[0].where == "material"
    assert decide(bare, stage="ready", material="acorn-cups").problems == ()


def test_every_material_has_stages_in_plain_words():
    """Hulls have the table of ripeness, all others not yet, ready, over."""
    for stuff in MATERIALS.values():
        expected = RIPENESS if stuff.group == "walnut hull" else PLAIN_STAGES
        assert set(stages_of(stuff)) == set(expected)


@given(st.sampled_from(sorted(MATERIALS)), st.data())
def test_whatever_is_decided_may_enter_elsewhere(key, data):
    """A look that was taken as typed passes the checks of another device."""
    stages = ["", *stages_of(material(key))]
    typed = {"material": key, "stage": data.draw(st.sampled_from(stages)),
             "dents": data.draw(st.sampled_from(["", "0/10", "30 of 30", "5 of 12"])),
             "ground": data.draw(st.sampled_from(["", "0", "17", "1000000", *GROUND])),
             "note": data.draw(st.text(max_size=40))}
    decided = decide(**typed)
    for draft in decided.drafts:
        version = Version(draft.thing, "look", draft.facts, f"{1_791_900_000_000:013d}-0000-{'a' * 16}", "a" * 16, 1)
        assert examine(version) is None
