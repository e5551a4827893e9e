"""Photos are what they say they are, and carry nothing but their points."""

import struct
import zlib
from io import BytesIO
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from PIL import Image

from records.choices import RepairState
from records.models import Photo
from records.services.photos import (
    KEPT_SIDE,
    photo_store,
    photo_withdraw,
    picture_read,
)
from tests.factories.plant import SiteFactory, UserFactory
from tests.factories.records import RepairFactory
from tests.records.pictures import bytes_with_place, picture_bytes


def read(data):
    picture = picture_read(BytesIO(data), len(data))
    return picture, Image.open(BytesIO(picture.data))


def test_place_camera_and_comment_are_dropped_and_it_stands_upright():
    sent = bytes_with_place()
    assert Image.open(BytesIO(sent)).getexif()
    picture, kept = read(sent)
    assert kept.size == (picture.width, picture.height) == (20, 40)
    assert dict(kept.getexif()) == {}
    assert {"exif", "comment", "icc_profile"} & set(kept.info) == set()
    assert b"Camera" not in picture.data


@pytest.mark.parametrize(
    ("form", "mode"), [("PNG", "RGBA"), ("PNG", "P"), ("WEBP", "RGB"), ("JPEG", "CMYK")]
)
def test_every_kind_is_kept_as_plain_jpeg(form, mode):
    _picture, kept = read(picture_bytes(form=form, mode=mode, colour=0))
    assert (kept.format, kept.mode) == ("JPEG", "RGB")


def test_what_is_transparent_lies_on_white():
    clear = picture_bytes(form="PNG", mode="RGBA", colour=(0, 0, 0, 0))
    _picture, kept = read(clear)
    assert kept.getpixel((5, 5)) == (255, 255, 255)


def test_a_large_photo_is_made_smaller():
    picture, _kept = read(picture_bytes(size=(4000, 1000)))
    assert (picture.width, picture.height) == (KEPT_SIDE, KEPT_SIDE // 4)


def bomb():
    """A PNG of a few hundred bytes that says it is 60,000 points wide and high."""
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    parts = [(b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b"")]
    body = b"".join(
        struct.pack(">I", len(data)) + kind + data
        + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in parts
    )  # fmt: skip
    return b"\x89PNG\r\n\x1a\n" + body


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"not a photo at all", "no photo"),
        (b"", "no photo"),
        (picture_bytes(form="GIF"), "no photo"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no photo"),
        (picture_bytes(size=(300, 300))[:400], "no photo"),
        (picture_bytes(size=(6001, 2)), "6,000 points"),
        (bomb(), "no photo"),
    ],
    ids=["text", "nothing", "gif", "svg", "cut off", "too wide", "bomb"],
)
def test_what_is_no_photo_is_refused(data, words):
    with pytest.raises(ValidationError) as refusal:
        read(data)
    assert words in refusal.value.messages[0]


def test_a_photo_of_40_mb_is_refused_unread():
    with pytest.raises(ValidationError) as refusal:
        picture_read(BytesIO(b""), 40 * 1024 * 1024)
    assert "10 MB" in refusal.value.messages[0]


@pytest.fixture
def store(planner):
    def kept(repair, data=None, by=planner, key=None, caption=""):
        data = data or picture_bytes()
        return photo_store(
            by=by,
            repair=repair,
            file=BytesIO(data),
            size=len(data),
            key=key or uuid4(),
            caption=caption,
        )

    return kept


def test_a_photo_is_stored_once_for_its_key(store):
    repair, key = RepairFactory(), uuid4()
    first, is_new = store(repair, key=key)
    again, is_new_again = store(repair, key=key)
    assert (is_new, is_new_again) == (True, False)
    assert first == again
    assert first.picture.name == f"photos/{key.hex[:2]}/{key.hex}.jpg"
    assert first.picture.size == first.size_bytes


def test_a_key_with_another_photo_repair_or_person_is_refused(store, engineer):
    repair, key = RepairFactory(), uuid4()
    store(repair, key=key)
    others = [
        {"repair": repair, "data": picture_bytes(colour="blue")},
        {"repair": RepairFactory(position=repair.position)},
        {"repair": repair, "by": engineer},
    ]
    for other in others:
        with pytest.raises(PermissionDenied):
            store(key=key, **other)
    assert Photo.objects.count() == 1


def test_who_may_not_log_keeps_no_photo(store, manager):
    stranger = UserFactory(role="planner", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    for by in (manager, stranger):
        with pytest.raises(PermissionDenied):
            store(RepairFactory(), by=by)


def test_a_void_repair_takes_no_photo(store):
    with pytest.raises(ValidationError):
        store(
            RepairFactory(
                state=RepairState.VOID,
                void_reason="Twice",
                signed_at="2024-01-01T00:00Z",
            )
        )


def test_what_is_refused_after_drawing_leaves_no_file(store, settings):
    with pytest.raises(ValidationError):
        store(RepairFactory(), caption="x" * 201)
    assert Photo.objects.count() == 0


def test_its_maker_withdraws_with_a_reason_once(store, planner):
    photo, _new = store(RepairFactory())
    with pytest.raises(ValidationError):
        photo_withdraw(by=planner, photo=photo, reason="  ")
    photo = photo_withdraw(by=planner, photo=photo, reason="Shows a face")
    assert photo.withdrawn_reason == "planner: Shows a face"
    with pytest.raises(ValidationError):
        photo_withdraw(by=planner, photo=photo, reason="Again")


def test_somebody_else_withdraws_only_as_engineer(store, engineer):
    other = UserFactory(role="planner")
    photo, _new = store(RepairFactory())
    with pytest.raises(PermissionDenied):
        photo_withdraw(by=other, photo=photo, reason="Not mine")
    assert photo_withdraw(by=engineer, photo=photo, reason="Wrong pump")


def rotated_with_odd_exif():
    """Held upright by the camera (6), with a tag of a type that it cannot have."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x0128] = 2
    out = BytesIO()
    Image.new("RGB", (400, 200), "red").save(out, "JPEG", exif=exif)
    data = out.getvalue()
    # The unit of resolution, a short number, said to be text.
    for short, text in (
        (b"\x28\x01\x03\x00", b"\x28\x01\x02\x00"),
        (b"\x01\x28\x00\x03", b"\x01\x28\x00\x02"),
    ):
        data = data.replace(short, text)
    assert data != out.getvalue()
    return data


def test_odd_metadata_loses_no_photo_and_it_stands_upright():
    data = rotated_with_odd_exif()
    kept = picture_read(BytesIO(data), len(data))
    assert (kept.width, kept.height) == (200, 400)
