"""Six years of the demo plant, event by event, in days since the log began."""

import heapq
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from records.demo import parts, truths
from records.demo.layout import spots_make
from records.demo.ledger import Ledger
from records.demo.machines import life_draw, machine_make, traveller_make
from records.demo.state import DAYS, Machine, Part, Spot

SEED = 20240428
OTHER_REPAIRS_PER_YEAR = 0.11
MINOR_WORK_PER_YEAR = 0.12


@dataclass(slots=True)
class History:
    """The state of the plant while its years go by."""

    rng: np.random.Generator
    spots: list[Spot]
    ledger: Ledger
    found: truths.Found = field(default_factory=truths.Found)
    store: list[Machine] = field(default_factory=list)
    plan_changes: list[tuple[str, float, str]] = field(default_factory=list)
    queue: list[tuple[float, int, Callable[[float], None]]] = field(
        default_factory=list
    )
    counter: int = 0

    def at(self, day: float, event: Callable[[float], None]) -> None:
        if day < DAYS:
            self.counter += 1
            heapq.heappush(self.queue, (day, self.counter, event))

    def at_spot(self, spot: Spot, day: float, event: Callable[[float], None]) -> None:
        """Like `at`, but what comes up while the pump is open waits for its return."""

        def when_running(now: float) -> None:
            if now < spot.busy_until:
                self.at(spot.busy_until + 0.4, when_running)
            else:
                event(now)

        self.at(day, when_running)

    def run(self) -> None:
        while self.queue:
            day, _order, event = heapq.heappop(self.queue)
            event(day)

    # fitting and taking out ------------------------------------------------

    def fit(
        self, spot: Spot, component: str, day: float, *, age: float | None = None
    ) -> None:
        """Fit a new part of the position's kind; `age` marks what ran before."""
        machine = spot.machine
        assert machine is not None
        part = self.ledger.part_open(spot, machine, component, day, age)
        factor = machine.life_factor * spot.life_factor
        if spot.tag == truths.COLD_STARTS and component == "seal":
            part.fails_day = DAYS * 2
        else:
            hours = life_draw(self.rng, part.life, age=age or 0.0, factor=factor)
            part.fails_day = day + (hours - (age or 0.0)) / (24 * spot.share)
        machine.fitted[part.location] = part
        self.at_spot(spot, part.fails_day, lambda now: self.part_fails(spot, part, now))

    def part_fails(self, spot: Spot, part: Part, day: float) -> None:
        machine = spot.machine
        if machine is None or machine.fitted.get(part.location) is not part:
            return
        self.failure(spot, part, day)

    def failure(
        self, spot: Spot, part: Part, day: float, *, starting: bool = False
    ) -> None:
        """A part fails: the repair renews it and, by practice, its neighbours."""
        repair = self.ledger.failure(spot, part, day, starting=starting)
        renewed = [part.component]
        self.ledger.part_close(part, spot, repair, "failed")
        assert spot.machine is not None
        for other in list(spot.machine.fitted.values()):
            if other is not part and self.renewed_with(part, other, day):
                self.ledger.part_close(other, spot, repair, "sound")
                renewed.append(other.component)
        self.finish(spot, repair.returned_day, renewed)

    def renewed_with(self, failed: Part, other: Part, day: float) -> bool:
        """Whether practice renews `other` while the pump is open for `failed`."""
        if day - other.fitted_day < 200:
            return False
        chance = 0.6 if failed.component == "seal" else 0.75
        return bool(self.rng.random() < chance)

    def finish(self, spot: Spot, returned_day: float, renewed: list[str]) -> None:
        """Fit the new parts and hand back; on the travel tags, swap the pull-out."""
        machine = spot.machine
        assert machine is not None
        for location, part in list(machine.fitted.items()):
            if part.component in renewed:
                del machine.fitted[location]
        if returned_day >= DAYS:
            return
        if spot.tag in truths.TRAVEL_TAGS and self.store:
            renewed = self.swap(spot, returned_day)
        for component in renewed:
            self.fit(spot, component, returned_day)

    def swap(self, spot: Spot, day: float) -> list[str]:
        """Put the pull-out from the store in; the old one is stripped for the shop."""
        leaving, coming = spot.machine, self.store.pop(0)
        assert leaving is not None
        for part in leaving.fitted.values():
            self.ledger.part_close_in_shop(part, spot, day)
        leaving.fitted.clear()
        self.ledger.machine_moves(leaving, coming, spot, day)
        spot.machine = coming
        # The traveller is always the next to go out again.
        self.store.append(leaving)
        self.store.sort(key=lambda machine: machine.serial != truths.TRAVELLER)
        return ["seal", "radial bearing", "thrust bearing"]

    # what happens besides ---------------------------------------------------

    def other_repair(self, spot: Spot, day: float) -> None:
        self.ledger.other_repair(spot, day)
        self.plan_other(spot, day)

    def minor_work(self, spot: Spot, day: float) -> None:
        self.ledger.minor_work(spot, day)
        self.plan_minor(spot, day)

    def plan_other(self, spot: Spot, day: float) -> None:
        wait = self.rng.exponential(365.25 / OTHER_REPAIRS_PER_YEAR)
        self.at_spot(spot, day + wait, lambda now: self.other_repair(spot, now))

    def plan_minor(self, spot: Spot, day: float) -> None:
        wait = self.rng.exponential(365.25 / MINOR_WORK_PER_YEAR)
        self.at_spot(spot, day + wait, lambda now: self.minor_work(spot, now))

    def cold_start(self, spot: Spot, day: float) -> None:
        """The standby is started cold; one start in six kills its seal."""
        machine = spot.machine
        assert machine is not None
        seal = next(
            (p for p in machine.fitted.values() if p.component == "seal"),
            None,
        )
        if seal is not None and self.rng.random() < 1 / 6:
            self.failure(spot, seal, day, starting=True)
        wait = float(self.rng.uniform(60, 130))
        self.at_spot(spot, day + wait, lambda now: self.cold_start(spot, now))

    def plan_changes_in_area(self, day: float) -> None:
        """The hot area gets a cooled flush; each seal meets it at its next fitting."""
        for spot in self.spots:
            if spot.area.name != truths.PLAN_CHANGE_AREA:
                continue
            if spot.tag in truths.TRAVEL_TAGS:
                continue
            spot.seal = replace(spot.seal, plan="21", life=spot.seal.life.times(2))
            self.plan_changes.append((spot.tag, day, "21"))

    def flush_changes(self, day: float) -> None:
        for spot in self.spots:
            if spot.tag in truths.FLUSH_CHANGED:
                flushed = replace(spot.seal, plan="11", life=spot.seal.life.times(2))
                self.modify(spot, day, flushed, "flush line")

    def dual_seals_fitted(self, day: float) -> None:
        """The five worst so far get dual seals, which change nothing by themselves."""
        ordinary = [s for s in self.spots if s.tag not in truths.special_tags()]
        worst = sorted(ordinary, key=lambda s: (-len(s.repairs_at), s.tag))[:5]
        self.found.dual_tags = tuple(spot.tag for spot in worst)
        for spot in worst:
            dual = replace(parts.DUAL, life=spot.seal.life)
            self.modify(spot, day + float(self.rng.uniform(1, 40)), dual, "dual seal")

    def modify(self, spot: Spot, day: float, seal: parts.SealPart, what: str) -> None:
        """Plan a change of seal or flush that renews the seal that is in."""
        self.at_spot(spot, day, lambda now: self.modified(spot, now, seal, what))

    def modified(self, spot: Spot, day: float, seal: parts.SealPart, what: str) -> None:
        repair = self.ledger.modification(spot, day, what)
        machine = spot.machine
        assert machine is not None
        for part in list(machine.fitted.values()):
            if part.component == "seal":
                self.ledger.part_close(part, spot, repair, "upgraded")
        spot.seal = seal
        self.plan_changes.append((spot.tag, day, seal.plan))
        self.finish(spot, repair.returned_day, ["seal"])


def history_make(start: datetime, seed: int = SEED) -> History:
    """Run six years from `start`; the same seed gives the same plant."""
    rng = np.random.default_rng(seed)
    spots = spots_make(rng)
    truths.truths_apply(spots)
    history = History(rng=rng, spots=spots, ledger=Ledger(rng=rng, start=start))
    for number, spot in enumerate(spots, start=1001):
        spot.first_plan = spot.seal.plan
        spot.machine = machine_make(number, spot)
        history.ledger.machine_placed(spot.machine, spot, 0.0)
        for component in ("seal", "radial bearing", "thrust bearing"):
            age = float(rng.uniform(0.0, 9_000.0)) * spot.life_factor * spot.share
            history.fit(spot, component, 0.0, age=age)
        history.plan_other(spot, 0.0)
        history.plan_minor(spot, 0.0)
    by_tag = {spot.tag: spot for spot in spots}
    traveller = traveller_make(by_tag[truths.TRAVEL_TAGS[0]])
    history.ledger.machine_in_store(traveller)
    history.at(DAYS * truths.TRAVELLER_FROM, lambda _: history.store.append(traveller))
    history.at(40.0, lambda now: history.cold_start(by_tag[truths.COLD_STARTS], now))
    history.at(DAYS * truths.PLAN_CHANGED, history.plan_changes_in_area)
    history.at(DAYS * truths.DUAL_FITTED, history.dual_seals_fitted)
    history.at(DAYS * truths.FLUSH_CHANGED_AT, history.flush_changes)
    history.run()
    unlucky_find(history)
    return history


def unlucky_find(history: History) -> None:
    """Name the ordinary pump with the most repairs in the last year: bad luck."""
    ordinary = [
        spot
        for spot in history.spots
        if spot.tag not in truths.special_tags() | set(history.found.dual_tags)
    ]

    def recent(spot: Spot) -> int:
        return sum(1 for day in spot.repairs_at if day > DAYS - 365)

    unlucky = max(ordinary, key=lambda spot: (recent(spot), spot.tag))
    history.found.unlucky_tag = unlucky.tag
    history.found.unlucky_repairs = recent(unlucky)
