"""New versions of a site's counting rule; earlier ones stay as they were."""

from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max

from plant.access import require
from plant.models import Site, User
from records.choices import Activity, Category, Item
from records.models import CountingRule


@transaction.atomic
def counting_rule_set(
    *,
    by: User,
    site: Site,
    repair_categories: Sequence[str],
    failure_categories: Sequence[str],
    excluded_activities: Sequence[str] = (),
    excluded_items: Sequence[str] = (),
) -> CountingRule:
    """Store the next version for `site`; it holds from now on.

    Raises
    ------
    ValidationError
        When nothing would count, when a failure would not be a repair, or on a code
        that is not in the vocabulary.
    """
    require(by, "records.add_countingrule", site=site)
    _refuse_unknown("repair_categories", repair_categories, Category.values)
    _refuse_unknown("failure_categories", failure_categories, Category.values)
    _refuse_unknown("excluded_activities", excluded_activities, Activity.values)
    _refuse_unknown("excluded_items", excluded_items, Item.values)
    if not repair_categories:
        raise ValidationError({"repair_categories": "Nothing would count as a repair."})
    if not failure_categories:
        raise ValidationError(
            {"failure_categories": "Nothing would count as a failure."}
        )
    if not set(failure_categories) <= set(repair_categories):
        raise ValidationError(
            {"failure_categories": "What counts as a failure also counts as a repair."}
        )
    # Two administrators at once must not both take the same next number.
    Site.objects.select_for_update().get(pk=site.pk)
    newest = CountingRule.objects.filter(site=site).aggregate(Max("version"))
    rule = CountingRule(
        site=site,
        version=(newest["version__max"] or 0) + 1,
        repair_categories=list(repair_categories),
        failure_categories=list(failure_categories),
        excluded_activities=list(excluded_activities),
        excluded_items=list(excluded_items),
        made_by=by,
    )
    rule.full_clean()
    rule.save()
    return rule


def _refuse_unknown(field: str, codes: Sequence[str], known: Sequence[str]) -> None:
    unknown = [code for code in codes if code not in known]
    if unknown:
        raise ValidationError({field: f"Not in the vocabulary: {', '.join(unknown)}."})
