"""Buffer and share of output lost of a position: form, page, files."""

import csv
from io import StringIO

import pytest
from django.urls import reverse

from plant.models import Position
from tests.factories.plant import AreaFactory, PositionFactory

pytestmark = pytest.mark.django_db


def typed(area, **more):
    return {
        "area": area.pk,
        "tag": "P-1",
        "criticality": "low",
        "sparing": "none",
    } | more


def test_the_share_is_typed_in_per_cent_and_kept_as_a_share(administrator_client):
    data = typed(AreaFactory(), buffer_hours="4", output_share_lost="60")
    assert administrator_client.post("/positions/new/", data).status_code == 302
    position = Position.objects.get()
    assert (position.buffer_hours, position.output_share_lost) == (4.0, 0.6)
    edit = reverse("plant:position_edit", args=[position.pk])
    form = administrator_client.get(edit).context["form"]
    assert form["output_share_lost"].value() == 60


def test_nothing_typed_is_no_buffer_and_all_of_the_output(administrator_client):
    administrator_client.post("/positions/new/", typed(AreaFactory()))
    position = Position.objects.get()
    assert (position.buffer_hours, position.output_share_lost) == (0.0, 1.0)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("buffer_hours", "-1"),
        ("buffer_hours", "10001"),
        ("output_share_lost", "101"),
        ("output_share_lost", "-1"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(administrator_client, field, value):
    data = typed(AreaFactory(), **{field: value})
    form = administrator_client.post("/positions/new/", data).context["form"]
    assert field in form.errors
    assert not Position.objects.exists()


def test_the_page_and_the_file_of_positions_tell_both(administrator_client):
    position = PositionFactory(buffer_hours=4, output_share_lost=0.6)
    text = administrator_client.get(position.get_absolute_url()).content.decode()
    assert "Buffer after a stop" in text
    assert "60\u00a0%" in text
    answer = administrator_client.get(reverse("plant:position_export"))
    file = b"".join(answer.streaming_content).decode("utf-8-sig")
    [row] = csv.DictReader(StringIO(file))
    assert (row["buffer_hours"], row["output_share_lost"]) == ("4.0", "0.6")
