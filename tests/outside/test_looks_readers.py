"""Looks at trees as a plain reader of tables finds them, in the terms of those who observe the seasons of plants."""

import csv
import datetime as dt
import io

import pytest

from field_app.core.facts import SiteFacts
from field_app.core.forms import Situation
from field_app.core.looks import LookFacts, LookForm, LookNow, decide_look
from field_app.core.sites import SiteNow
from field_app.handover.looks import COLUMNS, looks_table

NOW = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
SITE = SiteNow("urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0001",
               SiteFacts(name="Mill lane", materials=("black-walnut", "alder-cones")), None, None, (), "")
#: Codes as PEP725 lists the general BBCH scale; the stages are our own reading of it.
BBCH = {"green": "79", "yellowing": "81", "dented": "87", "fallen": "89", "browned": "", "black": ""}
#: USA-NPN, Plant and Animal Phenophase Definitions, doi 10.25422/azu.data.20736700: the bins of counts.
BINS = {"1": "<3", "2": "<3", "3": "3-10", "10": "3-10", "11": "11-100", "100": "11-100", "101": "101-1000",
        "1000": "101-1000", "1001": ">1000"}


def look(**typed):
    decided = decide_look(LookForm(**typed), SITE, Situation((SITE,), NOW, lambda: "urn:uuid:0")).unless_refused()
    return LookNow("urn:uuid:0", LookFacts.model_validate(dict(decided.drafts[0].facts)), ())


def rows(looks, **how):
    return list(csv.DictReader(io.StringIO(looks_table(looks, (SITE,), **how).decode(), newline=""), strict=True))


@pytest.mark.parametrize("stage", BBCH)
def test_stages_have_their_bbch_codes(stage):
    """The code of each stage, empty where there is none."""
    (row,) = rows([look(stage=stage)])
    assert (row["bbch"], row["scientificName"], row["eventDate"]) == (BBCH[stage], "Juglans nigra",
                                                                     "2026-10-08T15:00:00-02:00")


@pytest.mark.parametrize("count", BINS)
def test_counts_have_their_bins(count):
    """A number on the ground and the published bin that it falls into."""
    (row,) = rows([look(ground=count)])
    assert (row["on_ground"], row["dropped_bin"], row["phenophases"]) == (count, BINS[count],
                                                                         "Recent fruit or seed drop")


def test_names_and_notes_are_told_only_if_asked():
    """Without asking neither the place's name nor a note is in any byte, and a formula is never one."""
    seen = [look(stage="green", note="=1+1 by the mill"), look(material="alder-cones", stage="ready")]
    plain = looks_table(seen, (SITE,))
    assert b"Mill" not in plain
    assert b"mill" not in plain
    told = rows(seen, names=True)
    assert (told[0]["locality"], told[0]["note"]) == ("Mill lane", "'=1+1 by the mill")
    assert told[1]["phenophases"] == "Fruits | Ripe fruits"
    assert tuple(told[0]) == COLUMNS
