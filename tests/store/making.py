"""Makes versions as several devices would write them: many and fast, or few and odd.

The texts are built here by hand, not by the store, so that the two can be compared.
"""

import json
import random
import uuid

from field_app.core.records import name_of

#: A moment in October 2026 [ms since 1970].
NOW_MS = 1_791_900_000_000
GATHERED = "2026-10-08T15:24:00-02:00"


def text_of(feature):
    """The RFC 8785 bytes of a feature with plain letters and short decimals, for which Python's writer suffices."""
    return json.dumps(feature, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def urn(rng, ms=NOW_MS):
    """A UUID of version 7."""
    return uuid.UUID(int=ms << 80 | 7 << 76 | rng.getrandbits(12) << 64 | 2 << 62 | rng.getrandbits(62)).urn


def feature_of(thing, kind, facts, *, ms=NOW_MS, counter=0, device="a" * 16, seq=1, prev=None, parents=(),
               position=None, deleted=False):
    """A version as a GeoJSON Feature."""
    point = None if position is None else {"type": "Point", "coordinates": [position[1], position[0]]}
    return {"type": "Feature", "id": thing, "geometry": point, "properties": {
        **facts, "v": 1, "kind": kind, "deleted": deleted, "hlc": f"{ms:013d}-{counter:04x}-{device}",
        "device": device, "seq": seq, "prev": prev, "parents": list(parents)}}


class Devices:
    """Several devices that write about the same sites and lots, each in its own chain.

    now: the time of the next version [ms]; share of versions that correct an earlier one: ``edits``.
    """

    def __init__(self, count=5, *, seed=1, now=NOW_MS, edits=0.15):
        self.rng = random.Random(seed)
        self.devices = [f"{self.rng.getrandbits(64):016x}" for _ in range(count)]
        self.seq = dict.fromkeys(self.devices, 0)
        self.prev = dict.fromkeys(self.devices)
        self.now, self.edits = now, edits
        self.sites, self.lots = [], []

    def write(self, device, thing, kind, facts, *, parents=(), position=None, deleted=False):
        """The bytes of the device's next version."""
        self.now += self.rng.randrange(1, 1000)
        self.seq[device] += 1
        text = text_of(feature_of(thing, kind, facts, ms=self.now, device=device, seq=self.seq[device],
                                  prev=self.prev[device], parents=parents, position=position, deleted=deleted))
        self.prev[device] = name_of(text)
        return text

    def place(self):
        """A position on the island, with five places."""
        # An odd last place: a round number would be 44.0 here and 44 in RFC 8785.
        return tuple(sign * (whole * 100_000 + self.rng.randrange(1, 10_000, 2)) / 100_000
                     for sign, whole in ((1, 44), (-1, 28)))

    def one(self, device):
        """Something that a season brings: a site, leave, a lot, or a correction of a lot."""
        chance = self.rng.random()
        if not self.sites or (len(self.sites) < 200 and chance < 0.05):
            thing = urn(self.rng, self.now)
            self.sites.append(thing)
            return self.write(device, thing, "site", {"name": f"Place {len(self.sites)}", "note": "behind the gate",
                                                      "materials": ["black-walnut"]}, position=self.place())
        if chance < 0.07:
            return self.write(device, urn(self.rng, self.now), "leave",
                              {"site": self.rng.choice(self.sites), "state": "given", "by": "the miller"})
        if self.lots and chance < 0.07 + self.edits:
            at = self.rng.randrange(len(self.lots))
            thing, facts, parents = self.lots[at]
            facts = {**facts, "note": "weighed again"}
            text = self.write(device, thing, "lot", facts, parents=parents, deleted=chance < 0.08)
            self.lots[at] = (thing, facts, (self.prev[device],))
            return text
        thing = urn(self.rng, self.now)
        facts = {"site": self.rng.choice(self.sites), "material": "black-walnut", "part": "whole-fruit",
                 "basis": "weighed", "gathered": f"2026-10-{self.rng.randrange(1, 31):02d}T15:24:00-02:00",
                 "ripeness": "fallen", "gross": {"unit": "kg", "value": f"{self.rng.randrange(20, 300) / 10}"},
                 "tare": {"unit": "kg", "value": "1.1"}}
        text = self.write(device, thing, "lot", facts, position=self.place())
        self.lots.append((thing, facts, (self.prev[device],)))
        return text

    def many(self, count):
        """So many versions, the devices taking turns."""
        return [self.one(self.devices[number % len(self.devices)]) for number in range(count)]
