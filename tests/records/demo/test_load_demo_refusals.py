"""The command that loads the demo plant leaves other data alone."""

import pytest
from django.core.management import CommandError, call_command

from records.models import Repair
from tests.factories.plant import SiteFactory

pytestmark = pytest.mark.django_db


def test_a_database_with_other_data_is_refused():
    SiteFactory(name="Real works")
    with pytest.raises(CommandError, match="This database holds the site Real works"):
        call_command("load_demo")
    assert Repair.objects.count() == 0


def test_if_empty_leaves_other_data_alone(capsys):
    SiteFactory(name="Real works")
    call_command("load_demo", if_empty=True)
    assert capsys.readouterr().out == ""


def test_log_ins_are_printed_only_for_the_demo(capsys):
    SiteFactory(name="Real works")
    call_command("load_demo", print_logins=True)
    assert capsys.readouterr().out == ""
