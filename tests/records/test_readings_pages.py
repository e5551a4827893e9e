"""The pages of readings: entry, table, striking, level, and the drawing."""

from django.urls import reverse

from records.models import Reading, WarningLevel
from tests.factories.plant import PositionFactory
from tests.factories.records import ReadingFactory


def test_a_round_is_stored_and_shown_with_its_zone(planner_client):
    position = PositionFactory(hazards=["toxic"], power_kw=75.0)
    typed = {
        "read_at": "2024-06-01T12:00",
        "running_state": "running",
        "vibration_de_h": "5,2",
        "vibration_unit": "mm/s",
        "bearing_temperature_de": "71",
        "flow": "42",
    }
    new = reverse("records:readings_new", args=[position.pk])
    answer = planner_client.post(new, typed, follow=True)
    assert Reading.objects.filter(position=position).count() == 3
    page = answer.content.decode()
    assert "zone C: fit for a limited time" in page
    assert "alarm of ISO 10816-7:2009, default, from memory" in page


def test_a_wrong_number_comes_back_beside_its_field(planner_client):
    position = PositionFactory()
    new = reverse("records:readings_new", args=[position.pk])
    typed = {"read_at": "2024-06-01T12:00", "running_state": "running"}
    answer = planner_client.post(new, {**typed, "flow": "much", "head": "30"})
    assert answer.context["form"].errors["flow"] == ["Type a number, such as 4.2."]
    assert 'value="30"' in answer.content.decode()
    assert not Reading.objects.exists()


def test_a_reading_is_struck_with_a_reason(planner_client):
    reading = ReadingFactory()
    address = reverse("records:reading_strike", args=[reading.pk])
    page = planner_client.post(address, {"reason": "Loose probe"}, follow=True)
    assert "Struck." in page.content.decode()


def test_an_upside_down_level_is_refused(engineer_client):
    position = PositionFactory()
    address = reverse("records:warning_level", args=[position.pk])
    typed = {"quantity": "flow", "warn_above": "10", "warn_below": "20"}
    answer = engineer_client.post(address, typed)
    assert "warn_below" in answer.context["form"].errors
    assert not WarningLevel.objects.exists()


def test_the_drawing_holds_every_point_and_the_zone_limits(planner_client):
    position = PositionFactory(power_kw=75.0)
    ReadingFactory(position=position, value=2.0)
    ReadingFactory(position=position, value=4.0, point="nde v")
    ReadingFactory(position=position, value=99.0, struck_reason="wrong")
    address = reverse("analytics:position_readings", args=[position.pk])
    answer = planner_client.get(address)
    figure = answer.context["figure"]
    drawn = {trace["name"]: list(trace["y"]) for trace in figure["data"]}
    assert drawn == {
        "Drive end, horizontal": [2.0],
        "Non-drive end, vertical": [4.0],
    }
    rules = [note["text"] for note in figure["layout"]["annotations"]]
    assert "zone B/C" in rules
    assert "warns above" in rules


def test_without_readings_a_sentence_says_so(planner_client):
    position = PositionFactory(tag="P-77")
    address = reverse("analytics:position_readings", args=[position.pk])
    page = planner_client.get(address, headers={"hx-request": "true"})
    assert "Nothing was read at P-77" in page.content.decode()


def test_the_file_holds_what_was_typed(planner_client):
    reading = ReadingFactory(entered_value="0.2", entered_unit="in/s peak", value=3.6)
    address = reverse("records:readings_export", args=[reading.position.pk])
    answer = planner_client.get(address)
    text = b"".join(answer.streaming_content).decode()
    assert "0.2,in/s peak" in text


def test_the_hour_meter_is_read_on_the_same_round(planner_client):
    position = PositionFactory()
    new = reverse("records:readings_new", args=[position.pk])
    typed = {"read_at": "2024-06-01T12:00", "running_state": "running"}
    planner_client.post(new, {**typed, "meter_hours": "12000", "flow": "41"})
    assert position.hour_readings.get().meter_hours == 12000
    assert position.readings.get().value == 41


def test_a_meter_that_runs_backwards_stores_nothing_of_the_round(planner_client):
    position = PositionFactory()
    new = reverse("records:readings_new", args=[position.pk])
    typed = {"running_state": "running", "flow": "41"}
    first = {"read_at": "2024-06-01T12:00", "meter_hours": "12000"}
    planner_client.post(new, {**typed, **first})
    later = {"read_at": "2024-07-01T12:00", "meter_hours": "11000"}
    answer = planner_client.post(new, {**typed, **later})
    assert "does not run backwards" in answer.content.decode()
    assert position.readings.count() == 1
