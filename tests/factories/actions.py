"""Smallest valid actions."""

from datetime import UTC, date, datetime

import factory

from records.action_choices import ChangeMade
from records.models import Action
from tests.factories.plant import SiteFactory, UserFactory


class ActionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Action
        skip_postgeneration_save = True

    site = factory.SubFactory(SiteFactory)
    title = factory.Sequence(lambda n: f"Change {n}")
    change_made = ChangeMade.OTHER
    owner = factory.SubFactory(UserFactory)
    due_on = date(2024, 6, 1)
    decided_at = datetime(2024, 3, 1, 8, tzinfo=UTC)
    decided_by = factory.SelfAttribute("owner")

    @factory.post_generation
    def positions(action, create, those, **kwargs):
        if those:
            action.positions.set(those)
