-- What the Bad actors page is worked out from, as somebody would fetch it by hand:
-- counts of each position in the window and in that of a month before, with rework
-- within 30 days of the repair before it told apart.
WITH counted AS (
    SELECT
        position_id, reported_at, category, operating_state,
        lag(coalesce(returned_at, reported_at)) OVER (
            PARTITION BY position_id ORDER BY reported_at
        ) AS back_at
    FROM records_repair
    WHERE state <> 'void' AND shop_work_of_id IS NULL
        AND category IN ('corrective', 'condition', 'preventive', 'modification')
        AND activity NOT IN ('4', '7')
        AND item NOT IN ('oil', 'driver', 'block valve', 'suction strainer')
        AND reported_at >= %(since)s AND reported_at < %(after)s
), told AS (
    SELECT
        position_id, reported_at, operating_state,
        category IN ('corrective', 'condition') AS failed,
        back_at IS NULL OR reported_at > back_at + interval '30 days' AS separate,
        reported_at >= %(start)s AS now,
        reported_at >= %(start_before)s AND reported_at < %(after_before)s AS before
    FROM counted
)
SELECT
    position.id, position.tag, area.name, position.hazards,
    position.in_service_on, position.out_of_service_on, position.records_from,
    count(*) FILTER (WHERE now), count(*) FILTER (WHERE now AND failed),
    count(*) FILTER (WHERE now AND separate),
    count(*) FILTER (WHERE now AND failed AND operating_state = 'starting'),
    max(reported_at) FILTER (WHERE now),
    count(*) FILTER (WHERE before), count(*) FILTER (WHERE before AND separate)
FROM plant_position AS position
JOIN plant_area AS area ON area.id = position.area_id
LEFT JOIN told ON told.position_id = position.id
GROUP BY position.id, area.name
ORDER BY position.tag;

-- The running share of each position.
SELECT DISTINCT ON (position_id) position_id, running_share
FROM plant_dutyperiod
ORDER BY position_id, starts_on DESC;

-- What the repairs of the window cost, by position and currency.
SELECT
    repair.position_id, line.currency,
    sum(amount) FILTER (WHERE kind IN ('labour', 'parts', 'contractor', 'other')),
    sum(amount) FILTER (WHERE kind = 'lost production')
FROM records_costline AS line
JOIN records_repair AS repair ON repair.id = line.repair_id
WHERE repair.state <> 'void'
    AND repair.reported_at >= %(start)s AND repair.reported_at < %(after)s
    AND NOT EXISTS (
        SELECT 1 FROM records_costline AS later WHERE later.replaces_id = line.id
    )
GROUP BY repair.position_id, line.currency
