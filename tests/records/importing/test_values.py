"""Numbers, moments, words and places as people write them."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from plant.choices import Component, Location
from records.importing import vocabulary
from records.importing.layout import SHEETS
from records.importing.locations import location_of
from records.importing.moments import moment_of, placed
from records.importing.numbers import NotANumber, NumberStyle, float_of, style_of

AMSTERDAM = ZoneInfo("Europe/Amsterdam")


@pytest.mark.parametrize(
    ("word", "decimal", "value"),
    [
        ("12.5", ".", 12.5),
        ("12,5", ",", 12.5),
        ("1,234.5", ".", 1234.5),
        ("1.234,5", ",", 1234.5),
        ("28 860,2", ",", 28860.2),
        ("1\u202f234", ".", 1234.0),
        ("-3", ".", -3.0),
        (".5", ".", 0.5),
        ("1,234", ".", 1234.0),
        ("1.2E+05", ".", 120000.0),
        (7, ",", 7.0),
        (7.25, ",", 7.25),
    ],
)
def test_numbers_are_read_with_their_decimal_sign(word, decimal, value):
    assert float_of(word, NumberStyle(decimal)) == value


@pytest.mark.parametrize(
    ("word", "decimal"),
    [
        ("12,5", "."),
        ("12.5", ","),
        ("1,23,456", "."),
        ("", "."),
        ("-", "."),
        ("1..2", "."),
        ("0x10", "."),
        ("inf", "."),
        (True, "."),
    ],
)
def test_what_is_no_number_is_refused(word, decimal):
    with pytest.raises(NotANumber):
        float_of(word, NumberStyle(decimal))


@pytest.mark.parametrize(
    ("cells", "separator", "decimal", "is_sure"),
    [
        (["1,234", "0,5"], ",", ",", True),
        (["1.234", "0.5"], ";", ".", True),
        (["1,234"], ",", ".", False),
        (["1.234"], ";", ",", False),
        (["12"], ";", ",", False),
        (["1,234,567"], ";", ".", True),
        (["1.234,5"], ",", ",", True),
    ],
)
def test_the_first_telling_number_decides_the_sign(cells, separator, decimal, is_sure):
    style = style_of(cells, decimal="auto", separator=separator)
    assert (style.decimal, style.is_sure) == (decimal, is_sure)


@pytest.mark.parametrize(
    ("word", "order", "moment"),
    [
        ("2018-01-31", "iso", date(2018, 1, 31)),
        ("2018-01-31 06:00", "iso", datetime(2018, 1, 31, 6)),
        ("2018-01-31T06:00:30", "iso", datetime(2018, 1, 31, 6, 0, 30)),
        ("2018-1-5 6:00", "iso", datetime(2018, 1, 5, 6)),
        ("2018-01-31T06:00Z", "iso", datetime(2018, 1, 31, 6, tzinfo=UTC)),
        ("3.2.2018", "dmy", date(2018, 2, 3)),
        ("03/02/2018 14:30", "dmy", datetime(2018, 2, 3, 14, 30)),
        ("3/2/2018", "mdy", date(2018, 3, 2)),
        ("2018-02-03", "dmy", date(2018, 2, 3)),
        (datetime(2018, 2, 3), "iso", date(2018, 2, 3)),
        (datetime(2018, 2, 3, 5, 59, 59, 999_900), "iso", datetime(2018, 2, 3, 6)),
        (date(2018, 2, 3), "iso", date(2018, 2, 3)),
    ],
)
def test_days_and_moments_are_read_in_the_chosen_order(word, order, moment):
    assert moment_of(word, order) == moment
    assert type(moment_of(word, order)) is type(moment)


def test_times_without_offset_are_those_of_the_sites_clock():
    assert placed(datetime(2020, 7, 1, 8), AMSTERDAM) == datetime(
        2020, 7, 1, 6, tzinfo=UTC
    )
    aware = datetime(2020, 7, 1, 8, tzinfo=UTC)
    assert placed(aware, AMSTERDAM) == aware


def test_a_bare_day_is_not_before_what_happened_on_that_day():
    fitted = datetime(2020, 7, 1, 6, tzinfo=UTC)
    same_day = placed(date(2020, 7, 1), AMSTERDAM, not_before=fitted)
    assert same_day == fitted
    eve = placed(date(2020, 6, 30), AMSTERDAM, not_before=fitted)
    assert eve == datetime(2020, 6, 29, 22, tzinfo=UTC)


@pytest.mark.parametrize(
    ("words", "word", "value"),
    [
        (vocabulary.MECHANISM, "2.4", "2.4"),
        (vocabulary.MECHANISM, "2,4", "2.4"),
        (vocabulary.MECHANISM, "WEAR", "2.4"),
        (vocabulary.MECHANISM, "2.4 Wear", "2.4"),
        (vocabulary.MECHANISM, "2", "2.0"),
        (vocabulary.DETECTION, "3", "3"),
        (vocabulary.DETECTION, "inspection", "3"),
        (vocabulary.FAILURE_MODE, "elp", "ELP"),
        (vocabulary.FAILURE_MODE, "Process liquid leaks out", "ELP"),
        (vocabulary.CATEGORY, "predictive found", "condition"),
        (vocabulary.CATEGORY, "found by condition monitoring", "condition"),
        (vocabulary.REASON_OUT, "Sound, taken out with other work", "sound"),
        (vocabulary.OPERATING_STATE, "warm up", "warm-up"),
        (vocabulary.ARRANGEMENT, "2", 2),
        (vocabulary.SPARING, "Installed_Spare", "installed spare"),
        (vocabulary.ITEM, "seal", "mechanical seal"),
        (vocabulary.MECHANISM, "9.9", None),
    ],
)
def test_words_are_read_as_code_or_words_in_any_case(words, word, value):
    assert words.find(word) == value


def test_no_word_of_a_vocabulary_means_two_things():
    for sheet in SHEETS.values():
        for column in sheet.columns:
            if column.words is None:
                continue
            labels = [str(label).lower() for label in column.words.choices.labels]
            assert len(labels) == len(set(labels)), column.name


@pytest.mark.parametrize(
    ("component", "words", "design", "place"),
    [
        (Component.SEAL, "", "", Location.SEAL_SINGLE_INNER),
        (Component.SEAL, "drive end", "", Location.SEAL_DE_INNER),
        (Component.SEAL, "Non-drive end, outer", "", Location.SEAL_NDE_OUTER),
        (Component.SEAL, "outer", "", Location.SEAL_SINGLE_OUTER),
        (Component.SEAL, "DE inner", "", Location.SEAL_DE_INNER),
        (Component.SEAL, "seal nde outer", "", Location.SEAL_NDE_OUTER),
        (Component.SEAL, "thrust", "", None),
        (Component.RADIAL, "radial", "Overhung end suction", Location.RADIAL_NDE),
        (Component.RADIAL, "radial", "between bearings", Location.RADIAL_DE),
        (Component.RADIAL, "", "", Location.RADIAL_DE),
        (Component.RADIAL, "non-drive end", "overhung", Location.RADIAL_NDE),
        (Component.RADIAL, "drive end", "overhung", Location.RADIAL_DE),
        (Component.THRUST, "", "", Location.THRUST),
        (Component.THRUST, "inner", "", None),
    ],
)
def test_places_of_components(component, words, design, place):
    assert location_of(component, words, design) == place


def test_every_column_that_the_binding_layout_names_is_there():
    named = {
        "positions": "site area tag service liquid hazards criticality sparing "
        "running_share stopped_cost_per_hour flow_m3_h head_m speed_rpm power_kw "
        "temperature_c density_kg_m3 bep_flow_m3_h in_service_on out_of_service_on "
        "spare_group needed_running records_from",
        "pumps": "serial_number maker design size casing_material tag placed_on "
        "removed_on shaft_overhang_mm shaft_diameter_mm",
        "components": "serial_number component location fitted_on beginning "
        "age_at_entry_days removed_on reason_out fitted_hours removed_hours "
        "age_at_entry_hours started_on failed_on defect_detected condition_found "
        "serial condition_fitted arrangement kind faces secondary_seal piping_plan "
        "part_number designation lubrication dynamic_rating_kn load_kn",
        "repairs": "repair_number tag serial_number reported_at stopped_at "
        "returned_at work_class activity operating_state release failure_mode impact "
        "item mechanism cause detection active_hours labour_cost parts_cost "
        "contractor_cost lost_production_cost environment_safety_cost cost_status "
        "booked_on currency text",
    }
    for sheet, names in named.items():
        assert set(names.split()) <= set(SHEETS[sheet].by_name)
