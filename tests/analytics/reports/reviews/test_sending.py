"""Letters that a mail server does not take."""

import pytest
from django.core.mail.backends.locmem import EmailBackend
from django.core.management import CommandError, call_command
from django.urls import reverse

from tests.factories.plant import UserFactory

HERE = "tests.analytics.reports.reviews.test_sending"


class Broken(EmailBackend):
    """Hangs up on letters to anybody named bob."""

    def send_messages(self, letters):
        if any("bob" in letter.to[0] for letter in letters):
            raise ConnectionRefusedError("nobody listens")
        return super().send_messages(letters)


@pytest.fixture
def people(settings, site):
    settings.EMAIL_HOST = "mail.plant.example"
    settings.EMAIL_BACKEND = f"{HERE}.Broken"
    return [
        UserFactory(username=name, email=f"{name}@plant.example", role="manager")
        for name in ("bob", "ann")
    ]


def test_a_letter_that_fails_keeps_no_other_back(
    review, people, engineer_client, mailoutbox
):
    address = reverse("analytics:review_send", args=[review.pk])
    typed = {"people": [person.pk for person in people]}
    answer = engineer_client.post(address, typed)
    assert answer.status_code == 200
    [words] = answer.context["form"].errors["__all__"]
    assert words.endswith("did not take the letter for: bob. It was sent to ann.")
    assert [letter.to for letter in mailoutbox] == [["ann@plant.example"]]


def test_the_command_names_who_got_none(review, people):
    with pytest.raises(CommandError, match=r"for: bob\. It was sent to nobody\.") as no:
        call_command("send_review", "2025-03", "--to", "bob")
    assert no.value.returncode == 1
