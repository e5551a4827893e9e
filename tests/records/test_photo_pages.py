"""Photos on a repair's page, added there, and shown to its site only."""

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse

from records.models import Photo
from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory
from tests.factories.records import RepairFactory
from tests.records.pictures import picture_bytes, upload


@pytest.fixture
def repair(db):
    return RepairFactory()


def add(client, repair, *files, caption=""):
    url = reverse("records:repair_photos", args=[repair.pk])
    return client.post(url, {"pictures": list(files), "caption": caption})


def address(photo):
    return reverse("records:photo", args=[photo.pk])


def test_several_are_added_and_shown_with_their_words(planner_client, repair):
    blue = upload(picture_bytes(colour="blue"))
    answer = add(planner_client, repair, upload(), blue, caption="Faces <b>")
    assert answer.status_code == 302
    page = planner_client.get(repair.get_absolute_url()).content
    for photo in Photo.objects.all():
        assert f'src="{address(photo)}"'.encode() in page
    assert b"Faces &lt;b&gt;" in page
    assert Photo.objects.count() == 2


def test_one_bad_file_does_not_lose_the_good_one(planner_client, repair):
    text = upload(b"words, not points", "seal.jpg")
    answer = add(planner_client, repair, upload(), text)
    assert answer.status_code == 200
    assert b"seal.jpg: This file is no photo" in answer.content
    assert Photo.objects.count() == 1


def test_eleven_at_once_are_refused(planner_client, repair):
    answer = add(planner_client, repair, *[upload() for _ in range(11)])
    assert b"No more than 10" in answer.content
    assert Photo.objects.count() == 0


def test_it_is_sent_as_a_picture_and_kept_by_no_shared_cache(
    planner_client, manager_client, repair
):
    add(planner_client, repair, upload())
    answer = manager_client.get(address(Photo.objects.get()))
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cache-Control"].startswith("private")
    assert b"".join(answer.streaming_content).startswith(b"\xff\xd8")


def test_another_site_and_nobody_see_it(planner_client, client, repair):
    add(planner_client, repair, upload())
    stranger = UserFactory(role="planner", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    url = address(Photo.objects.get())
    assert logged_in(stranger).get(url).status_code == 404
    assert client.get(url).status_code == 302


def test_withdrawn_it_is_gone_for_all_but_the_engineer(
    planner_client, engineer_client, repair
):
    add(planner_client, repair, upload())
    photo = Photo.objects.get()
    url = reverse("records:photo_withdraw", args=[photo.pk])
    assert planner_client.get(url).status_code == 200
    assert planner_client.post(url, {"reason": "Shows a face"}).status_code == 302
    page = planner_client.get(repair.get_absolute_url()).content
    assert address(photo).encode() not in page
    assert b"Withdrawn and not shown: 1" in page
    assert planner_client.get(address(photo)).status_code == 404
    assert engineer_client.get(address(photo)).status_code == 200


def test_a_file_lost_on_the_disk_is_not_found(planner_client, repair):
    add(planner_client, repair, upload())
    photo = Photo.objects.get()
    default_storage.delete(photo.picture.name)
    assert planner_client.get(address(photo)).status_code == 404
