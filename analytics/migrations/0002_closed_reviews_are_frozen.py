"""On PostgreSQL, refuse to touch what was frozen: closed reviews, expectations."""

from django.db import migrations

from plant.operations import run_on_postgresql

FORWARD = """
CREATE FUNCTION analytics_refuse_rewrite() RETURNS trigger AS $$
BEGIN
    RAISE EXCEPTION 'a closed review and a frozen expectation never change'
        USING ERRCODE = 'restrict_violation';
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER closed_review_is_frozen
    BEFORE UPDATE OR DELETE ON analytics_review
    FOR EACH ROW WHEN (OLD.state = 'closed')
    EXECUTE FUNCTION analytics_refuse_rewrite();

CREATE TRIGGER expectation_is_frozen
    BEFORE UPDATE OR DELETE ON analytics_frozenexpectation
    FOR EACH ROW EXECUTE FUNCTION analytics_refuse_rewrite();

CREATE FUNCTION analytics_refuse_decision() RETURNS trigger AS $$
DECLARE
    the_review bigint := CASE TG_OP WHEN 'INSERT' THEN NEW.review_id ELSE OLD.review_id END;
BEGIN
    IF EXISTS (
        SELECT 1 FROM analytics_review WHERE id = the_review AND state = 'closed'
    ) THEN
        RAISE EXCEPTION 'decisions of a closed review never change'
            USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER closed_decision_is_frozen
    BEFORE INSERT OR UPDATE OR DELETE ON analytics_reviewdecision
    FOR EACH ROW EXECUTE FUNCTION analytics_refuse_decision();
"""

BACKWARD = """
DROP TRIGGER closed_decision_is_frozen ON analytics_reviewdecision;
DROP FUNCTION analytics_refuse_decision();
DROP TRIGGER expectation_is_frozen ON analytics_frozenexpectation;
DROP TRIGGER closed_review_is_frozen ON analytics_review;
DROP FUNCTION analytics_refuse_rewrite();
"""


class Migration(migrations.Migration):
    dependencies = [("analytics", "0001_reviews")]

    operations = [run_on_postgresql(FORWARD, BACKWARD)]
