"""Sends a review by e-mail: `manage.py send_review 2025-03 --to NAME`."""

from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from analytics.exports.review_mail import review_send
from analytics.models import Review
from plant.models import User
from plant.zones import site_zone


class Command(BaseCommand):
    help = "Send the review of a month to people with a log-in and an address."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("month", help="The month reviewed, such as 2025-03.")
        parser.add_argument(
            "--to",
            action="append",
            required=True,
            metavar="USERNAME",
            help="Repeatable.",
        )
        parser.add_argument("--site", help="Needed where several sites were reviewed.")

    def handle(self, *args: Any, **options: Any) -> None:
        review = self._review(options["month"], options["site"])
        people = list(User.objects.filter(username__in=options["to"], is_active=True))
        missing = set(options["to"]) - {person.username for person in people}
        if missing:
            raise CommandError(f"No active log-in: {', '.join(sorted(missing))}.")
        try:
            with site_zone(review.site):
                sent = review_send(review, people)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from None
        self.stdout.write(f"{review}: sent to {', '.join(sent)}.")

    def _review(self, month: str, site: str | None) -> Review:
        try:
            first = date.fromisoformat(f"{month}-01")
        except ValueError:
            raise CommandError(f"{month} is no month such as 2025-03.") from None
        reviews = Review.objects.filter(month=first).select_related("site")
        if site:
            reviews = reviews.filter(site__name=site)
        found = list(reviews[:2])
        if len(found) == 1:
            return found[0]
        if found:
            raise CommandError("Several sites have that review: name one with --site.")
        raise CommandError(f"There is no review of {month}.")
