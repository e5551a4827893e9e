"""Photos of a tablet come after their entry, each once."""

from uuid import uuid4

from django.urls import reverse

from records.models import Photo, Repair, TabletEntry
from records.tablet.answering import entry_answer
from tests.records.pictures import bytes_with_place, picture_bytes, upload
from tests.records.tablet.payloads import errors_of, seal_swap, send


def send_photo(client, entry_key, file=None, key=None, caption=""):
    data = {"key": key or uuid4(), "entry_key": entry_key, "caption": caption}
    if file is not False:
        data["picture"] = file or upload()
    return client.post(reverse("records:tablet_photos"), data)


def test_a_photo_before_its_entry_waits(fitter_client, fitter, here):
    payload, key = seal_swap(here, fitter), uuid4()
    early = send_photo(fitter_client, payload["key"], key=key)
    assert (early.status_code, early.json()) == (409, {"state": "entry unknown"})
    send(fitter_client, payload)
    late = send_photo(fitter_client, payload["key"], upload(bytes_with_place()), key)
    assert (late.status_code, late.json()) == (201, {"key": str(key)})
    photo = Photo.objects.get()
    assert photo.repair == Repair.objects.get()
    assert photo.taken_by == fitter


def test_sent_twice_it_is_kept_once(fitter_client, fitter, here):
    payload, key = seal_swap(here, fitter), uuid4()
    send(fitter_client, payload)
    answers = [send_photo(fitter_client, payload["key"], key=key) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [201, 200]
    assert answers[0].json() == answers[1].json()
    other = upload(picture_bytes(colour="blue"))
    forged = send_photo(fitter_client, payload["key"], other, key)
    assert forged.status_code == 403
    assert Photo.objects.count() == 1


def test_a_photo_of_somebody_elses_entry_waits_for_ever(
    fitter_client, planner_client, fitter, here
):
    payload = seal_swap(here, fitter)
    send(fitter_client, payload)
    assert send_photo(planner_client, payload["key"]).status_code == 409


def test_what_is_no_photo_names_its_fault(fitter_client, fitter, here):
    payload = seal_swap(here, fitter)
    send(fitter_client, payload)
    text = send_photo(fitter_client, payload["key"], upload(b"words"))
    assert "no photo" in errors_of(text)["photos.picture"]
    none = send_photo(fitter_client, payload["key"], False)
    assert "Send the picture" in errors_of(none)["photos.picture"]
    long = send_photo(fitter_client, payload["key"], caption="x" * 201)
    assert "200" in errors_of(long)["photos.caption"]
    assert send_photo(fitter_client, "7").status_code == 400


def test_40_mb_are_refused(fitter_client, fitter, here):
    payload = seal_swap(here, fitter)
    send(fitter_client, payload)
    answer = send_photo(fitter_client, payload["key"], upload(b"x" * 40 * 1024**2))
    assert answer.status_code == 413
    assert answer.json()["error"]


def test_photos_of_a_question_wait_for_its_answer(fitter_client, fitter, here):
    payload = seal_swap(here, fitter, done={"out": [], "in": []})
    send(fitter_client, payload)
    waiting = send_photo(fitter_client, payload["key"])
    assert waiting.status_code == 409
    assert waiting.json()["state"] == "question"
    entry_answer(by=fitter, entry=TabletEntry.objects.get(), answer="as it is")
    assert send_photo(fitter_client, payload["key"]).status_code == 201
