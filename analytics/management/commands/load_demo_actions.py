"""Actions and upgrade cases of the demo plant: `manage.py load_demo_actions`."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from analytics.demo import demo_actions_load
from analytics.demo_upgrades import demo_upgrades_load


class Command(BaseCommand):
    help = "Add decided actions and upgrade cases to the demo plant, once."

    def handle(self, *args: Any, **options: Any) -> None:
        count = demo_actions_load(today=timezone.localdate())
        if count:
            self.stdout.write(f"Decided {count} actions of the demo plant.")
        cases = demo_upgrades_load(today=timezone.localdate())
        if cases:
            self.stdout.write(f"Kept {cases} upgrade cases of the demo plant.")
