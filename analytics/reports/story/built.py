"""What a story is about: the machine, its duty, and figures that follow from both."""

from collections.abc import Iterator
from dataclasses import dataclass

from analytics.reports.life.rating import kind_of
from analytics.reports.story.subject import Subject
from plant.choices import BEARINGS, Location
from plant.display import NO_BREAK_SPACE, NO_VALUE, fixed, hours, percent, yes_no
from plant.models import DutyPeriod, FittedLife, Position, Pump
from plant.ratings import (
    STIFFNESS_LIMIT_PER_MM,
    Rating,
    RatingError,
    basic_rating_life_hours,
    off_best_efficiency,
    shaft_stiffness_ratio,
    system_rating_life_hours,
)
from plant.tables.cells import as_entered

DUTY = (
    ("Flow", "flow_m3_h", "m³/h"),
    ("Best-efficiency flow", "bep_flow_m3_h", "m³/h"),
    ("Head", "head_m", "m"),
    ("Speed", "speed_rpm", "r/min"),
    ("Power", "power_kw", "kW"),
    ("Temperature", "temperature_c", "°C"),
)


@dataclass(frozen=True, slots=True)
class Fact:
    """One line; `note` tells where it comes from, or why it is not known."""

    term: str
    text: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class BearingRating:
    """Rating life of one bearing in hours, or what keeps it from being told."""

    place: str
    designation: str
    life: Rating | None
    missing: str


@dataclass(frozen=True, slots=True)
class BuiltStory:
    """`off_best` and `stiffness` are none where not known."""

    machine: tuple[Fact, ...]
    duty: tuple[Fact, ...]
    derived: tuple[Fact, ...]
    off_best: Rating | None
    stiffness: Rating | None


def built_story(subject: Subject) -> BuiltStory:
    """As recorded now; two queries."""
    place, machine = subject.place, subject.machine
    off_best = _off_best(place)
    stiffness = _stiffness(machine)
    bearings = _bearings(machine, place)
    return BuiltStory(
        machine=tuple(_machine(machine)),
        duty=tuple(_duty(place)),
        derived=(
            _off_best_fact(off_best),
            _stiffness_fact(stiffness),
            *_bearing_facts(bearings),
        ),
        off_best=off_best,
        stiffness=stiffness,
    )


def _machine(pump: Pump | None) -> Iterator[Fact]:
    if pump is None:
        yield Fact("Pump", NO_VALUE, "No pump stands here now.")
        return
    names = (pump.maker, pump.design, pump.size)
    yield Fact("Pump", pump.serial_number, ", ".join(filter(None, names)))
    built = (
        pump.get_mounting_display(),
        pump.get_impeller_kind_display().lower(),
        pump.casing_material,
    )
    yield Fact("As built", "; ".join(filter(None, built)) or NO_VALUE)
    yield Fact("Shaft sleeve", yes_no(pump.has_sleeve))


def _duty(place: Position | None) -> Iterator[Fact]:
    if place is None:
        yield Fact("Duty", NO_VALUE, "It has not stood at a position yet.")
        return
    liquid = ", ".join(filter(None, (place.service, place.liquid)))
    yield Fact("Position", place.tag, liquid)
    for term, name, unit in DUTY:
        value = getattr(place, name)
        known = (
            f"{as_entered(value)}{NO_BREAK_SPACE}{unit}" if value is not None else ""
        )
        yield Fact(term, known or NO_VALUE)
    period = (
        DutyPeriod.objects.filter(position=place).order_by("starts_on", "pk").last()
    )
    if period is not None:
        plan = f"seal plan {period.piping_plan}" if period.piping_plan else ""
        yield Fact("Runs", f"{percent(period.running_share)} of the time", plan)


def _off_best(place: Position | None) -> Rating | None:
    if place is None:
        return None
    try:
        return off_best_efficiency(place.flow_m3_h, place.bep_flow_m3_h)
    except RatingError:
        return None


def _off_best_fact(share: Rating | None) -> Fact:
    term = "Flow against best efficiency"
    if share is None:
        return Fact(term, NO_VALUE, "Flow or best-efficiency flow is not on record.")
    side = "above" if share > 0 else "below"
    words = (
        "at best efficiency"
        if abs(share) < 0.005
        else (f"{percent(abs(share))} {side} it")
    )
    return Fact(term, words, _source(share))


def _stiffness(pump: Pump | None) -> Rating | None:
    if pump is None or not (pump.shaft_overhang_mm and pump.shaft_diameter_mm):
        return None
    try:
        return shaft_stiffness_ratio(pump.shaft_overhang_mm, pump.shaft_diameter_mm)
    except RatingError:
        return None


def _stiffness_fact(ratio: Rating | None) -> Fact:
    term = "Shaft stiffness ratio L³/D⁴"
    if ratio is None:
        return Fact(
            term, NO_VALUE, "Overhang or diameter of the shaft is not on record."
        )
    limit = f"limit {STIFFNESS_LIMIT_PER_MM.value:g} per mm, lower is stiffer"
    beyond = " – beyond the limit" if ratio.value > STIFFNESS_LIMIT_PER_MM.value else ""
    shown = f"{fixed(ratio, 2)} per mm{beyond}"
    return Fact(term, shown, f"{limit}; {_source(ratio)}")


def _bearings(pump: Pump | None, place: Position | None) -> list[BearingRating]:
    """Each bearing that stands in the pump now; one query."""
    if pump is None:
        return []
    rows = (
        FittedLife.objects.filter(
            pump=pump, component__in=BEARINGS, removed_at__isnull=True
        )
        .order_by("location")
        .values_list("location", "designation", "dynamic_rating_kn", "load_kn")
    )
    speed = place.speed_rpm if place is not None else None
    return [_bearing(*row, speed) for row in rows]


def _bearing(
    location: str,
    designation: str,
    rating: float | None,
    load: float | None,
    speed: float | None,
) -> BearingRating:
    place = str(Location(location).label)
    needed = (
        ("dynamic rating C", rating),
        ("load P", load),
        ("speed of the position", speed),
    )
    missing = " and ".join(name for name, value in needed if not value)
    if not (rating and load and speed):
        return BearingRating(place, designation, None, f"the {missing}")
    try:
        kind = kind_of(designation)
        life = basic_rating_life_hours(rating, load, speed, kind)
    except RatingError as error:
        return BearingRating(place, designation, None, str(error))
    return BearingRating(place, designation, life, "")


def _bearing_facts(bearings: list[BearingRating]) -> Iterator[Fact]:
    term = "Rating life of its bearings"
    if not bearings:
        yield Fact(term, NO_VALUE, "No bearing is on record in the pump now.")
        return
    unknown = [one for one in bearings if one.life is None]
    if unknown:
        names = "; ".join(
            f"{one.designation or one.place}: {one.missing}" for one in unknown
        )
        yield Fact(term, NO_VALUE, f"Not on record: {names}.")
    for one in bearings:
        if one.life is not None:
            yield Fact(
                f"Rating life, {one.place[0].lower()}{one.place[1:]}",
                hours(one.life),
                f"{one.designation}; {_source(one.life)}",
            )
    if not unknown:
        system = system_rating_life_hours(one.life for one in bearings if one.life)
        yield Fact("Rating life, all together", hours(system), _source(system))


def _source(rating: Rating) -> str:
    return f"{rating.source}, {rating.status}"
