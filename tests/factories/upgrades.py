"""Smallest valid upgrade cases."""

from datetime import date

import factory

from records.action_choices import ChangeMade
from records.models import UpgradeCase
from tests.factories.plant import SiteFactory, UserFactory


class UpgradeCaseFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = UpgradeCase
        skip_postgeneration_save = True

    site = factory.SubFactory(SiteFactory)
    title = factory.Sequence(lambda n: f"Upgrade {n}")
    change_made = ChangeMade.DUAL_SEAL
    currency = "EUR"
    as_of = date(2024, 3, 1)
    assumptions = factory.LazyFunction(lambda: {"horizon_years": 10})
    stored_by = factory.SubFactory(UserFactory)

    @factory.post_generation
    def positions(case, create, those, **kwargs):
        if those:
            case.positions.set(those)
