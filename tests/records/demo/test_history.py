"""The generator of the demo plant, away from the database."""

from datetime import datetime

import pytest

from records.demo import truths
from records.demo.history import History, history_make
from records.demo.state import DAYS
from records.demo.tables import tables_of

START = datetime(2020, 11, 25)


@pytest.fixture(scope="module")
def history() -> History:
    return history_make(START)


def repairs_of(history: History, tag: str) -> list[tuple[float, dict[str, str]]]:
    return [entry for entry in history.ledger.repairs.rows if entry[1]["tag"] == tag]


def test_there_are_160_positions_in_five_areas(history):
    assert len(history.spots) == 160
    assert len({spot.area.name for spot in history.spots}) == 5


def test_the_same_seed_gives_the_same_plant(history):
    assert tables_of(history_make(START)) == tables_of(history)


def test_another_day_of_loading_moves_the_dates_and_nothing_else(history):
    later = history_make(datetime(2021, 11, 25))
    assert later.found == history.found
    assert len(later.ledger.components) == len(history.ledger.components)


def test_true_bad_actors_come_back_five_times_a_year(history):
    for tag in truths.BAD_ACTORS:
        last_year = [
            day for day, _row in repairs_of(history, tag) if day > DAYS - 365.25
        ]
        assert len(last_year) >= 5


def test_the_unlucky_pump_is_an_ordinary_one(history):
    spot = next(s for s in history.spots if s.tag == history.found.unlucky_tag)
    assert spot.life_factor == 1.0
    assert history.found.unlucky_repairs == 3


def test_the_traveller_fails_on_four_tags(history):
    failures = [
        row
        for _day, row in history.ledger.repairs.rows
        if row["serial_number"] == truths.TRAVELLER
        and row["work_class"] != "preventive"
    ]
    assert {row["tag"] for row in failures} == set(truths.TRAVEL_TAGS)


def test_the_standby_dies_on_starting_and_its_partner_does_not(history):
    def starts(tag):
        return [
            row
            for _day, row in repairs_of(history, tag)
            if row.get("operating_state") == "starting"
        ]

    assert len(starts(truths.COLD_STARTS)) >= 3
    assert starts(truths.COLD_START_PARTNER) == []


def test_dual_seals_were_fitted_to_the_five_worst_and_repairs_about_halved(history):
    by_tag = {spot.tag: spot for spot in history.spots}
    half = DAYS * truths.DUAL_FITTED
    before = after = 0
    for tag in history.found.dual_tags:
        before += sum(1 for day in by_tag[tag].repairs_at if day < half)
        after += sum(1 for day in by_tag[tag].repairs_at if day >= half)
    assert len(history.found.dual_tags) == 5
    assert 0.35 < after / before < 0.65


def test_components_in_one_place_never_overlap(history):
    spans: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for row in history.ledger.components:
        place = (row["serial_number"], row["location"])
        spans.setdefault(place, []).append(
            (row["fitted_on"], row.get("removed_on", "9999"))
        )
    for rows in spans.values():
        rows.sort()
        for (_fitted, removed), (fitted, _removed) in zip(rows, rows[1:], strict=False):
            assert removed <= fitted


def test_bearings_go_with_the_seal_as_sound(history):
    sound = [
        row
        for row in history.ledger.components
        if row["component"] != "seal" and row.get("reason_out") == "sound"
    ]
    assert len(sound) > 100
    assert all(row["defect_detected"] == "no" for row in sound)


def test_some_beginnings_are_unknown(history):
    words = [row["beginning"] for row in history.ledger.components]
    assert words.count("unknown") > 50
    assert words.count("age known") > 50
