"""A review by e-mail: its words in the letter, the sheets attached."""

import logging
from collections.abc import Sequence

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.mail import EmailMessage

from analytics.exports.review_pdf import review_pdf
from analytics.models import Review
from analytics.reports.reviews.current import sheet_for
from analytics.reports.reviews.sheet import SheetUnit
from plant.access import sites_visible
from plant.models import User

logger = logging.getLogger(__name__)
NOT_TAKEN = "The mail server did not answer or did not take the letter for"
NOT_SET_UP = (
    "Mail is not set up on this server: the administrator sets EMAIL_HOST and "
    "MAIL_FROM. The PDF can be downloaded and sent by hand."
)


def review_send(review: Review, people: Sequence[User]) -> list[str]:
    """One letter a person, each with what that person may see; who got one.

    A letter that fails keeps no other one back.

    Raises
    ------
    ValidationError
        Without a mail server or people, when one of them may not see the site, or
        when a letter failed: then it names who got theirs and who did not.
    """
    if not settings.EMAIL_HOST:
        raise ValidationError(NOT_SET_UP)
    if not people:
        raise ValidationError("Choose at least one person.")
    strangers = [p for p in people if not sites_visible(p).contains(review.site)]
    if strangers:
        names = ", ".join(map(str, strangers))
        raise ValidationError(f"These do not work at {review.site}: {names}.")
    without = [str(person) for person in people if not person.email]
    if without:
        raise ValidationError(f"No e-mail address is kept for {', '.join(without)}.")
    sent: list[str] = []
    failed: list[str] = []
    for person in people:
        (sent if _is_sent(review, person) else failed).append(str(person))
    if failed:
        got = f"It was sent to {', '.join(sent)}" if sent else "It was sent to nobody"
        raise ValidationError(f"{NOT_TAKEN}: {', '.join(failed)}. {got}.")
    return sent


def _is_sent(review: Review, person: User) -> bool:
    letter = _letter(review, person)
    try:
        return bool(letter.send())
    except OSError:  # SMTPException is one too
        logger.exception("Review %s was not sent to %s", review.pk, person)
        return False


def _letter(review: Review, person: User) -> EmailMessage:
    sheet = sheet_for(review, person)
    lines = [sheet.subtitle, sheet.state, "", sheet.note, "", *sheet.headline, ""]
    lines += [_unit(unit) for unit in sheet.units]
    lines += ["", *(", ".join(row) for row in sheet.actions), "", *sheet.costs]
    letter = EmailMessage(sheet.title, "\n".join(lines), to=[person.email])
    name = f"review-{review.month:%Y-%m}.pdf"
    letter.attach(name, review_pdf(sheet), "application/pdf")
    return letter


def _unit(unit: SheetUnit) -> str:
    rate = f"{unit.rate} events a year"
    rate += f" (90 % interval {unit.interval})" if unit.interval else ""
    figures = f"repairs {unit.repairs}, {rate}"
    return f"{unit.name}: {figures}. {unit.why} -> {unit.decided}"
