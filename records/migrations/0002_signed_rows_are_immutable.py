"""On PostgreSQL, refuse to rewrite what was signed, its history and the ledger.

A correction opens the door for its own transaction with
set_config('records.correction', 'on', true). SQLite has no such setting: there
the services alone hold the rule.
"""

from django.db import migrations

from plant.operations import run_on_postgresql

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

CREATE TRIGGER repair_history_is_kept
    BEFORE DELETE ON records_historicalrepair
    FOR EACH ROW EXECUTE FUNCTION records_refuse_rewrite();

CREATE TRIGGER life_history_is_kept
    BEFORE DELETE ON plant_historicalfittedlife
    FOR EACH ROW EXECUTE FUNCTION records_refuse_rewrite();

CREATE FUNCTION records_refuse_signed_change() RETURNS trigger AS $$
DECLARE
    row_of records_componentchange := CASE TG_OP WHEN 'INSERT' THEN NEW ELSE OLD END;
BEGIN
    IF current_setting('records.correction', true) IS DISTINCT FROM 'on' AND EXISTS (
        SELECT 1 FROM records_repair
        WHERE id = row_of.repair_id AND state <> 'draft'
    ) THEN
        RAISE EXCEPTION 'what a signed repair took out or fitted is corrected only'
            USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER signed_change_is_immutable
    BEFORE INSERT OR UPDATE OR DELETE ON records_componentchange
    FOR EACH ROW EXECUTE FUNCTION records_refuse_signed_change();

CREATE FUNCTION records_refuse_signed_ending() RETURNS trigger AS $$
BEGIN
    IF current_setting('records.correction', true) IS DISTINCT FROM 'on' AND EXISTS (
        SELECT 1 FROM records_componentchange AS taken
        JOIN records_repair AS repair ON repair.id = taken.repair_id
        WHERE taken.life_id = OLD.id AND taken.change = 'out' AND repair.state = 'signed'
    ) THEN
        RAISE EXCEPTION 'a life that a signed repair ended is corrected only'
            USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER signed_ending_is_immutable
    BEFORE UPDATE OR DELETE ON plant_fittedlife
    FOR EACH ROW WHEN (OLD.removed_at IS NOT NULL)
    EXECUTE FUNCTION records_refuse_signed_ending();
"""

BACKWARD = """
DROP TRIGGER signed_ending_is_immutable ON plant_fittedlife;
DROP FUNCTION records_refuse_signed_ending();
DROP TRIGGER signed_change_is_immutable ON records_componentchange;
DROP FUNCTION records_refuse_signed_change();
DROP TRIGGER life_history_is_kept ON plant_historicalfittedlife;
DROP TRIGGER repair_history_is_kept ON records_historicalrepair;
DROP TRIGGER cost_ledger_is_append_only ON records_costline;
DROP TRIGGER signed_repair_is_immutable ON records_repair;
DROP FUNCTION records_refuse_rewrite();
"""


class Migration(migrations.Migration):
    dependencies = [("records", "0001_initial")]

    operations = [run_on_postgresql(FORWARD, BACKWARD)]
