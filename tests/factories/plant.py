"""Smallest valid rows of the asset register."""

from datetime import UTC, date, datetime

import factory
from django.contrib.auth.models import Group

from plant.choices import Component, Location
from plant.models import (
    Area,
    DutyPeriod,
    FittedLife,
    Placement,
    Position,
    Pump,
    Site,
    User,
)


class SiteFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Site

    name = factory.Sequence(lambda n: f"Works {n}")


class AreaFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Area

    site = factory.SubFactory(SiteFactory)
    name = factory.Sequence(lambda n: f"Area {n}")


class PositionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Position

    area = factory.SubFactory(AreaFactory)
    site = factory.SelfAttribute("area.site")
    tag = factory.Sequence(lambda n: f"P-{n:03d}")
    in_service_on = date(2020, 1, 1)


class DutyPeriodFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = DutyPeriod

    position = factory.SubFactory(PositionFactory)
    starts_on = date(2020, 1, 1)


class PumpFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Pump

    site = factory.SubFactory(SiteFactory)
    serial_number = factory.Sequence(lambda n: f"SN-{n:04d}")


class PlacementFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Placement

    position = factory.SubFactory(PositionFactory)
    pump = factory.SubFactory(
        PumpFactory, site=factory.SelfAttribute("..position.site")
    )
    placed_at = datetime(2020, 1, 1, tzinfo=UTC)


class FittedLifeFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = FittedLife

    pump = factory.SubFactory(PumpFactory)
    component = Component.SEAL
    location = Location.SEAL_SINGLE_INNER
    fitted_at = datetime(2020, 1, 1, tzinfo=UTC)


class UserFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"person{n}")
    sees_all_sites = True

    @factory.post_generation
    def role(user, create, role_name, **kwargs):
        if role_name:
            user.groups.add(Group.objects.get(name=role_name))
