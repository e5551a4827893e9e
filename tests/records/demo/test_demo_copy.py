"""What tests take for the demo plant is what its command makes."""

from django.db import connection, transaction

from plant.models import User
from records.models import Repair
from tests.demo_plant import END, KEPT, Copy, demo_put
from tests.factories.records import RepairFactory


def stored():
    """All rows after the demo was put into an empty database, which is empty again."""
    with transaction.atomic():
        demo_put()
        connection.check_constraints()
        found = Copy()
        assert User.objects.get(username="planner").groups.get().name == "planner"
        last = Repair.objects.latest("pk")
        assert RepairFactory(position=last.position, pump=last.pump).pk > last.pk
        transaction.set_rollback(True)
    assert Repair.objects.count() == 0
    return found


def test_a_copy_is_what_the_command_made(db):
    stored()
    made, copied = KEPT[END, False], stored()
    assert len(made.rows["records_repair"]) > 0
    assert copied.rows == made.rows
    assert copied.roles == made.roles
    assert len(made.roles) == 5
