"""On PostgreSQL, refuse to rewrite signed repairs and the cost ledger.

A correction opens the door for its own transaction with
set_config('records.correction', 'on', true). SQLite has no such setting: there
the services alone hold the rule.
"""

from django.db import migrations

FORWARD = """
CREATE FUNCTION records_refuse_rewrite() RETURNS trigger AS $$
BEGIN
    IF current_setting('records.correction', true) = 'on' THEN
        RETURN CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
    END IF;
    RAISE EXCEPTION 'signed rows are corrected, never overwritten or deleted'
        USING ERRCODE = 'restrict_violation';
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER signed_repair_is_immutable
    BEFORE UPDATE OR DELETE ON records_repair
    FOR EACH ROW WHEN (OLD.state <> 'draft')
    EXECUTE FUNCTION records_refuse_rewrite();

CREATE TRIGGER cost_ledger_is_append_only
    BEFORE UPDATE OR DELETE ON records_costline
    FOR EACH ROW EXECUTE FUNCTION records_refuse_rewrite();
"""

BACKWARD = """
DROP TRIGGER cost_ledger_is_append_only ON records_costline;
DROP TRIGGER signed_repair_is_immutable ON records_repair;
DROP FUNCTION records_refuse_rewrite();
"""


def run_on_postgresql(sql):
    def run(apps, schema_editor):
        if schema_editor.connection.vendor == "postgresql":
            schema_editor.execute(sql)

    return run


class Migration(migrations.Migration):
    dependencies = [("records", "0001_initial")]

    operations = [
        migrations.RunPython(run_on_postgresql(FORWARD), run_on_postgresql(BACKWARD))
    ]
