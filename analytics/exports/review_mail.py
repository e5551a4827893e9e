"""A review by e-mail: its words in the letter, the sheets attached."""

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

NOT_SET_UP = (
    "Mail is not set up on this server: the administrator sets EMAIL_HOST and "
    "MAIL_FROM. The PDF can be downloaded and sent by hand."
)


def review_send(review: Review, people: Sequence[User]) -> int:
    """One letter a person, each with what that person may see; how many were sent.

    Raises
    ------
    ValidationError
        Without a mail server or people, or when one of them may not see the site.
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
    return sum(_letter(review, person).send() for person in people)


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
