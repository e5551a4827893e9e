"""Photos of repairs: checked by what they are, stripped of metadata, kept once."""

import struct
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO
from typing import IO, Any
from uuid import UUID

from django.core.exceptions import PermissionDenied, ValidationError
from django.core.files.base import ContentFile
from django.db import transaction
from PIL import Image

from plant.access import may, require
from plant.models import User
from records.choices import RepairState
from records.models import Photo, Repair

MOST_BYTES = 10 * 1024 * 1024
MOST_SIDE = 6000
# EXIF 2.3, tag 0x0112: how the camera was held, and what sets the points upright.
ORIENTATION = 0x0112
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
KEPT_SIDE = 2000
QUALITY = 85
CAPTION_LENGTH = 200
# The name before the reason tells who withdrew it.
REASON_LENGTH = 140
FORMATS = ("JPEG", "PNG", "WEBP")

TOO_BIG = f"A photo has at most {MOST_BYTES // 2**20} MB; take it smaller."
TOO_WIDE = f"A photo is at most {MOST_SIDE:,} points wide and high."
NO_PHOTO = "This file is no photo: JPEG, PNG or WebP is expected."
FORGED = "Another photo came with this key before."


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo as it is kept: JPEG, upright, without metadata."""

    data: bytes
    width: int
    height: int

    @property
    def sha256(self) -> str:
        return sha256(self.data).hexdigest()


def picture_read(file: IO[Any], size: int) -> Picture:
    """Decode a photo and draw it anew, so that nothing but its points is kept.

    Raises
    ------
    ValidationError
        When it is too big, no photo whatever its name says, or damaged.
    """
    if size > MOST_BYTES:
        raise ValidationError({"picture": TOO_BIG})
    with _damage_refused():
        file.seek(0)
        image: Image.Image = Image.open(file, formats=FORMATS)
        # Known from the head of the file, before any point is decoded.
        if max(image.size) > MOST_SIDE:
            raise ValidationError({"picture": TOO_WIDE})
        if image.format == "JPEG":
            image.draft("RGB", (KEPT_SIDE, KEPT_SIDE))
        upright = _upright(image)
        upright.thumbnail((KEPT_SIDE, KEPT_SIDE))
        plain = _on_white(upright)
    out = BytesIO()
    # A fresh image has no profile, no comment and no place in its pockets.
    plain.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Picture(out.getvalue(), plain.width, plain.height)


def _upright(image: Image.Image) -> Image.Image:
    """The picture as it was held; of its metadata only the orientation is read."""
    try:
        turn = TURNS.get(image.getexif().get(ORIENTATION, 1))
    except (struct.error, AttributeError, SyntaxError, TypeError, ValueError):
        # Odd metadata is no reason to lose a good photo.
        turn = None
    return image if turn is None else image.transpose(turn)


@contextmanager
def _damage_refused() -> Iterator[None]:
    try:
        yield
    except (
        OSError,
        SyntaxError,
        ValueError,
        EOFError,
        MemoryError,
        Image.DecompressionBombError,
    ) as error:
        raise ValidationError({"picture": NO_PHOTO}) from error


def _on_white(image: Image.Image) -> Image.Image:
    """The points alone; what is transparent lies on white."""
    plain = Image.new("RGB", image.size, "white")
    if image.has_transparency_data:
        points = image.convert("RGBA")
        plain.paste(points, mask=points)
    else:
        plain.paste(image.convert("RGB"))
    return plain


def photo_store(
    *,
    by: User,
    repair: Repair,
    file: IO[Any],
    size: int,
    key: UUID,
    caption: str = "",
) -> tuple[Photo, bool]:
    """Keep a photo with its repair; also whether it came for the first time.

    Raises
    ------
    ValidationError
        By field: `picture` or `caption`; or when the repair is void.
    PermissionDenied
        When the key came before with another photo, repair or person.
    """
    require(by, "records.log_repair", site=repair.site)
    caption = caption.replace("\x00", "").strip()
    if len(caption) > CAPTION_LENGTH:
        raise ValidationError(
            {"caption": f"Keep the caption within {CAPTION_LENGTH} characters."}
        )
    # Decoded outside the transaction: it takes long, and nobody should wait for it.
    picture = picture_read(file, size)
    with transaction.atomic():
        # The row of the repair is the lock: the same key sent twice is stored once.
        repair = Repair.objects.select_for_update(no_key=True, of=("self",)).get(
            pk=repair.pk
        )
        known = Photo.objects.filter(key=key).first()
        if known is not None:
            return _same(known, by, repair, picture), False
        if repair.state == RepairState.VOID:
            raise ValidationError(f"{repair} is void; it takes no more photos.")
        return _keep(by, repair, picture, key, caption), True


def _same(known: Photo, by: User, repair: Repair, picture: Picture) -> Photo:
    facts = (known.taken_by_id, known.repair_id, known.sha256)
    if facts != (by.pk, repair.pk, picture.sha256):
        raise PermissionDenied(FORGED)
    return known


def _keep(by: User, repair: Repair, picture: Picture, key: UUID, caption: str) -> Photo:
    photo = Photo(
        key=key,
        repair=repair,
        sha256=picture.sha256,
        width=picture.width,
        height=picture.height,
        size_bytes=len(picture.data),
        caption=caption,
        taken_by=by,
    )
    photo.picture.save("photo.jpg", ContentFile(picture.data), save=False)
    try:
        photo.full_clean()
        photo.save()
    except BaseException:
        # No rollback takes a file away.
        photo.picture.delete(save=False)
        raise
    return photo


def may_withdraw(user: User, photo: Photo) -> bool:
    """Whoever took it, and the engineer."""
    own = photo.taken_by_id == user.pk and may(user, "records.log_repair")
    return own or may(user, "records.void_repair")


@transaction.atomic
def photo_withdraw(*, by: User, photo: Photo, reason: str) -> Photo:
    """Show a photo no more; the file and the reason stay.

    Raises
    ------
    ValidationError
        Without a reason, or when it was withdrawn before.
    """
    photo = (
        Photo.objects.select_for_update(of=("self",))
        .select_related("repair__site")
        .get(pk=photo.pk)
    )
    require(by, "records.log_repair", site=photo.repair.site)
    if not may_withdraw(by, photo):
        raise PermissionDenied("Only its maker or an engineer withdraws a photo.")
    if not reason.strip():
        raise ValidationError({"reason": "Give the reason; it stays with the photo."})
    if len(reason) > REASON_LENGTH:
        raise ValidationError(
            {"reason": f"Keep the reason within {REASON_LENGTH} characters."}
        )
    if photo.withdrawn_reason:
        raise ValidationError(f"It was withdrawn before: {photo.withdrawn_reason}")
    photo.withdrawn_reason = f"{str(by)[:50]}: {reason.strip()}"
    photo.save(update_fields=["withdrawn_reason"])
    return photo
