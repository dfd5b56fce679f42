"""A test of one's own stuff: of a lot, or of a material; what it came to, and what it teaches, while one types."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import flet as ft

from field_app.core.figures import figure_words
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS, Material, material
from field_app.core.own import OwnRecords, OwnTest, default_of, in_force, state_of
from field_app.core.own_deeds import OwnTestForm, decide_own_test
from field_app.core.own_facts import STATES, OwnTestFacts, StuffState
from field_app.core.problems import Problem
from field_app.core.units import label_of, offered_first
from field_app.ui import parts
from field_app.ui.figure import site_words
from field_app.ui.guard import screen
from field_app.ui.own_units import amount_text, in_own, own_label, own_unit
from field_app.ui.own_verbs import figure_about, keep_test
from field_app.ui.own_words import EVERYWHERE, TEST_WORDS, asked, places_for, result_words, shown_range
from field_app.ui.refusals import at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.sheet import Sheet, units_row, use_sheet, when_fold
from field_app.words import later, mid, state_words, tr

__all__ = ["LotTest", "MaterialTest", "TestTyped"]

_CALLED = {"before": later("the first weighing"), "after": later("the second weighing"),
           "dish": later("the empty dish"), "liquor": later("the liquor"), "brix": later("the reading"),
           "division": later("the scale"), "condition": later("the condition"), "at": later("when"),
           "note": later("note"), "by": later("who did it")}
_LABELS = {"dry": (later("As it is, with dish"), later("Dried, with dish")),
           "spent": (later("Before the kettle, with dish"), later("Spent and dry, with dish")),
           "reading": (later("Put into the kettle"), "")}
_NOT_KEPT = "urn:uuid:00000000-0000-0000-0000-000000000000"


@dataclass(frozen=True, slots=True)
class TestTyped:
    """What is typed or chosen so far; unit: of the masses."""

    __test__ = False  # no test of ours, in spite of its name

    test: str = "dry"
    before: str = ""
    after: str = ""
    dish: str = ""
    liquor: str = ""
    brix: str = ""
    division: str = ""
    unit: str = field(default_factory=lambda: own_unit("mass", small=True))
    state: str = "fresh"
    site: str = ""
    earlier: bool = False
    day: str = ""
    time: str = ""
    note: str = ""

    def form(self, *, lot: str = "", material_key: str = "") -> OwnTestForm:
        """As the book takes it."""
        reading = self.test == "reading"
        # What belongs to another test may still be typed, and stands on no field that is shown.
        return OwnTestForm(
            self.test, before=amount_text(self.before, self.unit),
            dish="" if reading else amount_text(self.dish, self.unit),
            after="" if reading else amount_text(self.after, self.unit), liquor=in_own(self.liquor,
                                                                                       "volume") if reading else "",
            brix=self.brix if reading else "", division=amount_text(self.division, self.unit), lot=lot,
            material="" if lot else material_key, state="air-dry" if self.test == "spent" else self.state,
            site="" if lot else self.site, note=self.note,
            at=f"{self.day} {self.time}".strip() if self.earlier else "", unit=self.unit)


@screen
def LotTest() -> ft.View:
    """A test of one lot."""
    services, app = use_services(), use_app()
    key, path = ft.use_route_params().get("id", ""), ft.use_view_path()
    lot = ft.use_memo(lambda: services.book.lot(key), [key, app.lots])
    dried = lot.life.state == "dried"
    sheet = use_sheet(f"test {lot.id}", lambda: TestTyped(state="air-dry" if dried else state_of(lot.facts)))
    stuff = material(lot.facts.material)

    def save() -> None:
        form = sheet.typed.form(lot=lot.id)
        words = tr("{test} of {code}", test=tr(TEST_WORDS[sheet.typed.test][0]), code=lot.code)
        if sheet.try_to(lambda: keep_test(app, services.book, form, lot.id, words), _fold_of):
            ft.context.page.navigate(f"/lots/{lot.code}")

    return parts.page_view(
        path, tr("Lot {code} · {site} · {stuff}", code=lot.code, site=lot.site_name, stuff=mid(tr(stuff.name))),
        _title(sheet), _body(sheet, stuff, lot.facts.site, lot),
        dock=parts.main_button(tr("Keep this test"), save, "test-save"), dock_note=not_kept(sheet.problems, _CALLED),
        back=f"/lots/{lot.code}")


@screen
def MaterialTest() -> ft.View:
    """A test of stuff of which no lot was logged."""
    services, app = use_services(), use_app()
    params, path = ft.use_route_params(), ft.use_view_path()
    asked_site = asked(ft.context.page.route or "", "site")
    stuff = material(params.get("key", ""))
    sheet = use_sheet(f"test {stuff.key}", lambda: TestTyped(site=asked_site))

    def save() -> None:
        typed = sheet.typed
        form = typed.form(material_key=stuff.key)
        name = f"dry-{typed.state}" if typed.test == "dry" else "extract"
        words = tr("{test} of {stuff}", test=tr(TEST_WORDS[typed.test][0]), stuff=mid(tr(stuff.name)))
        if sheet.try_to(lambda: keep_test(app, services.book, form, figure_about(stuff.key, name), words), _fold_of):
            where = f"?site={typed.site}" if typed.site else ""
            shown = name if name in stuff.parameters else "dry-fresh"
            ft.context.page.navigate(f"/materials/{stuff.key}/{shown}{where}")

    return parts.page_view(
        path, f"{tr(stuff.name)} · {site_words(services.book, sheet.typed.site)}", _title(sheet),
        _body(sheet, stuff, sheet.typed.site, None),
        dock=parts.main_button(tr("Keep this test"), save, "test-save"), dock_note=not_kept(sheet.problems, _CALLED),
        back=f"/materials/{stuff.key}")


def _title(sheet: Sheet[TestTyped]) -> str:
    return {"dry": tr("How dry is it?"), "spent": tr("What went into the liquor?")}.get(
        sheet.typed.test, tr("How strong is the liquor?"))


def _fold_of(problem: Problem) -> str:
    return {"at": "when", "note": "note", "division": "division"}.get(problem.where, "")


def _body(sheet: Sheet[TestTyped], stuff: Material, site: str, lot: LotNow | None) -> list[ft.Control]:
    typed = sheet.typed
    return [
        *elsewhere(sheet.problems, _CALLED),
        parts.chips([(key, tr(words)) for key, (words, _) in TEST_WORDS.items()], typed.test,
                    lambda key: sheet.edit("before", "after", "dish", "liquor", "brix", test=key), "test"),
        parts.second(tr(TEST_WORDS[typed.test][1])), *_state(sheet, stuff), *_fields(sheet),
        _sample(sheet, stuff, site, lot), sheet.keypad("before", "before", "after", "dish", "liquor", "brix"),
        *_picture(sheet, stuff, site, lot),
        *_where(sheet, stuff, lot), parts.fold_card([when_fold(sheet), _division(sheet), _note(sheet)])]


def _state(sheet: Sheet[TestTyped], stuff: Material) -> list[ft.Control]:
    if sheet.typed.test == "spent":
        return [*parts.problem_text(at(sheet.problems, "condition"))]
    states = [state for state in STATES if f"dry-{state}" in stuff.parameters]
    return [parts.second(tr("In what condition it is")),
            parts.chips([(state, tr("browned, soft") if state == "browned" else state_words(state))
                         for state in states],
                        sheet.typed.state, sheet.put("state", "condition"), "state"),
            *parts.problem_text(at(sheet.problems, "condition"))]


def _fields(sheet: Sheet[TestTyped]) -> list[ft.Control]:
    typed = sheet.typed
    first, then = map(tr, _LABELS.get(typed.test, _LABELS["dry"]))
    unit = sheet.unit_button(typed.unit)
    rows = [sheet.side_by_side(sheet.number(first, "before", first=True, expand=5), unit, where=("before",)),
            *units_row(sheet, offered_first("mass")[:4], typed.unit)]
    if typed.test == "reading":
        rows.append(sheet.side_by_side(sheet.number(tr("Liquor on it, {unit}", unit=own_label("volume")), "liquor",
                                                    expand=1),
                                       sheet.number(tr("Reads, °Brix"), "brix", expand=1), where=("liquor", "brix")))
    else:
        rows.append(sheet.side_by_side(sheet.number(then, "after", expand=5),
                                       sheet.number(tr("Dish"), "dish", expand=3),
                                       where=("after", "dish")))
    return rows


def _tested(sheet: Sheet[TestTyped], stuff: Material, site: str, lot: LotNow | None) -> OwnTest | None:
    """The test as typed so far, or None while it can't be read."""
    services = use_services()
    form = replace(sheet.typed.form(lot=lot.id if lot else "", material_key=stuff.key), at="", note="")
    decided = decide_own_test(form, replace(services.book.situation(), new_id=lambda: _NOT_KEPT, now=sheet.now),
                              lot.facts if lot else None)
    if decided.problems:
        return None
    facts = OwnTestFacts.model_validate(dict(decided.drafts[0].facts))
    state: StuffState = facts.state or (state_of(lot.facts) if lot else "fresh")
    return OwnTest(_NOT_KEPT, facts, stuff.key, state, site, lot.id if lot else "")


def _sample(sheet: Sheet[TestTyped], stuff: Material, site: str, lot: LotNow | None) -> ft.Control:
    """What the sample comes to by itself, above the keypad, so that nothing moves while one types."""
    test, words = _tested(sheet, stuff, site, lot), "–"
    if test is not None:
        words = result_words(test, use_app().in_force()(stuff.key, site, lot.id if lot else ""), decimal=sheet.decimal)
    return parts.figure_row(tr("this sample"), words, key="test-result")


def _picture(sheet: Sheet[TestTyped], stuff: Material, site: str, lot: LotNow | None) -> list[ft.Control]:
    """What the figure is without this test and with it, below the keypad."""
    records = use_app().in_force().records
    test = _tested(sheet, stuff, site, lot)
    if test is None:
        return [parts.second(tr("What it teaches is shown here as you type."))]
    with_it = OwnRecords(records.values, (*records.tests, test))
    key = lot.id if lot else ""
    default, before, after = (default_of(test.parameter, one) for one in (
        MATERIALS[stuff.key], in_force(stuff.key, site, records, lot=key), in_force(stuff.key, site, with_it, lot=key)))
    assert default is not None
    assert before is not None
    assert after is not None
    was = tr("in the table") if before is default else tr("before this test")
    of = tr("of lot {code}", code=lot.code) if lot else (tr("here") if site else tr(EVERYWHERE))
    words = figure_words(test.parameter, stuff)
    held: list[ft.Control] = []
    if not lot and any(one.facts.parameter == test.parameter and one.facts.site in (None, site or None)
                       for one in records.of(stuff.key).values):
        held.append(parts.small(tr("A value of your own is set; a test of another lot doesn't move it.")))
    return [parts.card([
        parts.second(f"{words}, {of}"),
        parts.belief_picture(shown_range(before), shown_range(after), called=words, was=was, now=tr("with this test"),
                             decimal=sheet.decimal), *held], key="test-picture")]


def _where(sheet: Sheet[TestTyped], stuff: Material, lot: LotNow | None) -> list[ft.Control]:
    app = use_app()
    if lot is not None:
        return []
    places = places_for(stuff.key, app.sites, app.in_force().records, sheet.typed.site)
    if len(places) < 2:
        return []
    places[0] = ("", tr("not told"))
    return [parts.second(tr("Where it came from")), parts.chips(places, sheet.typed.site, sheet.put("site"), "place")]


def _division(sheet: Sheet[TestTyped]) -> parts.Fold:
    wrong, typed = at(sheet.problems, "division"), sheet.typed
    label = label_of(typed.unit)
    summary = amount_text(typed.division, typed.unit) if typed.division.strip() else tr("not known, taken as ± 3 %")
    return parts.Fold(tr("the scale shows steps of"), summary, "division-fold", sheet.is_open("division"),
                      sheet.toggle("division"), lambda: [parts.field(
                          tr("Smallest step"), typed.division, sheet.put("division"), "division", wrong, suffix=label,
                          keyboard=ft.KeyboardType.NUMBER, hint="1")], wrong=bool(wrong))


def _note(sheet: Sheet[TestTyped]) -> parts.Fold:
    wrong = at(sheet.problems, "note")
    return parts.Fold(tr("note"), sheet.typed.note.strip() or tr("none"), "note-fold", sheet.is_open("note"),
                      sheet.toggle("note"), lambda: [parts.field(
                          tr("Note"), sheet.typed.note, sheet.put("note"), "note", wrong, lines=2,
                          hint=tr("three days on the stove rail"))], wrong=bool(wrong))
