"""Decides and judges the demo plant's actions: `manage.py load_demo_actions`."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from analytics.demo import demo_actions_load


class Command(BaseCommand):
    help = "Add decided actions to the demo plant, where it has none yet."

    def handle(self, *args: Any, **options: Any) -> None:
        count = demo_actions_load(today=timezone.localdate())
        if count:
            self.stdout.write(f"Decided {count} actions of the demo plant.")
