"""Smallest valid rows of what tablets send."""

from types import SimpleNamespace
from uuid import uuid4

import factory
from django.core.files.base import ContentFile

from plant.models import FittedLife
from records.models import Photo, Repair, TabletEntry
from records.models.tablet_entry import EntryState
from records.tablet.questions import ask_duplicate
from records.tablet.reading import digest
from records.tablet.settling import Settled
from tests.factories.plant import UserFactory
from tests.factories.records import RepairFactory
from tests.records.pictures import picture_bytes
from tests.records.tablet.payloads import seal_swap


class PhotoFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Photo

    repair = factory.SubFactory(RepairFactory)
    picture = factory.LazyFunction(lambda: ContentFile(picture_bytes(), "any.jpg"))
    sha256 = "0" * 64
    width, height, size_bytes = 40, 20, 700


def question_build(seal: FittedLife, other: Repair) -> TabletEntry:
    """A log of the same job as `other`, which somebody has to answer."""
    sender = UserFactory(role="fitter")
    position = other.position
    here = SimpleNamespace(position=position, pump=seal.pump, seal=seal)
    payload = seal_swap(here, sender)
    return TabletEntry.objects.create(
        key=uuid4(),
        site=position.site,
        sent_by=sender,
        payload=payload,
        payload_sha256=digest(payload),
        state=EntryState.QUESTION,
        question=ask_duplicate(other).as_json() | {"settled": Settled().as_json()},
    )
