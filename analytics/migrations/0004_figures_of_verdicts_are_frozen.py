"""On PostgreSQL, refuse to touch the figures that a verdict rested on."""

from django.db import migrations

from plant.operations import run_on_postgresql

FORWARD = """
CREATE FUNCTION analytics_refuse_verdict_rewrite() RETURNS trigger AS $$
BEGIN
    RAISE EXCEPTION 'the figures of a verdict never change'
        USING ERRCODE = 'restrict_violation';
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER verdict_is_frozen
    BEFORE UPDATE OR DELETE ON analytics_frozenverdict
    FOR EACH ROW EXECUTE FUNCTION analytics_refuse_verdict_rewrite();
"""

BACKWARD = """
DROP TRIGGER verdict_is_frozen ON analytics_frozenverdict;
DROP FUNCTION analytics_refuse_verdict_rewrite();
"""


class Migration(migrations.Migration):
    dependencies = [("analytics", "0003_verdicts_keep_their_figures")]

    operations = [run_on_postgresql(FORWARD, BACKWARD)]
