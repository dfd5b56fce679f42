"""Taking files in: whole, cut, damaged, bare, foreign; each version as it was written or not at all."""

import json
import random
import zipfile
from io import BytesIO

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.problems import Refused
from field_app.core.records import name_of
from field_app.handover.packing import pack
from field_app.handover.sequence import pieces, sequence
from field_app.handover.take import PlannersFile, take
from tests.handover.scene import closed, good, opened
from tests.store.making import Devices
from tests.sync.island import Device


@pytest.fixture(scope="module")
def original(tmp_path_factory):
    """A small group file and the names of its versions."""
    device = Device(tmp_path_factory.mktemp("device") / "data", 1)
    device.site()
    lot = device.lot(note="unter dem großen Ast – 1½ Körbe 🌰")
    device.step(lot.id, "weighed", mass="12 kg", nuts="1 kg")
    device.draw(lot.id, "3 kg", purpose="shawl")
    device.book.undo()
    data, texts = device.file(), device.texts()
    device.close()
    return data, frozenset(name_of(text) for text in texts)


def names(taken):
    return {version.name for version in taken.versions}


def test_a_whole_file_gives_every_version_and_no_complaint(original):
    """What was written comes back, to the byte."""
    data, written = original
    taken = take(data)
    assert names(taken) == written
    assert (taken.problems, taken.notes, taken.quarantined, taken.cut, taken.known) == ((), (), (), False, 0)


def test_what_is_known_is_not_read_again(original):
    """Names that are known are counted, and the rest is taken."""
    data, written = original
    known = set(sorted(written)[:2])
    taken = take(data, known=known.intersection)
    assert names(taken) == written - known
    assert taken.known == 2


@pytest.mark.parametrize("share", [0.999, 0.8, 0.5, 0.1, 0.05])
def test_a_cut_file_gives_every_whole_version_before_the_cut(original, share):
    """The zip's directory is lost, but each version that is whole in the bytes comes back, and the cut is told."""
    data, written = original
    cut = data[:int(len(data) * share)]
    taken = take(cut)
    whole = {name_of(piece.text) for piece in pieces(cut[cut.index(b"\x1e{"):]) if piece.whole}
    assert names(taken) == whole & written
    assert taken.cut
    assert any("end is missing" in problem.what for problem in taken.problems)
    missing = len(written) - len(whole & written)
    assert any(f"{missing} of the {len(written)}" in problem.what for problem in taken.problems) == bool(missing)


def test_every_cut_is_noticed_and_gives_only_what_was_written(original):
    """Wherever a file is cut, it is refused with words or told as cut, and nothing strange enters."""
    data, written = original
    for length in [*range(0, len(data) - 1, 97), *range(len(data) - 60, len(data))]:
        try:
            taken = take(data[:length])
        except Refused:
            continue
        assert names(taken) <= written
        assert taken.problems
        assert taken.cut


def test_one_changed_letter_keeps_the_other_versions(original):
    """The changed version is set aside with its place and its bytes; the others of the same file are kept."""
    data, written = original
    spot = data.index(b"shawl")
    taken = take(data[:spot] + b"shape" + data[spot + 5:])
    assert len(names(taken)) == len(written) - 1
    assert names(taken) < written
    ((text, problem),) = taken.quarantined
    assert b"shape" in text
    assert problem.where.startswith("versions.geojsons record ")
    assert "not what was written" in problem.what
    assert not taken.cut


def test_a_bad_version_in_a_good_file_is_set_aside_with_its_reason(original):
    """A version that its maker wrote wrongly, hashes and all, is left out alone."""
    data, written = original
    files = opened(data)
    texts = [text[1:] for text in files["versions.geojsons"].split(b"\n") if text]
    bad = next(text for text in texts if b'"kind":"draw"' in text).replace(b'"unit":"kg"', b'"unit":"degC"')
    files["versions.geojsons"] = sequence([*texts, bad])
    files["versions.csv"] = ("version\r\n" + "".join(sorted(f"{name_of(t)}\r\n" for t in (*texts, bad)))).encode()
    taken = take(closed(files))
    assert names(taken) == written
    ((text, problem),) = taken.quarantined
    assert text == bad
    assert problem.where.endswith(", amount")


def test_a_version_of_a_newer_program_is_kept(original):
    """A kind that this program doesn't know enters like any other."""
    data, written = original
    texts = [text[1:] for text in opened(data)["versions.geojsons"].split(b"\n") if text]
    feature = json.loads(texts[0])
    feature["properties"] |= {"kind": "sundial", "shade": "noon"}
    new = rfc8785.dumps(feature)
    taken = take(sequence([*texts, new]))
    assert names(taken) == {*written, name_of(new)}


def test_a_bare_list_is_taken_and_said_to_be_unchecked(original):
    """The sequence alone has no checksums, which is said; its torn end is told as a cut."""
    data, written = original
    bare = opened(data)["versions.geojsons"]
    taken = take(bare)
    assert (names(taken), taken.problems, taken.cut) == (written, (), False)
    assert "without checksums" in taken.notes[0].what
    torn = take(bare[:-10])
    assert len(names(torn)) == len(written) - 1
    assert torn.cut
    assert torn.problems[0].what == "is cut off"
    assert torn.quarantined == ()


def test_a_torn_text_in_the_middle_is_not_taken_for_a_cut_end(original):
    """A text that is broken in the middle is set aside; those around it stay."""
    data, written = original
    first, second, *rest = opened(data)["versions.geojsons"].split(b"\n")
    taken = take(b"\n".join([first, second[:50] + rest[0], *rest[1:]]))
    assert len(names(taken)) == len(written) - 1
    assert [text for text, _ in taken.quarantined] == [second[1:50]]
    assert not taken.cut


@pytest.mark.parametrize("data", [good(), good()[:-200], good()[:5000]])
def test_a_planners_file_is_refused_with_words(data):
    """It tells what there is and can't be taken in, and says so, cut or not."""
    with pytest.raises(PlannersFile, match="is a planner's file: it tells what there is, and can't be taken in"):
        take(data)


def packed(**members):
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name.replace("__", "."), data)
    return out.getvalue()


@pytest.mark.parametrize(("data", "words"), [
    (b"", "is empty"), (b"PK", "holds no records"), (b"draw_id,lot", "holds no records"),
    (packed(photo__jpg=b"x"), "holds no records of ours"),
    (packed(datapackage__json=b"{}"), "is \"None\", not \"group\""),
    (packed(datapackage__json=b'{"handover":{"profile":"moon"}}'), "not \"group\""),
    (packed(datapackage__json=b'{"handover":{"profile":"group","format":2}}'), "this program reads 1"),
    (b"\x1e" * 50_000_001, "at most 50,000,000 are read")])
def test_what_is_none_of_ours_is_refused_with_words(data, words):
    """Empty, foreign, newer or huge: each refusal says what was met and what to do."""
    with pytest.raises(Refused) as refused:
        take(data)
    assert words in str(refused.value)
    assert refused.value.problems[0].fix


def test_a_bomb_is_not_unpacked(original):
    """A member that unpacks to very much is refused while it is read; nothing enters, memory stays small."""
    with pytest.raises(Refused):
        take(packed(datapackage__json=b"{}", versions__csv=b"a" * 30_000_000))
    taken = take(packed(datapackage__json=b'{"handover":{"profile":"group","format":1}}',
                        versions__geojsons=b"\x1e" * 30_000_000))
    assert taken.versions == ()
    assert taken.problems


def test_changed_tables_are_told_and_not_taken(original):
    """Nothing is merged from a table: who changed one is told how to change a record."""
    data, written = original
    files = opened(data)
    files["lots.csv"] = files["lots.csv"].replace(b"14.2", b"99.9")
    taken = take(pack(files))
    assert names(taken) == written
    assert [problem.where for problem in taken.problems] == ["lots.csv"]
    assert "change it in the program" in taken.problems[0].fix


def test_a_file_that_was_packed_again_is_whole(original):
    """Another program's packing changes no version; it is a note, not a problem."""
    data, written = original
    for method in (zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED):
        out = BytesIO()
        with zipfile.ZipFile(out, "w", method) as archive:
            for name, content in reversed(opened(data).items()):
                archive.writestr(name, content)
        taken = take(out.getvalue())
        assert (names(taken), taken.problems) == (written, ())
        (note,) = taken.notes
        assert "was packed again" in note.what


def test_a_lost_description_costs_no_version(original):
    """The list of names vouches for the versions where the description is gone."""
    data, written = original
    files = opened(data)
    del files["datapackage.json"]
    taken = take(pack(files))
    assert names(taken) == written
    assert [str(problem) for problem in taken.problems] == [
        "file: has no datapackage.json. Ask whoever made the file for a new copy; what was good in it is kept."]


@pytest.mark.parametrize("files", [{"a.versions.geojsons": b"x"}, {"versions.csv": b"versions.geojsons"}])
def test_a_zip_that_only_names_the_versions_holds_none(files):
    """A member that is called almost so, or a text with that name in it, is told and no versions come of it."""
    taken = take(pack(files))
    assert (taken.versions, taken.digest) == ((), "")
    assert taken.problems


def test_nothing_enters_that_nothing_vouches_for(original):
    """Without a hash in the description and without the list of names, all is set aside."""
    files = opened(original[0])
    taken = take(pack({"versions.geojsons": files["versions.geojsons"]}))
    assert taken.versions == ()
    assert len(taken.quarantined) == len(original[1])


@given(st.randoms(use_true_random=False), st.integers(0, 25))
@settings(max_examples=25)
def test_any_sequence_comes_back(rng, edits):
    """Versions of several devices in any order, some twice, come back as the same set, and sorted as the same bytes."""
    devices = Devices(3, seed=rng.randrange(10**6), edits=edits / 100)
    things = [f"urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb00{n:02x}" for n in range(rng.randrange(30))]
    texts = [devices.write(rng.choice(devices.devices), thing, "sundial", {"n": n}) for n, thing in enumerate(things)]
    shuffled = rng.sample(texts, len(texts)) + texts[:3]
    assert sequence(shuffled) == sequence(texts)
    if texts:
        taken = take(b"".join(b"\x1e" + text + b"\n" for text in shuffled))
        assert {version.text for version in taken.versions} == set(texts)
        assert taken.known == min(3, len(texts))


def test_two_hundred_faults_are_told_and_the_rest_counted():
    """A file of nothing but junk is told of in bounded words, and a bounded part of it is kept."""
    rng = random.Random(7)
    junk = b"".join(b"\x1e{" + rng.randbytes(40).replace(b"\x1e", b"").replace(b"\n", b"") + b"\n" for _ in range(900))
    taken = take(junk)
    assert taken.versions == ()
    assert len(taken.quarantined) == 200
    assert len(taken.problems) == 201
    assert "700 more" in taken.problems[-1].what
