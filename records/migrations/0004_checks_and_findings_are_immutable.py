"""On PostgreSQL, checks are frozen with the repair, findings with their signature.

The door of a correction is the one of migration 0002.
"""

from django.db import migrations

from plant.operations import run_on_postgresql

FORWARD = """
CREATE FUNCTION records_refuse_signed_check() RETURNS trigger AS $$
DECLARE
    the_repair bigint := CASE TG_OP WHEN 'INSERT' THEN NEW.repair_id ELSE OLD.repair_id END;
BEGIN
    IF current_setting('records.correction', true) IS DISTINCT FROM 'on' AND EXISTS (
        SELECT 1 FROM records_repair WHERE id = the_repair AND state <> 'draft'
    ) THEN
        RAISE EXCEPTION 'checks of a signed repair are corrected only'
            USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER signed_check_is_immutable
    BEFORE INSERT OR UPDATE OR DELETE ON records_settingcheck
    FOR EACH ROW EXECUTE FUNCTION records_refuse_signed_check();

CREATE FUNCTION records_refuse_signed_finding() RETURNS trigger AS $$
DECLARE
    the_repair bigint := CASE TG_OP WHEN 'INSERT' THEN NEW.repair_id ELSE OLD.repair_id END;
BEGIN
    IF current_setting('records.correction', true) IS DISTINCT FROM 'on' AND EXISTS (
        SELECT 1 FROM records_repair
        WHERE id = the_repair AND findings_signed_at IS NOT NULL
    ) THEN
        RAISE EXCEPTION 'signed findings are corrected only'
            USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER signed_finding_is_immutable
    BEFORE INSERT OR UPDATE OR DELETE ON records_teardownfinding
    FOR EACH ROW EXECUTE FUNCTION records_refuse_signed_finding();

CREATE TRIGGER tablet_entry_is_kept
    BEFORE DELETE ON records_tabletentry
    FOR EACH ROW EXECUTE FUNCTION records_refuse_rewrite();
"""

BACKWARD = """
DROP TRIGGER tablet_entry_is_kept ON records_tabletentry;
DROP TRIGGER signed_finding_is_immutable ON records_teardownfinding;
DROP FUNCTION records_refuse_signed_finding();
DROP TRIGGER signed_check_is_immutable ON records_settingcheck;
DROP FUNCTION records_refuse_signed_check();
"""


class Migration(migrations.Migration):
    dependencies = [("records", "0003_tablet_form")]

    operations = [run_on_postgresql(FORWARD, BACKWARD)]
